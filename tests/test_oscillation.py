"""Small oscillations: periods by the exact second variation, and as the simulation swings.

Expected values by hand or from handbooks, beside each test.
"""

from __future__ import annotations

from math import pi, sqrt

import pytest

from simlab.frame.model import Frame
from simlab.frame.scene import parse_scene
from simlab.results.oscillation import Oscillation
from simlab.simulation.swing import period
from simlab.statics.oscillation import oscillation
from simlab.statics.solution import solve

CLOSE = 1e-6  # the square of the amplitude of 1e-3 over 16, and that of a step over the period
CLOSE_ON_SPRINGS = 1e-5  # their forces are those of the step's start

HEAD = """
title = "T"
question = "Q"
source = "our own"
gravity = "9.8 m/s^2"
[symbols]
W = { meaning = "weight", shown = "12 N" }
a = { meaning = "length", shown = "0.8 m" }
"""
HANGING = """
[points]
A = ["0", "0"]
B = ["0", "-a"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
hook = { kind = "hook", at = "A" }
"""
TWO = """
[points]
A = ["0", "0"]
B = ["0", "-a"]
C = ["0", "-2*a"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
BC = { ends = ["B", "C"], weight = "W" }
[supports]
hook = { kind = "hook", at = "A" }
"""
LOADED = HANGING + '[loads]\nlantern = { weight = "2*W", at = "B" }\n'


SPRING = """
[points]
A = ["0 m", "0 m"]
L = ["0 m", "-6/5 m"]
[members]
s = { kind = "spring", between = ["A", "L"], natural = "1 m", stiffness = "30 N/m" }
[supports]
hook = { kind = "hook", at = "A" }
[loads]
lantern = { weight = "6 N", at = "L" }
"""


def found(frame: Frame) -> Oscillation:
    """The oscillation of a frame that has one."""
    one = oscillation(solve(frame))
    assert one is not None
    return one


@pytest.mark.parametrize(("text", "length"), [(HANGING, "2*a/3"), (LOADED, "14*a/15")])
def test_a_rod_swings_like_a_pendulum_of_its_own_length(text: str, length: str) -> None:
    """Two thirds of the rod (any handbook); with twice its weight at its end (1/3 + 2)/(1/2 + 2) of it."""
    frame = parse_scene(HEAD + text)
    one = found(frame)
    (mode,) = one.modes(frame.shown)

    assert str(one.pendulum) == length
    factor = {"2*a/3": 2 / 3, "14*a/15": 14 / 15}[length]
    assert mode.period == pytest.approx(2 * pi * sqrt(factor * 0.8 / 9.8), rel=1e-12)


def test_two_rods_end_to_end_swing_in_two_ways() -> None:
    """omega^2 = 3 (1 -+ 2/sqrt(7)) g/a, from the equations of two equal rods (from memory)."""
    frame = parse_scene(HEAD + TWO)
    slow, quick = (mode.period for mode in found(frame).modes(frame.shown))

    for period_found, sign in ((slow, -1), (quick, 1)):
        omega = sqrt(3 * (1 + sign * 2 / sqrt(7)) * 9.8 / 0.8)
        assert period_found == pytest.approx(2 * pi / omega, rel=1e-12)


def test_a_lantern_on_a_spring_swings_and_bobs() -> None:
    """As a pendulum of its length 1.2 m, and as 6 N on 30 N/m: 2 pi sqrt(W/(g k)) (any handbook)."""
    frame = parse_scene(HEAD + SPRING)
    modes = found(frame).modes(frame.shown)

    assert [mode.period for mode in modes] == pytest.approx(
        [2 * pi * sqrt(1.2 / 9.8), 2 * pi * sqrt(6 / (9.8 * 30))], rel=1e-12
    )


@pytest.mark.parametrize("text", [HANGING, LOADED, TWO, SPRING])
def test_the_simulation_swings_with_the_exact_periods(text: str) -> None:
    """Each mode let go alone."""
    frame = parse_scene(HEAD + text)
    for mode in found(frame).modes(frame.shown):
        measured = period(frame, frame.shown, mode.velocity, mode.period)

        assert measured == pytest.approx(mode.period, rel=CLOSE_ON_SPRINGS if text == SPRING else CLOSE)


def test_what_does_not_come_back_does_not_swing() -> None:
    """A rod balanced on its end, and a rod that cannot move."""
    upright = HANGING.replace('"-a"', '"a"').replace('kind = "hook"', 'kind = "fixed hinge"')
    held = HANGING.replace('kind = "hook"', 'kind = "built-in"')

    assert oscillation(solve(parse_scene(HEAD + upright))) is None
    assert oscillation(solve(parse_scene(HEAD + held))) is None
