"""Attitudes of arrows: each pulls away from its point or pushes up to it, so that none hides another.

A force may be drawn anywhere on its line of action. Of the places where an arrow touches its point with
its tail (a pull) or with its tip (a push), each takes the one where it lies on bare paper, clear of bodies
and of the other arrows; where both lie along a rod it steps aside, next to the rod.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.camera import Camera
from simlab.pictures.marks import Name, Point, Points
from simlab.pictures.members import ROD
from simlab.pictures.obstacles import Floats, Segments, gaps

Attitude = Literal["pull", "push"]

# Sizes [page units]
STEP = 8.0  # between samples along an arrow
NEAR = 26.0  # around its own point an arrow may lie on anything
CLEAR = 9.0  # of bare paper beside an arrow
APART = 22.0  # between the lines of two arrows
ASIDE = ROD / 2 + 17.0  # of an arrow that lies along a rod, from its point
BESIDE = 16.0  # then from beside its point to its tail or tip
SHARED = 22.0  # around a point that two arrows share they may be near each other
# Costs, in samples of an arrow that lie on something. A pull never looks like a push if it can be helped.
UNUSUAL, STEPPED, HIDDEN, SECOND = 150.0, 7.0, 6.0, 0.5
FEW = 16  # samples of a bundle by which it is measured against others
AT_ONCE = 256  # pairs of choices
SWEEPS = 3  # times that an arrow may think again, once all others lie


@dataclass(frozen=True, eq=False)
class Shaft:
    """An arrow: `way` is the unit vector along it in the frame, `long` its length [page units].

    `force` [N] where it is drawn to scale, None where it is not.
    """

    name: Name
    role: str
    text: str
    way: Points
    long: float
    force: Point | None = None


@dataclass(frozen=True, eq=False)
class Bundle:
    """Arrows that touch one point [m] with their tails or their tips, together.

    `usual`: how they would rather lie, if it matters; `gap` [page units] between the point and a tail, and
    between the point and a tip; `over` says how much less it matters that they lie on the frame, 0 to 1;
    `stepping` is what it costs that they step aside, None if they never do.
    """

    at: Points
    shafts: tuple[Shaft, ...]
    usual: Attitude | None = None
    gap: tuple[float, float] = (0.0, ROD / 2 + 3.0)
    over: float = 1.0
    stepping: float | None = STEPPED


@dataclass(frozen=True, eq=False)
class Lie:
    """How a bundle lies: its attitude, and how far its point is moved [page units], shape (2,)."""

    attitude: Attitude
    aside: Points

    def ends(self, bundle: Bundle, shaft: Shaft, camera: Camera) -> tuple[Points, Points]:
        """Tail and tip of one of its arrows on the page, shape (2,) each."""
        way = shaft.way * (1, -1)
        point = np.array(camera.point((float(bundle.at[0]), float(bundle.at[1])))) + self.aside
        least = BESIDE if self.aside.any() else 0.0
        if self.attitude == "pull":
            tail = point + way * max(least, bundle.gap[0])
            return tail, tail + way * shaft.long
        tip = point - way * max(least, bundle.gap[1])
        return tip - way * shaft.long, tip


def lies(bundles: Sequence[Bundle], taken: Segments, camera: Camera) -> list[Lie]:
    """How each bundle lies; `taken` is what is drawn already."""
    table = [[_Choice(bundle, lie, camera) for lie in _ways_to_lie(bundle)] for bundle in bundles]
    starts = np.cumsum([0, *map(len, table)])
    every = [choice for choices in table for choice in choices]
    cost, met = _costs(every, taken), _met(every)
    chosen = [start + int(np.argmin(cost[start:end])) for start, end in pairwise(starts)]
    for _ in range(SWEEPS):
        for i, (start, end) in enumerate(pairwise(starts)):
            others = chosen[:i] + chosen[i + 1 :]
            chosen[i] = start + int(np.argmin(cost[start:end] + met[start:end, others].sum(axis=1)))
    return [every[k].lie for k in chosen]


def _costs(every: Sequence[_Choice], taken: Segments) -> Floats:
    """What each choice costs by itself, shape (choices,); all of their samples are measured at once."""
    if not every:
        return np.zeros(0)
    counts = [len(choice.points) for choice in every]
    points = np.concatenate([choice.points for choice in every])
    off = points - np.repeat([choice.at for choice in every], counts, axis=0)
    hit = (np.hypot(off[:, 0], off[:, 1]) > NEAR) & (gaps(points, taken) < CLEAR)
    on_something = np.add.reduceat(hit, np.cumsum([0, *counts[:-1]]), dtype=np.int64)
    over = np.array([choice.bundle.over for choice in every])
    return np.asarray(over * on_something + [choice.taste for choice in every])


def _met(every: Sequence[_Choice]) -> Floats:
    """What it costs that one choice lies on another, shape (choices, choices)."""
    met = np.zeros((len(every), len(every)))
    if not every:
        return met
    at, few = np.array([c.at for c in every]), np.array([c.few for c in every])
    free = np.hypot(few[..., 0] - at[:, None, 0], few[..., 1] - at[:, None, 1]) > SHARED
    low, high = few.min(axis=1) - APART, few.max(axis=1) + APART
    near = (low[:, None] <= high[None]).all(axis=2) & (low[None] <= high[:, None]).all(axis=2)
    bundle = np.array([id(choice.bundle) for choice in every])
    one, other = np.nonzero(np.triu(near & (bundle[:, None] != bundle)))
    for start in range(0, len(one), AT_ONCE):
        i, j = one[start : start + AT_ONCE], other[start : start + AT_ONCE]
        x, y = (few[i, :, None, axis] - few[j, None, :, axis] for axis in (0, 1))
        close = x * x + y * y < APART**2
        apart = np.hypot(*(at[i] - at[j]).T)[:, None] >= NEAR
        met[i, j] = HIDDEN * (close.any(axis=2) & (apart | free[i])).sum(axis=1)
        met[j, i] = HIDDEN * (close.any(axis=1) & (apart | free[j])).sum(axis=1)
    return met * (np.array([len(c.points) for c in every]) / FEW)[:, None]


def _ways_to_lie(bundle: Bundle) -> list[Lie]:
    first: tuple[Attitude, Attitude] = ("push", "pull") if bundle.usual == "push" else ("pull", "push")
    x, y = bundle.shafts[0].way
    across = np.array([y, x])  # the way turned by a right angle, on the page
    steps = (0.0, ASIDE, -ASIDE) if bundle.stepping is not None else (0.0,)
    return [Lie(attitude, across * step) for step, attitude in product(steps, first)]


class _Choice:
    """One way in which a bundle may lie, sampled on the page; `taste` is what it costs on bare paper."""

    def __init__(self, bundle: Bundle, lie: Lie, camera: Camera) -> None:
        self.bundle, self.lie = bundle, lie
        self.at = np.array(camera.point((float(bundle.at[0]), float(bundle.at[1]))))
        rows = []
        for shaft in bundle.shafts:
            tail, tip = lie.ends(bundle, shaft, camera)
            rows.append(tail + _shares(max(2, round(shaft.long / STEP) + 1)) * (tip - tail))
        self.points = np.concatenate(rows)
        self.few = self.points[_some_of(len(self.points))]
        self.taste = 0.0
        if bundle.usual is not None and lie.attitude != bundle.usual:
            self.taste += UNUSUAL
        if bundle.usual is None and lie.attitude == "push":
            self.taste += SECOND
        if lie.aside.any():
            self.taste += bundle.stepping or 0.0


@lru_cache(maxsize=256)
def _shares(count: int) -> Floats:
    """So many shares of an arrow, from its tail to its tip, shape (count, 1)."""
    return np.linspace(0, 1, count)[:, None]


@lru_cache(maxsize=256)
def _some_of(count: int) -> NDArray[np.int64]:
    """Which of so many samples are the few that are measured against others."""
    return np.linspace(0, count - 1, FEW).round().astype(int)
