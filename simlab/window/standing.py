"""How things stand with a frame that is played, at the moment looked at: now, or one of the past."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from fractions import Fraction

from simlab.frame.model import Frame, Name
from simlab.pictures.marks import Point, Points
from simlab.results import Hand, Instant
from simlab.simulation.stage import Glimpse, Stage
from simlab.window.clock import Clock
from simlab.window.history import History
from simlab.window.run import Run, is_still


class Standing:
    """A run, its history, and what of it is looked at."""

    frame: Frame
    run: Run
    history: History
    clock: Clock
    _now: tuple[object, Instant] | None = None  # a picture asks for it many times

    @property
    def stage(self) -> Stage:
        """The stage, at the last moment reached."""
        return self.run.stage

    @property
    def is_past(self) -> bool:
        """Whether a moment of the past is looked at."""
        return self.history.seen is not None

    @property
    def span(self) -> tuple[float, float]:
        """The times of the first and the last moment that can be looked at [s]."""
        return self.history.span

    @property
    def _seen(self) -> Glimpse:
        seen = self.history.seen
        return seen.glimpse if seen else self.stage.glimpse()

    @property
    def speed(self) -> Fraction:
        """How fast time passes: 1 is real."""
        return self.clock.speed

    @property
    def is_slowest(self) -> bool:
        """Whether it cannot go slower."""
        return self.clock.is_slowest

    @property
    def is_fastest(self) -> bool:
        """Whether it cannot go faster."""
        return self.clock.is_fastest

    @property
    def time(self) -> float:
        """Seconds of the frame's own time since the beginning."""
        return self.history.seen.time if self.history.seen else self.run.time

    @property
    def share(self) -> float:
        """How much of gravity is let on, 0 to 1."""
        return self._seen.share

    @property
    def state(self) -> str:
        """Of the stage: hanging, falling or touched."""
        return self._seen.state

    @property
    def gone(self) -> frozenset[Name]:
        """Members that are cut or fallen."""
        return self._seen.gone

    @property
    def absent(self) -> frozenset[Name]:
        """Members that are cut, fallen or slack."""
        return self._seen.absent

    @property
    def has_moved(self) -> bool:
        """Whether the frame moved since the release."""
        return self.history.seen.has_moved if self.history.seen else self.run.has_moved

    @property
    def is_braced(self) -> bool:
        """Whether the brace is in place: neither taken away nor fallen out."""
        return self.frame.brace in self.frame.links and self.frame.brace not in self.gone

    @property
    def is_released(self) -> bool:
        """Whether the brace was taken away, or the frame was pulled apart."""
        return self.state != "hanging"

    @property
    def is_asleep(self) -> bool:
        """Whether nothing changes but the time, and will not until something is done."""
        return self.run.is_asleep

    @property
    def is_still(self) -> bool:
        """Whether nothing moves that the eye could see."""
        return is_still(self._seen.kinetic, self.stage)

    def now(self) -> Instant:
        """The moment looked at."""
        run = self.run
        moment = (run, run.steps, len(run.deeds), run.stage.time, self.history.seen)
        if self._now is None or self._now[0] != moment:
            self._now = moment, self._seen.instant()
        return self._now[1]

    @property
    def trails(self) -> Mapping[Name, deque[Point]]:
        """The paths of the moving joints since the release, newest last [m]; none before it."""
        seen = self.history.seen
        trails, count = (seen.trails, seen.trail) if seen else (self.run.trails, self.run.trails.count)
        return trails.paths if count else {}

    def trail(self, name: Name) -> Points:
        """The last four seconds of a joint's path, oldest first, shape (n, 2) [m]."""
        seen = self.history.seen
        return seen.trails.path(name, seen.trail) if seen else self.run.trails.path(name)

    @property
    def hand(self) -> Hand | None:
        """The hand that holds the frame, if one does."""
        return self._seen.hand
