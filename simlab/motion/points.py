"""Parts of a frame that move, and points fixed to them.

The parts are the bodies, then the pins, then the ground. Coordinates q, shape (parts - 1, 3): x, y of a
body's centre or of a pin [m] and the turn from the drawn pose [rad]; a pin does not turn. Of a point at
arm r from its part's centre, turned by the angle u at the rate w,

    P = x + R(u) r,    dP/dt = v + w k x R r,    d2P/dt2 = dv/dt + dw/dt k x R r - w^2 R r.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from simlab.frame.model import GROUND, Frame, Name, Place, Values, Vec
from simlab.results.trace import Floats

Pair = tuple[float, float]
Numbers = NDArray[np.intp]
COORDINATES = np.arange(3)  # of a part


@dataclass(frozen=True)
class Moving:
    """Every point at one moment: place `at` [m], `velocity`, acceleration by `spin` alone; (points, 2).

    `origins`, `turns` and `rates` are those of the parts, the ground's last and zero.
    """

    at: Floats
    velocity: Floats
    spin: Floats
    origins: Floats
    turns: Floats
    rates: Floats


class Points:
    """The points of a frame at given values, numbered as they are added; the ground is the last part."""

    def __init__(self, frame: Frame, values: Values) -> None:
        self.frame = frame
        self.values = values
        pins = [name for name, joint in frame.joints.items() if joint.kind == "pin"]
        self.parts: tuple[Name, ...] = (*frame.bodies, *pins, GROUND)
        self.number = {name: i for i, name in enumerate(self.parts)}
        self.ground = self.number[GROUND]
        self.drawn = {name: self.pair(vec) for name, vec in frame.points.items()}
        origins = [self.pair(body.centre) for body in frame.bodies.values()]
        origins += [self.drawn[frame.joints[pin].point] for pin in pins]
        self.start: Floats = np.array([(*xy, 0.0) for xy in origins]).reshape(-1, 3)
        self._on: list[int] = []
        self._arms: list[Pair] = []
        self.on = np.zeros(0, dtype=np.intp)
        self.arms: Floats = np.zeros((0, 2))

    def pair(self, vec: Vec) -> Pair:
        """A vector of the frame in numbers."""
        return vec[0].number(self.values), vec[1].number(self.values)

    def part(self, name: Name) -> int:
        """The number of the part that a place's body names."""
        if name not in self.number:  # a built-in joint: its rod
            name = next(body for body in self.frame.joints[name].bodies if body != GROUND)
        return self.number[name]

    def add(self, place: Place) -> int:
        """A place of the frame as a point."""
        return self.fix(self.part(place.body), self.drawn[place.point])

    def fix(self, part: int, at: Pair) -> int:
        """A point fixed to a part, given where it is drawn."""
        x, y = (0.0, 0.0) if part == self.ground else self.start[part, :2]
        self._on.append(part)
        self._arms.append((at[0] - x, at[1] - y))
        return len(self._on) - 1

    def close(self) -> None:
        """No more points will be added."""
        self.on = np.array(self._on, dtype=np.intp)
        self.arms = np.array(self._arms).reshape(-1, 2)

    def moving(self, q: Floats, v: Floats) -> Moving:
        """All points at coordinates q and their rates v, shapes (parts - 1, 3)."""
        poses, rates = np.zeros((2, len(q) + 1, 3))
        poses[:-1], rates[:-1] = q, v
        on, turn = self.on, poses[self.on, 2]
        arms = rotated(self.arms, turn)
        spin = rates[on, 2][:, None]
        return Moving(
            poses[on, :2] + arms,
            rates[on, :2] + spin * quarter(arms),
            -(spin**2) * arms,
            poses[:, :2],
            poses[:, 2],
            rates[:, 2],
        )

    def act(
        self, rows: Floats, which: Numbers, parts: Numbers, moving: Moving, at: Floats, ways: Floats
    ) -> None:
        """Add forces `ways` at places `at` on `parts` to rows over the coordinates (the ground's last).

        The same numbers are the rates at which a gap changes: F.dP/dt = F.v + (r x F) w.
        """
        if not len(which):
            return
        arm = at - moving.origins[parts]
        acting = np.empty((len(which), 3))
        acting[:, :2] = ways
        acting[:, 2] = arm[:, 0] * ways[:, 1] - arm[:, 1] * ways[:, 0]
        np.add.at(rows, (which[:, None], 3 * parts[:, None] + COORDINATES), acting)


def rotated(vectors: Floats, turns: Floats) -> Floats:
    """Vectors (n, 2) turned by angles (n,) [rad]."""
    c, s = np.cos(turns), np.sin(turns)
    x, y = vectors[:, 0], vectors[:, 1]
    turned = np.empty_like(vectors)  # filled in place: np.stack takes as long again as the sines
    turned[:, 0], turned[:, 1] = c * x - s * y, s * x + c * y
    return turned


def quarter(vectors: Floats) -> Floats:
    """Vectors (n, 2) turned by a right angle anticlockwise: k x r."""
    turned = np.empty_like(vectors)
    turned[:, 0], turned[:, 1] = -vectors[:, 1], vectors[:, 0]
    return turned


def dots(a: Floats, b: Floats) -> Floats:
    """Scalar products, row by row."""
    return np.asarray((a * b).sum(axis=1))
