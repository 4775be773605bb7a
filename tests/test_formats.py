"""Kinds of film: what is in each, and films that grow while someone plays."""

from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from simlab.errors import BadInput
from simlab.film.captions import Caption
from simlab.film.playback import probe
from simlab.film.recorder import Recorder, write_film
from simlab.film.tiles import Picture

SMALL = (128, 96)  # [px] where the size does not matter
PAPER = (251, 246, 234)
BEFORE = b"the film that was there"
CAPTIONS = [Caption(0.25, 0.5, "Thrust < 2W & θ"), Caption(0.5, 1.0, "√3 W/2\nat 30°")]
CHAPTERS = [(0.0, "Question"), (0.5, "θ grows")]


def moving(count: int, size: tuple[int, int] = SMALL) -> Iterator[Picture]:
    """Paper with a mark that moves on in each picture."""
    width, height = size
    for i in range(count):
        picture = np.full((height, width, 4), 255, np.uint8)
        picture[..., :3] = PAPER
        picture[8:20, (4 * i) % (width - 16) :][:, :16] = (213, 94, 0, 255)
        yield picture


def colours(path: Path) -> list[Picture]:
    """Red, green, blue of every picture as a player shows them."""
    with av.open(str(path)) as file:
        return [frame.to_ndarray(format="rgb24") for frame in file.decode(video=0)]


# ---- WebM


def test_a_webm_film_has_all_its_pictures_and_words(tmp_path: Path) -> None:
    """Pictures at their times to a millisecond, chapters, captions and a title; captions beside it too."""
    path = tmp_path / "ring.webm"
    write_film(
        path,
        moving(60),
        size=SMALL,
        rate=30,
        chapters=CHAPTERS,
        captions=CAPTIONS,
        metadata={"title": "α ≤ 30°"},
    )

    played = probe(path)
    assert (played.size, played.rate, played.duration) == (SMALL, 30, 2)
    assert [float(time) for time in played.times] == pytest.approx([i / 30 for i in range(60)], abs=6e-4)
    assert list(played.chapters) == CHAPTERS
    assert list(played.captions) == CAPTIONS
    assert played.metadata["title"] == "α ≤ 30°"
    assert played.colour == (1, 1, 1, 1)  # BT.709, limited (ITU-T H.273)
    assert path.with_suffix(".vtt").read_text("utf-8").startswith("WEBVTT")


def test_a_webm_film_is_near_what_was_drawn(tmp_path: Path) -> None:
    """Its paper is the paper that was drawn, to 2 levels: as many as conversion there and back may lose."""
    write_film(tmp_path / "ring.webm", moving(10), size=SMALL)

    for picture in colours(tmp_path / "ring.webm"):
        assert np.abs(picture[60:].astype(int) - PAPER).max() <= 2


# ---- GIF


@pytest.mark.parametrize("size", [(64, 48), (65, 47)])
def test_a_gif_keeps_flat_colours_exactly(tmp_path: Path, size: tuple[int, int]) -> None:
    """Every pixel of every picture is as drawn, where there are no more colours than a GIF can hold."""
    write_film(tmp_path / "ring.gif", moving(20, size), size=size)

    drawn = [picture[..., :3] for picture in moving(20, size)]
    np.testing.assert_array_equal(colours(tmp_path / "ring.gif"), drawn)


def test_a_gif_keeps_its_paper_among_many_colours(tmp_path: Path) -> None:
    """Beside a band of 4000 colours the paper stays exact, and the others are within 16 levels."""
    picture = next(moving(1, (160, 90)))
    chance = np.random.default_rng(7)
    picture[30:55, :, :3] = chance.integers(60, 200, (25, 160, 3))
    write_film(tmp_path / "ring.gif", [picture] * 3, size=(160, 90))

    for shown in colours(tmp_path / "ring.gif"):
        error = np.abs(shown.astype(int) - picture[..., :3])
        assert error[:8].max() == error[60:].max() == 0
        assert error[30:55].mean() <= 16


def test_a_gif_shows_15_pictures_a_second_again_and_again(tmp_path: Path) -> None:
    """3 s are 45 pictures, each in its hundredth of a second; the file asks to be repeated for ever.

    Source of the mark of repetition: NETSCAPE2.0 application extension, common practice.
    """
    path = tmp_path / "ring.gif"
    path.with_suffix(".vtt").write_bytes(BEFORE)
    write_film(path, moving(45, (64, 48)), size=(64, 48), chapters=CHAPTERS, captions=CAPTIONS)

    played = probe(path)
    assert (len(played.times), played.duration, played.rate) == (45, 3, 15)
    assert [float(time) for time in played.times] == pytest.approx([i / 15 for i in range(45)], abs=6e-3)
    assert b"NETSCAPE2.0\x03\x01\x00\x00\x00" in path.read_bytes()
    assert path.with_suffix(".vtt").read_bytes() == BEFORE  # captions of another film of that name


@pytest.mark.parametrize("kind", [".webm", ".gif"])
def test_every_kind_has_the_same_bytes_again_and_is_written_whole_or_not_at_all(
    tmp_path: Path, kind: str
) -> None:
    """Twice the same film; an error while drawing leaves the old one and nothing else."""
    for name in ("a", "b"):
        write_film(tmp_path / f"{name}{kind}", moving(20), size=SMALL, chapters=[(0, "All")])
    a = (tmp_path / f"a{kind}").read_bytes()
    assert a == (tmp_path / f"b{kind}").read_bytes()

    def broken() -> Iterator[Picture]:
        yield from moving(10)
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        write_film(tmp_path / f"a{kind}", broken(), size=SMALL)
    assert (tmp_path / f"a{kind}").read_bytes() == a
    assert len(list(tmp_path.iterdir())) == 2


