"""Telling: what of a collapse is shown: the point that moves farthest, a force or two.

Both roads at the moments compared; of forces those that both know all the time.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from simlab.errors import BadInput
from simlab.frame.model import Name
from simlab.pictures.plan import Plan
from simlab.results.collapse import Collapse
from simlab.results.forces import Forces, Key
from simlab.results.trace import Floats, Trace

ALIKE = 0.03  # of its largest value: a force that stays nearer to another one looks the same
TIE = 1e-6  # relative: mirror images differ by rounding only, and the first of them is told
SAME = 1e-9  # [s]: times that are one


@dataclass(frozen=True, eq=False)
class Run:
    """Two roads of one collapse: `rows` of their samples at the moments compared, shape (times,).

    `before` are the forces at rest, with the brace.
    """

    plan: Plan
    roads: tuple[Trace, Trace]
    both: Collapse
    before: Forces[float]
    rows: tuple[NDArray[np.intp], NDArray[np.intp]]

    @classmethod
    def of(cls, plan: Plan, roads: tuple[Trace, Trace], both: Collapse, before: Forces[float]) -> Run:
        """Find the samples at the moments compared."""
        line, dots = (np.searchsorted(road.time, both.times - SAME) for road in roads)
        return cls(plan, roads, both, before, (line, dots))

    @property
    def times(self) -> Floats:
        """The moments compared [s]."""
        return self.both.times

    def farthest(self) -> tuple[Name, Floats, Floats]:
        """The point that gets farthest, and how far it is on both roads, shape (times,) [m]."""
        best: tuple[Name, Floats, Floats] | None = None
        for body, points in self.plan.bodies.items():
            for name, drawn in points.items():
                ways = [
                    np.hypot(*(self.plan.carried(body, drawn, road.poses[rows]) - drawn).T)
                    for road, rows in zip(self.roads, self.rows, strict=True)
                ]
                if best is None or ways[0].max() > (1 + TIE) * best[1].max():
                    best = name, ways[0], ways[1]
        for k, name in enumerate(self.roads[0].free_pins):
            ways = [
                np.hypot(*(road.pins[rows, k] - self.plan.points[name]).T)
                for road, rows in zip(self.roads, self.rows, strict=True)
            ]
            if best is None or ways[0].max() > (1 + TIE) * best[1].max():
                best = name, ways[0], ways[1]
        if best is None:
            raise BadInput(f"{self.plan.frame.name} has no point that moves.")
        return best

    def forces(self) -> list[Key]:
        """Of forces at hinges and supports that which jumps most, and the largest that looks different."""
        known = [key for key in self.before.reactions if self._is_known(key)]
        if not known:
            return []
        first = _greatest({key: self._jump(key) for key in known})
        others = {key: self.peak(key) for key in known if not self._is_alike(key, first)}
        return [first, _greatest(others)] if others else [first]

    def _is_known(self, key: Key) -> bool:
        """Whether a key is of a hinge or a support that is still there, its force known on both roads."""
        if key.by in self.plan.frame.links or key not in self.roads[0].keys:
            return False
        line, dots = (self.size(road, key) for road in (0, 1))
        return bool(np.isfinite(line).all() and np.isfinite(dots).all() and line.any())

    def size(self, road: int, key: Key) -> Floats:
        """The size of a force on a road, shape (times,) [N]."""
        trace = self.roads[road]
        return np.asarray(np.hypot(*trace.forces[self.rows[road], trace.keys.index(key), :2].T))

    def peak(self, key: Key) -> float:
        """The largest size of a force, before the cut or after [N]."""
        return max(float(self.size(0, key).max()), self.before_the_cut(key))

    def _is_alike(self, key: Key, other: Key) -> bool:
        apart = np.abs(self.size(0, key) - self.size(0, other)).max()
        return bool(apart <= ALIKE * max(self.peak(key), self.peak(other)))

    def before_the_cut(self, key: Key) -> float:
        """The size of a force at rest, with the brace [N]."""
        return float(np.hypot(*self.before.reactions[key].force))

    def energies(self) -> list[list[Floats]]:
        """Of each road kinetic, potential (from the drawn shape on) and total energy, (times,) each [J]."""
        start = float(self.roads[0].energy[self.rows[0][0], 1])
        found = []
        for road, rows in zip(self.roads, self.rows, strict=True):
            kinetic, potential = road.energy[rows].T
            found.append([kinetic, potential - start, kinetic + potential - start])
        return found

    def _jump(self, key: Key) -> float:
        """By how much a force changes at the cut, as a vector [N]."""
        trace = self.roads[0]
        after = trace.forces[self.rows[0][0], trace.keys.index(key), :2]
        return float(np.hypot(*(after - self.before.reactions[key].force)))


def _greatest(of: dict[Key, float]) -> Key:
    """The first key of those with the greatest number."""
    return next(key for key, number in of.items() if number >= (1 - TIE) * max(of.values()))
