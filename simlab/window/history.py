"""The history of a run: the moments of all its pictures, so that a watcher can look back."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise

from simlab.window.run import Moment

MOST = 7200  # moments kept: the last minute at 60 pictures a second, and older ones further apart
THINNED = 0.75  # of the older half of them is left, at most, when they are too many
ROUNDING = 1e-9  # [s]: times that differ by less are one; steps are a million times as long
APART = 1.9 / 60  # [s] between older moments, when they first are too many: every second picture


class History:
    """Moments in their order, the last one that of now.

    seen : the moment that is looked at, None for now
    """

    def __init__(self) -> None:
        self.moments: list[Moment] = []
        self.seen: Moment | None = None
        self._apart = APART

    @property
    def span(self) -> tuple[float, float]:
        """The times of the first and the last moment [s]."""
        return self.moments[0].time, self.moments[-1].time

    def keep(self, moment: Moment) -> None:
        """Add a moment."""
        self.moments.append(moment)
        if len(self.moments) > MOST:
            older, newer = self.moments[: MOST // 2], self.moments[MOST // 2 :]
            older = self._thinned(older)
            while len(older) > THINNED * MOST // 2:
                self._apart *= 2
                older = self._thinned(older)
            self.moments = [*older, *newer]

    def _thinned(self, moments: Sequence[Moment]) -> list[Moment]:
        """Moments some time apart; the first of all, and those at which something was done, stay."""
        kept = [moments[0]]
        for before, moment in pairwise(moments):
            if moment.time - kept[-1].time >= self._apart or moment.deeds != before.deeds:
                kept.append(moment)
        return kept

    def seek(self, time: float) -> None:
        """Look at the last moment that is not after `time` [s]; at the first, if all are."""
        self._look_at(bisect_right(self.moments, time + ROUNDING, key=lambda moment: moment.time) - 1)

    def by(self, n: int) -> None:
        """Look n moments on, or back where n is negative."""
        at = self.moments.index(self.seen) if self.seen else len(self.moments) - 1
        self._look_at(at + n)

    def _look_at(self, i: int) -> None:
        """Look at a moment by its number: at the first or at now, where there is none of that number."""
        i = max(i, 0)
        self.seen = self.moments[i] if i < len(self.moments) - 1 else None

    def cut_off(self) -> None:
        """Forget what came after the moment that is looked at."""
        if self.seen:
            del self.moments[self.moments.index(self.seen) + 1 :]
            self.seen = None

    def clear(self) -> None:
        """Forget everything."""
        self.moments, self.seen, self._apart = [], None, APART
