"""What the chapters of a fall share: the run, what jumps at its cut, and where things stand on the page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

import numpy as np

from simlab.errors import SimlabFault
from simlab.film.halves import Halves
from simlab.film.stage_set import FALL, StageSet
from simlab.pictures.arrows import is_said_twice, kind_of
from simlab.pictures.camera import Bounds
from simlab.pictures.names import prose
from simlab.results import Floats, Forces, Key, Trace, largest
from simlab.results.wording import as_asked, capital, figures, member_force

SEEN = 0.005  # of the largest force: a smaller jump is none for the eye
SAME = 1e-3  # of the largest force: jumps that differ by less are told once, as in the halves of a frame
GONE, LOOK = 0.3, 2.0  # [s] of an empty picture; of one in which nothing moves any more
RESTING = 1e-3  # of the energy that came of the height: less motion is none for the eye
SPEEDING = 1.6  # [s] from slow to real speed
TOLD = 3  # jumps that are told in words


@dataclass(frozen=True)
class Jumped:
    """A force at the cut: which, in words, and its size just before and just after [N]."""

    key: Key
    words: str
    before: float
    after: float


class FallSet:
    """A fall on a stage.

    before, after : the instants on either side of the cut, in one shape; touch : when anything first
    touches, comes taut or falls out [s], or the end; jumps : the largest first
    """

    def __init__(self, stage: StageSet) -> None:
        trace = stage.story.falling
        if trace is None:
            raise SimlabFault("a film of a fall was begun without one")
        self.stage, self.trace, self.frame = stage, trace, stage.story.frame
        self.halves = Halves.of(stage.page, FALL)
        cut = int(np.searchsorted(trace.time, 0.0))
        self.before = trace.instant(float(trace.time[cut - 1]))
        self.after = trace.instant(float(trace.time[cut]))
        self.cut = cut
        self.touch = first_touch(trace)
        self.jumps = list(self._jumps())

    def _jumps(self) -> Iterator[Jumped]:
        """The forces of hinges and supports that jump so that one sees it; equal ones once."""
        was, now = self.before.forces, self.after.forces
        least = SEEN * max(largest(was), largest(now))
        told: list[tuple[float, float]] = []
        found = []
        for key in dict.fromkeys([*was.reactions, *now.reactions]):
            if kind_of(self.stage.plan, key) == "members" or is_said_twice(self.stage.plan, key):
                continue
            (x0, y0), (x1, y1) = (_force(forces, key) for forces in (was, now))
            change = hypot(x1 - x0, y1 - y0)
            if change > least:
                found.append((change, Jumped(key, self._called(key), hypot(x0, y0), hypot(x1, y1))))
        for _, jump in sorted(found, key=lambda pair: -pair[0]):
            sizes = (jump.before, jump.after)
            near = SAME / SEEN * least
            if not any(abs(a - sizes[0]) < near and abs(b - sizes[1]) < near for a, b in told):
                told.append(sizes)
                yield jump

    def _called(self, key: Key) -> str:
        return prose(as_asked(self.frame, key), (), self.frame.points)

    @property
    def brace(self) -> tuple[str, float]:
        """The brace's force just before the cut: in words, and its tension [N]."""
        story, name = self.stage.story, self.frame.brace or ""
        tension = self.before.forces.tensions.get(name, 0.0)
        words = capital(member_force(self.frame, name, tension, abs(tension)))
        return prose(story.spoken(words), (), self.frame.points), tension

    def told(self) -> list[Jumped]:
        """The jumps that are told in words."""
        return self.jumps[:TOLD]


def newtons(size: float, digits: int, least: float = 0.0) -> str:
    """A size of a force to a class's figures: "7.32 N"; "0" for what is no more than `least`."""
    return "0" if size <= least else f"{figures(size, digits)} N"


def _force(forces: Forces[float], key: Key) -> tuple[float, float]:
    reaction = forces.reactions.get(key)
    return (0.0, 0.0) if reaction is None else reaction.force


def first_touch(trace: Trace) -> float:
    """When something first touches, comes taut or falls out after the cut [s]; else the end."""
    kinds = ("contact", "taut", "fallen")
    return min(
        (e.time for e in trace.events if e.kind in kinds and e.time > 0), default=float(trace.time[-1])
    )


def first_above(trace: Trace, most: float) -> float:
    """When a force is first larger than `most` [N] after the cut [s]; never, if none is."""
    sizes = np.nan_to_num(np.hypot(trace.forces[..., 0], trace.forces[..., 1])).max(axis=1, initial=0.0)
    above = np.flatnonzero((sizes > most) & (trace.time >= 0))
    return float(trace.time[above[0]]) if len(above) else np.inf


def last_moment(trace: Trace, seen: Bounds) -> float:
    """When a fall is over [s]: a little after all has come to rest, or has left what is seen [m]."""
    left, bottom, right, top = seen
    x, y = trace.poses[..., 0], trace.poses[..., 1]
    inside = np.asarray((left < x) & (x < right) & (bottom < y) & (y < top)).any(axis=1)
    last = float(trace.time[np.flatnonzero(inside)].max(initial=0.0)) + GONE
    moving = trace.energy[:, 0] > RESTING * float(np.ptp(trace.energy[:, 1]))
    rest = float(trace.time[np.flatnonzero(moving)].max(initial=0.0)) + LOOK
    return min(last, rest, float(trace.time[-1])) if trace.bodies else float(trace.time[-1])


def times_of(stage: StageSet, before: float, end: float, slow_seconds: float) -> Floats:
    """The time of a fall [s] at each picture: real time `before` the cut, slow for a while, then real.

    The cut itself is one of them, and there are two at least.
    """
    step, slow, times, now = 1 / stage.rate, stage.slow, list[float](), -before
    while now < end or len(times) < 2:
        times.append(now)
        film = len(times) / stage.rate - before  # not a sum of steps, which would miss the cut
        share = min(max((film - slow_seconds) / SPEEDING, 0.0), 1.0)
        now = min(film, 0.0) if now < 0 else now + (slow + (1 - slow) * share) * step
    return np.array(times)
