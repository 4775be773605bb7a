"""Side by side at one clock: with and without the brace, and at two values of a letter."""

from __future__ import annotations

from math import radians, tan
from pathlib import Path

import numpy as np
import pytest
from seen import clashes

from simlab.commands.film_twins import two_values
from simlab.commands.filming import Filming
from simlab.errors import BadInput
from simlab.film.compared import BEFORE, TwoValues, WithAndWithout
from simlab.film.stage_set import StageSet
from simlab.film.story import Story
from simlab.frame.change import showing
from simlab.frame.film_wishes import FilmWishes
from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.pictures.camera import Page
from simlab.pictures.marks import Arrow, Label, Mark, Stroke
from simlab.pictures.placement import place
from simlab.results.conventions import HOUSE
from simlab.simulation.release import hang, release
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"


def scene(name: str = "kite_lantern") -> Frame:
    """A scene of ours."""
    return read_scene(SCENES / f"{name}.toml")


@pytest.fixture(scope="module")
def kite() -> Story:
    """The kite, beside itself at 60 degrees."""
    frame = scene()
    one, other = solve(frame), solve(showing(frame, {"theta": "60 deg"}))
    fall = release(frame, duration=1.0)
    twins = two_values(one, other, fall, HOUSE)
    hanging = hang(frame, ramp=0.1, rest=0.3)
    return Story(frame, frame.shown, hanging, fall, "determined", "neutral", "", None, (), "", twins=twins)


def stage(story: Story, wishes: FilmWishes | None = None) -> StageSet:
    """A wide stage."""
    return StageSet(story, Page.of(16, 9), 30, wishes or FilmWishes())


def texts(marks: list[Mark]) -> str:
    """All words."""
    return "\n".join(mark.text for mark in marks if isinstance(mark, Label))


def rod(marks: list[Mark], name: str, twin: int) -> np.ndarray:
    """Where a rod is drawn on the page."""
    return next(m.points for m in marks if isinstance(m, Stroke) and m.name == f"{name} of twin {twin}")


def test_the_left_stays_and_the_right_falls(kite):
    """Both alike before the cut; after it the left one is where it was, the right one has moved."""
    part = WithAndWithout(stage(kite))
    before, after = (part.draw(time)[0] for time in (BEFORE / 2, BEFORE + 2))
    across = part.twins.cameras[1].middle[0] - part.twins.cameras[0].middle[0]

    assert rod(before, "LB", 1) == pytest.approx(rod(before, "LB", 0) + np.array([across, 0.0]), abs=1e-6)
    assert rod(after, "LB", 0) == pytest.approx(rod(before, "LB", 0), abs=0.05)
    assert np.abs(rod(after, "LB", 1) - rod(before, "LB", 1)).max() > 10
    thrusts = [m.name for m in after if isinstance(m, Arrow) and m.role == "thrust"]
    assert thrusts
    assert all(name.endswith("twin 0") for name in thrusts)


def test_headings_and_one_clock(kite):
    """What each is, and one time for both: that of the run that is drawn."""
    part = WithAndWithout(stage(kite))
    marks, _ = part.draw(BEFORE + 1)
    said = texts(marks)

    assert "With the spreader" in said
    assert "Without the spreader" in said
    assert f"$t$ = {part.times[round((BEFORE + 1) * 30)]:.2f} s, at 1/8 of real speed" in said


def test_two_values_are_headed_and_their_forces_told(kite):
    """3W(2 tan alpha + 5 tan theta)/2 with W = 2 N, alpha = 20 degrees (by hand): 14.8 N and 28.2 N."""
    said = texts(TwoValues(stage(kite)).draw(1.0)[0])

    for angle in (40, 60):
        force = 3 * (2 * tan(radians(20)) + 5 * tan(radians(angle)))
        assert f"θ = {angle}°" in said
        assert f"{force:.1f}\u00a0N" in said


def test_two_values_have_one_scale_and_each_its_own_motion(kite):
    """KL is 0.5 m in both, so as long on the page; the flatter kite is somewhere else after a while."""
    part = TwoValues(stage(kite))
    marks, _ = part.draw(BEFORE + 1.5)
    lengths = [float(np.hypot(*np.diff(rod(marks, "KL", i), axis=0)[0])) for i in (0, 1)]
    angles = [np.diff(rod(marks, "KL", i), axis=0)[0] for i in (0, 1)]

    assert lengths[0] == pytest.approx(lengths[1], rel=1e-4)
    assert abs(angles[0][0] - angles[1][0]) > 10


@pytest.mark.parametrize("shape", [(16, 9), (9, 16)])
@pytest.mark.parametrize("kind", [WithAndWithout, TwoValues])
def test_no_words_stand_on_others(kite, kind, shape):
    """Before the cut, in the fall, at the end."""
    part = kind(StageSet(kite, Page.screen(*shape), 30))
    for time in (1.0, BEFORE + 1, part.seconds):
        marks, camera = part.draw(time)
        placement = place(marks, camera, page=part.stage.page, within=part.room)
        found = clashes(marks, camera, placement, part.stage.page)
        assert not [text for text in found if text != "caption on caption band"]


def test_an_edition_without_answers_shows_no_force(kite):
    """Neither arrows nor the force of the brace."""
    quiet = stage(kite, FilmWishes(answers=False))
    for part in (WithAndWithout(quiet), TwoValues(quiet)):
        marks, _ = part.draw(1.0)
        assert not [m for m in marks if isinstance(m, Arrow)]
        assert " N" not in texts(marks)


def test_what_cannot_stand_beside_a_frame_is_refused_in_a_sentence(kite):
    """No brace, the values that are there already, a letter that is not there: nothing is solved for it."""
    for name, value, says in (
        ("gangway", "h=2 m", "gangway has no brace"),
        ("kite_lantern", "theta=40 deg", "already"),
        ("kite_lantern", "z=3", "--beside z: the scene has no letter"),
        ("kite_lantern", "z", '--beside "z": write LETTER=VALUE, for example --beside alpha="50 deg"'),
    ):
        with pytest.raises(BadInput, match=says):
            _ = Filming(SCENES / f"{name}.toml", beside=(value,)).other


@pytest.mark.parametrize("shape", [(16, 9), (9, 16)])
def test_no_arrow_at_rest_is_longer_than_half_its_frame(kite, shape):
    """Common practice: forces stand beside a frame, they do not hide it."""
    part = WithAndWithout(StageSet(kite, Page.screen(*shape), 30))
    marks, _ = part.draw(1.0)
    arrows = [float(np.hypot(*m.vector)) for m in marks if isinstance(m, Arrow)]
    rods = np.concatenate([rod(marks, name, 0) for name in ("KL", "KR", "LB", "RB")])

    assert max(arrows) > 40
    assert max(arrows) < 0.5 * np.ptp(rods, axis=0).max()
