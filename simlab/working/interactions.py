"""What a pupil sees when a frame is taken apart: bodies and pins, and the forces between them.

A pin that joins just two bodies and carries nothing is no part of its own: the two act on each other there.
A light rod that is held at two points only is a light member: the forces at its ends are along it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from simlab.errors import SimlabFault
from simlab.exact.element import Element
from simlab.exact.form import textbook
from simlab.frame.model import GROUND, Contact, Frame, Joint, Link, Name, Place, Values
from simlab.frame.quantity import Quantity
from simlab.results.forces import Key
from simlab.results.statics import Statics
from simlab.statics.figure import Figure
from simlab.statics.velocity import Exact, dot, minus

Share = Literal["across", "upwards", "normal", "friction", "moment", "pull"]


@dataclass(frozen=True)
class Unknown:
    """One scalar to be found: a component of the force at a connection, or a light member's pull.

    `at`: the connection (a pin, contact, built-in end) or the light member; `on`: the body or pin on which
    a component is counted ("" for a light member).
    """

    at: Name
    on: Name
    share: Share


@dataclass(frozen=True)
class Interaction:
    """Equal and opposite forces between two nodes.

    On the `first` acts unknown * way for each of `ways`, the opposite on the `second`; ways may have any
    length, so that no square roots are needed. `turning`: the unknown that is a moment on the first.
    `rubbing`: of a contact about to slip, the way of its friction on the first, and the coefficient.
    `size`: where the force is given, it is that times the one way, and there is no unknown.
    """

    first: Place  # node (a body, a pin or the ground) and point
    second: Place
    ways: tuple[tuple[int, Exact], ...]
    keys: tuple[Key | None, Key | None]  # of the reaction on the first and on the second node
    turning: int | None = None
    rubbing: tuple[Exact, Quantity] | None = None
    size: tuple[Name, Element, Exact] | None = None


class Interactions(Figure):
    """The nodes of a frame, the interactions between them, and the unknowns, in the frame's order.

    `frame`: the one with the letters in it that were found in `statics`, if those are to be worked out;
    tensions that follow from a length are then taken as known (`by_law` does so in any case). `known`:
    forces that the question gives, by contact or member.
    """

    def __init__(
        self,
        statics: Statics,
        frame: Frame | None = None,
        values: Values | None = None,
        known: Mapping[Name, Quantity] | None = None,
        by_law: bool = False,
    ) -> None:
        put = frozenset(statics.values) if statics.only_here and frame is None else ()
        super().__init__(frame or statics.frame, values or statics.values, put)
        self.statics = statics
        self.by_length = frame is not None
        self.by_law = by_law or frame is not None
        self.known = dict(known or {})
        self._printed: dict[tuple[int, Element], Quantity] = {}  # one memory for all workings
        self.light = {name for name in self.frame.bodies if is_light_member(self.frame, name)}
        self.unknowns: list[Unknown] = []
        self.all: list[Interaction] = []
        self.pins = [name for name in self.frame.joints if self._is_node(self.frame.joints[name])]
        self.nodes: list[Name] = [name for name in self.frame.bodies if name not in self.light]
        self.nodes += self.pins
        for joint in self.frame.joints.values():
            self._add_joint(joint)
        for link in self.frame.links.values():
            self._add_link(link)
        for body in self.frame.bodies:
            if body in self.light:
                self._add_light_rod(body)
        self._add_contacts()

    def printed(self, element: Element) -> Quantity:
        """An element in textbook form."""
        key = id(element.field), element
        if key not in self._printed:
            self._printed[key] = Quantity(textbook(element))
        return self._printed[key]

    def unit(self, vector: Exact) -> Exact:
        """The unit vector along a vector; its length is adjoined to the field."""
        square = dot(vector, vector)
        if square == 1:
            return vector
        self.field, length = self.field.with_root(square)
        return vector[0] / length, vector[1] / length

    # nodes

    def _partners(self, joint: Joint) -> list[Name]:
        return [body for body in joint.bodies if body not in self.light]

    def _loaded(self, joint: Joint) -> int:
        """How many things besides bodies and the ground are on a pin."""
        frame, pin = self.frame, joint.name
        tied = sum(place.body == pin for link in frame.links.values() for place in link.places)
        tied += sum(load.place.body == pin for load in frame.loads.values())
        tied += sum(contact.on.body == pin for contact in frame.contacts.values())
        return tied + sum(body in self.light for body in joint.bodies)

    def _is_node(self, joint: Joint) -> bool:
        """Whether a pin is looked at by itself."""
        if joint.kind != "pin":
            return False
        partners, loaded = self._partners(joint), self._loaded(joint)
        if len(partners) == 1:  # whatever is on the pin is on its one body; on the ground it is held
            return partners[0] == GROUND and loaded > 1
        return len(partners) != 2 or loaded > 0

    def resolved(self, place: Place) -> Place:
        """The node that a place belongs to: a pin that is no node is its one body (or the ground)."""
        joint = self.frame.joints.get(place.body)
        if place.body in self.frame.bodies or joint is None or place.body in self.pins:
            return place
        return Place(self._partners(joint)[0], place.point)

    # interactions

    def _unknown(self, at: Name, on: Name, share: Share) -> int:
        self.unknowns.append(Unknown(at, on, share))
        return len(self.unknowns) - 1

    def _components(self, at: Name, on: Name) -> tuple[tuple[int, Exact], ...]:
        one, zero = self.field.one, self.field.zero
        across, upwards = self._unknown(at, on, "across"), self._unknown(at, on, "upwards")
        return (across, (one, zero)), (upwards, (zero, one))

    def _add_joint(self, joint: Joint) -> None:
        point = joint.point
        if joint.kind == "built-in":
            body = next(body for body in joint.bodies if body != GROUND)
            ways = self._components(joint.name, body)
            turning = self._unknown(joint.name, body, "moment")
            keys = Key(body, joint.name, GROUND), None
            self._between(Place(body, point), Place(GROUND, point), ways, keys, turning)
            return
        partners = self._partners(joint)
        if joint.name in self.pins:
            for body in partners:
                on = joint.name if body == GROUND else body
                ways = self._components(joint.name, on)
                key = Key(on, joint.name, GROUND if body == GROUND else joint.name)
                other = GROUND if body == GROUND else joint.name
                self._between(Place(on, point), Place(other, point), ways, (key, None))
        elif len(partners) == 2:
            first, second = sorted(partners, key=lambda body: body == GROUND)
            ways = self._components(joint.name, first)
            on_first = Key(first, joint.name, joint.name)
            on_second = None if second == GROUND else Key(second, joint.name, joint.name)
            self._between(Place(first, point), Place(second, point), ways, (on_first, on_second))

    def _between(
        self,
        first: Place,
        second: Place,
        ways: tuple[tuple[int, Exact], ...],
        keys: tuple[Key | None, Key | None],
        turning: int | None = None,
    ) -> None:
        if first.body != second.body:
            self.all.append(Interaction(first, second, ways, keys, turning))

    def _add_link(self, link: Link) -> None:
        follows = self.by_law and link.natural is not None
        if link.tension is not None or follows or link.name in self.known:
            self._add_given(link)
            return
        unknown = self._unknown(link.name, "", "pull")
        units = [unit for unit, _ in self.stretches(link.name)] if link.over else [self.along(link.name)]
        for (a, b), unit in zip(pairwise(link.places), units, strict=True):
            first, second = self.resolved(a), self.resolved(b)
            keys = [None if p.body == GROUND else Key.of_member(link.name, p) for p in (a, b)]
            self._between(first, second, ((unknown, unit),), (keys[0], keys[1]))

    def _add_given(self, link: Link) -> None:
        """A member whose tension is given, or follows from its length (Hooke's law)."""
        if link.name in self.known:
            size = self.element(self.known[link.name])
        elif link.tension is not None:
            size = self.element(link.tension)
        elif link.natural is not None and link.stiffness is not None:
            size = self.element(link.stiffness) * (self.length(link.name) - self.element(link.natural))
        else:
            raise SimlabFault(f"the tension of {link.name} does not follow from its length")
        for a, b in pairwise(link.places):
            unit = self.unit(minus(self.points[b.point], self.points[a.point]))
            first, second = self.resolved(a), self.resolved(b)
            keys = [None if p.body == GROUND else Key.of_member(link.name, p) for p in (a, b)]
            if first.body != second.body:
                given = link.name, size, unit
                self.all.append(Interaction(first, second, (), (keys[0], keys[1]), size=given))

    def _add_light_rod(self, body: Name) -> None:
        unknown = self._unknown(body, "", "pull")
        joints = [joint for joint in self.frame.joints.values() if body in joint.bodies]
        places = [self._end(joint, body) for joint in joints]
        along = minus(self.points[joints[1].point], self.points[joints[0].point])
        keys = [
            None if p.body == GROUND else Key(body, j.name, j.name)
            for p, j in zip(places, joints, strict=True)
        ]
        self._between(places[0], places[1], ((unknown, along),), (keys[0], keys[1]))

    def _end(self, joint: Joint, body: Name) -> Place:
        """What a light rod is held by at a hinge."""
        if joint.name in self.pins:
            return Place(joint.name, joint.point)
        other = next(partner for partner in self._partners(joint) if partner != body)
        return Place(other, joint.point)

    def _add_contacts(self) -> None:
        for contact in self.frame.contacts.values():
            if contact.about_to == "lift":
                continue  # it touches without pushing
            on, by = self.resolved(contact.on), self.frame.under(contact)
            x, y = self.vec(contact.normal)
            if contact.name in self.known:
                size = contact.name, self.element(self.known[contact.name]), self.unit((x, y))
                key = Key.of(contact)
                by_key = None if by == GROUND else key
                given = Interaction(on, Place(by, contact.on.point), (), (key, by_key), size=size)
                self.all.append(given)
                continue
            ways = [(self._unknown(contact.name, on.body, "normal"), (x, y))]
            rubbing = None
            if contact.is_limiting and contact.friction is not None:
                sign = self._rubs(contact)
                rubbing = (y * sign, -x * sign), contact.friction
            elif contact.rough:
                ways.append((self._unknown(contact.name, on.body, "friction"), (y, -x)))
            key = Key.of(contact)
            keys = key, None if by == GROUND else key
            if on.body != by:
                one = Interaction(on, Place(by, contact.on.point), tuple(ways), keys, None, rubbing)
                self.all.append(one)

    def _rubs(self, contact: Contact) -> int:
        """Whether friction acts along the tangent (the normal turned clockwise) or against it."""
        values = self.statics.values
        force = self.statics.case.forces.reactions[Key.of(contact)].force
        x, y = (part.number({**self.values, **values}) for part in contact.normal)
        fx, fy = (part.number(values) for part in force)
        return 1 if fx * y - fy * x >= 0 else -1


def is_light_member(frame: Frame, name: Name) -> bool:
    """Whether a body is a light rod on which nothing acts but two hinges."""
    body = frame.bodies[name]
    joints = [joint for joint in frame.joints.values() if name in joint.bodies]
    loose = all(joint.kind == "pin" for joint in joints) and len(joints) == 2
    places = [place for link in frame.links.values() for place in link.places]
    places += [load.place for load in frame.loads.values()]
    places += [contact.on for contact in frame.contacts.values()]
    touched = any(contact.by == name for contact in frame.contacts.values())
    return body.is_light and loose and not touched and all(place.body != name for place in places)
