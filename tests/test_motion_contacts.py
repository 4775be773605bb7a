"""Contacts that move: pegs, cylinders, bowls, rods on rods, rough floors; Lagrange and handbook results."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest
import sympy as sp
from lagrange import Case
from published_swings import small_period
from showings import cask, rolling_in
from small_frames import frame, vec
from sympy.physics.mechanics import dynamicsymbols

from simlab.frame.model import Contact, Frame, Place, Support
from simlab.frame.quantity import NUMBER, Quantity
from simlab.motion.integrate import let_go
from simlab.results import Key

PATHS = 1e-9


def with_contact(of: Frame, on: str, by: str, normal: tuple[float, float], **more: object) -> Frame:
    """The frame with a two-sided contact, so that it never lets go: `on` is body and point."""
    body, point = on.split(".")
    name = f"{by} at {point}"
    contact = Contact(name, Place(body, point), by, vec(normal, NUMBER), two_sided=True, **more)
    return replace(of, contacts={**of.contacts, name: contact})


def support(of: Frame, name: str, kind: str, point: str, centre: str | None = None) -> Frame:
    """The frame with the support that such a contact is by."""
    one = Support(name, kind, (point,), (f"{name} at {point}",), centre=centre)
    return replace(of, supports={**of.supports, name: one})


def on_round(radius: float) -> Case:
    """A rod sliding on a smooth peg, or on a smooth cylinder, of a radius; C is its centre."""
    u, s = dynamicsymbols("u s")
    start, along = 0.3, 0.2
    n, t = np.array([-sin(start), cos(start)]), np.array([cos(start), sin(start)])
    touch, middle = radius * n, radius * n + along * t
    points = {
        "C": (0.0, 0.0),
        "X": tuple(touch),
        "A": tuple(middle - 0.8 * t),
        "B": tuple(middle + 0.8 * t),
    }
    of = with_contact(frame(points, {"AB": ("ABX", 10.0)}), "AB.X", "round", tuple(n))
    kind = "smooth cylinder" if radius else "smooth peg"
    of = support(of, "round", kind, "X", "C" if radius else None)
    x, y = -radius * sp.sin(u) + s * sp.cos(u), radius * sp.cos(u) + s * sp.sin(u)
    return Case(of, (), 0.4, [u, s], [start, along], [(x, y, u - start)])


def on_rod() -> Case:
    """A rod whose end slides on another that is hinged: on the upper one the normal turns."""
    p, s, q = dynamicsymbols("p s q")
    a, along, b, l = 1.2, 0.6, -0.4, 0.5
    way = np.array([sin(a), -cos(a)])
    end = along * way
    points = {"A": (0.0, 0.0), "B": tuple(1.5 * way), "C": tuple(end)}
    points["D"] = (end[0] + l * sin(b), end[1] - l * cos(b))
    of = frame(points, {"AB": ("AB", 10.0), "CD": ("CD", 4.0)}, hooks="A")
    of = with_contact(of, "CD.C", "AB", (cos(a), sin(a)))
    lower = (sp.sin(p) * s + l * sp.sin(q) / 2, -sp.cos(p) * s - l * sp.cos(q) / 2, q - b)
    upper = (sp.sin(p) * 0.75, -sp.cos(p) * 0.75, p - a)
    return Case(of, (), 0.4, [p, s, q], [a, along, b], [upper, lower])


def on_slope() -> Case:
    """A rod whose end slides on a straight wire that slopes."""
    s, q = dynamicsymbols("s q")
    b, l = 0.7, 1.0
    wire = np.array([0.6, 0.8])
    points = {"A": (0.0, 0.0), "B": (l * sin(b), -l * cos(b))}
    of = with_contact(frame(points, {"AB": ("AB", 10.0)}), "AB.A", "wire", (-0.8, 0.6))
    of = support(of, "wire", "smooth wire", "A")
    centre = (s * sp.Rational(3, 5) + l * sp.sin(q) / 2, s * sp.Rational(4, 5) - l * sp.cos(q) / 2, q - b)
    assert wire @ np.array([-0.8, 0.6]) == pytest.approx(0.0)
    return Case(of, (), 0.6, [s, q], [0.0, b], [centre])


CASES = {"peg": on_round(0.0), "cylinder": on_round(0.4), "rod on rod": on_rod(), "wire": on_slope()}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_sliding_rods_follow_lagrange(case):
    """Every rod is where sympy's Lagrange equations have it, to 1e-9; energy is kept."""
    trace = let_go(case.of, without=case.without, duration=case.seconds)
    assert trace.time[-1] == case.seconds
    assert np.abs(trace.poses - case.poses(trace.time)).max() < PATHS
    assert np.ptp(trace.energy.sum(axis=1)) < 1e-9


