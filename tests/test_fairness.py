"""Whether a question is a fair one: what is unsaid, not needed, or blind to a slip.

What must be said and which slips are usual: common practice of teachers and examiners, no single source.
"""

from __future__ import annotations

from math import atan2, pi, tan

import pytest

from simlab.frame.scene import parse_scene
from simlab.statics.fairness import fairness, numbers_unused
from simlab.statics.solution import solve

# Four rods W hinged into a rhombus, hung by a corner, a strut across them.
RHOMBUS = """
title = "Rhombus"
question = "{question}"
source = "test"
asked = ["thrust in s"]
[symbols]
W = {{ meaning = "weight", shown = "2 N" }}
a = {{ meaning = "length", shown = "1 m" }}
theta = {{ meaning = "angle", shown = "{theta}", low = "5 deg", high = "80 deg" }}
[points]
K = ["0", "0"]
L = {{ from = "K", length = "a", direction = "down", lean = "theta", to = "left" }}
R = {{ from = "K", length = "a", direction = "down", lean = "theta", to = "right" }}
B = {{ from = "L", length = "a", direction = "down", lean = "theta", to = "right" }}
P = {{ middle = ["L", "B"] }}
Q = {{ middle = ["R", "B"] }}
M = {{ from = "R", towards = "B", fraction = "1/4" }}
[rods]
KL = {{ ends = ["K", "L"], weight = "W" }}
KR = {{ ends = ["K", "R"], weight = "W" }}
LB = {{ ends = ["L", "B"], weight = "W" }}
RB = {{ ends = ["R", "B"], weight = "W" }}
[members]
s = {{ kind = "strut", between = {ends} }}
[supports]
hook = {{ kind = "hook", at = "K" }}
"""
FULL = "Uniform rods, smoothly hinged, hang in a vertical plane; a light strut s is placed across."
TRESTLE = """
title = "Trestle"
question = "Two uniform legs, smoothly hinged, on a smooth floor in a vertical plane; a light rope."
source = "test"
asked = ["tension in rope"]
[symbols]
W = { meaning = "weight", shown = "2 N" }
V = { meaning = "weight", shown = "VALUE" }
theta = { meaning = "angle", shown = "30 deg" }
[points]
C = ["0", "cos(theta)*2 m"]
A = { from = "C", length = "2 m", direction = "down", lean = "theta", to = "left" }
B = { from = "C", length = "2 m", direction = "down", lean = "theta", to = "right" }
U = { from = "A", towards = "C", fraction = "1/4" }
X = { from = "B", towards = "C", fraction = "1/4" }
[rods]
CA = { ends = ["C", "A"], weight = "W" }
CB = { ends = ["C", "B"], weight = "V" }
[members]
rope = { kind = "string", between = ["U", "X"] }
[supports]
floor = { kind = "smooth floor", at = ["A", "B"] }
"""


def rhombus(question: str = FULL, theta: str = "35 deg", ends: str = '["P", "Q"]'):
    text = RHOMBUS.format(question=question, theta=theta, ends=ends)
    return fairness(solve(parse_scene(text)), text)


@pytest.mark.parametrize(
    ("left_out", "word"),
    [
        ("Uniform", "uniform"),
        (", smoothly hinged,", "smooth"),
        ("light", "light"),
        ("in a vertical plane", "in a vertical plane"),
    ],
)
def test_what_the_text_leaves_out_is_named(left_out, word):
    """Each of the four usual assumptions is missed exactly when its word is missing."""
    assert rhombus().unstated == ()

    (unstated,) = rhombus(FULL.replace(left_out, "")).unstated

    assert unstated.word == word


