"""A string over smooth pegs in the showing: it runs, goes slack and taut, comes off a peg, and jams.

Before every step each knot is put back on its peg, the bar under it across the bisector of the string as it
will then be, and the straight parts share the error of the whole length: so the knot hands on the speed of
the string from part to part. What its mass would need for that,

    m a    (a by the last two steps),

is given to it, so that it takes none of the string's tension.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

import pymunk

from simlab.frame.model import Link
from simlab.results import Event
from simlab.simulation.drawn import Pair
from simlab.simulation.masses import home, knots
from simlab.simulation.poses import ahead, local
from simlab.simulation.strings import across
from simlab.simulation.world import World

WRONG = 1e-6  # of the total weight: a push of less is rounding
# A string that went slack comes taut only once it has been this loose, in frame sizes: nearer, the
# velocities of the middle of a step still stretch it.
CLEAR = 1e-5
JAMMED = 0.02  # of the frame's size, or half of the drawn part if that is less: its end is then at the peg


class Running:
    """A string over pegs that moves.

    length : of the whole [m]; stops : joints that keep its ends off the pegs
    """

    def __init__(self, world: World, link: Link, step: float, total: float) -> None:
        self.world, self.link, self.step = world, link, step
        self.string = world.strings[link.name]
        self.least = WRONG * total
        self.knots = [world.bodies[knot] for knot in knots(link)]
        stations = self._stations(0.0)
        self.length = sum(_lengths(stations))
        self.sides = _turns(stations)
        self.stops = [self._stop(0, stations), self._stop(-1, stations)]
        self._speeds: list[Pair] = []
        self._wrong = 0
        self._is_jammed = self._was_loose = False

    def _stop(self, end: int, stations: list[Pair]) -> pymunk.SlideJoint:
        """Between an end and its next peg."""
        places, points = self.link.places, self.world.drawn.points
        if end == -1:
            places, stations = places[::-1], stations[::-1]
        least = min(JAMMED * self.world.drawn.size, _lengths(stations)[0] / 2)
        names = [home(self.world.frame, place) for place in places[:2]]
        anchors = [
            self.world.at(name, points[place.point]) for name, place in zip(names, places[:2], strict=True)
        ]
        a, b = (self.world.engine(name) for name in names)
        stop = pymunk.SlideJoint(a, b, anchors[0], anchors[1], least, 2 * self.length)
        self.world.space.add(stop)
        return stop

    def _stations(self, dt: float) -> list[Pair]:
        """Ends, and pegs or what has come off them, a time dt from now."""
        places = [self.world.where(place, dt) for place in self.link.places]
        for i, knot in enumerate(self.knots):
            if i in self.string.off:
                places[i + 1] = ahead(knot, dt)[:2]
        return places

    def forget(self) -> None:
        """Velocities were set from outside: they say nothing of accelerations."""
        self._speeds = []

    def place(self) -> None:
        """Before a step: knots, bars and lengths for where the bodies will be."""
        stations = self._stations(self.step)
        self._put_knots(stations[1:-1])
        if self.string.is_slack:
            return
        lengths = _lengths(stations)
        error = (sum(lengths) - self.length) / len(lengths)
        for impulse, length in zip(self.string.impulses, lengths, strict=True):
            impulse.joint.distance = length - error
        for i, ((u, v), place) in enumerate(zip(pairwise(_ways(stations)), self.link.over, strict=True)):
            if i not in self.string.off:
                (x, y), (wx, wy), far = stations[i + 1], across(u, v), self.world.drawn.size
                pose = ahead(self.world.engine(home(self.world.frame, place)), self.step)
                self.string.pegs[i].joint.anchor_a = local(pose, (x - far * wx, y - far * wy))

    def _put_knots(self, pegs: list[Pair]) -> None:
        speeds = [(knot.velocity.x, knot.velocity.y) for knot in self.knots]
        for i, (knot, (x, y), (vx, vy)) in enumerate(zip(self.knots, pegs, speeds, strict=True)):
            if i in self.string.off:
                continue
            if self.string.is_slack:
                speeds[i] = vx, vy = 0.0, 0.0
                knot.velocity = 0.0, 0.0
            knot.position = x - self.step * vx, y - self.step * vy
            if self._speeds:
                wx, wy = self._speeds[i]
                share = knot.mass / self.step
                fx, fy = knot.force
                knot.force = fx + share * (vx - wx), fy + share * (vy - wy)
        self._speeds = speeds

    def look(self, time: float, patience: int) -> Iterator[Event]:
        """What changed in the last step."""
        stations = self._stations(0.0)
        if not self._is_jammed and any(stop.impulse > 0 for stop in self.stops):
            self._is_jammed = True
            yield Event(time, "contact", self.link.name)
        if self.string.is_slack:
            if self._comes_taut(self.length - sum(_lengths(stations))):
                self.string.tighten(self.stops[0])
                self.forget()
                yield Event(time, "taut", self.link.name)
            return
        for i, (turn, side) in enumerate(zip(_turns(stations), self.sides, strict=True)):
            if i not in self.string.off and turn * side < 0:
                self.string.come_off(i)
                yield Event(time, "lifted", self.link.name)
        pushes = min(self.string.tensions(self.step)) < -self.least
        self._wrong = self._wrong + 1 if pushes else 0
        if self._wrong > patience:
            self.string.slacken()
            self._was_loose = False
            yield Event(time, "slack", self.link.name)

    def _comes_taut(self, loose: float) -> bool:
        clear = CLEAR * self.world.drawn.size
        self._was_loose = self._was_loose or loose > clear
        return loose < -clear or (self._was_loose and loose < 0)


def _lengths(stations: list[Pair]) -> list[float]:
    return [hypot(bx - ax, by - ay) for (ax, ay), (bx, by) in pairwise(stations)]


def _ways(stations: list[Pair]) -> list[Pair]:
    return [
        ((bx - ax) / length, (by - ay) / length)
        for ((ax, ay), (bx, by)), length in zip(pairwise(stations), _lengths(stations), strict=True)
    ]


def _turns(stations: list[Pair]) -> list[float]:
    """The sine of the turn of the string at each of its inner stations."""
    return [u[0] * v[1] - u[1] * v[0] for u, v in pairwise(_ways(stations))]
