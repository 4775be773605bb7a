"""The film of a frame: its chapters, its pictures, its words."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np
import pytest

from simlab.film.chapters import Assembly, Gravity
from simlab.film.fall import Fall
from simlab.film.playback import probe
from simlab.film.recorder import write_film
from simlab.film.stage_set import StageSet
from simlab.film.story import Story
from simlab.film.storyboard import Storyboard
from simlab.frame.film_wishes import FilmWishes
from simlab.frame.scene import parse_scene, read_scene
from simlab.pictures.camera import Page
from simlab.pictures.cards import frame_rect
from simlab.pictures.closing_card import Answer
from simlab.pictures.marks import Arrow, Label, Stroke
from simlab.simulation.release import hang, release
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"
SMALL, SLOW = (480, 270), 12  # [px], [pictures/s]: a film made for a test
FOLDS = (
    (SCENES / "kite_lantern.toml")
    .read_text()
    .replace('spreader = { kind = "strut"', 'spreader = { kind = "string"')
    .replace('asked = ["thrust in spreader", "force at L on LB"]', "")
)
TITLES = [
    "The question",
    "The rods are put together",
    "Gravity is let on",
    "What happens without it?",
    "The jump at the cut",
    "The brace is taken away",
    "With and without",
    "The answer",
]


def story(name: str) -> Story:
    """The story of a scene."""
    frame = read_scene(SCENES / f"{name}.toml")
    falling = release(frame, duration=3.0) if frame.brace else None
    answers = [Answer("thrust", "$2W$", "4.00 N", "4.00 N")]
    statics = solve(frame)
    says = (statics.verdict, statics.case.freedom.rest, statics.advice)
    return Story(
        frame, frame.shown, hang(frame), falling, *says, statics.case.forces, answers, "They agree."
    )


@pytest.fixture(scope="module")
def kite() -> Story:
    """The kite lantern's story."""
    return story("kite_lantern")


@pytest.fixture(scope="module")
def board(kite) -> Storyboard:
    """Its storyboard, small and slow."""
    return Storyboard(kite, SMALL, SLOW)


def test_the_chapters_follow_the_lesson(board):
    """Question, assembly, gravity, the brace marked, the fall, the answer, one after another from 0."""
    assert TITLES == [title for _, title in board.chapters]
    starts = [start for start, _ in board.chapters]
    assert 0 == starts[0]
    assert sorted(starts) == starts


def test_a_frame_without_a_brace_has_no_fall():
    """The gangway's film goes from gravity to the answer."""
    board = Storyboard(story("gangway"), SMALL, SLOW)

    assert [TITLES[i] for i in (0, 1, 2, 7)] == [title for _, title in board.chapters]


def test_the_whole_film_plays(board, tmp_path):
    """Every picture decodes; number, rate, length, chapters and captions are those of the storyboard."""
    path = tmp_path / "kite.mp4"
    write_film(
        path, board.pictures(), size=SMALL, rate=SLOW, chapters=board.chapters, captions=board.captions
    )
    film = probe(path)

    assert len(board) == len(film.times)
    assert float(film.duration) == pytest.approx(len(board) / SLOW, abs=1e-3)  # captions count milliseconds
    assert [title for _, title in film.chapters] == TITLES
    assert len(board.captions) == len(film.captions)


def test_time_left_reckons_that_standing_pictures_take_less(board):
    """Work goes from nothing to all of it; the question, which stands, is less of it than of the film."""
    question = board.played[0].count

    assert (board.done(0), board.done(len(board))) == (0, 1)
    assert all(board.done(i) < board.done(i + 1) for i in range(len(board)))
    assert board.done(question) < question / len(board)


def test_the_same_story_gives_the_same_pictures(kite):
    """Two runs, the same bits in every picture."""

    def digest() -> str:
        total = hashlib.sha256()
        for picture in Storyboard(kite, SMALL, 6).pictures():
            total.update(picture.tobytes())
        return total.hexdigest()

    assert digest() == digest()


def test_weights_grow_with_gravity_and_are_not_there_before_it(board, kite):
    """At the start of the chapter no weight is drawn; half-way each is half; at the end the whole."""
    gravity = next(part for part in board.parts if isinstance(part, Gravity))

    def size(time: float) -> float:
        marks, _ = gravity.draw(time)
        arrows = [m for m in marks if isinstance(m, Arrow) and m.name == "weight of LB"]
        return -arrows[0].vector[1] if arrows else 0.0

    # LB weighs 2 W = 4 N in the scene.
    assert 0 == size(0.0)
    assert size(gravity.full / 2) == pytest.approx(2.0, rel=2e-3)  # a step more or less of 2400
    assert size(gravity.full) == pytest.approx(4.0, rel=1e-6)


def test_exact_values_stand_beside_the_arrows_at_rest(board):
    """The thrust in the spreader as an expression in both angles, the weights by their letters."""
    gravity = next(part for part in board.parts if isinstance(part, Gravity))
    marks, _ = gravity.draw(gravity.seconds)
    texts = " ".join(mark.text for mark in marks if isinstance(mark, Label))

    assert r"\alpha" in texts
    assert r"\theta" in texts
    assert "gravity 100 %" in texts


def test_the_break_is_slow_and_the_end_is_real_time(board):
    """An eighth of real speed just after the cut, full speed in the end; time never runs back."""
    fall = next(part for part in board.parts if isinstance(part, Fall))
    speed = np.diff(fall.times) * SLOW
    just_after = np.searchsorted(fall.times, 0.0) + 1

    assert speed[just_after] == pytest.approx(1 / 8)
    assert speed[-1] == pytest.approx(1.0)
    assert np.all(speed > 0)


def test_the_fall_stays_in_the_picture(board):
    """The wide camera keeps every joint of the collapse above the caption band, inside the page."""
    fall = next(part for part in board.parts if isinstance(part, Fall))
    for path in fall.paths.values():
        x, y = board.parts[0].stage.wide.to_page(path).T

        assert np.all((x > 0) & (x < board.page.width))
        assert np.all((y > 0) & (y < board.page.height - 116))


def test_a_frame_that_folds_as_gravity_is_let_on_stays_in_the_picture():
    """Its string would have to push: every rod stays in the place of the frame, however low."""
    frame = parse_scene(FOLDS)
    statics = solve(frame)
    says = (statics.verdict, statics.case.freedom.rest, statics.advice)
    told = Story(frame, frame.shown, hang(frame), None, *says, None, (), "It does not hold.")
    gravity = Storyboard(told, SMALL, SLOW, wishes=FilmWishes(chapters=("gravity",))).parts[0]
    marks, camera = gravity.draw(gravity.seconds)
    rods = [mark for mark in marks if isinstance(mark, Stroke) and mark.role == "rod"]
    low = max(float(camera.to_page(mark.points)[:, 1].max()) for mark in rods)

    assert statics.verdict == "falls out"
    assert camera.to_page(np.array([gravity.stage.plan.bounds[:2]]))[0, 1] < low
    assert low < frame_rect(gravity.stage.page)[3]


def test_what_has_no_hinges_is_not_put_together_with_any():
    """A ladder on the quay, a cask on a slip: one body, put in its place."""
    said = {
        name: Assembly(StageSet(story(name), Page.of(16, 9), SLOW)) for name in ("shed_ladder", "slip_cask")
    }

    assert said["shed_ladder"].title == "The rod is put in its place"
    assert said["slip_cask"].title == "Everything is put in its place"
    assert not any("hinge" in words for one in said.values() for _, words in one.lines)
