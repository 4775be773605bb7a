"""Push or pull? The motion that a brace prevents, its shapes by hand, and what the film says of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from seen import clashes

from simlab.commands.film_prevented import prevented_motion
from simlab.film.prevented import Prevented
from simlab.film.push_or_pull import ASKED, PushOrPull
from simlab.film.stage_set import StageSet
from simlab.film.story import Story
from simlab.frame.film_wishes import FilmWishes
from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.motion.displacement import displacement
from simlab.pictures.camera import Page
from simlab.pictures.marks import Arrow
from simlab.pictures.placement import place
from simlab.pictures.plan import Plan
from simlab.results.conventions import HOUSE
from simlab.simulation.release import hang
from simlab.statics.solution import solve
from simlab.statics.virtual_work import by_virtual_work

SCENES = Path(__file__).parent.parent / "scenes"
BRACED = [
    "kite_lantern",
    "stall_trestle",
    "five_cane_lantern",
    "ring_lantern",
    "banner_bracket",
    "quay_hoist",
    "slip_cask",
]


def scene(name: str) -> Frame:
    """A scene of ours."""
    return read_scene(SCENES / f"{name}.toml")


def rhombus(folder: Path) -> Frame:
    """Four rods of 10 N and 1 m, hung by a corner, tan t = 3/4 to the vertical, with a strut across."""
    path = folder / "rhombus.toml"
    path.write_text(
        """
title = "Rhombus"
question = "A rhombus."
source = "a standard result"
asked = ["thrust in strut"]
brace = "strut"
[points]
K = ["0", "0"]
L = ["-60 cm", "-80 cm"]
R = ["60 cm", "-80 cm"]
B = ["0", "-160 cm"]
[rods]
KL = { ends = ["K", "L"], weight = "10 N" }
KR = { ends = ["K", "R"], weight = "10 N" }
LB = { ends = ["L", "B"], weight = "10 N" }
RB = { ends = ["R", "B"], weight = "10 N" }
[members]
strut = { kind = "light rod", between = ["L", "R"] }
[supports]
hook = { kind = "hook", at = "K" }
"""
    )
    return read_scene(path)


def told(frame: Frame) -> Prevented:
    """The motion that the brace prevents, as a film tells it."""
    found = prevented_motion(solve(frame), HOUSE.of(frame))
    assert found is not None
    return found


def test_a_rhombus_folds_as_its_geometry_says(tmp_path):
    """Rods at t to the vertical: strut 2 sin t, centres (cos t)/2 and 3 (cos t)/2 below the hook."""
    moved = told(rhombus(tmp_path)).displacement
    cosine = np.sqrt(1 - (moved.lengths / 2) ** 2)
    heights = moved.poses[:, :, 1]

    assert moved.lengths[0] == pytest.approx(1.2)
    assert moved.lengths[-1] < 1.0
    assert np.all(np.diff(moved.lengths) < 0)
    for column, depth in enumerate((cosine / 2, cosine / 2, 3 * cosine / 2, 3 * cosine / 2)):
        assert heights[:, column] == pytest.approx(-depth, abs=1e-9)


def test_the_strut_of_a_rhombus_pushes_with_the_textbooks_force(tmp_path):
    """2 W tan t = 15 N for W = 10 N, tan t = 3/4 (a standard result; tests/published has its likes)."""
    found = told(rhombus(tmp_path))

    assert (found.pushes, found.same) == (True, True)
    assert "15\u00a0N" in " ".join(str(piece) for part in found.answer.parts for piece in part)


@pytest.mark.parametrize("name", BRACED)
def test_rods_keep_their_lengths_and_stay_on_their_hinges(name):
    """At the last shape every joint is where each of its bodies has it: to a millionth of the frame."""
    frame = scene(name)
    moved = told(frame).displacement
    plan, end = Plan.of(frame), moved.instant(frame, 1.0)
    left, bottom, right, top = plan.bounds
    size = max(right - left, top - bottom)
    for joint in frame.joints.values():
        drawn = plan.points[joint.point]
        places = [drawn] if "ground" in joint.bodies else []
        for body in joint.bodies:
            if body == "ground":
                continue
            x, y, turn = end.poses[plan.order[body]]
            dx, dy = drawn - plan.centres[body]
            cosine, sine = np.cos(turn), np.sin(turn)
            places.append(np.array([x + cosine * dx - sine * dy, y + sine * dx + cosine * dy]))
        for place_ in places[1:]:
            assert place_ == pytest.approx(places[0], abs=1e-6 * size)


@pytest.mark.parametrize("name", BRACED)
def test_the_first_step_has_the_ratios_of_the_equation(name):
    """Falls by the brace's length, differentiated in numbers at three shapes: the factors of x."""
    frame = scene(name)
    work = by_virtual_work(frame, frame.shown, frame.brace or "")
    moved = displacement(frame, frame.shown, work)
    plan = Plan.of(frame)
    near, far = moved.lengths[1:3] - moved.lengths[0]
    bodies = [term for term in work.terms if term.load in frame.bodies]
    assert bodies
    for term in bodies:
        row = plan.order[term.load]
        one, two = moved.poses[0, row, 1] - moved.poses[1:3, row, 1]
        slope = (one / near * far - two / far * near) / (far - near)  # of the parabola through the three
        assert slope == pytest.approx(term.by.number(frame.shown), rel=1e-3)


