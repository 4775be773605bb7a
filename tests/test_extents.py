"""Ranges that are a single value, that no friction reaches, or that have holes; forces left open.

Expected values by hand, each worked out beside its test.
"""

from __future__ import annotations

from math import radians, tan

import pytest

from simlab.frame.scene import parse_scene
from simlab.results.statics import Range
from simlab.statics.shape import find
from simlab.statics.solution import solve

HEAD = """
title = "T"
question = "Q"
source = "our own"
"""


def only(text: str, letter: str) -> Range:
    """The one range of a letter."""
    (found,) = find(parse_scene(HEAD + text)).ranges[letter]
    return found


GANGWAY = """
asked = ["range of P"]
[symbols]
W = { meaning = "weight", shown = "100 N" }
a = { meaning = "half the length", shown = "1 m" }
theta = { meaning = "slope", shown = "60 deg" }
P = { meaning = "push", between = ["0 N", "any"] }
[points]
A = ["0", "0"]
B = { from = "A", length = "2*a", angle = "theta" }
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
quay = { kind = "smooth floor", at = "A" }
shed = { kind = "smooth wall", at = "B", faces = "left" }
[loads]
push = { force = "P", direction = "right", at = "A" }
"""


def test_loads_that_only_one_push_carries_leave_no_range() -> None:
    """A smooth ladder held at its foot: moments about the foot, S*2a*sin = W*a*cos, and P = S."""
    found = only(GANGWAY, "P")

    assert found.is_one_value
    assert found.low is not None
    assert str(found.low.exact) in ("W*cot(theta)/2", "W/(2*tan(theta))")


PROP = """
asked = ["range of mu"]
[symbols]
mu = {{ meaning = "coefficient", between = ["0", "any"] }}
[points]
A = ["0 m", "0 m"]
B = {{ from = "A", length = "2 m", direction = "up", lean = "{lean} deg", to = "right" }}
[rods]
AB = {{ ends = ["A", "B"], weight = "100 N" }}
[supports]
foot = {{ kind = "fixed hinge", at = "A" }}
ceiling = {{ kind = "rough floor", slope = "180 deg", at = "B", friction = "mu" }}
"""
JAMMED = """
asked = ["range of mu"]
[symbols]
mu = {{ meaning = "coefficient", between = ["0", "any"] }}
[points]
A = ["0 m", "0 m"]
B = {{ from = "A", length = "2 m", angle = "{lean} deg" }}
[rods]
AB = {{ ends = ["A", "B"], weight = "100 N" }}
[supports]
left = {{ kind = "rough wall", at = "A", faces = "right", friction = "mu" }}
right = {{ kind = "rough wall", at = "B", faces = "left", friction = "mu" }}
"""


@pytest.mark.parametrize("lean", [20, 35, 60])
@pytest.mark.parametrize("text", [PROP, JAMMED])
def test_a_jammed_rod_needs_more_than_the_tangent(text: str, lean: int) -> None:
    """N*(mu - tan lean) >= some share of W: the tangent itself would need a thrust without end.

    The prop, of length l: moments about its foot, F*l*cos = N*l*sin + W*(l/2)*sin with F <= mu*N. Between
    walls: moments about the upper end, F*l*cos = N*l*sin + W*(l/2)*cos at the lower one.
    """
    found = only(text.format(lean=lean), "mu")

    assert found.low is not None
    assert found.high is None
    assert found.low.value == pytest.approx(tan(radians(lean)))
    assert found.reached == (False, True)


STRUT = """
asked = ["range of M"]
[symbols]
M = { meaning = "couple", between = ["0 N m", "any"] }
[points]
A = ["0 m", "0 m"]
B = ["2 m", "1/2 m"]
C = ["5/2 m", "1/2 m"]
[rods]
BC = { ends = ["B", "C"], light = true }
[members]
prop = { kind = "strut", between = ["C", "A"] }
[supports]
hinge = { kind = "fixed hinge", at = "B" }
foot = { kind = "hook", at = "A" }
[loads]
turn = { couple = "M", turning = "anticlockwise", on = "BC" }
"""


