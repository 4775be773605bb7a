"""Equilibria at special places of a shape: straight under, folded, slack; several letters at once.

Expected values by hand or by scipy from the energy, beside each test.
"""

from __future__ import annotations

from math import acos, degrees, pi, sqrt

import flint
import numpy as np
import pytest
from scipy.optimize import fsolve

from simlab.exact.polynomial import factorised
from simlab.frame.scene import parse_scene
from simlab.results.statics import Findings
from simlab.statics.shape import find

HEAD = """
title = "T"
question = "Q"
source = "our own"
"""


def shapes(text: str, *letters: str) -> list[tuple[float, ...]]:
    """The values of the letters in each shape."""
    return [tuple(one.found[name].value for name in letters) for one in found(text).shapes]


def found(text: str) -> Findings:
    return find(parse_scene(HEAD + text))


BEAD = """
asked = ["x"]
[symbols]
x = { meaning = "place", between = ["-5 m", "5 m"] }
[points]
H = ["0 m", "3 m"]
R = ["x", "0 m"]
[members]
s = { kind = "spring", between = ["H", "R"], natural = "4 m", stiffness = "10 N/m" }
[supports]
wire = { kind = "smooth wire", at = "R", slope = "0" }
hook = { kind = "hook", at = "H" }
"""


def test_a_bead_balances_straight_under_its_spring_too() -> None:
    """V = 5 (sqrt(x^2 + 9) - 4)^2 is stationary at x = 0, a maximum, and where the spring is 4 m long."""
    states = found(BEAD).shapes

    assert [one.found["x"].value for one in states] == pytest.approx([-sqrt(7), 0, sqrt(7)])
    assert [one.case.freedom.rest for one in states] == ["stable", "unstable", "stable"]


PLUMB = """
asked = ["{asked}"]
[symbols]
theta = {{ meaning = "lean", between = ["-90 deg", "90 deg"] }}
[points]
H = ["0 m", "0 m"]
B = {{ from = "H", length = "2 m", direction = "down", lean = "theta", to = "right" }}
[members]
s = {{ kind = "light rod", between = ["H", "B"] }}
[supports]
hook = {{ kind = "hook", at = "H" }}
[loads]
lantern = {{ weight = "5 N", at = "B" }}
"""


def test_a_lantern_hangs_plumb() -> None:
    """And for no other angle of its rod (common practice, no source), asked either way."""
    (only,) = found(PLUMB.format(asked="theta")).shapes
    (stretch,) = found(PLUMB.format(asked="range of theta")).ranges["theta"]

    assert only.found["theta"].value == 0
    assert stretch.is_one_value
    assert stretch.low is not None
    assert stretch.low.value == 0


ROD = """
asked = ["x", "theta"]
[symbols]
x = { meaning = "place of the ring", between = ["-4 m", "4 m"] }
theta = { meaning = "slope", between = ["-180 deg", "180 deg"] }
[points]
A = ["x", "0*x"]
B = { from = "A", length = "9/4 m", angle = "theta" }
H = ["-2 m", "4 m"]
[rods]
AB = { ends = ["A", "B"], weight = "10 N" }
[members]
s = { kind = "spring", between = ["B", "H"], natural = "2 m", stiffness = "53 N/m" }
[supports]
wire = { kind = "smooth wire", at = "A", slope = "0" }
hook = { kind = "hook", at = "H" }
"""


def test_every_equilibrium_of_a_rod_on_a_ring_and_a_spring() -> None:
    """Zeros of the energy's gradient from many starts, by scipy's fsolve."""

    def gradient(place: np.ndarray) -> list[float]:
        x, t = place
        across, up = x + 2.25 * np.cos(t) + 2, 2.25 * np.sin(t) - 4
        length = np.hypot(across, up)
        pull = 53 * (length - 2) / length
        turning = pull * (up * 2.25 * np.cos(t) - across * 2.25 * np.sin(t))
        return [pull * across, 10 * 1.125 * np.cos(t) + turning]

    expected: list[tuple[float, ...]] = []
    for start in [(x, t) for x in np.linspace(-4, 4, 9) for t in np.linspace(-3, 3, 9)]:
        place, _, flag, _ = fsolve(gradient, start, full_output=True)
        x, t = place[0], (place[1] + pi) % (2 * pi) - pi
        is_new = all(abs(x - u) + abs(t - v) > 1e-4 for u, v in expected)
        if flag == 1 and abs(x) < 4 and np.abs(gradient(place)).max() < 1e-8 and is_new:
            expected.append((x, t))

    ours = shapes(ROD, "x", "theta")
    assert len(ours) == len(expected)
    for one, other in zip(sorted(ours), sorted(expected), strict=True):
        assert one == pytest.approx(other, abs=1e-6)


