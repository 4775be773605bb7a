"""Shapes and ranges on both sides of where a root changes its sign or an elastic string goes slack."""

from __future__ import annotations

from itertools import pairwise
from math import acos, atan, cos, degrees, pi, radians, sin, tan

import numpy as np
import pytest
from scipy.optimize import brentq

from simlab.frame.scene import parse_scene
from simlab.results.extremes import Validity
from simlab.statics.shape import find
from simlab.statics.solution import solve
from simlab.statics.validity import validity

HEAD = """
title = "T"
question = "Q"
source = "our own"
"""
AWNING = """
asked = ["theta", "tension in cord"]
[symbols]
W = { meaning = "weight", shown = "30 N" }
a = { meaning = "half the length", shown = "60 cm" }
theta = { meaning = "angle", between = ["-170 deg", "170 deg"] }
[points]
A = ["0", "0"]
H = ["0", "2*a"]
B = { from = "A", length = "2*a", direction = "up", lean = "theta", to = "right" }
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[members]
cord = { kind = "elastic string", between = ["B", "H"], natural = "a", modulus = "2*W" }
[supports]
stall = { kind = "fixed hinge", at = "A" }
hook = { kind = "hook", at = "H" }
"""


def test_a_pole_leans_to_either_side() -> None:
    """With s = sin(theta/2): cord 4as, T = 2W(4s - 1); moments about A: 2T cos = 2Ws cos, so s = 2/7."""
    shapes = find(parse_scene(HEAD + AWNING)).shapes
    angle = degrees(2 * acos(45**0.5 / 7))

    assert [degrees(shape.found["theta"].value) for shape in shapes] == pytest.approx([-angle, angle])
    assert [str(shape.answers["tension in cord"]) for shape in shapes] == ["2*W/7", "2*W/7"]


WIRES = """
asked = ["theta"]
[symbols]
theta = { meaning = "angle", between = ["0 deg", "360 deg"] }
[points]
A = ["0", "0"]
B = { from = "A", length = "2 m", angle = "theta" }
O = { level_with = "A", plumb_with = "B" }
[rods]
AB = { ends = ["A", "B"], weight = "50 N" }
[members]
s = { kind = "spring", between = ["A", "O"], natural = "1 m", stiffness = "100 N/m" }
[supports]
p = { kind = "smooth wire", at = "A", slope = "0" }
q = { kind = "smooth wire", at = "B", direction = "up" }
o = { kind = "hook", at = "O" }
"""


def test_a_spring_is_as_long_whichever_side_it_lies() -> None:
    """V = 50 sin t + 50 (|2 cos t| - 1)^2: every zero of its slope on a fine net, by scipy's brentq."""

    def slope(t: float) -> float:
        side = 1 if cos(t) > 0 else -1
        return 50 * cos(t) - 200 * (2 * abs(cos(t)) - 1) * side * sin(t)

    net = np.linspace(0.001, 2 * pi, 2000)
    zeros = [
        brentq(slope, t, u) for t, u in pairwise(net) if slope(t) * slope(u) < 0 and cos(t) * cos(u) > 0
    ]
    shapes = find(parse_scene(HEAD + WIRES)).shapes

    # Upright the spring has no length, and no direction: there it is not looked at.
    assert [shape.found["theta"].value for shape in shapes] == pytest.approx(zeros)


HANGING = """
asked = ["theta", "tension in s"]
[symbols]
theta = { meaning = "angle", between = ["-180 deg", "180 deg"] }
[points]
A = ["0", "0"]
B = { from = "A", length = "3 m", angle = "theta" }
H = ["2 m", "0"]
[rods]
AB = { ends = ["A", "B"], weight = "30 N" }
[members]
s = { kind = "elastic string", between = ["B", "H"], natural = "4 m", stiffness = "40 N/m" }
[supports]
h = { kind = "fixed hinge", at = "A" }
k = { kind = "hook", at = "H" }
"""