def test_what_a_kind_cannot_do_is_refused(tmp_path: Path) -> None:
    """Rates above a GIF's clock, odd sides where two pixels share a colour, growing GIFs, other endings."""
    for name, given, says in (
        ("a.gif", {"rate": 60}, "60 pictures a second; 1 to 50 are allowed in .gif files"),
        ("a.webm", {"size": (65, 48)}, "65 x 48 px; both must be even"),
        ("a.gif", {"growing": True}, "only an .mp4 file can be played while it grows"),
        ("a.mov", {}, 'films are written as .mp4, .webm, .gif, not ".mov"'),
        ("a", {}, "give the name one of these endings"),
    ):
        with pytest.raises(BadInput, match=says):
            Recorder(tmp_path / name, **given)  # type: ignore[arg-type]


# ---- a film that grows


def recorded_and_killed(path: Path, seconds: int, rate: int) -> None:
    """A process records into `path` and is killed outright, by its own hand, with no time to tidy up."""
    code = (
        "import os, signal, time\nfrom test_formats import *\n"
        f"with Recorder({str(path)!r}, size=SMALL, rate={rate}, growing=True) as film:\n"
        f"    for picture in moving({seconds * rate}):\n"
        "        film.add(picture)\n"
        "    time.sleep(0.5)\n"  # a window leaves the encoder time between pictures
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=Path(__file__).parent, check=False)
    assert run.returncode == -signal.SIGKILL


@pytest.mark.parametrize("rate", [15, 60])
def test_a_killed_recording_is_played_but_for_its_last_second(tmp_path: Path, rate: int) -> None:
    """What is left is a film under its own name, decoded whole from time 0, of 4 s at least 3.

    Only the picture before the last may be missing: it is encoded after the one that follows it.
    """
    recorded_and_killed(tmp_path / "ring.mp4", 4, rate)

    played = probe(tmp_path / "ring.mp4")
    assert [p.name for p in tmp_path.iterdir()] == ["ring.mp4"]
    assert played.times[:-1] == tuple(Fraction(i, rate) for i in range(len(played.times) - 1))
    assert 3 * rate <= len(played.times) <= 4 * rate


def test_a_recording_beside_an_older_film_spoils_neither_it_nor_what_an_earlier_crash_left(
    tmp_path: Path,
) -> None:
    """It grows under a name that says what it is; the next one finds a name of its own."""
    (tmp_path / "ring.mp4").write_bytes(BEFORE)
    recorded_and_killed(tmp_path / "ring.mp4", 2, 30)
    left = (tmp_path / "ring.recording.mp4").read_bytes()
    with Recorder(tmp_path / "ring.mp4", size=SMALL, rate=30, growing=True) as film:
        for picture in moving(30):
            film.add(picture)
        assert film.reel.name == "ring.recording-2.mp4"
        assert (tmp_path / "ring.mp4").read_bytes() == BEFORE

    assert (tmp_path / "ring.recording.mp4").read_bytes() == left
    assert len(probe(tmp_path / "ring.mp4").times) == 30
    assert sorted(p.name for p in tmp_path.iterdir()) == ["ring.mp4", "ring.recording.mp4"]


def test_a_growing_film_is_put_in_order_with_words_said_on_the_way(tmp_path: Path) -> None:
    """It can be played before it is closed; then its index is in front, its chapters and captions in it."""
    path = tmp_path / "ring.mp4"
    with Recorder(path, size=SMALL, rate=30, growing=True) as film:
        for i, picture in enumerate(moving(90)):
            film.add(picture)
            if i == 80:
                early = len(probe(path).times)
        film.chapters, film.captions = CHAPTERS, CAPTIONS

    played, data = probe(path), path.read_bytes()
    assert 30 <= early < 80
    assert played.times == tuple(Fraction(i, 30) for i in range(90))
    assert (list(played.chapters), list(played.captions)) == (CHAPTERS, CAPTIONS)
    assert data.index(b"moov") < data.index(b"mdat")
    assert b"moof" not in data
    assert path.with_suffix(".vtt").exists()


@pytest.mark.parametrize("error", [ZeroDivisionError, KeyboardInterrupt])
def test_an_error_ends_a_growing_film_and_keeps_it(tmp_path: Path, error: type[BaseException]) -> None:
    """The older film stays; beside it what was recorded, in order, with the words up to there."""
    path = tmp_path / "ring.mp4"
    path.write_bytes(BEFORE)
    chapters = [*CHAPTERS, (9.0, "never reached")]
    film = Recorder(path, size=SMALL, rate=30, chapters=chapters, captions=CAPTIONS, growing=True)

    def record() -> None:
        with film:
            for picture in moving(24):
                film.add(picture)
            raise error

    with pytest.raises(error):
        record()

    played = probe(film.reel)
    assert path.read_bytes() == BEFORE
    assert len(played.times) == 24
    assert list(played.chapters) == CHAPTERS
    assert played.captions[-1].end == 0.8
    assert {p.name for p in tmp_path.iterdir()} == {"ring.mp4", film.reel.name, "ring.recording.vtt"}


def test_a_growing_film_without_pictures_leaves_nothing(tmp_path: Path) -> None:
    """An orderly end says so, an error does not hide behind it."""
    with pytest.raises(BadInput, match="no pictures"), Recorder(tmp_path / "a.mp4", growing=True):
        pass
    with pytest.raises(ZeroDivisionError), Recorder(tmp_path / "a.mp4", growing=True):
        raise ZeroDivisionError
    assert not list(tmp_path.iterdir())
