"""Axes: a rectangle of the page on which data are laid out, with ticks outside of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from simlab.pictures.camera import Rect
from simlab.pictures.marks import Align, Label, Mark, Name, Point, Points, Stroke
from simlab.pictures.palette import SMALL
from simlab.pictures.scale import Scale

TICK = 10.0  # [page units] length of a tick
GAP = 14.0  # [page units] between a tick and its number
HALF = 0.33  # from the baseline to the middle of a figure, in sizes of type
BIN = 2.0  # [page units]: narrower than any line is drawn


@dataclass(frozen=True)
class Axes:
    """Two scales along the sides of a rectangle of the page: x to the right, y upwards.

    >>> axes = Axes((100, 100, 300, 200), Scale.around(0, 10), Scale.around(0, 1))
    >>> axes.to_page(np.array([[5.0, 0.25]])).tolist()
    [[200.0, 175.0]]
    """

    rect: Rect
    x: Scale
    y: Scale

    def to_page(self, points: Points) -> Points:
        """Points of the data, shape (n, 2), on the page [page units]; NaN where either is nowhere."""
        left, top, right, bottom = self.rect
        across, up = self.x.share(points[:, 0]), self.y.share(points[:, 1])
        points = np.stack([left + across * (right - left), bottom - up * (bottom - top)], axis=1)
        return np.where(np.isnan(points).any(axis=1, keepdims=True), np.nan, points)

    def marks(self, name: Name) -> list[Mark]:
        """The two axes, their ticks and numbers; a thin line at y = 0 where that is not at the bottom."""
        left, top, right, bottom = self.rect
        lift = [np.nan, np.nan]
        lines: list[list[float]] = [[left, top], [left, bottom], [right, bottom]]
        for x, _ in self._along():
            lines += [lift, [x, bottom], [x, bottom + TICK]]
        for y, _ in self._up():
            lines += [lift, [left - TICK, y], [left, y]]
        marks: list[Mark] = [Stroke(name=f"{name} axes", role="axis", space="page", points=np.array(lines))]
        if not self.y.logarithmic and self.y.low < 0 < self.y.high:
            level = self.to_page(np.array([[self.x.low, 0.0], [self.x.high, 0.0]]))
            marks.append(Stroke(name=f"{name} zero", role="zero", space="page", points=level))
        for i, (x, text) in enumerate(self._along()):
            marks.append(number(f"{name} x {i}", text, (x, below(self.rect)), "centre"))
        for i, (y, text) in enumerate(self._up()):
            marks.append(number(f"{name} y {i}", text, (left - TICK - GAP, y + HALF * SMALL), "right"))
        return marks

    def _along(self) -> Iterator[tuple[float, str]]:
        """Where on the page the ticks of x are, and what is written there."""
        left, _, right, _ = self.rect
        for share, tick in zip(_shares(self.x), self.x.ticks, strict=True):
            yield left + share * (right - left), tick.text

    def _up(self) -> Iterator[tuple[float, str]]:
        _, top, _, bottom = self.rect
        for share, tick in zip(_shares(self.y), self.y.ticks, strict=True):
            yield bottom - share * (bottom - top), tick.text


def _shares(scale: Scale) -> list[float]:
    return [float(share) for share in scale.share(np.array([tick.value for tick in scale.ticks]))]


def below(rect: Rect) -> float:
    """The baseline of the numbers below a rectangle [page units]."""
    return rect[3] + TICK + GAP + 2 * HALF * SMALL


def number(name: Name, text: str, at: Point, align: Align) -> Label:
    """A number at an axis, or words in a row with numbers."""
    return Label(name=name, role="text", space="page", anchor=at, text=text, size=SMALL, align=align)


def thinned(points: Points, width: float = BIN) -> Points:
    """A curve on the page with the first, last, highest and lowest points of every bin of a width.

    Points, shape (n, 2), run from left to right; a row of NaN lifts the pen and stays.
    """
    if not len(points):
        return points
    kept = np.isnan(points[:, 0])
    bins = np.where(kept, -1.0, np.floor(points[:, 0] / width))
    starts = np.flatnonzero(np.diff(bins, prepend=np.nan) != 0)
    for start, end in zip(starts, [*starts[1:], len(points)], strict=True):
        if not kept[start]:
            heights = points[start:end, 1]
            kept[[start, end - 1, start + int(heights.argmin()), start + int(heights.argmax())]] = True
    return np.asarray(points[kept])
