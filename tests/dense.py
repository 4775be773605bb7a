"""Equilibrium of a frame in floating point by numpy's least squares, with no code of the exact road."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from simlab.frame.model import GROUND, Frame

Vector = NDArray[np.float64]
Unknown = tuple[str, str]  # ("joint/body", "x" or "y"), (link, "T"), (contact, "N" or "F")
Acting = list[tuple[str, str, Any]]  # body, point, force
Law = tuple[Mapping[Unknown, float], float]  # sum of factor * unknown = value

ROUNDING = 1e-10  # systems of up to 40 unknowns with coefficients of one size lose about 1e-13


class Dense:
    """The balances of a frame at its shown values: matrix @ x + known = 0, a column for each unknown."""

    def __init__(self, frame: Frame) -> None:
        self.frame, self.values = frame, frame.shown
        self.at = {name: self._numbers(xy) for name, xy in frame.points.items()}
        self.centre = {name: self._numbers(body.centre) for name, body in frame.bodies.items()}
        self.parts = [*frame.bodies, *frame.joints]
        columns = {
            unknown: self._column(acting)
            for unknowns in (self._of_joints(), self._of_links(), self._of_contacts())
            for unknown, acting in unknowns
        }
        self.unknowns = list(columns)
        self.matrix = np.array([*columns.values()]).T
        self.known = self._of_loads()

    def solved(self, *laws: Law) -> dict[Unknown, float]:
        """Every force; fails where balances and laws do not settle them all."""
        rows = [[factors.get(unknown, 0.0) for unknown in self.unknowns] for factors, _ in laws]
        matrix = np.vstack([self.matrix, *([row] for row in rows)])
        right = np.append(-self.known, [value for _, value in laws])
        solution, _, rank, _ = np.linalg.lstsq(matrix, right, rcond=None)
        assert rank == len(self.unknowns)
        assert np.abs(matrix @ solution - right).max() < ROUNDING * max(1.0, np.abs(right).max())
        return dict(zip(self.unknowns, solution.tolist(), strict=True))

    def _numbers(self, xy: Any) -> Vector:
        return np.array([part.number(self.values) for part in xy])

    def _column(self, acting: Acting) -> Vector:
        column = np.zeros(3 * len(self.parts))
        for body, point, force in acting:
            if body != GROUND:
                i = 3 * self.parts.index(body)
                column[i : i + 2] += force
                if body in self.centre:
                    arm = self.at[point] - self.centre[body]
                    column[i + 2] += arm[0] * force[1] - arm[1] * force[0]
        return column

    def _of_joints(self) -> Iterator[tuple[Unknown, Acting]]:
        for name, joint in self.frame.joints.items():
            for body in joint.bodies:
                for part, axis in zip("xy", np.eye(2), strict=True):
                    if body == GROUND:
                        yield (f"{name}/{body}", part), [(name, name, axis)]
                    else:
                        yield (f"{name}/{body}", part), [(body, name, axis), (name, name, -axis)]

    def _of_links(self) -> Iterator[tuple[Unknown, Acting]]:
        for name, link in self.frame.links.items():
            acting: Acting = []
            for a, b in pairwise(link.places):
                along = self.at[b.point] - self.at[a.point]
                unit = along / np.hypot(*along)
                acting += [(a.body, a.point, unit), (b.body, b.point, -unit)]
            yield (name, "T"), acting

    def _of_contacts(self) -> Iterator[tuple[Unknown, Acting]]:
        for name, contact in self.frame.contacts.items():
            normal = self._numbers(contact.normal)
            n = normal / np.hypot(*normal)
            by, point = contact.by if contact.by in self.centre else GROUND, contact.on.point
            yield (name, "N"), [(contact.on.body, point, n), (by, point, -n)]
            if contact.rough:
                t = np.array([n[1], -n[0]])
                yield (name, "F"), [(contact.on.body, point, t), (by, point, -t)]

    def _of_loads(self) -> Vector:
        known = np.zeros(3 * len(self.parts))
        for name, body in self.frame.bodies.items():
            known[3 * self.parts.index(name) + 1] -= body.weight.number(self.values)
        for load in self.frame.loads.values():
            if load.couple is not None:
                known[3 * self.parts.index(load.place.body) + 2] += load.couple.number(self.values)
            known += self._column([(load.place.body, load.place.point, self._numbers(load.force))])
        return known
