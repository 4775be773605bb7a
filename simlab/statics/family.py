"""The shapes that letters to be found describe, as motions of the frame.

    v_P = dP/dq  for each point P that belongs to a body, pin or light member

A contact's point need not belong to the body: the rod slides over the peg. The body's own velocity there is
told by points that do belong to it; the contact's point may only run along the surface.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from simlab.errors import SimlabFault
from simlab.exact.derivative import derivative
from simlab.exact.elimination import Row, eliminate
from simlab.exact.field import Element
from simlab.frame.model import GROUND, Body, Frame, Name, Place, Values, Vec
from simlab.statics.kinematics import Kinematics
from simlab.statics.velocity import Exact, cross, dot, minus, on


class NoMotion(Exception):
    """The letters do not describe true motions; says why. Caught in `statics.energy`."""


class Family:
    """The motion for each letter of the shape that is to be found, as velocities of its `Kinematics`.

    `covers`: these are all the motions of the frame at the values, but for discs that spin on the spot.
    `loose`: members whose tension is given change their length, or an elastic string is just taut.
    Raises NoMotion where a letter describes shapes of which one cannot move into the next.
    """

    def __init__(self, frame: Frame, values: Values) -> None:
        self.frame = frame
        corners = [part for body in frame.bodies.values() for corner in body.outline for part in corner]
        self.kinematics = Kinematics(frame, values, also=corners)
        self.field = self.kinematics.field
        for contact in frame.contacts.values():
            if contact.about_to == "slip":
                raise NoMotion(f"friction acts at {contact.name}")
        self.motions: Mapping[Name, Row] = {
            q: motion for q in frame.found if (motion := self._motion(q)) is not None
        }

    def _rate(self, point: Exact, q: Name) -> Exact:
        return derivative(point[0], q), derivative(point[1], q)

    def _motion(self, q: Name) -> Row | None:
        """The velocities for a unit of q, proved to be a motion; None if the shape does not depend on q."""
        kinematics, moved = self.kinematics, False
        motion: dict[int, Element] = {}
        rates = {name: self._rate(point, q) for name, point in kinematics.points.items()}
        for name, velocity in kinematics.pins.items():
            _put(motion, velocity, rates[self.frame.joints[name].point])
        for body in self.frame.bodies.values():
            moves = self._of_body(body, q)
            pair = kinematics.pairs[body.name]
            second = pair.first[0] + pair.along[0], pair.first[1] + pair.along[1]
            for velocity, point in zip(pair.velocities, (pair.first, second), strict=True):
                if not any(velocity is pin for pin in kinematics.pins.values()):
                    _put(motion, velocity, moves.at(point))
            moved = moved or not moves.is_rest
        moved = moved or any(not part.is_zero for rate in rates.values() for part in rate)
        if not moved:
            return None
        self._prove(q, motion, rates)
        return motion

    def _of_body(self, body: Body, q: Name) -> _Moves:
        """How a body moves, from two points that belong to it."""
        own = [self.kinematics.vec(point) for point in self._own(body)]
        first = own[0]
        rate = self._rate(first, q)
        others = [point for point in own if dot(minus(point, first), minus(point, first)).sign()]
        if not others:
            if body.radius is None:
                raise NoMotion(f"how {body.name} turns is not told by its points")
            return _Moves(first, rate, self.field.zero)  # a disc: how it turns does not matter
        along = minus(others[0], first)
        change = minus(self._rate(others[0], q), rate)
        if not dot(along, change).is_zero:
            raise NoMotion(f"{body.name} would not keep its length as {q} changes")
        moves = _Moves(first, rate, cross(along, change) / dot(along, along))
        for point in self._surely_own(body):
            self._agree(
                self._rate(self.kinematics.vec(point), q), moves.at(self.kinematics.vec(point)), body, q
            )
        return moves

    def _agree(self, rate: Exact, velocity: Exact, body: Body, q: Name) -> None:
        if any(not part.is_zero for part in minus(rate, velocity)):
            raise NoMotion(f"a point of {body.name} would not stay in its place on it as {q} changes")

    def _surely_own(self, body: Body) -> list[Vec]:
        """The centre of a body and the points of it that are joined, tied or loaded."""
        frame = self.frame
        names = [j.point for j in frame.joints.values() if body.name in j.bodies]
        names += [p.point for link in frame.links.values() for p in link.places if p.body == body.name]
        names += [load.place.point for load in frame.loads.values() if load.place.body == body.name]
        own = [frame.points[name] for name in names] + [body.centre]
        return own + list(body.outline) if body.kind == "rod" else own

    def _own(self, body: Body) -> list[Vec]:
        """The same, and last of all corners; those at which only something else touches come at the end."""
        touched = [self.frame.points[c.on.point] for c in self.frame.contacts.values()]
        corners = sorted(body.outline, key=lambda corner: corner in touched)
        return self._surely_own(body) + corners

    def _prove(self, q: Name, motion: Row, rates: Mapping[Name, Exact]) -> None:
        """Every hold is obeyed, and contacts stay where the surfaces touch."""
        kinematics, zero = self.kinematics, self.field.zero
        for place in self._places():
            velocity = rates[place.point]
            x, y = (on(row, motion, zero) for row in kinematics.velocity(place))
            if not (velocity[0] - x).is_zero or not (velocity[1] - y).is_zero:
                raise NoMotion(f"{place.point} would not stay in its place on {place.body} as {q} changes")
        for hold in kinematics.holds:
            if not on(hold.row, motion, zero).is_zero:
                what = "friction acts at" if hold.part == "friction" else "the shape would strain"
                raise NoMotion(f"{what} {hold.of} as {q} changes")
        for contact in self.frame.contacts.values():
            normal = kinematics.vec(contact.normal)
            x, y = (on(row, motion, zero) for row in kinematics.velocity(contact.on))
            rate = rates[contact.on.point]
            if not dot((rate[0] - x, rate[1] - y), normal).is_zero:
                raise NoMotion(f"{contact.on.body} would leave the contact {contact.name} as {q} changes")

    def _places(self) -> Iterator[Place]:
        """Places that belong to what they are on."""
        for joint in self.frame.joints.values():
            if GROUND in joint.bodies:
                yield Place(GROUND, joint.point)
        for link in self.frame.links.values():
            yield from link.places
        yield from (load.place for load in self.frame.loads.values())

    @property
    def covers(self) -> bool:
        """Whether the frame has no other motions at the values."""
        every = self.kinematics.motions()
        if every.vanishing is not None:
            return False
        known = [*self.motions.values(), *self._spins()]
        return eliminate(self.field, known, self.kinematics.size).rank == len(every.null_space)

    def _spins(self) -> Iterator[Row]:
        """Discs turning about their centres with nothing on them that would move or hold them."""
        kinematics, zero = self.kinematics, self.field.zero
        for body in self.frame.bodies.values():
            if body.radius is None or any(body.name in j.bodies for j in self.frame.joints.values()):
                continue
            moves = _Moves(kinematics.vec(body.centre), (zero, zero), self.field.one)
            pair = kinematics.pairs[body.name]
            second = pair.first[0] + pair.along[0], pair.first[1] + pair.along[1]
            motion: dict[int, Element] = {}
            for velocity, point in zip(pair.velocities, (pair.first, second), strict=True):
                _put(motion, velocity, moves.at(point))
            loaded = any(load.place.body == body.name for load in self.frame.loads.values())
            if not loaded and all(on(hold.row, motion, zero).is_zero for hold in kinematics.holds):
                yield motion

    @property
    def loose(self) -> bool:
        """Whether a member whose tension is given changes its length, or an elastic string is just taut."""
        zero = self.field.zero
        for link in self.frame.links.values():
            if not link.is_given:
                continue
            rate = self.kinematics.lengthening(link)
            changes = any(not on(rate, motion, zero).is_zero for motion in self.motions.values())
            if changes and (link.tension is not None or self._is_just_taut(link.name)):
                return True
        return False

    def _is_just_taut(self, name: Name) -> bool:
        link = self.frame.links[name]
        if link.kind != "elastic string" or link.natural is None:
            return False
        parts = zip(link.places, link.places[1:], strict=False)
        length = sum((self.kinematics.lengths[ends] for ends in parts), self.field.zero)
        return (length - self.kinematics.element(link.natural)).sign() == 0


class _Moves:
    """The motion of a rigid body: the velocity of one of its points, and its turn."""

    def __init__(self, point: Exact, rate: Exact, turn: Element) -> None:
        self.point, self.rate, self.turn = point, rate, turn

    def at(self, point: Exact) -> Exact:
        """v + w x r."""
        arm = minus(point, self.point)
        return self.rate[0] - self.turn * arm[1], self.rate[1] + self.turn * arm[0]

    @property
    def is_rest(self) -> bool:
        """Whether it does not move."""
        return self.turn.is_zero and all(part.is_zero for part in self.rate)


def _put(motion: dict[int, Element], velocity: tuple[Row, Row], rate: Exact) -> None:
    """Give the two unknown components of a velocity their values."""
    for row, part in zip(velocity, rate, strict=True):
        if len(row) != 1:
            raise SimlabFault("a velocity that is told by others is given a value")
        motion[next(iter(row))] = part