def test_a_frame_without_a_brace_has_no_such_motion():
    """The gangway has no brace to be taken away."""
    assert prevented_motion(solve(scene("gangway")), HOUSE) is None


# the chapter


def story(name: str) -> Story:
    """A story of a scene as far as the chapter needs it."""
    frame = scene(name)
    statics = solve(frame)
    return Story(
        frame,
        frame.shown,
        hang(frame, ramp=0.1, rest=0.1),
        None,
        statics.verdict,
        statics.case.freedom.rest,
        statics.advice,
        statics.case.forces,
        (),
        "",
        prevented=told(frame),
    )


@pytest.fixture(scope="module")
def stories() -> dict[str, Story]:
    """Three stories."""
    return {name: story(name) for name in ("kite_lantern", "stall_trestle", "five_cane_lantern")}


def chapter(one: Story, size: tuple[int, int] = (16, 9), wishes: FilmWishes | None = None) -> PushOrPull:
    """The chapter on a page of that shape."""
    return PushOrPull(StageSet(one, Page.screen(*size), 30, wishes or FilmWishes()))


def test_a_strut_is_said_to_push_and_a_rope_to_pull(stories):
    """The kite's spreader pushes its ends apart; the trestle's rope pulls its ends together."""
    kite, trestle = (
        " ".join(words for _, words in chapter(stories[name]).track)
        for name in ("kite_lantern", "stall_trestle")
    )
    assert "push or pull?" in kite
    assert "has to push them apart" in kite
    assert "(thrust) × (shortening) = sum of (weight) × (fall)" in kite
    assert "can only pull" in trestle
    assert "has to pull them together" in trestle
    assert "(tension) × (lengthening) = sum of (weight) × (fall)" in trestle


def test_without_answers_it_ends_with_the_question(stories):
    """Nothing moves, nothing is written, nobody is told."""
    asked = chapter(stories["kite_lantern"], wishes=FilmWishes(answers=False))

    assert asked.seconds == ASKED
    assert [words for _, words in asked.track] == ["Does the spreader push or pull?"]
    marks, _ = asked.draw(ASKED)
    assert not [mark for mark in marks if mark.role == "way"]


def test_arrows_of_falls_are_as_long_as_the_falls(stories):
    """Each length arrow of the kite is the drop of its rod's centre between the two shapes drawn."""
    part = chapter(stories["kite_lantern"])
    marks, _ = part.draw(part.grown + 2)
    arrows = {mark.name: mark for mark in marks if isinstance(mark, Arrow) and mark.role == "way"}
    poses = part.told.displacement.poses

    for row, rod in enumerate(("KL", "KR", "LB", "RB")):
        arrow = arrows[f"fall of {rod}"]
        assert arrow.measure == "length"
        assert arrow.vector == pytest.approx((0.0, poses[-1, row, 1] - poses[0, row, 1]))


@pytest.mark.parametrize("size", [(16, 9), (9, 16)])
@pytest.mark.parametrize("name", ["kite_lantern", "stall_trestle", "five_cane_lantern"])
def test_no_words_stand_on_others(stories, name, size):
    """At the question, the motion, each term and the end: no label on another or off the page."""
    part = chapter(stories[name], size)
    for time in (ASKED - 1, part.grown + 2, *(begin + 2 for begin, _, _ in part.lit), part.seconds):
        marks, camera = part.draw(time)
        placement = place(marks, camera, page=part.stage.page, within=part.room)
        found = clashes(marks, camera, placement, part.stage.page)
        assert not [text for text in found if " ghost" not in text and " at 0" not in text]
