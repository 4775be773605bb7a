"""Members that no joint of the engine is like: strings over pegs, and members whose tension is known.

A string that runs over smooth pegs has one tension throughout, and one length. The engine has no such
joint, but a knot does the same: a light point of the string at each peg, tied to its neighbours by bars,
which slides on the peg as on a smooth bar across the bisector of the string's two parts. With u, u' the
unit vectors along the parts and w square to u + u', the knot's balance

    - T u + T' u' + R w = 0    gives, along u + u',    T = T',

and the parts together keep their length as it slides: the engine finds both, and each force is read.
(A smooth peg presses along the bisector: common practice.) Where the string comes straight back there is
no such w.

A tension that is given, or follows from the present length, T = k (l - natural), is applied as a force
at every place of the member in every step.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from math import hypot
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

# |u + u'| of a string that comes back along itself: below it the knot would not hold the parts together,
# and rounding would be lost a million times over.
BACK = 1e-6


def parts(drawn: Drawn, link: Link) -> list[Pair]:
    """The unit vectors along the straight parts of a member, from end to end."""
    return [unit(_from_to(a, b)) for a, b in pairwise(drawn.points[p.point] for p in link.places)]


def stations(frame: Frame, link: Link) -> list[tuple[Name, Name]]:
    """Engine body and point that each end of each straight part is tied to: ends, and knots between."""
    first, last = link.ends
    between = [(knot, place.point) for knot, place in knots(link).items()]
    return [(home(frame, first), first.point), *between, (home(frame, last), last.point)]


def across(before: Pair, after: Pair) -> Pair:
    """The unit vector along which a peg pushes a string, between its parts along `before` and `after`."""
    x, y = unit((before[0] + after[0], before[1] + after[1]))
    return -y, x


def doubled_back(drawn: Drawn) -> str:
    """The first string that comes straight back over a peg, and where; nothing if none does."""
    for link in drawn.frame.links.values():
        if link.is_given:
            continue
        for (u, v), place in zip(pairwise(parts(drawn, link)), link.over, strict=True):
            if hypot(u[0] + v[0], u[1] + v[1]) < BACK:
                return f"strings such as {link.name} that come straight back over {place.point}"
    return ""


def _length(where: list[Pair]) -> float:
    return sum(hypot(*_from_to(a, b)) for a, b in pairwise(where))


def _from_to(a: Pair, b: Pair) -> Pair:
    return b[0] - a[0], b[1] - a[1]


class OverPegs:
    """A string over smooth pegs in a world.

    impulses : of its straight parts, from end to end; pegs : the bar of each peg on its knot
    """

    def __init__(self, world: World, link: Link) -> None:
        self.world = world
        self.is_slack = False
        self.off: set[int] = set()  # the pegs that it has come off
        self.ends = stations(world.frame, link)
        self.impulses = [self._part(a, b) for a, b in pairwise(self.ends)]
        turns = pairwise(parts(world.drawn, link))
        self.pegs = [
            self._peg(knot, place, across(u, v))
            for (knot, place), (u, v) in zip(knots(link).items(), turns, strict=True)
        ]

    def _part(self, first: tuple[Name, Name], second: tuple[Name, Name]) -> Impulse:
        world = self.world
        a, b = world.engine(first[0]), world.engine(second[0])
        joint = pymunk.PinJoint(a, b, world.local(*first), world.local(*second))
        world.space.add(joint)
        return Impulse(joint)

    def _peg(self, knot: Name, place: Place, way: Pair) -> Bar:
        world = self.world
        point = world.drawn.points[place.point]
        return Bar(world, knot, point, way, world.drawn.size, home(world.frame, place))

    @property
    def _joints(self) -> list[pymunk.Constraint]:
        """Everything of it in the engine."""
        pegs = [bar.joint for i, bar in enumerate(self.pegs) if i not in self.off]
        return [*(impulse.joint for impulse in self.impulses), *pegs]

    def come_off(self, peg: int) -> None:
        """Off a peg: its knot hangs free in the string."""
        self.world.space.remove(self.pegs[peg].joint)
        self.off.add(peg)

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
        if self.is_slack:
            return [(0.0, 0.0)] * (len(self.pegs) + 2)
        places = [
            self.world.engine(name).local_to_world(self.world.local(name, point))
            for name, point in self.ends
        ]
        units = [(b - a).normalized() for a, b in pairwise(places)]
        tensions = self.tensions(dt)
        on_pegs = [  # on the knots by the pegs
            (0.0, 0.0) if i in self.off else bar.push(dt)[2] for i, bar in enumerate(self.pegs)
        ]
        first, last = tensions[0] * units[0], -tensions[-1] * units[-1]
        return [(first.x, first.y), *((-x, -y) for x, y in on_pegs), (last.x, last.y)]


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
