"""Members that no joint of the engine is like: strings over pegs, and members whose tension is known.

A string that runs over smooth pegs has one tension throughout, and one length. The engine has no such
joint, but knots do the same: light points of the string at each peg, tied to their neighbours by bars,
each of which slides on the peg as on a smooth bar across the bisector of the string's two parts there. With
u, u' the unit vectors along the parts and w square to u + u', a knot's balance

    - T u + T' u' + R w = 0    gives, along u + u',    T = T',

and the parts together keep their length as it slides: the engine finds both, and each force is read. (A
smooth peg presses along the bisector: common practice.) There are two knots at each peg, so that each
turns the string by half of its bend, and a string that comes straight back is held too; the part between
them has no length, but a direction.

A tension that is given, or follows from the present length, T = k (l - natural), is applied as a force
at every place of the member in every step.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import atan2, cos, hypot, sin
from typing import TYPE_CHECKING

import pymunk

from simlab.errors import BadInput
from simlab.frame.model import GROUND, Frame, Link, Name, Place
from simlab.simulation.bars import Bar
from simlab.simulation.drawn import Drawn, Pair, unit
from simlab.simulation.impulses import Impulse
from simlab.simulation.masses import home, knots
from simlab.simulation.poses import push

if TYPE_CHECKING:
    from simlab.simulation.world import World

KNOTS = 2  # at each peg


def parts(drawn: Drawn, link: Link) -> list[Pair]:
    """The unit vectors along the parts of a member, from end to end: straight ones, and those at pegs."""
    ways = [unit(_from_to(a, b)) for a, b in pairwise(drawn.points[p.point] for p in link.places)]
    return bent(ways, [bend(u, v) for u, v in pairwise(ways)] if not link.is_given else [])


def bend(before: Pair, after: Pair) -> float:
    """The angle by which a string turns at a peg, anticlockwise [rad], at most half a turn."""
    (ux, uy), (vx, vy) = before, after
    return atan2(ux * vy - uy * vx, ux * vx + uy * vy)


def bent(ways: list[Pair], bends: list[float]) -> list[Pair]:
    """The straight parts of a string, and after each but the last its part at the peg, half a bend on."""
    found = list(ways[:1])
    for (x, y), angle, after in zip(ways, bends, ways[1:], strict=False):
        c, s = cos(angle / 2), sin(angle / 2)
        found += [(c * x - s * y, s * x + c * y), after]
    return found


def stations(frame: Frame, link: Link) -> list[tuple[Name, Name]]:
    """Engine body and point that each end of each straight part is tied to: ends, and knots between."""
    first, last = link.ends
    between = [(knot, place.point) for knot, place in knots(link).items()]
    return [(home(frame, first), first.point), *between, (home(frame, last), last.point)]


def across(before: Pair, after: Pair) -> Pair:
    """The unit vector along which a peg pushes a string, between its parts along `before` and `after`."""
    x, y = unit((before[0] + after[0], before[1] + after[1]))
    return -y, x


def _length(where: list[Pair]) -> float:
    return sum(hypot(*_from_to(a, b)) for a, b in pairwise(where))


def _from_to(a: Pair, b: Pair) -> Pair:
    return b[0] - a[0], b[1] - a[1]


class OverPegs:
    """A string over smooth pegs in a world.

    impulses : of its parts, from end to end, those at the pegs among them; pegs : the bar of the peg on
    each knot; over : which of its pegs it still runs over; is_slack : out of the engine
    """

    def __init__(self, world: World, link: Link) -> None:
        self.world, self.link = world, link
        self.is_slack = False
        self.over = list(range(len(link.over)))
        self.ends = stations(world.frame, link)
        ways = parts(world.drawn, link)
        self.impulses = [
            self._part(i, *ends, way)
            for i, (ends, way) in enumerate(zip(pairwise(self.ends), ways, strict=True))
        ]
        self.pegs = [
            self._peg(knot, place, across(u, v))
            for (knot, place), (u, v) in zip(knots(link).items(), pairwise(ways), strict=True)
        ]

    def _part(self, i: int, first: tuple[Name, Name], second: tuple[Name, Name], way: Pair) -> Impulse:
        world = self.world
        a, b = world.engine(first[0]), world.engine(second[0])
        anchors = world.local(*first), world.local(*second)
        if i % KNOTS:  # between two knots: it has a direction, but no length
            anchors = (0.0, 0.0), (way[0] * world.drawn.size, way[1] * world.drawn.size)
        joint = pymunk.PinJoint(a, b, *anchors)
        world.space.add(joint)
        return Impulse(joint)

    def _peg(self, knot: Name, place: Place, way: Pair) -> Bar:
        world = self.world
        point = world.drawn.points[place.point]
        return Bar(world, knot, point, way, world.drawn.size, home(world.frame, place))

    @property
    def _joints(self) -> list[pymunk.Constraint]:
        """Everything of it in the engine."""
        return [*(impulse.joint for impulse in self.impulses), *(bar.joint for bar in self.pegs)]

    def come_off(self, k: int) -> None:
        """Off the k-th of the pegs that it still runs over: straight from neighbour to neighbour."""
        first, last = 2 * k, 2 * k + KNOTS + 1  # the parts before, at and after the peg
        gone = [impulse.joint for impulse in self.impulses[first:last]]
        (a, p), (b, q) = self.ends[first], self.ends[last]
        joint = pymunk.PinJoint(
            self.world.engine(a), self.world.engine(b), self.world.local(a, p), self.world.local(b, q)
        )
        joint.error_bias, joint.max_force = gone[0].error_bias, gone[0].max_force
        self.world.space.remove(*gone, *(bar.joint for bar in self.pegs[first : first + KNOTS]))
        self.world.space.add(joint)
        self.impulses[first:last] = [Impulse(joint)]
        del self.ends[first + 1 : last], self.pegs[first : first + KNOTS], self.over[k]

    def slacken(self) -> None:
        """Out of the engine: it carries nothing."""
        self.world.space.remove(*self._joints)
        self.is_slack = True

    def tighten(self, like: pymunk.Constraint) -> None:
        """Back into the engine, as stiff as another joint is now."""
        for joint in self._joints:
            joint.error_bias, joint.max_force = like.error_bias, like.max_force
            self.world.space.add(joint)
        self.is_slack = False

    def tensions(self, dt: float) -> list[float]:
        """The tension in each straight part in the last step [N]: all the same, once it rests."""
        if self.is_slack:
            return [0.0] * len(self.impulses)
        return [-impulse.read()[0] / dt for impulse in self.impulses]

    def pulls(self, dt: float) -> list[Pair]:
        """The force on each of its places in the last step [N], from end to end."""
        pulls = [(0.0, 0.0)] * len(self.link.places)
        if self.is_slack:
            return pulls
        places = [
            self.world.engine(name).local_to_world(self.world.local(name, point))
            for name, point in self.ends
        ]
        tensions = self.tensions(dt)
        first = tensions[0] * (places[1] - places[0]).normalized()
        last = tensions[-1] * (places[-2] - places[-1]).normalized()
        pulls[0], pulls[-1] = (first.x, first.y), (last.x, last.y)
        for k, peg in enumerate(self.over):
            pushes = [bar.push(dt)[2] for bar in self.pegs[KNOTS * k : KNOTS * (k + 1)]]  # on its knots
            pulls[peg + 1] = (-sum(x for x, _ in pushes), -sum(y for _, y in pushes))
        return pulls


class Known:
    """A member whose tension is given, or follows from its present length."""

    def __init__(self, world: World, link: Link) -> None:
        self.world = world
        self.link = link

    def tension(self) -> float:
        """The tension at the present length [N]."""
        return tension(self.world.drawn, self.link, _length(self._where()))

    def _where(self, dt: float = 0.0) -> list[Pair]:
        return [self.world.where(place, dt) for place in self.link.places]

    def energy(self) -> float:
        """The energy that it holds at its length l [J]: (l - natural) T / 2, or T l where T is given."""
        length = _length(self._where())
        pull = tension(self.world.drawn, self.link, length)
        if self.link.natural is None:
            return pull * length
        return pull * (length - self.world.drawn.number(self.link.natural)) / 2

    def pulls(self, dt: float = 0.0) -> list[Pair]:
        """The force on each of its places [N], from end to end, now or a time dt from now."""
        where = self._where(dt)
        size = tension(self.world.drawn, self.link, _length(where))
        units = [(0.0, 0.0), *(unit(_from_to(a, b)) for a, b in pairwise(where)), (0.0, 0.0)]
        return [(size * (v[0] - u[0]), size * (v[1] - u[1])) for u, v in pairwise(units)]

    def apply(self, dt: float) -> None:
        """Give these forces to the engine for the next step."""
        for place, force in zip(self.link.places, self.pulls(dt), strict=True):
            name = home(self.world.frame, place)
            if name != GROUND:
                push(self.world.engine(name), self.world.local(name, place.point), force, dt)


def tension(drawn: Drawn, link: Link, length: float) -> float:
    """The tension of a member of known tension at a length [N]."""
    if link.tension is not None:
        return drawn.number(link.tension)
    if link.natural is None or link.stiffness is None:
        raise BadInput(f'"{link.name}" has a natural length, but no stiffness: give it')
    pull = drawn.number(link.stiffness) * (length - drawn.number(link.natural))
    return max(pull, 0.0) if link.kind == "elastic string" else pull


def known_tensions(drawn: Drawn) -> Mapping[Name, float]:
    """The tension in the drawn shape [N] of every member of which it is known."""
    return dict(_known(drawn))


def _known(drawn: Drawn) -> Iterator[tuple[Name, float]]:
    for link in drawn.frame.links.values():
        if link.is_given:
            points = [drawn.points[place.point] for place in link.places]
            yield link.name, tension(drawn, link, _length(points))