def test_a_range_may_be_no_more_than_its_own_end() -> None:
    """The strut turns BC anticlockwise about B as the couple does: M + T/4 = 0 with M, T >= 0 is M = 0."""
    found = only(STRUT, "M")

    assert found.is_one_value
    assert found.low is not None
    assert found.low.value == 0


PLANK = """
asked = ["normal reaction at A", "normal reaction at C", "normal reaction at B"]
[symbols]
W = { meaning = "weight", shown = "100 N" }
a = { meaning = "half the length", shown = "1 m" }
[points]
A = ["0", "0"]
B = ["2*a", "0"]
C = ["a", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "W", through = ["C"] }
[supports]
trestles = { kind = "smooth floor", at = ["A", "B", "C"] }
"""


def test_three_trestles_may_each_bear_from_nothing_to_their_most() -> None:
    """A plank on trestles at its ends and middle: N_A = N_B = (W - N_C)/2, all >= 0."""
    state = solve(parse_scene(HEAD + PLANK))

    assert state.verdict == "not determined"
    assert "normal reaction at A lies between 0 and W/2" in state.advice
    assert "normal reaction at C lies between 0 and W;" in state.advice


def test_a_force_that_nothing_bounds_may_be_anything() -> None:
    """A rod hinged at both ends may be under any thrust or tension (a bar between two hinges)."""
    text = PLANK.replace('"normal reaction at A", ', '"horizontal force at A on AB", ')
    text = text.replace("trestles = {", 'left = { kind = "fixed hinge", at = "A" }\ntrestles = {')
    text = text.replace('at = ["A", "B", "C"] }', 'at = "C" }\nright = { kind = "fixed hinge", at = "B" }')
    state = solve(parse_scene(HEAD + text.replace(', "normal reaction at B"', "")))

    assert "horizontal force at A on AB may be anything" in state.advice
    assert "normal reaction at C is at least 0" in state.advice


STRINGS = """
asked = ["tension in left"]
[points]
A = ["0 m", "0 m"]
C = ["1/2 m", "0 m"]
B = ["1 m", "0 m"]
D = ["5/2 m", "0 m"]
H = ["0 m", "1 m"]
K = ["1/2 m", "1 m"]
[rods]
AD = { ends = ["A", "D"], weight = "100 N", through = ["C", "B"] }
[members]
left = { kind = "string", between = ["A", "H"] }
right = { kind = "string", between = ["C", "K"] }
[supports]
hooks = { kind = "hook", at = ["H", "K"] }
trestle = { kind = "smooth floor", at = "B" }
"""


def test_open_forces_that_cannot_all_be_one_sided_are_no_rest() -> None:
    """Strings and a trestle, all to the left of the centre: none can turn the plank back."""
    assert solve(parse_scene(HEAD + STRINGS)).verdict == "falls out"


def test_a_hole_in_a_range_is_left_out() -> None:
    """Two strings over hooks to the left and right of a lantern's ring: no tension holds it level at 0.

    A ring of 10 N on a string from A(-1, 0) to C(0, -h) to B(1, 0), h from -1 to 1 m: each tension is
    5 N * sqrt(1 + h^2)/h, so that the ring hangs for h > 0 and for no other h.
    """
    text = """
asked = ["range of h"]
[symbols]
h = { meaning = "sag", between = ["-1 m", "1 m"] }
[points]
A = ["-1 m", "0 m"]
B = ["1 m", "0 m"]
C = ["0 m", "-h"]
[members]
left = { kind = "string", between = ["A", "C"] }
right = { kind = "string", between = ["B", "C"] }
[supports]
hooks = { kind = "hook", at = ["A", "B"] }
[loads]
lantern = { weight = "10 N", at = "C" }
"""
    found = only(text, "h")

    assert found.low is not None
    assert found.low.value == 0
    assert found.high is None
    assert found.reached == (False, True)
