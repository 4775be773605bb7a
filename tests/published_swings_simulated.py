"""Published small oscillations (published/motion.json) as the simulation swings, within stated bounds.

The frames: motion_frames.py. The source of a value stands beside the test of the same name in
published_swings.py. What the simulation does not show yet is marked so, and fails as soon as it is shown.
"""

from __future__ import annotations

from math import pi, sqrt

import motion_frames as frames
import numpy as np
import pytest
from motions import besides, entry

from simlab.frame.model import Frame
from simlab.simulation.swing import period

# Relative bounds of a period: the square of the amplitude of 1e-3 over 16, and that of a step over the
# period.
SWING = 1e-6
# A light rod has a thousandth of the load's mass in the engine, its inertia a third of that, and a period
# takes half of it: 1.7e-4.
ON_LIGHT_ROD = 2e-4
# The plank's period is a third of the others', and the square of a step over it nine times theirs.
ROLLING = 1e-5
# The place of the least period: ten times a period's error, since a flat curve is asked for its bottom.
LEAST = 1e-5


def swing(of: Frame, expected: float) -> float | None:
    """The period of a frame that swings as a whole about the origin."""
    centres = {name: [part.number() for part in body.centre] for name, body in of.bodies.items()}
    return period(of, of.shown, {name: (-y, x, 1.0) for name, (x, y) in centres.items()}, expected)


def test_compound_pendulum_rod():
    """2 pi sqrt(2L/(3g))."""
    p, value = entry("compound-pendulum-rod")
    assert swing(frames.pendulum(p), value) == pytest.approx(value, rel=SWING)


def test_compound_pendulum_rod_shortest_period():
    """Least at h = L/sqrt(12): T^2 h is a quadratic in h, laid through three periods."""
    name = "compound-pendulum-rod-shortest-period"
    p, value = entry(name)
    heights = np.array([0.25, 0.35, 0.45])
    periods = [swing(frames.hung_above_its_middle(p, float(h)), value) for h in heights]
    c2, c1, c0 = np.polyfit(heights, np.square(periods) * heights, 2)
    best = sqrt(c0 / c2)  # where d/dh (c2 h + c1 + c0/h) = 0
    assert best == pytest.approx(besides(name, "h"), rel=LEAST)
    assert sqrt(c2 * best + c1 + c0 / best) == pytest.approx(value, rel=SWING)


def test_l_frame_small_oscillation():
    """3 sqrt(10) g/(20 a), the square of 2 pi over the period."""
    p, value = entry("L-frame-small-oscillation")
    found = swing(frames.l_frame(p), 2 * pi / sqrt(value))
    assert found == pytest.approx(2 * pi / sqrt(value), rel=SWING)


def test_t_shaped_pendulum():
    """2 pi sqrt(17L/(18g))."""
    p, value = entry("t-shaped-pendulum")
    assert swing(frames.t_frame(p), value) == pytest.approx(value, rel=SWING)


def test_light_rod_with_elastic_loop_period():
    """8 pi sqrt(ma/(4mg - lam)): a loop of string over two pegs."""
    p, value = entry("light-rod-with-elastic-loop-period")
    assert swing(frames.in_an_elastic_loop(p), value) == pytest.approx(value, rel=ON_LIGHT_ROD)


def test_plank_rocking_on_rough_cylinder():
    """2 pi a/sqrt(3 g r), rolling without slipping: at rest its middle does not move as it rolls."""
    p, value = entry("plank-rocking-on-rough-cylinder")
    of = frames.plank(p)
    assert period(of, of.shown, {"AB": (0.0, 0.0, 1.0)}, value) == pytest.approx(value, rel=ROLLING)
