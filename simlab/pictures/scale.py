"""Scales of a chart: from data to shares of an axis, with round ticks.

A tick is a whole number of steps, a step 1, 2 or 5 times a power of ten; on a logarithmic scale a tick is
a power of ten.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import count
from math import ceil, floor, log10
from typing import NamedTuple

import numpy as np

from simlab.results.trace import Floats

MOST = 6  # ticks of an axis
NEAR = 1e-9  # of a step: a number so near to a tick is on it
CROWDED = 0.3  # of an axis more: its numbers come too near to each other
FLAT = 1e-12  # of the size of its numbers: a smaller range is none


class Tick(NamedTuple):
    """A round number on a scale, and how it is written there (mathematics between dollar signs)."""

    value: float
    text: str


@dataclass(frozen=True)
class Scale:
    """An axis from `low` to `high`, in the unit of its data; a logarithmic one goes in equal ratios.

    >>> [tick.text for tick in Scale.around(0.0, 0.43).ticks]
    ['0', '0.1', '0.2', '0.3', '0.4', '0.5']
    """

    low: float
    high: float
    ticks: tuple[Tick, ...]
    logarithmic: bool = False

    @classmethod
    def around(cls, low: float, high: float, most: int = MOST) -> Scale:
        """A scale from tick to tick, at most `most` of them, that holds all from low to high."""
        if high - low <= FLAT * max(abs(low), abs(high)):
            spare = max(abs(low), abs(high)) or 1.0
            low, high = low - (spare if low < 0 else 0.0), high + (spare if low >= 0 else 0.0)
        for step in _steps((high - low) / most):
            first, last = floor(low / float(step) + NEAR), ceil(high / float(step) - NEAR)
            if last - first < most:
                break
        ticks = _ticks(first, last, step)
        return cls(ticks[0].value, ticks[-1].value, ticks)

    @classmethod
    def between(cls, low: float, high: float, first: float, last: float, most: int = MOST) -> Scale:
        """A scale that begins at `low` and ends at `high`, its ticks only from `first` to `last`."""
        for step in _steps((last - first) / most):
            start, end = ceil(first / float(step) - NEAR), floor(last / float(step) + NEAR)
            if end - start < most:
                break
        return cls(low, high, _ticks(start, end, step))

    @classmethod
    def decades(cls, low: float, high: float, most: int = MOST) -> Scale:
        """A logarithmic scale of whole powers of ten that holds all from low to high, both above 0."""
        start, end = floor(log10(low) + NEAR), ceil(log10(high) - NEAR)
        end = max(end, start + 1)
        every = ceil((end - start + 1) / most)
        exponents = [n for n in range(start, end + 1) if n % every == 0]
        ticks = tuple(Tick(10.0**n, "1" if n == 0 else f"$10^{{{n}}}$") for n in exponents)
        return cls(10.0**start, 10.0**end, ticks, logarithmic=True)

    def share(self, values: Floats) -> Floats:
        """Where numbers are: 0 at the low end, 1 at the high end; NaN for what has no place at all."""
        if not self.logarithmic:
            return np.asarray((values - self.low) / (self.high - self.low))
        known = np.where(values > 0, values, np.nan)
        return np.asarray(np.log(known / self.low) / np.log(self.high / self.low))

    def roomier(self, share: float) -> Scale:
        """The same scale with bare room at its high end, a share of its length; at both ends around 0.

        With much room, of its ticks only every second, third ... is left.
        """
        every = max(1, floor(share + 0.75) + 1) if share > CROWDED else 1
        zero = next((i for i, tick in enumerate(self.ticks) if tick.value == 0), 0)
        ticks = self.ticks[zero % every :: every]
        if self.logarithmic:
            return replace(self, high=self.high * (self.high / self.low) ** share, ticks=ticks)
        more = share * (self.high - self.low)
        below = more / 2 if self.low < 0 else 0.0
        return replace(self, low=self.low - below, high=self.high + more - below, ticks=ticks)


def _steps(least: float) -> Iterator[Decimal]:
    """Steps in order: 1, 2 and 5 times powers of ten, from just below `least` on."""
    for power in count(floor(log10(least))):
        for factor in (1, 2, 5):
            yield Decimal(factor).scaleb(power)


def _ticks(first: int, last: int, step: Decimal) -> tuple[Tick, ...]:
    values = [step * k for k in range(first, last + 1)]
    places = max(0, -int(step.as_tuple().exponent))
    texts = [f"{value:.{places}f}".replace("-", "−") if value else "0" for value in values]
    return tuple(Tick(float(value), text) for value, text in zip(values, texts, strict=True))
