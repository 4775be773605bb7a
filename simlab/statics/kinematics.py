"""What holds a frame, as equations between the velocities of its points.

    a rigid body:        (v_B - v_A).(B - A) = 0,  every other point of it by interpolation,
                         v_P = v_A + s*(v_B - v_A) + t*J(v_B - v_A)  for  P = A + s*(B - A) + t*J(B - A)
    a light member:      (v_B - v_A).(B - A) = 0,  over pegs the sum of the rates of its parts
    a contact:           (v_on - v_by).n = 0, and along the surface too where friction holds;
                         about to slip: no velocity along the whole reaction, n with mu of the tangent
    a fixed hinge:       v = 0;  built in: no turn either

J turns a vector through a right angle anticlockwise. Unknowns are the two components of the velocity of
each pin, and of two points of each body where pins do not tell them. The first road (`statics.equations`)
has no part in this.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from simlab.errors import SimlabFault
from simlab.exact.elimination import Elimination, Row, eliminate
from simlab.exact.field import Element, Field
from simlab.exact.rounding import tangible
from simlab.frame.model import GROUND, Body, Contact, Frame, Joint, Link, Name, Place, Values, Vec
from simlab.frame.quantity import Quantity
from simlab.results.virtual_work import Part
from simlab.statics.velocity import Exact, Velocity, cross, difference, dot, minus, plus


@dataclass(frozen=True)
class Hold:
    """A force of unknown size and the velocity that it forbids: row(v) = 0.

    The force works at the rate force * row(v) / sqrt(size2). What keeps a body
    rigid is a hold of part "rigid".
    """

    of: Name
    part: Part | Literal["rigid"]
    row: Row
    size2: Element


@dataclass(frozen=True)
class Pair:
    """The two points of a body by which all its velocities are told."""

    first: Exact
    along: Exact  # from the first to the second
    length2: Element
    velocities: tuple[Velocity, Velocity]


class Kinematics:
    """The holds of a frame at given values, at which signs are decided; values are put for `put`.

    `also` are further quantities that the field is to contain. `unsaid` are contacts
    about to slip of which the question does not say which way.
    """

    def __init__(
        self,
        frame: Frame,
        values: Values,
        put: Collection[Name] = (),
        also: Iterable[Quantity] = (),
    ) -> None:
        self.frame = frame
        values = {name: self._near(name, value) for name, value in values.items()}
        self._put = {name: values[name] for name in put}
        exact = {name: value.expr for name, value in values.items()}
        self.field = Field.containing((self._expr(q) for q in (*self._quantities(), *also)), exact)
        self.points = {name: self.vec(frame.points[name]) for name in _used(frame)}
        self.lengths: dict[tuple[Place, Place], Element] = {}  # where a square root cannot be avoided
        self._adjoin_lengths()
        self.size = 0  # unknown components
        self.pins: dict[Name, Velocity] = {
            name: self._unknown() for name, joint in frame.joints.items() if joint.kind == "pin"
        }
        self.holds: list[Hold] = []
        self.unsaid: list[Name] = []
        self.pairs = {body.name: self._pair(body) for body in frame.bodies.values()}
        for joint in frame.joints.values():
            self._joint(joint)
        for link in frame.links.values():
            if not link.is_given:
                self.holds.append(Hold(link.name, "tension", *self._shortening(link)))
        for contact in frame.contacts.values():
            self._contact(contact)

    # quantities as elements

    def _near(self, name: Name, value: Quantity) -> Quantity:
        """The value; of an angle that has been found to 30 figures, one in which one can compute."""
        symbol = self.frame.symbols.get(name)
        return Quantity(tangible(value.expr), value.dim) if symbol and symbol.is_angle else value

    def _quantities(self) -> Iterator[Quantity]:
        frame = self.frame
        yield from (part for name in _used(frame) for part in frame.points[name])
        for body in frame.bodies.values():
            yield from (*body.centre, body.weight)
            yield from (part for point in _spare(frame, body) for part in point)
        for contact in frame.contacts.values():
            yield from (*contact.normal, *(contact.slips or ()))
            yield from () if contact.friction is None else (contact.friction,)
        yield from (part for load in frame.loads.values() for part in load.value)
        for link in frame.links.values():
            yield from (q for q in (link.natural, link.stiffness, link.tension) if q is not None)

    @property
    def letters_of_shape(self) -> frozenset[Name]:
        """The letters on which the holds depend."""
        frame = self.frame
        shape = [part for name in _used(frame) for part in frame.points[name]]
        for body in frame.bodies.values():
            shape += [*body.centre, *(part for point in _spare(frame, body) for part in point)]
        for contact in frame.contacts.values():
            shape += [*contact.normal, *([contact.friction] if contact.friction else [])]
        return frozenset(name for quantity in shape for name in quantity.names)

    def _expr(self, quantity: Quantity) -> object:
        return quantity.at(self._put).expr

    def element(self, quantity: Quantity) -> Element:
        """A quantity of the frame as an element of the field."""
        return self.field.element(self._expr(quantity))

    def vec(self, vec: Vec) -> Exact:
        """A vector of the frame as elements."""
        return self.element(vec[0]), self.element(vec[1])

    def _adjoin_lengths(self) -> None:
        """The lengths of the parts of strings over pegs, and of elastic members."""
        for link in self.frame.links.values():
            if not link.over and link.natural is None and link.tension is None:
                continue
            for ends in zip(link.places, link.places[1:], strict=False):
                along = minus(*(self.points[place.point] for place in reversed(ends)))
                self.field, self.lengths[ends] = self.field.with_root(dot(along, along))
        self.points = {n: (self.field.lift(x), self.field.lift(y)) for n, (x, y) in self.points.items()}
        self.lengths = {ends: self.field.lift(length) for ends, length in self.lengths.items()}

    # velocities

    def _unknown(self) -> Velocity:
        self.size += 2
        return {self.size - 2: self.field.one}, {self.size - 1: self.field.one}

    def _pair(self, body: Body) -> Pair:
        """Two points of the body apart from each other, on pins if there are any; further pins follow."""
        pins = [j for j in self.frame.joints.values() if j.kind == "pin" and body.name in j.bodies]
        at: list[tuple[Exact, Velocity | None]] = [(self.points[j.point], self.pins[j.name]) for j in pins]
        at += [(self.points[p], None) for p in body.points if p in self.points]
        at += [(self.vec(body.centre), None), *((self.vec(p), None) for p in _spare(self.frame, body))]
        first, held = at[0]
        apart = [(minus(point, first), other) for point, other in at[1:]]
        apart = [(along, other) for along, other in apart if dot(along, along).sign()]
        if not apart:
            raise SimlabFault(f'the body "{body.name}" has no two points apart from each other')
        along, other = apart[0]
        ends = held or self._unknown(), other or self._unknown()
        pair = Pair(first, along, dot(along, along), ends)
        x, y = difference(ends[1], ends[0])
        self._rigid(body.name, plus((x, along[0]), (y, along[1])))
        for joint in pins:
            if self.pins[joint.name] not in ends:
                gap = difference(self.pins[joint.name], self._by(pair, self.points[joint.point]))
                self._rigid(body.name, gap[0])
                self._rigid(body.name, gap[1])
        return pair

    def _rigid(self, body: Name, row: Row) -> None:
        self.holds.append(Hold(body, "rigid", row, self.field.one))

    def _by(self, pair: Pair, point: Exact) -> Velocity:
        """The velocity of a point of a body from those of two others."""
        gap = minus(point, pair.first)
        s, t = dot(pair.along, gap) / pair.length2, cross(pair.along, gap) / pair.length2
        (ax, ay), (bx, by) = pair.velocities
        rest, one = self.field.one - s, self.field.one
        x = plus((ax, rest), (bx, s), (by, -t), (ay, t)) if not t.is_zero else plus((ax, rest), (bx, s))
        y = plus((ay, rest), (by, s), (bx, t), (ax, -t)) if not t.is_zero else plus((ay, rest), (by, s))
        return plus((x, one)), plus((y, one))

    def velocity(self, place: Place) -> Velocity:
        """The velocity of the point of a body, pin or the ground that is now at a place."""
        if place.body == GROUND:
            return {}, {}
        if place.body in self.pins:
            return self.pins[place.body]
        for joint in self.frame.joints.values():
            if joint.kind == "pin" and joint.point == place.point and place.body in joint.bodies:
                return self.pins[joint.name]
        return self._by(self.pairs[place.body], self.points[place.point])

    def velocity_of_centre(self, body: Body) -> Velocity:
        """The velocity of a body's centre."""
        return self._by(self.pairs[body.name], self.vec(body.centre))

    def turn(self, body: Name) -> Row:
        """The angular velocity of a body, anticlockwise: (B - A) x (v_B - v_A) / |B - A|^2."""
        pair = self.pairs[body]
        x, y = difference(pair.velocities[1], pair.velocities[0])
        return plus((y, pair.along[0] / pair.length2), (x, -pair.along[1] / pair.length2))

    # holds

    def _joint(self, joint: Joint) -> None:
        if GROUND not in joint.bodies:
            return
        body = next((name for name in joint.bodies if name != GROUND), joint.name)
        on = joint.name if joint.kind == "pin" else body
        x, y = self.velocity(Place(on, joint.point))
        self.holds += [
            Hold(joint.name, "across", x, self.field.one),
            Hold(joint.name, "upwards", y, self.field.one),
        ]
        if joint.kind == "built-in":
            self.holds.append(Hold(joint.name, "moment", self.turn(body), self.field.one))

    def _shortening(self, link: Link) -> tuple[Row, Element]:
        """Minus the rate of length times the length (over pegs times 1), and what it is times, squared."""
        rows = []
        for ends in zip(link.places, link.places[1:], strict=False):
            along = minus(*(self.points[place.point] for place in reversed(ends)))
            x, y = difference(self.velocity(ends[0]), self.velocity(ends[1]))
            factor = 1 / self.lengths[ends] if ends in self.lengths else self.field.one
            rows += [(x, along[0] * factor), (y, along[1] * factor)]
            size2 = self.field.one if ends in self.lengths else dot(along, along)
        return plus(*rows), size2

    def lengthening(self, link: Link) -> Row:
        """The rate of the length of a member whose tension is given."""
        return plus((self._shortening(link)[0], -self.field.one))

    def _contact(self, contact: Contact) -> None:
        if contact.about_to == "lift":
            return  # it does not push any more
        by = self.frame.under(contact)
        x, y = difference(self.velocity(contact.on), self.velocity(Place(by, contact.on.point)))
        normal = self.vec(contact.normal)
        tangent = normal[1], -normal[0]
        size2 = dot(normal, normal)
        if contact.about_to == "slip" and contact.friction is not None:
            if contact.slips is None:
                self.unsaid.append(contact.name)
                return
            way = dot(self.vec(contact.slips), tangent).sign()
            share = self.element(contact.friction) * -way
            along = normal[0] + share * tangent[0], normal[1] + share * tangent[1]
            self.holds.append(Hold(contact.name, "normal", plus((x, along[0]), (y, along[1])), size2))
            return
        self.holds.append(Hold(contact.name, "normal", plus((x, normal[0]), (y, normal[1])), size2))
        if contact.rough:
            row = plus((x, tangent[0]), (y, tangent[1]))
            self.holds.append(Hold(contact.name, "friction", row, size2))

    def motions(self, without: Hold | None = None) -> Elimination:
        """The velocities that all holds allow, or all but one: the null space of their rows."""
        rows = [hold.row for hold in self.holds if hold is not without]
        return eliminate(self.field, rows, self.size)


def _used(frame: Frame) -> tuple[Name, ...]:
    """The points at which something acts, in the frame's order."""
    used = {joint.point for joint in frame.joints.values()}
    used |= {place.point for link in frame.links.values() for place in link.places}
    used |= {contact.on.point for contact in frame.contacts.values()}
    used |= {load.place.point for load in frame.loads.values()}
    return tuple(name for name in frame.points if name in used)


def _spare(frame: Frame, body: Body) -> tuple[Vec, ...]:
    """Points to tell a turn by, for a body on which something acts at one point at most."""
    if len(set(body.points) & set(_used(frame))) > 1:
        return ()
    if body.radius is not None:
        return ((body.centre[0] + body.radius, body.centre[1]),)
    return body.outline
