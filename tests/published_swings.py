"""Published small oscillations (published/motion.json) by the equations of motion, to 1e-9.

A small period is that of three small swings, extrapolated to none.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from math import pi, sqrt

import motion_frames as frames
import numpy as np
import pytest
from motions import besides, entry, near, where

from simlab.frame.model import Frame
from simlab.motion.integrate import let_go


def small_period(tilted: Callable[[float], Frame], longest: float) -> float:
    """The period of a swing of no size: four times the time from rest to the middle."""
    sizes = np.array([0.004, 0.008, 0.012])
    quarters = []
    for size in sizes:
        trace = let_go(tilted(float(size)), duration=longest)
        quarters.append(where(-size, trace.poses[:, 0, 2], trace.time))
    return 4 * float(np.polyfit(sizes**2, quarters, 2)[-1])  # even in the size


def test_compound_pendulum_rod():
    """2 pi sqrt(2L/(3g)). Source: see motion.json."""
    p, value = entry("compound-pendulum-rod")
    assert small_period(partial(frames.pendulum, p), 0.6) == near(value)


def test_compound_pendulum_rod_shortest_period():
    """Least at h = L/sqrt(12): T^2 h is a quadratic in h, laid through three periods. Source: ibid."""
    name = "compound-pendulum-rod-shortest-period"
    p, value = entry(name)
    heights = np.array([0.25, 0.35, 0.45])
    periods = [small_period(partial(frames.hung_above_its_middle, p, float(h)), 0.7) for h in heights]
    c2, c1, c0 = np.polyfit(heights, np.square(periods) * heights, 2)
    best = sqrt(c0 / c2)  # where d/dh (c2 h + c1 + c0/h) = 0
    assert best == pytest.approx(besides(name, "h"), rel=1e-8)
    assert sqrt(c2 * best + c1 + c0 / best) == near(value)


def test_l_frame_small_oscillation():
    """3 sqrt(10) g/(20 a). Two rods and a light brace. Source: see motion.json."""
    p, value = entry("L-frame-small-oscillation")
    assert (2 * pi / small_period(partial(frames.l_frame, p), 0.6)) ** 2 == near(value)


def test_t_shaped_pendulum():
    """2 pi sqrt(17L/(18g)). Two rods and a light brace. Source: see motion.json."""
    p, value = entry("t-shaped-pendulum")
    assert small_period(partial(frames.t_frame, p), 0.6) == near(value)


def test_light_rod_with_elastic_loop_period():
    """8 pi sqrt(ma/(4mg - lam)): a loop of string over two pegs. Source: see motion.json."""
    p, value = entry("light-rod-with-elastic-loop-period")
    assert small_period(partial(frames.in_an_elastic_loop, p), 1.2) == near(value)


def test_plank_rocking_on_rough_cylinder():
    """2 pi a/sqrt(3 g r), rolling without slipping. Source: see motion.json."""
    p, value = entry("plank-rocking-on-rough-cylinder")
    assert small_period(partial(frames.plank, p), 0.3) == near(value)
