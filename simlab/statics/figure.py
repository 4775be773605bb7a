"""A frame's drawn shape in an exact field: points, arms, lengths."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import pairwise

from simlab.exact.field import Element, Field
from simlab.frame.model import Frame, Link, Name, Place, Values, Vec
from simlab.frame.quantity import Quantity
from simlab.statics.velocity import Exact, dot, minus


class Figure:
    """The shape at given values, at which signs are decided; values are put for the letters `put`.

    Lengths of members are roots that no coordinate has: they are adjoined only for members whose tension
    is given or follows from their length, and for strings over pegs. `assumptions` are the elements taken
    as positive for the roots: that the shape is the one drawn.
    """

    def __init__(self, frame: Frame, values: Values, put: Collection[Name] = ()) -> None:
        self.frame = frame
        self.values = values
        self.put = frozenset(put)
        self._known = {name: values[name] for name in put}
        exact = {name: value.expr for name, value in values.items()}
        self.field = Field.containing((self._expr(q) for q in self._quantities()), exact, frame.found)
        self._adjoin_lengths()
        self.assumptions = tuple(self.field.assumptions)
        self.points = {name: self.vec(frame.points[name]) for name in self._used_points()}
        self.centres = {name: self.vec(body.centre) for name, body in frame.bodies.items()}

    def _quantities(self) -> Iterator[Quantity]:
        frame = self.frame
        for name in self._used_points():
            yield from frame.points[name]
        for body in frame.bodies.values():
            yield from (*body.centre, body.weight)
        for link in frame.links.values():
            yield from (q for q in (link.natural, link.stiffness, link.tension) if q is not None)
        for contact in frame.contacts.values():
            yield from (*contact.normal, *(contact.slips or ()))
            if contact.friction is not None:
                yield contact.friction
        for load in frame.loads.values():
            yield from load.value
        for given in frame.given:
            yield given.right
            if given.left.value is not None:
                yield given.left.value

    def _used_points(self) -> list[Name]:
        """The points at which something acts, and centres of round supports, in the frame's order."""
        frame = self.frame
        used = {joint.point for joint in frame.joints.values()}
        used |= {place.point for link in frame.links.values() for place in link.places}
        used |= {contact.on.point for contact in frame.contacts.values()}
        used |= {load.place.point for load in frame.loads.values()}
        used |= {support.centre for support in frame.supports.values() if support.centre is not None}
        return [name for name in frame.points if name in used]

    def _adjoin_lengths(self) -> None:
        self._lengths: dict[tuple[Name, Name], Element] = {}  # between the points of two places
        for link in self.frame.links.values():
            if link.over or link.is_given:
                for ends in _stretches(link):
                    first, second = (self.vec(self.frame.points[name]) for name in ends)
                    along = minus(second, first)
                    self.field, self._lengths[ends] = self.field.with_root(dot(along, along))
        self._lengths = {ends: self.field.lift(length) for ends, length in self._lengths.items()}

    def _expr(self, quantity: Quantity) -> object:
        return quantity.at(self._known).expr

    def element(self, quantity: Quantity) -> Element:
        """A quantity of the frame as an element of the field."""
        return self.field.element(self._expr(quantity))

    def vec(self, vec: Vec) -> Exact:
        """A vector of the frame as elements."""
        return self.element(vec[0]), self.element(vec[1])

    def arm(self, place: Place) -> Exact:
        """From the body's centre to the place."""
        return minus(self.points[place.point], self.centres[place.body])

    def along(self, link: Name) -> Exact:
        """From the first end of a light member to the second."""
        first, second = (self.points[place.point] for place in self.frame.links[link].ends)
        return minus(second, first)

    def stretches(self, link: Name) -> list[tuple[Exact, Element]]:
        """The straight parts of a member whose lengths are adjoined: unit vector along, length."""
        found = []
        for ends in _stretches(self.frame.links[link]):
            length = self._lengths[ends]
            x, y = minus(self.points[ends[1]], self.points[ends[0]])
            found.append(((x / length, y / length), length))
        return found

    def length(self, link: Name) -> Element:
        """The whole length of a member whose lengths are adjoined."""
        return sum((length for _, length in self.stretches(link)), self.field.zero)


def _stretches(link: Link) -> list[tuple[Name, Name]]:
    points = [place.point for place in link.places]
    return list(pairwise(points))
