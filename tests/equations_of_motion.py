"""An outside oracle for the tests: a frame's equations of motion, integrated by scipy.

    [ M  -J^T ] [ acceleration ]   [ F  ]
    [ J   0   ] [ multipliers  ] = [ c  ],   c = -(dJ/dt) v,

M: masses and inertias of rods and of hung particles (each a body of its own, tied to its place); J: the
rates of all gaps; a multiplier is the force in its joint [N], per length [N/m] for a light member.
One-sided members are taken as two-sided: whoever uses this looks at the signs.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from simlab.frame.model import GROUND, Frame, Name, Place, Vec

Floats = NDArray[np.float64]
TOLERANCE = 1e-11  # of DOP853, relative and absolute: positions are then good to about 1e-9


class Point(NamedTuple):
    """A point at `arm` from the centre of body number `body`; on the ground (None), the point itself."""

    body: int | None
    arm: tuple[float, float]


class EquationsOfMotion:
    """Coordinates q: (x, y, turn) of each rod in the frame's order, then of each hung particle.

    `forces(q, v)` gives the force of each pin on each rod but its first (or, held by the ground, on all),
    by (rod, pin); tensions by light member; pushes by contact.
    """

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.gravity = frame.gravity.number()
        shown = frame.shown
        self.order = list(frame.bodies)
        self.centres = [self._pair(body.centre) for body in frame.bodies.values()]
        mass, load = [], []
        for body in frame.bodies.values():
            weight = body.weight.number(shown)
            m = weight / self.gravity
            gyration2 = 0.0 if body.gyration2 is None else body.gyration2.number(shown)
            mass += [m, m, m * gyration2]
            load += [0.0, -weight, 0.0]
        self.gaps: list[tuple[str, tuple[Name, Name] | Name, Point, Point, Floats]] = []
        for joint in frame.joints.values():
            first, *others = [self._point(Place(body, joint.point)) for body in joint.bodies]
            for name, other in zip(joint.bodies[1:], others, strict=True):
                self.gaps.append(("pin", (name, joint.name), first, other, np.zeros(2)))
        for link in frame.links.values():
            a, b = (self._point(place) for place in link.ends)
            self.gaps.append(("link", link.name, a, b, np.zeros(2)))
        for contact in frame.contacts.values():
            normal = np.array(self._pair(contact.normal))
            on = self._point(contact.on)
            ground = Point(None, self._pair(frame.points[contact.on.point]))
            self.gaps.append(("contact", contact.name, ground, on, normal / np.hypot(*normal)))
        self.applied: list[tuple[Point, tuple[float, float]]] = []
        for hung in frame.loads.values():
            x, y = self._pair(hung.force)
            at = self._point(hung.place)
            if hung.kind == "force":
                self.applied.append((at, (x, y)))
            elif at.body is not None:
                particle = Point(len(self.centres), (0.0, 0.0))
                self.centres.append(self._pair(frame.points[hung.place.point]))
                mass += [-y / self.gravity, -y / self.gravity, 1.0]
                load += [0.0, y, 0.0]
                self.gaps.append(("pin", ("particle", hung.name), at, particle, np.zeros(2)))
        self.mass, self.load = np.array(mass), np.array(load)
        self.start = np.array([(*c, 0.0) for c in self.centres]).ravel()

    def _pair(self, vec: Vec) -> tuple[float, float]:
        return vec[0].number(self.frame.shown), vec[1].number(self.frame.shown)

    def _point(self, place: Place) -> Point:
        body = place.body
        if body in self.frame.joints:
            bodies = self.frame.joints[body].bodies
            body = GROUND if GROUND in bodies else bodies[0]
        x, y = self._pair(self.frame.points[place.point])
        if body == GROUND:
            return Point(None, (x, y))
        i = self.order.index(body)
        return Point(i, (x - self.centres[i][0], y - self.centres[i][1]))

    def at(self, point: Point, q: Floats, v: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Position, velocity, part of the acceleration due to the spin alone, and the arm."""
        if point.body is None:
            return np.array(point.arm), np.zeros(2), np.zeros(2), np.zeros(2)
        x, y, turn = q[3 * point.body : 3 * point.body + 3]
        vx, vy, spin = v[3 * point.body : 3 * point.body + 3]
        c, s = np.cos(turn), np.sin(turn)
        arm = np.array([c * point.arm[0] - s * point.arm[1], s * point.arm[0] + c * point.arm[1]])
        velocity = np.array([vx - spin * arm[1], vy + spin * arm[0]])
        return np.array([x, y]) + arm, velocity, -(spin**2) * arm, arm

    def _rows(self, q: Floats, v: Floats) -> Iterator[tuple[Floats, float]]:
        """Rows of J and of c."""
        for kind, _, a, b, normal in self.gaps:
            (pa, va, ca, ra), (pb, vb, cb, rb) = self.at(a, q, v), self.at(b, q, v)
            apart = pb - pa
            ways = {"pin": list(np.eye(2)), "link": [apart], "contact": [normal]}[kind]
            for way in ways:
                row = np.zeros(len(q))
                for point, arm, sign in ((b, rb, 1.0), (a, ra, -1.0)):
                    if point.body is not None:
                        i = 3 * point.body
                        row[i : i + 3] += sign * np.array([*way, arm[0] * way[1] - arm[1] * way[0]])
                stretch = float((vb - va) @ (vb - va)) if kind == "link" else 0.0
                yield row, -float(way @ (cb - ca)) - stretch

    def solve(self, q: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Accelerations and multipliers."""
        rows = list(self._rows(q, v))
        jacobian, right = np.array([r for r, _ in rows]), np.array([c for _, c in rows])
        force = self.load.copy()
        for point, (fx, fy) in self.applied:
            if point.body is not None:
                arm = self.at(point, q, v)[3]
                force[3 * point.body : 3 * point.body + 3] += (fx, fy, arm[0] * fy - arm[1] * fx)
        n, m = len(q), len(right)
        matrix = np.block([[np.diag(self.mass), -jacobian.T], [jacobian, np.zeros((m, m))]])
        found = np.linalg.solve(matrix, np.concatenate([force, right]))
        return found[:n], found[n:]

    def stiffness(self, q: Floats) -> float:
        """Least singular value of J M^-1/2: small where the frame is nearly folded flat."""
        jacobian = np.array([row for row, _ in self._rows(q, np.zeros_like(q))])
        return float(np.linalg.svd(jacobian / np.sqrt(self.mass), compute_uv=False)[-1])

    def forces(self, q: Floats, v: Floats) -> dict[tuple[Name, Name] | Name, Floats]:
        """Force of a pin on a rod [N], tension of a light member, push of a contact (arrays)."""
        multipliers, result, i = self.solve(q, v)[1], {}, 0
        for kind, name, a, b, _ in self.gaps:
            n = 2 if kind == "pin" else 1
            length = np.hypot(*(self.at(b, q, v)[0] - self.at(a, q, v)[0])) if kind == "link" else 1.0
            result[name] = multipliers[i : i + n] * (-length if kind == "link" else 1.0)
            i += n
        return result

    def run(self, times: Floats) -> tuple[Floats, Floats]:
        """q and v at the times, from rest at time 0 in the drawn shape; shapes (times, 3 bodies)."""
        n = len(self.start)

        def rate(_: float, state: Floats) -> Floats:
            return np.concatenate([state[n:], self.solve(state[:n], state[n:])[0]])

        begin = np.concatenate([self.start, np.zeros(n)])
        done = solve_ivp(
            rate, (0.0, times[-1]), begin, "DOP853", t_eval=times, rtol=TOLERANCE, atol=TOLERANCE
        )
        return done.y[:n].T, done.y[n:].T