def test_a_rod_hangs_straight_down_while_its_elastic_string_is_slack() -> None:
    """From B(0, -3) to H(2, 0) it is sqrt(13) < 4 m: it hangs as if there were no string, and stably."""
    shapes = find(parse_scene(HEAD + HANGING)).shapes
    hanging = [shape for shape in shapes if shape.found["theta"].value == pytest.approx(-pi / 2)]

    assert len(hanging) == 1
    assert hanging[0].case.freedom.rest == "stable"
    assert hanging[0].answers["tension in s"].is_zero
    assert "hangs slack" in hanging[0].advice
    # Upright it is sqrt(13) too, so the string is slack there as well: in balance, but only just.
    upright = [shape for shape in shapes if shape.found["theta"].value == pytest.approx(pi / 2)]
    assert [shape.case.freedom.rest for shape in upright] == ["unstable"]


BOARD = """
asked = ["range of x"]
[symbols]
x = { meaning = "distance", between = ["1/2 m", "5 m"] }
[points]
A = ["0 m", "0 m"]
B = ["2 m", "0 m"]
H = ["2 m + x", "0 m"]
[rods]
AB = { ends = ["A", "B"], weight = "100 N" }
[members]
cord = { kind = "elastic string", between = ["B", "H"], natural = "1 m", stiffness = "40 N/m" }
[supports]
quay = { kind = "rough floor", at = ["A", "B"], friction = "1/2" }
post = { kind = "hook", at = "H" }
"""


def test_a_range_goes_on_where_an_elastic_string_is_slack() -> None:
    """40 (x - 1) <= 50, half the weight, or no pull at all below 1 m (Hooke's law, limiting friction)."""
    (found,) = find(parse_scene(HEAD + BOARD)).ranges["x"]

    assert found.low is None
    assert found.high is not None
    assert found.high.value == pytest.approx(2.25)


LADDER = """
asked = ["coefficient of friction at A"]
[symbols]
W = { meaning = "W", shown = "24 N" }
a = { meaning = "a", shown = "3/2 m" }
theta = { meaning = "theta", shown = "58 deg" }
mu = { meaning = "mu", shown = "3/8" }
beta = { meaning = "beta", shown = "18 deg" }
P = { meaning = "P", shown = "61 N" }
[points]
A = ["0", "0"]
B = { from = "A", length = "2*a", angle = "theta" }
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
f = { kind = "rough floor", at = "A", slope = "beta", friction = "mu" }
w = { kind = "smooth wall", at = "B", faces = "left" }
[loads]
lantern = { weight = "P", at = "B" }
"""


def holds(one: Validity, at: dict[str, float]) -> bool:
    """Whether left < or > right at values of the letters."""
    assert one.left is not None
    assert one.right is not None
    left, right = (
        float(q.expr.subs({s: at[str(s)] for s in q.expr.free_symbols})) for q in (one.left, one.right)
    )
    return left < right if one.relation == "<" else left > right


@pytest.mark.parametrize("mu", [0.2, 0.375, 0.9])
@pytest.mark.parametrize("theta", [20, 58, 80])
def test_what_may_have_either_sign_is_said_before_it_is_divided_by(theta: int, mu: float) -> None:
    """On a slope the reaction leans lambda to the vertical; lambda + beta is within the friction angle.

    Moments about the foot: tan(lambda) = (2P + W)/(2 (P + W) tan(theta)).
    """
    state = solve(parse_scene(HEAD + LADDER))
    (enough,) = (one for one in validity(state) if one.where is not None)
    at = {"theta": radians(theta), "mu": mu, "beta": radians(18), "W": 24, "P": 61}
    lean = atan((2 * 61 + 24) / (2 * (61 + 24) * tan(at["theta"])))

    assert enough.where is not None
    assert enough.words == "friction at A is enough"
    if holds(enough.where, at):
        assert holds(enough, at) == (tan(lean + at["beta"]) < mu)
    else:
        assert lean + at["beta"] > atan(mu)  # a slope steeper than the friction angle is never enough
