"""Small oscillations of a frame about its rest: what statics hands on, and what was measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

import numpy as np

from simlab.frame.model import Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.statics import Motion
from simlab.results.trace import Floats

Form = tuple[tuple[Quantity, ...], ...]


@dataclass(frozen=True)
class Oscillation:
    """The forms of the potential and the kinetic energy over the motions left to a frame at rest.

    With the motions' sizes q,  V = q.stiffness.q / 2  and  T = dq/dt.inertia.dq/dt / (2 g), so that

        stiffness q = omega^2 inertia q / g.

    `pendulum` is the length inertia/stiffness [m] of the simple pendulum that swings like a frame with one
    motion, exactly: its period is 2 pi sqrt(pendulum/g).
    """

    motions: tuple[Motion, ...]
    stiffness: Form
    inertia: Form
    gravity: Quantity
    pendulum: Quantity | None

    def modes(self, values: Values) -> tuple[Mode, ...]:
        """Every mode at the values, the slowest first."""
        stiffness, inertia = (_numbers(form, values) for form in (self.stiffness, self.inertia))
        root = np.linalg.inv(np.linalg.cholesky(inertia / self.gravity.number(values)))
        squares, shapes = np.linalg.eigh(root @ stiffness @ root.T)
        return tuple(
            Mode(2 * np.pi / float(np.sqrt(square)), self._velocities(root.T @ shape, values))
            for square, shape in zip(squares, shapes.T, strict=True)
        )

    def _velocities(self, sizes: Floats, values: Values) -> Mapping[Name, tuple[float, float, float]]:
        moving: dict[Name, tuple[float, float, float]] = {}
        for size, motion in zip(sizes, self.motions, strict=True):
            for name, parts in motion.velocity.items():
                x, y, turn = (float(size) * part.number(values) for part in parts)
                before = moving.get(name, (0.0, 0.0, 0.0))
                moving[name] = before[0] + x, before[1] + y, before[2] + turn
        return moving


def _numbers(form: Form, values: Values) -> Floats:
    return np.array([[entry.number(values) for entry in row] for row in form], dtype=np.float64)


@dataclass(frozen=True)
class Mode:
    """One way in which a frame swings: period [s], (v_x, v_y, angular velocity) of each body and pin."""

    period: float
    velocity: Mapping[Name, tuple[float, float, float]]


@dataclass(frozen=True)
class Swing:
    """A frame's periods [s] by statics, and as the simulation swings; empty where it cannot.

    `length` is that of the equally long simple pendulum [m], where there is one motion only. `within` is
    the share of a period to which the two are to agree.
    """

    length: Quantity | None
    periods: tuple[float, ...]
    measured: tuple[float | None, ...]
    within: float

    @property
    def apart(self) -> float:
        """The largest difference as a share of the period; without limit where one did not swing."""
        pairs = zip(self.periods, self.measured, strict=False)
        return max((inf if m is None else abs(m / p - 1) for p, m in pairs), default=0.0)

    @property
    def agrees(self) -> bool:
        """Whether the simulation swings as statics says, if it can."""
        return self.apart <= self.within
