"""Momentum, energy and gaps of a run, from its poses and velocities and the frame's own numbers.

A rod is a mass W/g with its inertia about its centre; a weight that hangs at a point is a particle there.
Nothing here is asked of a solver.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from simlab.frame.model import GROUND, Frame, Place, Vec
from simlab.results import Trace

Floats = NDArray[np.float64]


class Mechanics:
    """A trace as mechanics sees it; every result has a row for each of the trace's samples.

    size [m] of the frame; weight [N] of all of it
    """

    def __init__(self, of: Frame, trace: Trace) -> None:
        self.of, self.trace = of, trace
        corners = np.array([self._pair(vec) for vec in of.points.values()])
        self.size = float(np.ptp(corners, axis=0).max())
        self.gravity = of.gravity.number(of.shown)
        self.particles = list(self._particles())
        self.weight = sum(mass for mass, *_ in self.particles) * self.gravity

    def _pair(self, vec: Vec) -> Floats:
        return np.array([vec[0].number(self.of.shown), vec[1].number(self.of.shown)])

    def at(self, place: Place) -> tuple[Floats, Floats]:
        """Position and velocity of a place, each of shape (times, 2)."""
        point, name = self._pair(self.of.points[place.point]), place.body
        if name in self.of.joints:
            bodies = self.of.joints[name].bodies
            name = GROUND if GROUND in bodies else bodies[0]
        n = len(self.trace.time)
        if name == GROUND:
            return np.tile(point, (n, 1)), np.zeros((n, 2))
        i = self.trace.bodies.index(name)
        x, y, turn = self.trace.poses[:, i].T
        vx, vy, spin = self.trace.velocities[:, i].T
        ax, ay = point - self._pair(self.of.bodies[name].centre)
        rx, ry = np.cos(turn) * ax - np.sin(turn) * ay, np.sin(turn) * ax + np.cos(turn) * ay
        return np.stack([x + rx, y + ry], axis=1), np.stack([vx - spin * ry, vy + spin * rx], axis=1)

    def _particles(self) -> Iterator[tuple[float, float, Floats, Floats, Floats]]:
        """Mass [kg], inertia [kg m^2], position, velocity, spin."""
        for i, body in enumerate(self.of.bodies.values()):
            mass = body.weight.number(self.of.shown) / self.gravity
            gyration2 = body.gyration2.number(self.of.shown) if body.gyration2 else 0.0
            poses, velocities = self.trace.poses[:, i], self.trace.velocities[:, i]
            yield mass, mass * gyration2, poses[:, :2], velocities[:, :2], velocities[:, 2]
        for load in self.of.loads.values():
            if load.kind != "weight":
                continue
            mass = -load.force[1].number(self.of.shown) / self.gravity
            yield mass, 0.0, *self.at(load.place), np.zeros(len(self.trace.time))

    def first_support(self) -> Floats:
        """The first drawn point that the ground holds, or that stands on it [m]."""
        points = [joint.point for joint in self.of.joints.values() if GROUND in joint.bodies]
        points += [contact.on.point for contact in self.of.contacts.values()]
        return self._pair(self.of.points[points[0]])

    # of motion

    def momentum(self) -> Floats:
        """x, y [N s]."""
        return np.sum([mass * v for mass, _, _, v, _ in self.particles], axis=0)

    def turning(self, about: Floats) -> Floats:
        """Angular momentum about a fixed point [N m s]."""
        return np.sum(
            [mass * cross(x - about, v) + inertia * spin for mass, inertia, x, v, spin in self.particles],
            axis=0,
        )

    def energy(self) -> Floats:
        """Kinetic and potential [J]; a steady force has a potential too."""
        parts = [
            mass * (v**2).sum(axis=1) / 2 + inertia * spin**2 / 2 + mass * self.gravity * x[:, 1]
            for mass, inertia, x, v, spin in self.particles
        ]
        parts += [-(force * point).sum(axis=1) for force, point in self._steady()]
        return np.sum(parts, axis=0)

    # of forces

    def _steady(self) -> Iterator[tuple[Floats, Floats]]:
        """Loads that are no weights, and where they act."""
        for load in self.of.loads.values():
            if load.kind == "force":
                point = self.at(load.place)[0]
                yield np.tile(self._pair(load.force), (len(point), 1)), point

    def outside(self) -> list[tuple[Floats, Floats]]:
        """Supports, weights and loads: their forces, and where they act. Absent ones are nothing."""
        supports = [i for i, key in enumerate(self.trace.keys) if key.by in (GROUND, *self.of.supports)]
        found = [(self.trace.forces[:, i, :2], self.trace.points[:, i]) for i in supports]
        found += self._steady()
        for mass, _, x, _, _ in self.particles:
            found.append((np.tile([0.0, -mass * self.gravity], (len(x), 1)), x))
        return [(np.nan_to_num(force), np.nan_to_num(point)) for force, point in found]

    def force(self) -> Floats:
        """The sum of the forces from outside [N]."""
        return np.sum([force for force, _ in self.outside()], axis=0)

    def moment(self, about: Floats) -> Floats:
        """The sum of their moments about a fixed point [N m]."""
        return np.sum([cross(point - about, force) for force, point in self.outside()], axis=0)

    # of geometry

    def gaps(self) -> Floats:
        """The farthest that bodies on one pin are apart, or that a light rod is off its length [m]."""
        apart = [np.zeros(len(self.trace.time))]
        for joint in self.of.joints.values():
            first, *others = [self.at(Place(body, joint.point))[0] for body in joint.bodies]
            apart += [np.hypot(*(other - first).T) for other in others]
        for i, link in enumerate(self.of.links.values()):
            if link.kind == "light rod":
                a, b = (self.at(place)[0] for place in link.ends)
                drawn = [self._pair(self.of.points[place.point]) for place in link.ends]
                off = np.abs(np.hypot(*(b - a).T) - np.hypot(*(drawn[1] - drawn[0])))
                apart.append(np.where(np.isnan(self.trace.tensions[:, i]), 0.0, off))
        return np.max(apart, axis=0)


def cross(a: Floats, b: Floats) -> Floats:
    """The moment of b at a."""
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def rate(times: Floats, values: Floats) -> Floats:
    """The derivative at all but three samples at either end, by differences of sixth order.

    Bickley's formula, any table of finite differences: (-1, 9, -45, 0, 45, -9, 1)/60 of the step.
    """
    step = (times[-1] - times[0]) / (len(times) - 1)
    weights = {-3: -1, -2: 9, -1: -45, 1: 45, 2: -9, 3: 1}
    n = len(values)
    return sum(w * values[3 + k : n - 3 + k] for k, w in weights.items()) / (60 * step)
