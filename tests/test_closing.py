"""The closing card of a film answers all that the question asks."""

from __future__ import annotations

from math import acos, atan, degrees, radians, sin
from pathlib import Path

import pytest
from rich.progress import Progress

from simlab.commands.closing import closing_answers, in_figures
from simlab.commands.shapes import first
from simlab.commands.telling import tell
from simlab.film.chapters import Question
from simlab.film.storyboard import Storyboard
from simlab.frame.scene import parse_scene, read_scene
from simlab.pictures.marks import Label
from simlab.results import Forces, in_numbers
from simlab.simulation.settle import settle
from simlab.statics.shape import find

SCENES = Path(__file__).parent.parent / "scenes"


def test_a_letter_that_was_found_is_answered_beside_the_forces():
    """The awning: T/HB = W/2AH (triangle of forces) and T = 2W (HB - a)/a, so HB = 8a/7, cos θ = 41/49."""
    with Progress(disable=True) as progress:
        story, _, _ = tell(first(read_scene(SCENES / "awning_cord.toml")), progress)
    theta, tension = story.answers

    assert theta.asked == "$\\theta$"
    assert theta.exact.replace("$", "") == "\\cos\\theta = \\frac{41}{49}"
    assert theta.value == f"{degrees(acos(41 / 49)):.1f}°"
    assert tension.exact.strip("$") == "\\frac{2W}{7}"
    assert tension.value == tension.simulated == f"{2 * 30 / 7:.2f} N"
    question = next(part for part in Storyboard(story).parts if isinstance(part, Question))
    said = [mark.text for mark in question.marks if isinstance(mark, Label)]
    assert "$\\theta$" in said  # at its arc: a letter, as the question has it
    assert not any("33.2" in text or "\\frac{41}{49}" in text for text in said)


def test_every_letter_asked_for_has_a_row():
    """The tow chain: tan α = P/2W for the upper pole, tan β = 2P/W for the lower (each about its hinge)."""
    findings = first(read_scene(SCENES / "tow_chain.toml"))
    statics = findings.shapes[0]
    asked = [asked.words for asked in findings.frame.asked]
    rows = closing_answers(findings, in_numbers(statics.case.forces, statics.values))

    assert asked == ["alpha", "beta", "force at A on AB"]
    assert [row.value for row in rows[:2]] == [f"{degrees(atan(x)):.1f}°" for x in (40 / 100, 80 / 50)]
    assert [(row.value, row.simulated) for row in rows[2:]] == [("40.0 N", "40.0 N"), ("50.0 N", "50.0 N")]


def test_friction_stands_beside_the_simulated_friction():
    """The cask on the slip: moments about the rope's end T give F = W sin(alpha)/2, by hand."""
    findings = first(read_scene(SCENES / "slip_cask.toml"))
    *_, row = closing_answers(findings, settle(findings.frame).forces)

    assert row.asked == "friction at $C$, up the slope"
    assert row.value == row.simulated == f"{100 * sin(radians(20)):.1f} N"


def test_a_limit_has_its_row():
    """The lantern chest slides when the pull is μW, 0.4 of 300 N (common practice, no source)."""
    (row,) = closing_answers(first(read_scene(SCENES / "lantern_chest.toml")), Forces({}, {}))

    assert row.asked == "greatest $P$"
    assert row.exact.replace("$", "").replace(" ", "") == "\\muW"
    assert row.value.replace("\u00a0", " ") == "120 N"


POLE = """
title = "A pole"
question = "A pole leans on a smooth wall."
source = "our own"
asked = ["ASKED"]
[symbols]
W = { meaning = "weight", shown = "30 N" }
a = { meaning = "half the length", shown = "60 cm" }
[points]
A = ["0", "0"]
B = ["3*a", "4*a"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
hinge = { kind = "fixed hinge", at = "A" }
wall = { kind = "smooth wall", at = "B", faces = "left" }
"""


@pytest.mark.parametrize(
    ("asked", "words", "exact", "value"),
    [
        # Moments about A: N × 4a = W × 3a/2
        ("normal reaction at B", "normal reaction at $B$", "\\frac{3W}{8}", "11.3 N"),
        ("vertical force at A on AB", "vertical force at $A$ on $AB$, upwards", "W", "30.0 N"),
        ("distance A to B", "distance $A$ to $B$", "5a", "3.00 m"),
        (
            "angle of AB to the horizontal",
            "angle of $AB$ to the horizontal",
            None,
            f"{degrees(atan(4 / 3)):.1f}°",
        ),
    ],
)
def test_whatever_is_asked_has_a_row(asked, words, exact, value):
    """Components, pushes, distances and angles, each with its unit."""
    (row,) = closing_answers(find(parse_scene(POLE.replace("ASKED", asked))), Forces({}, {}))

    assert row.asked == words
    assert exact is None or row.exact.strip("$") == exact
    assert row.value == value


@pytest.mark.parametrize(
    ("scene", "takes"),
    [
        ("kite_lantern", "both take rods as rigid and hinges as smooth."),
        ("shed_ladder", "both take rods as rigid."),
        ("slip_cask", "both take bodies as rigid."),
        ("lantern_chest", "both take bodies as rigid."),
        ("sign_board", "both take bodies as rigid and hinges as smooth."),
    ],
)
def test_what_both_roads_take_for_granted_is_true_of_the_frame(scene, takes):
    """As its question has it: a ladder has no hinge, a cask is no rod, a sign board hangs on a hinge."""
    assert in_figures(read_scene(SCENES / f"{scene}.toml"), 1e-12).endswith(f"12 figures; {takes}")
