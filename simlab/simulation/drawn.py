"""The drawn shape in numbers: everything the engine needs to know about a frame."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from simlab.frame.model import Frame, Name, Values, Vec
from simlab.frame.quantity import Quantity

Pair = tuple[float, float]


class Drawn:
    """A frame at given values, in metres and newtons.

    points, centres : (x, y) [m] by name of point, of body; weights [N], gyrations2 [m^2] and, of discs,
    radii [m] by body; loads (x, y) [N] and couples [N m] by load; normals, unit vectors, by contact;
    gravity [m/s^2]; size, the larger side of the box around all points [m]; lengths, likewise of each body
    [m], and shortest, the least of them.
    """

    def __init__(self, frame: Frame, values: Values, known: dict[Any, float] | None = None) -> None:
        self.frame = frame
        self.values = values
        self._known = {} if known is None else known  # many coordinates share an expression
        self.points: Mapping[Name, Pair] = {name: self.pair(p) for name, p in frame.points.items()}
        self.centres = {name: self.pair(body.centre) for name, body in frame.bodies.items()}
        self.outlines = {
            name: [self.pair(corner) for corner in body.outline] for name, body in frame.bodies.items()
        }
        self.weights = {name: self.number(body.weight) for name, body in frame.bodies.items()}
        self.gyrations2 = {
            name: None if body.gyration2 is None else self.number(body.gyration2)
            for name, body in frame.bodies.items()
        }
        self.radii = {
            name: self.number(body.radius) for name, body in frame.bodies.items() if body.radius is not None
        }
        self.loads = {name: self.pair(load.force) for name, load in frame.loads.items()}
        self.couples = {
            name: self.number(load.couple) for name, load in frame.loads.items() if load.couple is not None
        }
        self.normals = {name: unit(self.pair(contact.normal)) for name, contact in frame.contacts.items()}
        self.gravity = self.number(frame.gravity)
        self.size = _box(self.points.values())
        self.lengths = {name: _box(outline) for name, outline in self.outlines.items() if outline}
        self.lengths |= {name: 2 * radius for name, radius in self.radii.items()}
        self.shortest = min(self.lengths.values(), default=self.size)

    def of(self, frame: Frame) -> Drawn:
        """Another frame at the same values, such as this one with a member less."""
        return Drawn(frame, self.values, self._known)  # its expressions are mostly known, and slow to find

    def number(self, quantity: Quantity) -> float:
        """A quantity at the values, as the nearest double."""
        if quantity.expr not in self._known:
            self._known[quantity.expr] = quantity.number(self.values)
        return self._known[quantity.expr]

    def pair(self, vector: Vec) -> Pair:
        """A vector at the values."""
        return self.number(vector[0]), self.number(vector[1])


def unit(vector: Pair) -> Pair:
    """The vector of length 1 in the same direction."""
    length = (vector[0] ** 2 + vector[1] ** 2) ** 0.5
    return vector[0] / length, vector[1] / length


def _box(points: Any) -> float:
    """The larger side of the box around some points."""
    xs, ys = zip(*points, strict=True)
    return max(max(xs) - min(xs), max(ys) - min(ys)) or 1.0
