"""How far a letter may go while the shape changes with it.

Expected values by hand, each worked out beside its test.
"""

from __future__ import annotations

from math import radians, sin, sqrt

import pytest

from simlab.frame.scene import parse_scene
from simlab.results.statics import Range
from simlab.statics.shape import find

HEAD = """
title = "T"
question = "Q"
source = "our own"
"""
RING = """
asked = ["range of P"]
[symbols]
P = { meaning = "weight hung on the ring", between = ["0 N", "any"] }
y = { meaning = "height of the ring", between = ["0 m", "1 m"] }
[points]
H = ["1 m", "0 m"]
R = ["0 m", "y"]
[members]
s = { kind = "spring", between = ["H", "R"], natural = "5/4 m", stiffness = "100 N/m" }
[supports]
post = { kind = "smooth wire", at = "R", direction = "up" }
hook = { kind = "hook", at = "H" }
[loads]
lantern = { weight = "P", at = "R" }
"""


def only(text: str, letter: str) -> Range:
    """The one range of a letter."""
    (found,) = find(parse_scene(HEAD + text)).ranges[letter]
    return found


def test_a_spring_snaps_through_at_its_greatest_load() -> None:
    """A ring on a post, y above a hook 1 m away: P = k (n - l) y/l is greatest where l^3 = n.

    With l^2 = 1 + y^2 the derivative of (n - l) y/l vanishes for l^3 = n * 1 m^2 (school calculus).
    """
    found = only(RING, "P")
    length = 1.25 ** (1 / 3)

    assert found.low is None
    assert found.high is not None
    assert found.high.value == pytest.approx(100 * (1.25 - length) * sqrt(length**2 - 1) / length)
    assert found.limiting[1] == ("giving way",)


POLE = """
asked = ["greatest P"]
[symbols]
W = { meaning = "weight", shown = "50 N" }
a = { meaning = "half the length", shown = "1 m" }
P = { meaning = "weight hung up", between = ["0 N", "any"] }
theta = { meaning = "angle to the upward vertical", between = ["10 deg", "150 deg"] }
[points]
A = ["0", "0"]
H = ["0", "2*a"]
D = ["0", "a"]
B = { from = "A", length = "2*a", direction = "up", lean = "theta", to = "right" }
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[members]
line = { kind = "string", between = ["B", "D"], over = ["H"] }
[supports]
foot = { kind = "fixed hinge", at = "A" }
[loads]
lantern = { weight = "P", at = "D" }
"""


def test_a_shape_at_the_end_of_its_range_limits_a_load() -> None:
    """A pole held by a line over a wheel straight above its foot: P = W sin(theta/2) (moments about A)."""
    found = only(POLE, "P")

    assert found.high is not None
    assert found.high.value == pytest.approx(50 * sin(radians(75)))
    assert found.limiting[1] == ("θ at its limit",)
