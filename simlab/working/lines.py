"""Every force of a frame as a line of action: unknown ones between two nodes, given ones on one node."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from simlab.exact.field import Element
from simlab.frame.model import GROUND, Name, Place
from simlab.frame.quantity import Quantity
from simlab.results.forces import Key
from simlab.statics.velocity import Exact, cross, dot, minus
from simlab.working.interactions import Interactions


@dataclass(frozen=True)
class Acting:
    """A force along one line: `way` (any length) times an unknown, or (a unit vector) times a given `size`.

    It acts on `first`; if there is a `second` node, the opposite acts on that. A couple has a `turning`
    instead of a `way`. `keys` of an unknown are its reactions on the first and on the second node.
    """

    what: Name  # the connection, light member, body or load
    unknown: int | None
    size: Element | None
    first: Place
    second: Place | None
    at: Exact
    way: Exact
    turning: int = 0
    keys: tuple[Key | None, Key | None] = (None, None)
    point: Name | None = None
    factor: Quantity | None = None  # of limiting friction: it is this times the unknown normal reaction

    @property
    def is_component(self) -> bool:
        """Whether it is part of a force at one point, rather than the pull of a member between two."""
        return self.second is None or self.first.point == self.second.point

    def sense_on(self, nodes: frozenset[Name]) -> int:
        """1 if it acts on a part as it stands, -1 if the opposite does, 0 if neither, or both."""
        inside = self.first.body in nodes
        if self.second is not None and (self.second.body in nodes) == inside:
            return 0
        return 1 if inside else -1 if self.second is not None and self.second.body in nodes else 0

    def moment(self, about: Exact) -> Element | int:
        """What it turns about a point, anticlockwise, per unit of its size."""
        return self.turning or cross(minus(self.at, about), self.way)

    def along(self, way: Exact) -> Element | int:
        """Its component along a direction, per unit of its size."""
        return 0 if self.turning else dot(self.way, way)


def lines(frame: Interactions) -> list[Acting]:
    """Every force: the unknown ones in the order of the unknowns, then weights and loads."""
    return [*_unknown(frame), *_given(frame)]


def _unknown(frame: Interactions) -> Iterator[Acting]:
    nothing = frame.field.zero, frame.field.zero
    for one in frame.all:
        at, name = frame.points[one.first.point], one.first.point
        if one.size is not None:
            what, size, way = one.size
            yield Acting(what, None, size, one.first, one.second, at, way, 0, one.keys, name)
            continue
        for unknown, way in one.ways:
            what = frame.unknowns[unknown].at
            yield Acting(what, unknown, None, one.first, one.second, at, way, 0, one.keys, name)
        if one.rubbing is not None:
            (unknown, _), (way, friction) = one.ways[0], one.rubbing
            what = frame.unknowns[unknown].at
            yield Acting(what, unknown, None, one.first, one.second, at, way, 0, one.keys, name, friction)
        if one.turning is not None:
            what = frame.unknowns[one.turning].at
            yield Acting(what, one.turning, None, one.first, one.second, at, nothing, 1, one.keys, name)


def _given(frame: Interactions) -> Iterator[Acting]:
    zero, one = frame.field.zero, frame.field.one
    down: Exact = (zero, -one)
    for body in frame.frame.bodies.values():
        if not body.is_light:
            place = Place(body.name, "")
            size = frame.element(body.weight)
            point = next((p for p, at in body.points.items() if at == body.centre), None)
            yield Acting(body.name, None, size, place, None, frame.centres[body.name], down, point=point)
    for load in frame.frame.loads.values():
        place = frame.resolved(load.place)
        if place.body == GROUND:
            continue
        at = frame.points[load.place.point]
        if load.couple is not None:
            moment = frame.element(load.couple)
            turning = moment.sign()
            size, no_way = moment * turning, (zero, zero)
            yield Acting(load.name, None, size, place, None, at, no_way, turning, point=place.point)
            continue
        for size, way in _components(frame.vec(load.force), frame):
            yield Acting(load.name, None, size, place, None, at, way, point=load.place.point)


def _components(force: Exact, frame: Interactions) -> Iterator[tuple[Element, Exact]]:
    """A force as size and direction, where its size needs no new root; else across and upwards."""
    x, y = force
    size = (x * x + y * y).sqrt()
    if size is not None and not x.is_zero and not y.is_zero:
        size = size * size.sign()
        yield size, (x / size, y / size)
        return
    zero, one = frame.field.zero, frame.field.one
    for value, way in ((x, (one, zero)), (y, (zero, one))):
        sign = value.sign()
        if sign:
            yield value * sign, (way[0] * sign, way[1] * sign)
