"""After the cut: against an outside integration of the equations of motion.

The bounds are those of design.md, section 6: paths within 3e-4 of the frame's size, energy within 2e-4 of
total weight x size, hinge forces within 5e-4 of the largest, at 600 samples a second, up to the first of
contact, lift, slack, a nearly flat fold (least singular value of J M^-1/2 below 1e-2 of its start) and 3 s.
Published motions by the simulation: published_motion_simulated.py, published_swings_simulated.py.
"""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt

import numpy as np
import pytest
from collapses import CASES, sprung_rod
from equations_of_motion import EquationsOfMotion
from small_frames import frame

from simlab.collapse import follow
from simlab.frame.change import without
from simlab.frame.model import Frame
from simlab.motion.integrate import release as integrated
from simlab.results import Forces, Key
from simlab.simulation.release import release
from simlab.simulation.stage import STEP

PATH, ENERGY, FORCE = 3e-4, 2e-4, 5e-4
INSTANT = 1e-6  # of the largest force, for the first instant after the cut
FOLDED = 1e-2
LONGEST = 3.0  # [s]


cases = pytest.mark.parametrize("of", CASES.values(), ids=CASES)


class Pair:
    """A release, and the equations of motion of the frame without its brace, at every tenth sample."""

    def __init__(self, of: Frame) -> None:
        self.of = of
        self.trace = release(of, duration=LONGEST, before=0.0)
        self.equations = EquationsOfMotion(without(of, of.brace))
        ends = [event.time for event in self.trace.events if event.kind != "cut"]
        last = round(min([*ends, LONGEST]) / STEP) - 2
        self.samples = np.arange(0, last, 10)
        self.q, self.v = self.equations.run(self.trace.time[self.samples])
        stiff = [self.equations.stiffness(q) for q in self.q]
        folded = [i for i, s in enumerate(stiff) if s < FOLDED * stiff[0]]
        n = folded[0] if folded else len(self.samples)
        self.samples, self.q, self.v = self.samples[:n], self.q[:n], self.v[:n]
        corners = np.array([[x.number(of.shown), y.number(of.shown)] for x, y in of.points.values()])
        self.size = float(np.ptp(corners, axis=0).max())
        self.weight = sum(body.weight.number(of.shown) for body in of.bodies.values())

    def apart(self, sample: int, i: int) -> tuple[float, float]:
        """Largest difference of a pin's, a member's or a contact's force; the largest force."""
        found = self.trace.instant(self.trace.time[sample]).forces
        wanted = self.equations.forces(self.q[i], self.v[i])
        apart, largest = 0.0, 0.0
        for name, force in wanted.items():
            if isinstance(name, tuple) and name[0] == "particle":
                continue
            apart = max(apart, float(np.abs(self._found(found, name) - force).max()))
            largest = max(largest, float(np.abs(force).max()))
        return apart, largest

    def _found(self, found: Forces[float], name: tuple[str, str] | str) -> np.ndarray:
        if isinstance(name, tuple):
            return np.array(found.reactions[Key(name[0], name[1], name[1])].force)
        if name in self.of.links:
            return np.array([found.tensions[name]])
        contact = self.of.contacts[name]
        return np.array([hypot(*found.reactions[Key(contact.on.body, name, contact.by)].force)])


@cases
def test_collapses_follow_the_equations_of_motion(of):
    """Paths, energy and forces of each collapse are those of an independent integration."""
    pair = Pair(of)
    n = len(of.bodies)
    assert len(pair.samples) >= 10

    poses = pair.trace.poses[pair.samples].reshape(len(pair.samples), -1)
    away = np.abs(poses - pair.q[:, : 3 * n]).reshape(len(pair.samples), n, 3)
    assert away[:, :, :2].max() < PATH * pair.size

    energy = pair.trace.energy[pair.samples].sum(axis=1)
    assert np.abs(energy - energy[0]).max() < ENERGY * pair.weight * pair.size

    differences = [pair.apart(sample, i) for i, sample in enumerate(pair.samples)]
    largest = max(size for _, size in differences)
    assert max(apart for apart, _ in differences) < FORCE * largest


def test_a_rod_on_a_spring_follows_the_equations_of_motion():
    """Within the same bounds, against the motion road, which knows elastic members."""
    of = sprung_rod()
    found = follow(of, of.shown, integrated(of, duration=0.5), release(of, duration=0.5, before=0.0))
    assert found.agreement == "agree", found


@cases
def test_the_first_instant_is_that_of_the_equations_of_motion_at_rest(of):
    """Just after the cut every force is that of the frame without its brace, at rest, in the old shape."""
    trace = release(of, duration=0.01, before=0.0)
    equations = EquationsOfMotion(without(of, of.brace))
    at_rest = np.zeros_like(equations.start)
    wanted = equations.forces(equations.start, at_rest)
    largest = max(float(np.abs(force).max()) for force in wanted.values())
    found = trace.instant(0.0).forces
    for name, force in wanted.items():
        if isinstance(name, tuple) and name[0] != "particle":
            assert found.reactions[Key(name[0], name[1], name[1])].force == pytest.approx(
                force, abs=INSTANT * largest
            )
        elif name in of.links:
            assert found.tensions[name] == pytest.approx(force[0], abs=INSTANT * largest)


def test_a_light_rod_with_a_bob_swings_as_a_simple_pendulum():
    """Small period 2 pi sqrt(L/g) (universal textbook result); a light rod has a thousandth of mass."""
    angle = 0.02
    end = (sin(angle), -cos(angle))
    points = {"A": (0.0, 0.0), "B": end, "Z": (end[0] + 1.0, end[1])}
    of = frame(
        points,
        {"AB": ("AB", 0.0)},
        {"stay": ("string", "BZ")},
        "AZ",
        loads={"B": ("weight", (10.0,))},
        brace="stay",
    )
    trace = release(of, duration=5.0, before=0.0)
    swing = trace.poses[:, 0, 2] + angle
    down = np.flatnonzero((swing[:-1] > 0) & (swing[1:] <= 0))
    times = [trace.time[i] + STEP * swing[i] / (swing[i] - swing[i + 1]) for i in down]

    assert np.mean(np.diff(times)) == pytest.approx(2 * pi * sqrt(1 / 10), rel=5e-4)


def test_a_rod_swings_as_far_up_as_it_came_down():
    """Let go from level, it is level again on the other side after each half swing: no energy is lost."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "Z": (1.0, 1.0)}
    of = frame(points, {"AB": ("AB", 10.0)}, {"prop": ("string", "BZ")}, "AZ", brace="prop")
    trace = release(of, duration=3.0, before=0.0)
    turns = trace.poses[:, 0, 2]

    assert turns.min() == pytest.approx(-pi, abs=1e-3)
    assert turns.max() == pytest.approx(0.0, abs=1e-3)
