"""Lanterns: extra weights that the watcher hangs on a frame."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from simlab.frame.change import hanging_place, with_weight
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import FORCE, Quantity

HALF = Quantity.of(Fraction(1, 2))
ALONE = 10  # [N] of a lantern on a frame in which nothing has weight


def lantern_for(frame: Frame, values: Values) -> Quantity:
    """The weight of one lantern [N]: half that of the heaviest body, or of the heaviest load."""
    weights = [body.weight for body in frame.bodies.values() if not body.is_light]
    weights = weights or [load.value[0] for load in frame.loads.values() if load.kind == "weight"]
    heaviest = max(weights, key=lambda weight: weight.number(values), default=None)
    return Quantity.of(ALONE, FORCE) if heaviest is None else heaviest * HALF


def hooks(frame: Frame) -> tuple[Name, ...]:
    """The points at which a lantern can be hung: hinges that can move, and free ends of rods."""
    hinges = [joint.point for joint in frame.joints.values() if hanging_place(frame, joint.point)]
    ends = []
    for body in frame.bodies.values():
        corners = [name for name, at in body.points.items() if at in body.outline]
        ends += [name for name in corners if hanging_place(frame, name)]
    return tuple(dict.fromkeys([*hinges, *ends]))


def hung(frame: Frame, lanterns: Mapping[Name, int], lantern: Quantity) -> Frame:
    """The frame with so many lanterns at each point, in the letters of its weights."""
    for point, count in lanterns.items():
        frame = with_weight(frame, _name(frame, point), point, lantern * Quantity.of(count))
    return frame


def _name(frame: Frame, point: Name) -> Name:
    """A name that no load of the question has."""
    name = f"lantern_at_{point}"
    while name in frame.loads:
        name = f"extra_{name}"
    return name
