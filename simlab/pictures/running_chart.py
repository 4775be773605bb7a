"""A small chart that draws itself: forces against time, with the jump at the cut, up to now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from simlab.pictures.axes import Axes, below, number, thinned
from simlab.pictures.camera import Rect
from simlab.pictures.marks import Label, Mark, Points, Ring, Stroke
from simlab.pictures.palette import SMALL
from simlab.pictures.scale import Scale
from simlab.pictures.typeset import setting

NUMBERS, FOOT, HEAD = 84.0, 108.0, 52.0  # [page units] left of the axes, below them, and above them
ROW = 46.0  # [page units] from row to row of the key
SAMPLE, GAP = 62.0, 14.0  # [page units] a piece of a curve in the key, and to its words
DOT = 8.0  # [page units] radius
MOST_TICKS = 5
TICK_ROOM = 100.0  # [page units] from one time written below the chart to the next, at the least


@dataclass(frozen=True, eq=False)
class Course:
    """A force in the course of time: its words, and points of time [s] and size [N], shape (n, 2).

    NaN lifts the pen; `jump` is its size just before and just after the cut [N]; `kind` that of its arrow,
    whose colour it has.
    """

    words: str
    points: Points
    jump: tuple[float, float]
    kind: str = "hinge force"

    @property
    def role(self) -> str:
        """As what its curve is drawn."""
        return f"course of {self.kind}"


class RunningChart:
    """The courses of up to two forces in a rectangle of the page.

    span : from when to when [s]; most : the largest size that is shown [N]; what is larger leaves the chart
    at the top, and is said to
    """

    def __init__(
        self, courses: Sequence[Course], rect: Rect, span: tuple[float, float], most: float
    ) -> None:
        self.courses, self.most = courses, most
        left, top, right, bottom = rect
        self.key = (left, top)
        top += ROW * len(courses) + HEAD
        scale = Scale.around(0.0, most, MOST_TICKS)
        left, right = left + NUMBERS, right - SMALL
        across = max(2, min(MOST_TICKS, int((right - left) / TICK_ROOM)))
        times = Scale.between(*span, 0.0, span[1], across)
        self.axes = Axes((left, top, right, bottom - FOOT), times, scale)
        self.lines = [self._laid(course) for course in courses]
        self.off_from = [_first_above(course.points, self.axes.y.high) for course in courses]
        self.furniture = [*self.axes.marks("forces in time"), *self._titles(), *self._key()]

    def _titles(self) -> Iterator[Mark]:
        """What the axes are, and in which units."""
        left, top, right, _ = self.axes.rect
        yield Label(
            name="what goes up",
            role="text",
            space="page",
            anchor=(left - NUMBERS / 2, top - 0.6 * SMALL),
            text="$F$ / N",
            size=SMALL,
        )
        yield number("what goes along", "$t$ / s", (right, below(self.axes.rect) + ROW), "right")

    def _key(self) -> Iterator[Mark]:
        x, y = self.key
        for i, course in enumerate(self.courses):
            row = y + (i + 0.5) * ROW
            line = np.array([[x, row], [x + SAMPLE, row]])
            yield Stroke(name=f"sample of course {i}", role=course.role, space="page", points=line)
            yield Label(
                name=f"words of course {i}",
                role=f"words of {course.role}",
                space="page",
                anchor=(x + SAMPLE + GAP, row + 0.33 * SMALL),
                text=course.words,
                size=self._size(),
            )

    def _size(self) -> float:
        room = self.axes.rect[2] - self.key[0] - SAMPLE - GAP
        widest = max(setting(course.words, SMALL).width for course in self.courses)
        return SMALL * min(1.0, room / widest)

    def marks(self, now: float) -> list[Mark]:
        """The chart as far as it is drawn at a time [s]."""
        drawn = list(self.furniture)
        for i, course in enumerate(self.courses):
            drawn += self._course(i, course, now)
        return drawn

    def _laid(self, course: Course) -> Points:
        """A whole curve on the page, without what is off the scale."""
        points = course.points.copy()
        points[points[:, 1] > self.axes.y.high, 1] = np.nan
        return thinned(self.axes.to_page(points))

    def _course(self, i: int, course: Course, now: float) -> Iterator[Mark]:
        """A curve up to now, its jump if the cut is over, a dot where it is."""
        high = self.axes.y.high
        if now >= 0:
            ends = self.axes.to_page(np.array([[0.0, size] for size in course.jump]))
            yield Stroke(name=f"jump of course {i}", role="jump", space="page", points=ends)
        if now >= self.off_from[i]:
            yield self._off(i)
        times, sizes = course.points[np.isfinite(course.points[:, 1])].T
        size = float(sizes[max(np.searchsorted(times, now, "right") - 1, 0)])
        here = self.axes.to_page(np.array([[min(now, self.axes.x.high), min(size, high)]]))
        line = self.lines[i]
        line = line[np.isnan(line[:, 0]) | (line[:, 0] <= here[0, 0])]
        if size <= high and now <= self.axes.x.high:
            line = np.concatenate([line, here])
        if np.isfinite(line).any():
            yield Stroke(name=f"course {i}", role=course.role, space="page", points=line)
        if now <= self.axes.x.high:
            centre = (float(here[0, 0]), float(here[0, 1]))
            yield Ring(name=f"now of course {i}", role="end", space="page", centre=centre, radius=DOT)

    def _off(self, i: int) -> Label:
        """That a curve has left the chart at the top."""
        _, top, right, _ = self.axes.rect
        return Label(
            name=f"course {i} is off",
            role="text",
            space="page",
            anchor=(right, top - 10),
            text="off the scale",
            size=SMALL,
            align="right",
        )


def _first_above(points: Points, high: float) -> float:
    """When a curve is first higher than that [s]; never, if it is not."""
    above = points[points[:, 1] > high, 0]
    return float(above[0]) if len(above) else np.inf