@pytest.mark.parametrize("kind", ["smooth cylinder", "smooth wire"])
def test_a_rod_rocks_in_a_bowl_like_a_pendulum(kind):
    """T = 2 pi sqrt((d^2 + L^2/12)/(g d)), d the middle's distance from the centre (compound pendulum)."""
    radius, half = 1.0, 0.6
    d = sqrt(radius**2 - half**2)

    def tilted(by: float) -> Frame:
        c, s = cos(by), sin(by)
        ends = {n: (c * x + s * d, s * x - c * d) for n, x in (("A", -half), ("B", half))}
        of = frame({"O": (0.0, 0.0), **ends}, {"AB": ("AB", 10.0)})
        for point, (x, y) in ends.items():
            of = with_contact(of, f"AB.{point}", f"bowl {point}", (-x, -y))
            of = support(of, f"bowl {point}", kind, point, "O")
        return of

    expected = 2 * pi * sqrt((d**2 + (2 * half) ** 2 / 12) / (10.0 * d))
    assert small_period(tilted, 0.7) == pytest.approx(expected, rel=1e-9)


def test_a_bowl_pushes_towards_its_centre():
    """A rod at rest in a bowl: each end is pushed inwards with W/2 upwards (balance by hand)."""
    radius, half = 1.0, 0.6
    ends = {"A": (-half, -0.8), "B": (half, -0.8)}
    of = frame({"O": (0.0, 0.0), **ends}, {"AB": ("AB", 10.0)})
    for point, (x, y) in ends.items():
        of = support(
            with_contact(of, f"AB.{point}", "bowl", (-x, -y)), "bowl", "smooth cylinder", point, "O"
        )
    both = Support("bowl", "smooth cylinder", ("A", "B"), ("bowl at A", "bowl at B"), centre="O")
    trace = let_go(replace(of, supports={"bowl": both}), duration=0.02)
    found = trace.instant(0.0).forces.reactions
    assert radius * found[Key("AB", "bowl at A", "bowl")].force[1] == pytest.approx(5.0)
    assert found[Key("AB", "bowl at A", "bowl")].force[0] == pytest.approx(5.0 * half / 0.8)


@pytest.mark.parametrize(("mu", "kinds"), [(0.4, []), (0.3, ["slip"])])
def test_a_leaning_rod_slips_at_once_if_friction_is_too_little(mu, kinds):
    """At rest at 30 degrees to the vertical: F/N = 3 sin cos/(4 - 3 sin^2) ~ 0.3997 is needed.

    A rod let go on a foot that holds turns about it: (4/3) a t'' = g sin, so F = (3/4) W sin cos and
    N = W (1 - (3/4) sin^2) (moments about the foot, by hand). One that slips has F = mu N.
    """
    angle = pi / 6
    needed = 0.75 * sin(angle) * cos(angle) / (1 - 0.75 * sin(angle) ** 2)
    assert 0.3 < needed < 0.4
    points = {"A": (0.0, 0.0), "B": (2 * sin(angle), 2 * cos(angle))}
    of = frame(points, {"AB": ("AB", 10.0)}, floors={"A": (0.0, 1.0)})
    foot = replace(of.contacts["floor A at A"], rough=True, friction=Quantity.of(Fraction(mu)))
    trace = let_go(replace(of, contacts={foot.name: foot}), duration=0.01)
    assert [event.kind for event in trace.events] == kinds
    x, y = trace.instant(0.0).forces.reactions[Key("AB", foot.name, "floor A")].force
    assert abs(x) / y == pytest.approx(min(mu, needed), rel=1e-12)


def test_a_disc_rolls_down_a_slope_with_two_thirds_of_the_acceleration():
    """a = (2/3) g sin(alpha), friction W sin(alpha)/3 at every instant (any textbook; from memory)."""
    trace = let_go(cask("0.5"), without=("rope",), duration=0.5)
    way = np.hypot(*(trace.poses[:, 0, :2] - trace.poses[0, 0, :2]).T)
    assert way == pytest.approx(9.8 * sin(radians(20)) * trace.time**2 / 3, abs=1e-9)
    assert 0.4 * trace.poses[:, 0, 2] == pytest.approx(way, abs=1e-9)
    slip = trace.forces[:, trace.keys.index(Key("cask", "slip at C", "slip")), :2]
    along = slip @ (cos(radians(20)), sin(radians(20)))
    assert along == pytest.approx(200 * sin(radians(20)) / 3, abs=1e-9)


def test_a_disc_rolls_in_a_bowl_with_the_energy_it_fell_by():
    """At the lowest place (3/4) v^2 = g (R - r)(1 - cos 60 deg); N = W + m v^2/(R - r) (from memory)."""
    trace = let_go(rolling_in("0.2 m", "60 deg"), without=("tie",), duration=2.0)
    i = int(np.argmin(np.abs(trace.poses[:, 0, 0])))
    speed2 = 9.8 * 0.8 * 0.5 / 0.75
    assert np.hypot(*trace.velocities[i, 0, :2]) ** 2 == pytest.approx(speed2, rel=1e-4)
    push = trace.forces[i, trace.keys.index(Key("cheese", "bowl at C", "bowl")), 1]
    assert push == pytest.approx(30 + 30 / 9.8 * speed2 / 0.8, rel=1e-3)