def test_uniform_is_not_asked_for_where_centres_are_elsewhere():
    """A rod whose centre is not half-way is not uniform, and need not be said to be."""
    text = RHOMBUS.format(question="Rods.", theta="35 deg", ends='["P", "Q"]').replace(
        'weight = "W" }', 'weight = "W", centre = "CENTRE" }'
    )
    for rod, point in (("KL", "K"), ("KR", "K"), ("LB", "B"), ("RB", "B")):
        line = next(line for line in text.splitlines() if line.startswith(f"{rod} ="))
        text = text.replace(line, line.replace("CENTRE", point))

    words = [one.word for one in fairness(solve(parse_scene(text))).unstated]

    assert "uniform" not in words
    assert "light" in words


def test_a_level_strut_placed_on_sloping_rods_needs_friction_of_tan_theta():
    """Strut level, rods at theta to the vertical: mu >= tan(theta), as the angle to the rod's normal says.

    Common practice (the angle of friction); the same on both rods, so it is said once.
    """
    (placed,) = rhombus().placed

    assert str(placed.friction) == "tan(theta)"
    assert not placed.said
    assert rhombus(FULL + " It is held by notches.").placed[0].said


def test_an_oblique_strut_needs_another_friction_at_either_end():
    """The tangent of the angle between strut and normal at each end, against atan2 of the coordinates."""
    text = RHOMBUS.format(question=FULL, theta="35 deg", ends='["P", "M"]')
    frame = parse_scene(text)
    places = {n: [x.number(frame.shown) for x in frame.points[n]] for n in "KLRBPM"}

    def least(rod: str) -> float:
        (x, y), (ax, ay), (bx, by) = (
            [q - p for p, q in zip(places["P"], places["M"], strict=True)],
            places[rod[0]],
            places[rod[1]],
        )
        between = abs(atan2(y, x) - atan2(by - ay, bx - ax)) % pi
        return abs(tan(pi / 2 - between))

    found = {one.rod: one.friction.number(frame.shown) for one in fairness(solve(frame)).placed}

    assert found == pytest.approx({"LB": least("LB"), "RB": least("RB")}, rel=1e-12)


def test_data_that_no_answer_needs_are_named():
    """The rods' length drops out; a number used nowhere is noticed, one in another unit is not."""
    assert [("a", "drops out")] == [(one.what, one.why) for one in rhombus().unused]
    assert ("7", "is used nowhere") in [
        (one.what, one.why) for one in rhombus(FULL + " The rods are 7 mm thick.").unused
    ]
    assert numbers_unused("50 cm, 2 kN, 1.5 kg", 'a = "0.5 m", P = "2000 N", m = "1.50 kg"') == ()


@pytest.mark.parametrize(("theta", "is_blind"), [("45 deg", True), ("35 deg", False), ("60 deg", False)])
def test_a_swap_of_sine_and_cosine_goes_unseen_at_45_degrees_only(theta, is_blind):
    """The slip gives cot(theta)^2 times the right thrust: 1 at 45 degrees only."""
    found = [one for one in rhombus(theta=theta).blind if "sine" in one.slip]

    assert bool(found) == is_blind
    if is_blind:
        assert "45°" in found[0].what
        assert str(found[0].tangent) in ("3/4", "4/3")  # the 3-4-5 triangle is the nearest


def test_equal_weights_hide_that_reactions_are_not_equal():
    """With W = V the feet press alike and the letters can be mixed up; with V = 3 N neither is so."""
    equal, unequal = (
        fairness(solve(parse_scene(TRESTLE.replace("VALUE", value)))).blind for value in ("2 N", "3 N")
    )

    assert any("equal" in one.slip for one in equal)
    # The tension (W + V) tan(theta) / 3 is symmetric in W and V: mixing them up is no slip there.
    assert not any("each other" in one.slip for one in equal)
    assert unequal == ()


def test_fixed_angles_of_45_degrees_are_blind_too():
    """A rod drawn at 45 degrees for good is named with a better angle."""
    text = RHOMBUS.format(question=FULL, theta="35 deg", ends='["P", "Q"]').replace('"theta"', '"45 deg"')
    found = fairness(solve(parse_scene(text))).blind

    assert any("45°" in one.what and "KL" in one.what for one in found)