AWNING = """
asked = ["theta"]
[symbols]
theta = {{ meaning = "angle", between = ["{low} deg", "{high} deg"] }}
[points]
A = ["0 m", "0 m"]
H = ["0 m", "2 m"]
B = {{ from = "A", length = "2 m", direction = "up", lean = "theta", to = "right" }}
[rods]
AB = {{ ends = ["A", "B"], weight = "10 N" }}
[members]
cord = {{ kind = "elastic string", between = ["B", "H"], natural = "1 m", modulus = "20 N" }}
[supports]
stall = {{ kind = "fixed hinge", at = "A" }}
hook = {{ kind = "hook", at = "H" }}
"""


@pytest.mark.parametrize(("low", "high"), [(-60, 60), (-170, 60), (-40, 175)])
def test_the_range_that_is_searched_changes_no_shape(low: int, high: int) -> None:
    """cos theta = 41/49 on either side (see test_regimes), wherever the search begins."""
    angle = degrees(acos(41 / 49))
    leaning = [degrees(theta) for (theta,) in shapes(AWNING.format(low=low, high=high), "theta")]

    assert leaning == pytest.approx([-angle, angle])


BLOCK = """
asked = ["y"]
[symbols]
y = { meaning = "height", between = ["-5 m", "0 m"] }
[points]
H = ["0 m", "0 m"]
L = ["0 m", "y"]
[members]
cord = { kind = "elastic string", between = ["H", "L"], natural = "1 m", stiffness = "10 N/m" }
[supports]
hook = { kind = "hook", at = "H" }
[loads]
lantern = { weight = "20 N", at = "L" }
"""


def test_a_slack_cord_bears_nothing_and_hides_no_other_shape() -> None:
    """10 N/m (|y| - 1 m) = 20 N: 3 m below its hook (Hooke's law), though the cord may also be slack."""
    assert shapes(BLOCK, "y") == [(-3,)]


def test_a_range_in_which_a_letter_found_first_must_stay() -> None:
    """A plank hinged at one end and held at the other by a string of 20 N: P x = 60 N m, x <= 4 m."""
    text = """
asked = ["range of P"]
given = ["tension in t = 2*10 N"]
[symbols]
P = { meaning = "load", between = ["0 N", "100 N"] }
x = { meaning = "its place", between = ["0 m", "4 m"] }
[points]
A = ["0 m", "0 m"]
B = ["4 m", "0 m"]
C = { from = "A", towards = "B", length = "x" }
H = ["4 m", "2 m"]
[rods]
AB = { ends = ["A", "B"], weight = "10 N" }
[members]
t = { kind = "string", between = ["B", "H"] }
[supports]
hinge = { kind = "fixed hinge", at = "A" }
hook = { kind = "hook", at = "H" }
[loads]
lantern = { weight = "P", at = "C" }
"""
    (stretch,) = found(text).ranges["P"]

    assert stretch.low is not None
    assert stretch.high is None
    assert stretch.low.value == pytest.approx(15)


def test_factors_with_large_numbers_are_found() -> None:
    """python-flint 0.9 overflows on (x + 10^30)(x + 1) y; its factors multiply to it again."""
    x, y = flint.fmpz_mpoly_ctx.get(("x", "y"), "lex").gens()
    poly = -6 * (x + 10**30) * (x + 1) ** 2 * y
    number, factors = factorised(poly)

    assert number == -6
    assert {str(factor): power for factor, power in factors} == {str(x + 10**30): 1, "x + 1": 2, "y": 1}
