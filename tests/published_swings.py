"""Published small oscillations (published/motion.json) by the equations of motion, to 1e-9.

A small period is that of three small swings, extrapolated to none.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from math import atan, cos, pi, sin, sqrt

import numpy as np
import pytest
from motions import besides, entry, near, where
from small_frames import frame, vec

from simlab.frame.model import GROUND, Contact, Frame, Link, Place, Support
from simlab.frame.quantity import FORCE_PER_LENGTH, LENGTH, NUMBER, Quantity
from simlab.motion.integrate import let_go


def small_period(tilted: Callable[[float], Frame], longest: float) -> float:
    """The period of a swing of no size: four times the time from rest to the middle."""
    sizes = np.array([0.004, 0.008, 0.012])
    quarters = []
    for size in sizes:
        trace = let_go(tilted(float(size)), duration=longest)
        quarters.append(where(-size, trace.poses[:, 0, 2], trace.time))
    return 4 * float(np.polyfit(sizes**2, quarters, 2)[-1])  # even in the size


def turned(points: dict[str, tuple[float, float]], about: tuple[float, float], by: float) -> dict:
    """Points turned anticlockwise."""
    (ax, ay), c, s = about, cos(by), sin(by)
    return {
        n: (ax + c * (x - ax) - s * (y - ay), ay + s * (x - ax) + c * (y - ay))
        for n, (x, y) in points.items()
    }


def test_compound_pendulum_rod():
    """2 pi sqrt(2L/(3g)). Source: see motion.json."""
    p, value = entry("compound-pendulum-rod")

    def tilted(by: float) -> Frame:
        points = turned({"A": (0.0, 0.0), "B": (0.0, -p["L"])}, (0.0, 0.0), by)
        return frame(points, {"AB": ("AB", p["m"] * p["g"])}, hooks="A", gravity=p["g"])

    assert small_period(tilted, 0.6) == near(value)


def test_compound_pendulum_rod_shortest_period():
    """Least at h = L/sqrt(12): T^2 h is a quadratic in h, laid through three periods. Source: ibid."""
    name = "compound-pendulum-rod-shortest-period"
    p, value = entry(name)

    def period(h: float) -> float:
        def tilted(by: float) -> Frame:
            points = {"A": (0.0, p["L"] / 2 - h), "S": (0.0, 0.0), "B": (0.0, -p["L"] / 2 - h)}
            rods = {"AB": ("ABS", p["m"] * p["g"])}
            return frame(turned(points, (0.0, 0.0), by), rods, hooks="S", gravity=p["g"])

        return small_period(tilted, 0.7)

    heights = np.array([0.25, 0.35, 0.45])
    c2, c1, c0 = np.polyfit(heights, [period(h) ** 2 * h for h in heights], 2)
    best = sqrt(c0 / c2)  # where d/dh (c2 h + c1 + c0/h) = 0
    assert best == pytest.approx(besides(name, "h"), rel=1e-8)
    assert sqrt(c2 * best + c1 + c0 / best) == near(value)


def test_l_frame_small_oscillation():
    """3 sqrt(10) g/(20 a). Two rods and a light brace. Source: see motion.json."""
    p, value = entry("L-frame-small-oscillation")
    a, lean = p["a"], atan(1 / 3)
    drawn = {"A": (0.0, 0.0), "B": (0.0, -2 * a), "C": (2 * a, -2 * a)}

    def tilted(by: float) -> Frame:
        rods = {rod: (rod, p["m"] * p["g"]) for rod in ("AB", "BC")}
        points = turned(drawn, (0.0, 0.0), by - lean)
        return frame(points, rods, {"brace": ("light rod", "AC")}, "A", gravity=p["g"])

    assert (2 * pi / small_period(tilted, 0.6)) ** 2 == near(value)


def test_t_shaped_pendulum():
    """2 pi sqrt(17L/(18g)). Two rods and a light brace. Source: see motion.json."""
    p, value = entry("t-shaped-pendulum")
    length = p["L"]
    drawn = {"S": (0.0, 0.0), "M": (0.0, -length), "E": (-length / 2, -length), "F": (length / 2, -length)}

    def tilted(by: float) -> Frame:
        rods = {"SM": ("SM", p["m"] * p["g"]), "EF": ("EFM", p["m"] * p["g"])}
        points = turned(drawn, (0.0, 0.0), by)
        return frame(points, rods, {"brace": ("light rod", "SE")}, "S", gravity=p["g"])

    assert small_period(tilted, 0.6) == near(value)


def test_light_rod_with_elastic_loop_period():
    """8 pi sqrt(ma/(4mg - lam)): a loop of string over two pegs. Source: see motion.json."""
    p, value = entry("light-rod-with-elastic-loop-period")
    a, natural = p["a"], 2 * p["a"]
    drawn = {"A": (0.0, 0.0), "B": (0.0, -4 * a), "X": (0.0, -a)}

    def tilted(by: float) -> Frame:
        points = {"P": (-a, 0.0), "Q": (a, 0.0), **turned(drawn, (0.0, 0.0), by)}
        loads = {"B": ("weight", (p["m"] * p["g"],))}
        of = frame(points, {"AB": ("ABX", 0.0)}, hooks="A", loads=loads, gravity=p["g"])
        loop = Link(
            "loop",
            "elastic string",
            (Place("AB", "X"), Place("AB", "X")),
            (Place(GROUND, "P"), Place(GROUND, "Q")),
            natural=Quantity.of(Fraction(natural), LENGTH),
            stiffness=Quantity.of(Fraction(p["lam"] / natural), FORCE_PER_LENGTH),
        )
        return replace(of, links={"loop": loop})

    assert small_period(tilted, 1.2) == near(value)


def test_plank_rocking_on_rough_cylinder():
    """2 pi a/sqrt(3 g r), rolling without slipping. Source: see motion.json."""
    p, value = entry("plank-rocking-on-rough-cylinder")
    a, r = p["a"], p["r"]

    def tilted(by: float) -> Frame:
        # Rolled through the angle `by`: it touches where the normal has turned by it, r by along the plank.
        n, t = np.array([-sin(by), cos(by)]), np.array([cos(by), sin(by)])
        touch = r * n
        middle = touch + r * by * t
        points = {
            "O": (0.0, 0.0),
            "X": tuple(touch),
            "A": tuple(middle - a * t),
            "B": tuple(middle + a * t),
        }
        of = frame(points, {"AB": ("ABX", p["m"] * p["g"])}, gravity=p["g"])
        contact = Contact("log at X", Place("AB", "X"), "log", vec(tuple(n), NUMBER), True)
        log = Support("log", "rough cylinder", ("X",), ("log at X",), centre="O")
        return replace(of, contacts={"log at X": contact}, supports={"log": log})

    assert small_period(tilted, 0.3) == near(value)
