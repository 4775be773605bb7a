"""A string over smooth pegs in the showing: it runs, goes slack and taut, comes off a peg, and jams.

Before every step the knots are put back on their pegs, the bars under them across the bisectors of the
string as it will then be, and the straight parts share the error of the whole length: so knots hand on the
speed of the string from part to part. What the mass of a knot would need for that,

    m a    (a by the last two steps),

is given to it, so that it takes none of the string's tension.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import hypot, remainder, tau

import pymunk

from simlab.frame.model import Link
from simlab.results import Event
from simlab.simulation.drawn import Pair
from simlab.simulation.engine import add_force, put, set_end, set_length, set_start, velocity
from simlab.simulation.masses import home, knots
from simlab.simulation.poses import Pose, ahead, local, placed
from simlab.simulation.pressing import CLEAR
from simlab.simulation.strings import KNOTS, across, bend, bent
from simlab.simulation.world import World

JAMMED = 0.02  # of the frame's size, or half of the drawn part if that is less: its end is then at the peg
LOOKED_BACK = 2  # steps
STRAIGHT = 1e-9  # [rad]: a string that is bent by less as drawn does not press its peg, and stays on it


class Running:
    """A string over pegs that moves.

    length : of the whole [m]; bends : the angle by which it turns at each peg [rad], anticlockwise,
    followed from the drawn one on; stops : joints that keep its ends off the pegs
    """

    def __init__(self, world: World, link: Link, step: float) -> None:
        self.world, self.link, self.step = world, link, step
        self.string = world.strings[link.name]
        self._spots = [world.spot(place) for place in link.places]
        self.knots = [world.bodies[knot] for knot in knots(link)]
        self._masses = [knot.mass for knot in self.knots]
        stations = self._stations(self._poses(0.0))
        self.length = sum(_lengths(stations))
        self.drawn = [bend(u, v) for u, v in pairwise(_ways(stations))]
        self.bends = list(self.drawn)
        self.stops = [self._stop(0, stations), self._stop(-1, stations)]
        self._speeds: list[list[Pair]] = []  # of the knots, in the last two steps
        self._tried: list[Pair] = []  # what they gained in the last try of the next step
        self.is_given = True  # whether knots are given what their mass needs
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

    def _poses(self, dt: float) -> list[Pose]:
        """Of the bodies at its ends and with its pegs, a time dt from now."""
        return [ahead(body, dt) for body, _ in self._spots]

    def _stations(self, poses: list[Pose]) -> list[Pair]:
        """Ends, and the pegs that it runs over, at such poses."""
        first, *over, last = (placed(pose, at) for pose, (_, at) in zip(poses, self._spots, strict=True))
        return [first, *(over[peg] for peg in self.string.over), last]

    def _follow(self, ways: list[Pair]) -> None:
        """Bends change by little from step to step: so more than half a turn is told from less."""
        now = [bend(u, v) for u, v in pairwise(ways)]
        self.bends = [b + remainder(a - b, tau) for a, b in zip(now, self.bends, strict=True)]

    def forget(self) -> None:
        """Velocities were set from outside: they say nothing of accelerations."""
        self._speeds = []

    def place(self) -> None:
        """Before a step: knots, bars and lengths for where the bodies will be."""
        poses = self._poses(self.step)
        stations = self._stations(poses)
        self._put_knots(stations[1:-1])
        ways, lengths = _ways(stations), _lengths(stations)
        self._follow(ways)
        if self.string.is_slack:
            return
        error = (sum(lengths) - self.length) / len(lengths)
        along, size = bent(ways, self.bends), self.world.drawn.size
        for i, impulse in enumerate(self.string.impulses):
            if i % KNOTS:
                set_end(impulse.joint, (size * along[i][0], size * along[i][1]))
            else:
                set_length(impulse.joint, lengths[i // KNOTS] - error)
        for i, (u, v) in enumerate(pairwise(along)):
            k = i // KNOTS
            (x, y), (wx, wy) = stations[k + 1], across(u, v)
            under = poses[self.string.over[k] + 1]
            set_start(self.string.pegs[i].joint, local(under, (x - size * wx, y - size * wy)))

    def _put_knots(self, pegs: list[Pair]) -> None:
        speeds = [velocity(knot) for knot in self.knots]
        for i, (knot, (vx, vy)) in enumerate(zip(self.knots, speeds, strict=True)):
            if self.string.is_slack:
                speeds[i] = vx, vy = 0.0, 0.0
                knot.velocity = 0.0, 0.0
            x, y = pegs[i // KNOTS]
            put(knot, (x - self.step * vx, y - self.step * vy))
            gx, gy = self._gain(i, (vx, vy))
            share = self._masses[i] / self.step
            add_force(knot, share * gx, share * gy)
        self._speeds = [*self._speeds[1 - LOOKED_BACK :], speeds]

    def _gain(self, i: int, speed: Pair) -> Pair:
        """What a knot is to gain in the next step [m/s]: as in the last try of it, or by the last gains."""
        if not self.is_given:
            return 0.0, 0.0
        if len(self._speeds) < LOOKED_BACK:
            return self._tried[i] if self._tried else (0.0, 0.0)
        (ux, uy), (wx, wy), (vx, vy) = self._speeds[0][i], self._speeds[1][i], speed
        return 2 * vx - 3 * wx + ux, 2 * vy - 3 * wy + uy  # 2 (v - w) - (w - u)

    def tried(self) -> float:
        """A step from rest was made and will be made again: by how much it was expected wrongly [N]."""
        gained = [velocity(knot) for knot in self.knots]
        before = self._tried or [(0.0, 0.0)] * len(gained)
        wrong = [hypot(x - u, y - v) for (x, y), (u, v) in zip(gained, before, strict=True)]
        self._tried, self._speeds = gained, []
        return max((mass * w for mass, w in zip(self._masses, wrong, strict=True)), default=0.0) / self.step

    @property
    def thrust(self) -> float:
        """The greatest force with which a part of it pushed in the last step [N]; negative: all pulled."""
        return -min(self.string.tensions(self.step))

    def look(self, time: float, patience: int, least: float) -> Iterator[Event]:
        """What changed in the last step; it is wrong to push with more than `least`."""
        if not self._is_jammed and any(stop.impulse > 0 for stop in self.stops):
            self._is_jammed = True
            yield Event(time, "contact", self.link.name)
        if self.string.is_slack:
            if self._comes_taut(self.length - sum(_lengths(self._stations(self._poses(0.0))))):
                self.string.tighten(self.stops[0])
                self._speeds, self._tried = [], []
                yield Event(time, "taut", self.link.name)
            return
        off = [
            k
            for k, (now, drawn) in enumerate(zip(self.bends, self.drawn, strict=True))
            if abs(drawn) > STRAIGHT and now * drawn < 0
        ]
        for k in reversed(off):
            self._come_off(k)
            yield Event(time, "lifted", self.link.name)
        self._wrong = self._wrong + 1 if self.thrust > least else 0
        if self._wrong > patience:
            yield self.slacken(time)

    def slacken(self, time: float) -> Event:
        """Let it go slack."""
        self.string.slacken()
        self._was_loose = False
        return Event(time, "slack", self.link.name)

    def _come_off(self, k: int) -> None:
        self.string.come_off(k)
        for knot in self.knots[KNOTS * k : KNOTS * (k + 1)]:
            knot.velocity = 0.0, 0.0
        del self.knots[KNOTS * k : KNOTS * (k + 1)], self._masses[KNOTS * k : KNOTS * (k + 1)]
        del self.bends[k], self.drawn[k]
        self._speeds, self._tried = [], []

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
