"""A frame's equations of motion, in all coordinates of all its bodies and pins.

    [ M  -J^T ] [ a ]   [  F  ]        M: masses W/g and inertias; a: accelerations; F: weights, loads,
    [ J    0  ] [ n ] = [ -b  ]        pulls of elastic members; J v: rates of the gaps, b their bias

A pin is a part of its own, so that the multipliers n are the reactions by the keys of every road; a light
pin, or a light rod, has no mass and moves as its constraints say. A weight that hangs at a point is
a particle fixed there. Integrating a alone lets the gaps drift; `projected` closes them again, with the
least motion as the masses measure it, by the same matrix. (Feedback of the gaps instead would have
constants to choose, and would leave some of each gap.)
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values
from simlab.motion.constraints import Elastics, Members, Pins
from simlab.motion.known import known
from simlab.motion.points import Moving, Points, dots
from simlab.motion.touches import Touches
from simlab.results.forces import Key
from simlab.results.trace import Floats

RANK = 1e-10  # of the largest singular value: a smaller one is rounding
LIGHT = 1e-12  # of the largest mass: less inertia is none


class System:
    """The equations of motion of a frame at given values, without the members and contacts `absent`.

    start : q as drawn, shape (parts, 3); total : of all weights [N]
    slipping : contacts that slip, with the sense of their friction along t (1 or -1)
    undetermined : reactions and members whose force the equations leave open (more constraints than
        needed): accelerations are unique nevertheless, and forces of least squares are not handed on

    Raises BadInput for what is not known here and where a part without mass is left free.
    """

    def __init__(
        self,
        frame: Frame,
        values: Values | None = None,
        absent: Collection[Name] = (),
        slipping: Mapping[Name, int] | None = None,
    ) -> None:
        values = frame.shown if values is None else {**frame.shown, **values}
        self.frame, self.values, self.absent = known(frame, values), values, frozenset(absent)
        self.points = Points(frame, values)
        links = [link for name, link in frame.links.items() if name not in self.absent]
        held = [c for name, c in frame.contacts.items() if name not in self.absent]
        self.pins = Pins(frame, self.points)
        self.members = Members([link for link in links if link.natural is None], self.points)
        self.elastics = Elastics([link for link in links if link.natural is not None], self.points)
        self.slipping = dict(slipping or {})
        slips = {name: sense * _friction(frame, values, name) for name, sense in self.slipping.items()}
        self.touches = Touches(frame, held, self.points, slips)
        self.groups = [group for group in (self.pins, self.members, self.touches) if group.n]
        self._weigh()
        self.points.close()
        self.start = self.points.start
        self.n = self.start.size
        self.members.start(self.moving(self.start, np.zeros_like(self.start)))
        self._examine()

    def _weigh(self) -> None:
        """Masses of the parts, particles, loads."""
        frame, values, points = self.frame, self.values, self.points
        self.gravity = frame.gravity.number(values)
        n = len(points.parts) - 1
        self.weights = np.zeros(n)
        inertia = np.zeros((n, 3))
        inertia[len(frame.bodies) :, 2] = 1.0  # a pin never turns: any inertia will do
        for i, body in enumerate(frame.bodies.values()):
            self.weights[i] = body.weight.number(values)
            gyration2 = 0.0 if body.gyration2 is None else body.gyration2.number(values)
            inertia[i] = self.weights[i] / self.gravity * np.array([1.0, 1.0, gyration2])
        self.inertia = inertia.ravel()
        hung, applied, forces = [], [], []
        self.couples = np.zeros(n + 1)
        for load in frame.loads.values():
            point = points.add(load.place)
            if load.couple is not None:
                self.couples[points.part(load.place.body)] += load.couple.number(values)
                continue
            force = points.pair(load.force)
            if load.kind == "weight":
                hung.append((point, -force[1]))
            else:
                applied.append(point)
                forces.append(force)
        self.hung = np.array([point for point, _ in hung], dtype=np.intp)
        self.hanging = np.array([weight for _, weight in hung])
        self.applied = np.array(applied, dtype=np.intp)
        self.loads = np.array(forces).reshape(-1, 2)
        self.total = (
            float(self.weights.sum() + self.hanging.sum()) or float(np.abs(self.loads).sum()) or 1.0
        )

    def _examine(self) -> None:
        """Rank of the constraints, forces that are not unique, parts that nothing with mass holds."""
        moving = self.moving(self.start, np.zeros_like(self.start))
        rows, mass = self.rows(moving), self.mass(moving)
        left, sizes, right = np.linalg.svd(rows) if len(rows) else (np.eye(0), np.zeros(0), np.eye(self.n))
        self.rank = int((sizes > RANK * sizes.max(initial=0.0)).sum())
        self.undetermined = self._open(left[:, self.rank :])
        free = right[self.rank :]
        inert, ways = np.linalg.eigh(free @ mass @ free.T) if len(free) else (np.zeros(0), np.eye(0))
        if len(free) and inert[0] <= LIGHT * mass.max():
            loose = np.abs(ways[:, 0] @ free).reshape(-1, 3).max(axis=1)
            name = self.points.parts[int(np.argmax(loose))]
            raise BadInput(
                f'{self.frame.name}: "{name}" has no weight and is free to move, so its motion is '
                "unknown. Give it a weight, or hang a weight on it."
            )

    def _open(self, states: Floats) -> frozenset[Key | Name]:
        """What takes part in any state of self-stress."""
        part = np.abs(states).max(axis=1, initial=0.0) > RANK
        named: list[set[Key | Name]] = []
        for key in self.pins.keys:
            named += [{key}, {key}]
        named += [{self.pins.keys[i]} for i in self.pins.built_in]
        named += [{name, *(k for k in self.members.keys if k.by == name)} for name in self.members.names]
        named += [{key} for key in self.touches.keys]
        named += [{self.touches.keys[i]} for i in self.touches.rough]
        return frozenset(
            name for names, is_open in zip(named, part, strict=True) if is_open for name in names
        )

    # equations

    def moving(self, q: Floats, v: Floats) -> Moving:
        """All points at coordinates and rates of shape (parts, 3)."""
        return self.points.moving(q, v)

    def rows(self, moving: Moving) -> Floats:
        """J, shape (constraints, 3 parts)."""
        parts = []
        for group in self.groups:
            out = np.zeros((group.n, self.n + 3))
            group.rows(out, moving)
            parts.append(out[:, : self.n])
        return np.vstack(parts) if parts else np.zeros((0, self.n))

    def gaps(self, moving: Moving) -> Floats:
        """How far every constraint is from being kept."""
        return np.concatenate([np.zeros(0), *(group.gaps(moving) for group in self.groups)])

    def mass(self, moving: Moving) -> Floats:
        """M, shape (3 parts, 3 parts): a particle of mass m at r from the centre adds m [1, k x r]^2."""
        matrix = np.diag(np.concatenate([self.inertia, np.ones(3)]))
        for axis in (0, 1) if len(self.hung) else ():
            rows = np.zeros((len(self.hung), self.n + 3))
            ways = np.broadcast_to(np.eye(2)[axis], (len(self.hung), 2))
            on = self.points.on[self.hung]
            self.points.act(rows, np.arange(len(self.hung)), on, moving, moving.at[self.hung], ways)
            matrix += (rows.T * self.hanging / self.gravity) @ rows
        return matrix[: self.n, : self.n]

    def force(self, moving: Moving) -> Floats:
        """F, shape (3 parts,): weights, loads, elastic members, particles' -m (acceleration by spin)."""
        out = np.zeros((1, self.n + 3))
        out[0, 1 : self.n : 3] -= self.weights
        out[0, 2::3] += self.couples
        hanging = np.stack([np.zeros_like(self.hanging), -self.hanging], axis=1)
        hanging = hanging - (self.hanging / self.gravity)[:, None] * moving.spin[self.hung]
        for which, ways in ((self.hung, hanging), (self.applied, self.loads)):
            if not len(which):
                continue
            rows = np.zeros(len(which), dtype=np.intp)
            self.points.act(out, rows, self.points.on[which], moving, moving.at[which], ways)
        if self.elastics.n:
            self.elastics.force(out[0], moving)
        return out[0, : self.n]

    def matrix(self, moving: Moving) -> Floats:
        """The whole matrix above."""
        rows = self.rows(moving)
        pushes = rows
        if self.slipping:
            pushes, out = rows.copy(), np.zeros((self.touches.n, self.n + 3))
            self.touches.rows(out, moving, as_forces=True)
            pushes[len(rows) - self.touches.n :] = out[:, : self.n]
        n = self.n
        matrix = np.zeros((n + len(rows), n + len(rows)))
        matrix[:n, :n], matrix[:n, n:], matrix[n:, :n] = self.mass(moving), -pushes.T, rows
        return matrix

    def _solved(self, matrix: Floats, right: Floats) -> tuple[Floats, Floats]:
        found: Floats
        if self.rank < len(matrix) - self.n:  # more constraints than needed: least squares
            found = np.asarray(np.linalg.lstsq(matrix, right, rcond=RANK)[0], np.float64)
        else:
            found = np.asarray(np.linalg.solve(matrix, right), np.float64)
        return found[: self.n], found[self.n :]

    def solve(self, q: Floats, v: Floats) -> tuple[Floats, Floats]:
        """Accelerations, shape (parts, 3), and multipliers."""
        moving = self.moving(q, v)
        bias = [-group.bias(moving) for group in self.groups]
        a, n = self._solved(self.matrix(moving), np.concatenate([self.force(moving), *bias]))
        return a.reshape(-1, 3), n

    def projected(self, q: Floats, v: Floats) -> tuple[Floats, Floats]:
        """The nearest q without gaps and v that opens none."""
        moving = self.moving(q, v)  # one step of Newton's method: what drifted in a window is tiny
        apart = np.concatenate([np.zeros(self.n), -self.gaps(moving)])
        q = q + self._solved(self.matrix(moving), apart)[0].reshape(-1, 3)
        moving = self.moving(q, v)
        opening = self.rows(moving) @ v.ravel()
        change, _ = self._solved(self.matrix(moving), np.concatenate([np.zeros(self.n), -opening]))
        return q, v + change.reshape(-1, 3)

    # looking

    def energy(self, q: Floats, v: Floats) -> tuple[float, float]:
        """Kinetic and potential energy [J]; that of elastic members is among the potential."""
        moving = self.moving(q, v)
        flat = v.ravel()
        potential = self.weights @ q[:, 1] + self.hanging @ moving.at[self.hung, 1]
        potential -= dots(self.loads, moving.at[self.applied]).sum() + self.couples[:-1] @ q[:, 2]
        potential += self.elastics.stiffness @ self.elastics.stretch(moving) ** 2 / 2
        return float(flat @ self.mass(moving) @ flat / 2), float(potential)

    def openness(self, q: Floats) -> float:
        """Least singular value of J M^-1/2: small where the frame is nearly folded flat.

        What has no mass has no say: J is first freed of the motions of such parts.
        """
        moving = self.moving(q, np.zeros_like(q))
        rows = self.rows(moving)
        inert, ways = np.linalg.eigh(self.mass(moving))
        light = inert <= LIGHT * inert[-1]
        turned = rows @ ways
        if light.any():
            left, sizes, _ = np.linalg.svd(turned[:, light])
            turned = left[:, (sizes > RANK * sizes.max()).sum() :].T @ turned
        sizes = np.linalg.svd(turned[:, ~light] / np.sqrt(inert[~light]), compute_uv=False)
        rank = len(turned) - (len(rows) - self.rank)
        return float(sizes[rank - 1]) if rank else 1.0


def _friction(frame: Frame, values: Values, contact: Name) -> float:
    mu = frame.contacts[contact].friction
    return 0.0 if mu is None else mu.number(values)
