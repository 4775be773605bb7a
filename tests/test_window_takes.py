"""Films of what is done in the window: clock, pictures, chapters; and exact answers from beside it."""

from __future__ import annotations

import time
from collections.abc import Sequence
from functools import partial
from itertools import count, pairwise
from math import hypot
from pathlib import Path
from threading import Thread

import numpy as np
import pytest
from small_frames import rod_at
from window_driver import SCENES, Driver, display

from simlab.commands import hand_film
from simlab.commands.watch import solved
from simlab.errors import BadInput
from simlab.frame.change import showing
from simlab.frame.scene import read_scene
from simlab.pictures.canvas import Pixels
from simlab.results.conventions import HOUSE
from simlab.window.asking import Beside
from simlab.window.takes import RATE, Takes

LONG = 60.0  # [s] that an answer may take on a busy machine


assert display  # the display that nobody sees, for each test here


class Reel:
    """A film that only remembers what it was given."""

    def __init__(self, number: int, size: tuple[int, int]) -> None:
        self.path, self.size = Path(f"film_{number}.mp4"), size
        self.pictures: list[int] = []
        self.chapters: Sequence[tuple[float, str]] | None = None

    def add(self, picture: Pixels) -> None:
        """Remember its first value."""
        assert picture.shape == (self.size[1], self.size[0], 4)
        self.pictures.append(int(picture[0, 0, 0]))

    def close(self, chapters: Sequence[tuple[float, str]]) -> None:
        """Remember that it is closed."""
        self.chapters = chapters


class Clock:
    """A clock that is set by hand [s]."""

    now = 100.0

    def __call__(self) -> float:
        return self.now


def picture(value: int, size: tuple[int, int] = (64, 48)) -> Pixels:
    """A picture of one shade."""
    return np.full((size[1], size[0], 4), value, np.uint8)


def recording() -> tuple[Takes, Clock, list[Reel]]:
    """Takes that have begun, their clock, and the films so far."""
    clock, reels, numbers = Clock(), [], count(1)

    def begin(size: tuple[int, int], rate: int) -> Reel:
        assert rate == RATE
        reels.append(Reel(next(numbers), size))
        return reels[-1]

    takes = Takes(begin, clock)
    takes.start_or_stop()
    return takes, clock, reels


def test_a_film_is_as_long_as_what_was_done():
    """Shown at 60 a second every second picture is left out; shown once in a second, repeated 30 times."""
    takes, clock, reels = recording()
    for i in range(60):
        takes.show(picture(i))
        clock.now += 1 / 60
    assert len(reels[0].pictures) == RATE
    assert {b - a for a, b in pairwise(reels[0].pictures)} <= {1, 2, 3}  # clocks round
    clock.now += 1.0 - 1 / 60
    takes.show(picture(99))
    takes.stop()

    assert len(reels[0].pictures) == pytest.approx(2 * RATE, abs=1)
    assert set(reels[0].pictures[RATE:]) == {99}


def test_what_is_done_begins_a_chapter():
    """At its second, the first at 0; not two within a breath, since a player lists them."""
    takes, clock, reels = recording()
    for second in range(5):
        takes.show(picture(0))
        if second == 2:
            takes.note("release spreader")
            takes.note("pulled")
        clock.now += 1.0
    takes.stop()

    start, title = (reels[0].chapters or [])[1]
    assert [name for _, name in reels[0].chapters or []] == ["Beginning", "Release spreader"]
    assert start == pytest.approx(2.0, abs=2 / RATE)
    assert title == "Release spreader"
    assert takes.said.startswith("Recorded: film_1.mp4")


def test_a_window_of_another_size_begins_another_film():
    """And one of odd sides loses its last row and column: H.264 wants even ones."""
    takes, clock, reels = recording()
    takes.show(picture(1))
    clock.now += 0.5
    takes.show(picture(2, (81, 61)))
    clock.now += 0.5
    takes.stop()

    assert [reel.size for reel in reels] == [(64, 48), (80, 60)]
    assert reels[0].chapters is not None
    assert set(reels[0].pictures) == {1}
    assert not takes.is_on


def test_nothing_is_recorded_before_it_is_asked_for():
    """Pictures shown, and things done, without a film."""
    takes = Takes(lambda size, rate: pytest.fail("a film was begun"), Clock())
    takes.show(picture(1))
    takes.note("released")
    takes.stop()
    assert takes.said == ""


def test_where_no_film_can_be_written_the_window_says_so_and_goes_on():
    """A full disk, a folder that cannot be made: a sentence on the line of words, nothing recorded."""

    def refuses(size: tuple[int, int], rate: int) -> Reel:
        raise BadInput("recordings/ cannot be made here: Permission denied.")

    window = Driver("gangway", takes=Takes(refuses, Clock()), exact=False, seconds=0.1)
    window.letter("c")
    assert not window.session.is_recording
    assert window.said == "recordings/ cannot be made here: Permission denied."


def test_a_film_by_hand_never_takes_the_place_of_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """The second one is numbered 2; each decodes with the pictures that it was given."""
    av = pytest.importorskip("av")
    monkeypatch.chdir(tmp_path)
    frame = read_scene(SCENES / "gangway.toml")
    for n in (3, 5):
        film = hand_film.HandFilm(frame, (64, 48), RATE)
        for i in range(n):
            film.add(picture(40 * i))
        film.close([])
    counts = []
    for number in (1, 2):
        with av.open(str(tmp_path / "recordings" / f"gangway_hand_{number}.mp4")) as taken:
            counts.append(sum(1 for _ in taken.decode(video=0)))

    assert counts == [3, 5]
    assert hand_film.free_place("gangway").name == "gangway_hand_3.mp4"


def test_exact_answers_come_from_beside_and_only_the_newest_counts():
    """Of two questions the second is answered, with its own value; of the first the verdict is known.

    A rod that hangs aslant from its end cannot rest. The gangway by hand: moments about B, and of AC alone
    about C, give 6.2 W across and 6.15 W up at A.
    """
    aslant = rod_at(0.5)
    other = showing(read_scene(SCENES / "gangway.toml"), {"W": "200 N"})
    beside = Beside(partial(solved, conventions=HOUSE))
    try:
        assert beside.answer() is None
        beside.ask(aslant)
        beside.ask(other)
        found, end = None, time.monotonic() + LONG
        while found is None and time.monotonic() < end:
            found = beside.answer()
            time.sleep(0.02)
        assert found is not None
        assert found.verdict == "determined"
        assert found.at_rest(other.shown).endswith(
            f"=\u00a0{round(200 * hypot(6.2, 6.15), -1):.0f}\u00a0N."
        )
        assert beside.first() == "cannot rest"
    finally:
        beside.close()
    assert beside.answer() is None


def test_a_frame_that_statics_refuses_has_no_verdict_and_nobody_waits_for_one():
    """The refusal is an answer, with its sentence: the window, once closed, ends."""
    beside = Beside(partial(showing, values={"beta": "1"}))  # type: ignore[arg-type]
    verdicts: list[str] = []
    beside.ask(read_scene(SCENES / "gangway.toml"))
    waiting = Thread(target=lambda: verdicts.append(beside.first()), daemon=True)
    waiting.start()
    waiting.join(LONG)
    beside.close()

    assert verdicts == [""]
