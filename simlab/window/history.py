"""The history of a run: the moments of all its pictures, so that a watcher can look back."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from simlab.window.run import Moment

MOST = 7200  # moments: two minutes at 60 pictures a second; of older ones every second is left out


class History:
    """Moments in their order, the last one that of now.

    seen : the moment that is looked at, None for now
    """

    def __init__(self) -> None:
        self.moments: list[Moment] = []
        self.seen: Moment | None = None

    @property
    def span(self) -> tuple[float, float]:
        """The times of the first and the last moment [s]."""
        return self.moments[0].time, self.moments[-1].time

    def keep(self, moment: Moment) -> None:
        """Add a moment."""
        self.moments.append(moment)
        if len(self.moments) > MOST:
            self.moments = [*_thinned(self.moments[: MOST // 2]), *self.moments[MOST // 2 :]]

    def seek(self, time: float) -> None:
        """Look at the last moment that is not after `time` [s]; at the first, if all are."""
        i = max(bisect_right(self.moments, time, key=lambda moment: moment.time) - 1, 0)
        self.seen = self.moments[i] if i < len(self.moments) - 1 else None

    def by(self, n: int) -> None:
        """Look n moments on, or back where n is negative."""
        at = self.moments.index(self.seen) if self.seen else len(self.moments) - 1
        i = max(at + n, 0)
        self.seen = self.moments[i] if i < len(self.moments) - 1 else None

    def cut_off(self) -> None:
        """Forget what came after the moment that is looked at."""
        if self.seen:
            del self.moments[self.moments.index(self.seen) + 1 :]
            self.seen = None

    def clear(self) -> None:
        """Forget everything."""
        self.moments, self.seen = [], None


def _thinned(moments: Sequence[Moment]) -> list[Moment]:
    """Every second moment, but the first of all, and those at which something was done, stay."""
    kept = [moments[0]]
    for i, moment in enumerate(moments[1:], 1):
        if i % 2 == 0 or moment.deeds != moments[i - 1].deeds:
            kept.append(moment)
    return kept
