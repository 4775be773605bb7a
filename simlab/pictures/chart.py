"""Charts: curves on axes, each with its name beside it, in panels on one page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from simlab.errors import SimlabFault
from simlab.pictures.axes import GAP, Axes, below, number, thinned
from simlab.pictures.callouts import Callout, callouts
from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.marks import Label, Mark, Name, Point, Points, Ring, Stroke
from simlab.pictures.obstacles import segments
from simlab.pictures.palette import LEAST, SMALL, TABLE
from simlab.pictures.picture import Picture
from simlab.pictures.scale import Scale
from simlab.pictures.typeset import LEADING, setting

TITLE = 52.0  # [page units] type of the title
COLUMNS = 2
MARGIN = 44.0  # [page units] from the edge of the page to words
NUMBERS = 118.0  # [page units] left of a panel's axes, for numbers as wide as "−0.025"
BELOW = 68.0  # [page units] below the axes, for the numbers of time
HEADING = 68.0  # [page units] above the axes, for the heading
BETWEEN = 34.0  # [page units] between two columns of panels
DOT, END = 7.5, 8.0  # [page units] radii of a dot, and of the end of a curve before a jump
COARSE = 6.0  # [page units]: words keep further from a curve than that, so its outline may be so coarse
HIGHER = 0.12  # of an axis: bare room added where words find no place
ROUNDS = 25  # of adding room
PATIENCE = 4  # rounds in which a way is sought that no line crosses a curve
ALONE = 0.35  # of the widest gap to other curves: where words may stand
SPARSE = 9.0  # [page units] between points of a curve that words look at
MANY = 200  # points of a curve that words look at
STILL = Camera((0.0, 0.0), (0.0, 0.0), 1.0)  # all of a chart is in page units


@dataclass(frozen=True, eq=False)
class Curve:
    """A line through `points`, shape (n, 2), in the units of the axes; NaN lifts the pen.

    words : its name, put beside it; role : how it is drawn; dots, shape (m, 2) : what lies on it if the
    other road agrees; jump : x, and y just before and just after
    """

    name: Name
    words: str
    points: Points
    role: str = "curve"
    dots: Points | None = None
    jump: tuple[float, float, float] | None = None


@dataclass(frozen=True, eq=False)
class Panel:
    """Curves on one pair of axes, a heading above, and words beside points of the data.

    along : what x is, before its numbers; levels, moments : words (or none) and where a line goes all
    across (y) or up (x); notes : words and points of what they name, in the units of the axes
    """

    name: Name
    heading: str
    along: str
    curves: Sequence[Curve]
    x: Scale
    y: Scale
    levels: Sequence[tuple[str, float]] = ()
    moments: Sequence[tuple[str, float]] = ()
    notes: Sequence[tuple[str, Points]] = ()

    def marks(self, rect: Rect) -> list[Mark]:
        """The panel in a rectangle of the page; its y axis grows as far as the words need."""
        left, top, right, bottom = rect
        inner = (left + NUMBERS, top + HEADING, right, bottom - BELOW)
        best: tuple[int, list[Mark]] | None = None  # lines across curves, and what is drawn
        for i in range(ROUNDS):
            axes = Axes(inner, self.x, self.y.roomier(HIGHER * i * (1 + i / PATIENCE**2)))
            drawn = [*axes.marks(self.name), *self._lines(axes)]
            laid = callouts(list(self._callouts(axes)), inner, segments(self._outlines(drawn), STILL))
            if laid is not None and (best is None or laid.crossings < best[0]):
                best = laid.crossings, [*drawn, *laid.marks]
            if best is not None and (best[0] == 0 or i >= PATIENCE):
                return [*best[1], *self._titles(rect, inner)]
        raise SimlabFault(f"the words of {self.name} find no place")

    def _titles(self, rect: Rect, inner: Rect) -> list[Mark]:
        """The heading, and what x is."""
        size = _fitting(self.heading, TABLE, LEAST, rect[2] - rect[0], bold=True)
        heading = _words(f"{self.name} heading", self.heading, (rect[0], rect[1] + size), size, bold=True)
        return [heading, number(f"{self.name} along", self.along, (inner[0] - GAP, below(inner)), "right")]

    def _lines(self, axes: Axes) -> Iterator[Mark]:
        """Limits, curves, dots and jumps."""
        for i, (_, ends) in enumerate(self._limits(axes)):
            yield _stroke(f"{self.name} limit {i}", "limit", ends)
        for curve in self.curves:
            name = f"{self.name} {curve.name}"
            line = thinned(axes.to_page(curve.points))
            if np.isfinite(line).any():  # one that is all below a logarithmic axis is nowhere
                yield _stroke(name, curve.role, line)
            if curve.jump is not None:
                x, before, after = curve.jump
                ends = axes.to_page(np.array([[x, before], [x, after]]))
                yield _stroke(f"{name} jump", "jump", ends)
                yield _ring(f"{name} before", "end", ends[0], END)
            dots = np.zeros((0, 2)) if curve.dots is None else axes.to_page(curve.dots)
            for i, dot in enumerate(dots):
                if np.isfinite(dot).all():
                    yield _ring(f"{name} dot {i}", "dot", dot, DOT)

    def _limits(self, axes: Axes) -> Iterator[tuple[str, Points]]:
        """Words and both ends on the page of every line that is no curve."""
        left, top, right, bottom = axes.rect
        for words, moment in self.moments:
            x = float(axes.to_page(np.array([[moment, axes.y.high]]))[0, 0])
            yield words, np.array([[x, top], [x, bottom]])
        for words, level in self.levels:
            y = float(axes.to_page(np.array([[self.x.low, level]]))[0, 1])
            yield words, np.array([[left, y], [right, y]])

    def _outlines(self, drawn: Iterable[Mark]) -> Iterator[Mark]:
        """What words keep off, long curves a little coarser than they are drawn."""
        curves = {f"{self.name} {curve.name}" for curve in self.curves}
        for mark in drawn:
            if isinstance(mark, Stroke) and mark.name in curves:
                yield replace(mark, points=thinned(mark.points, COARSE))
            else:
                yield mark

    def _callouts(self, axes: Axes) -> Iterator[Callout]:
        """All words of the panel: those of limits first, since they have the least choice."""
        named = [(curve.words, _spaced(axes.to_page(curve.points))) for curve in self.curves]
        limits = [(words, _filled(ends)) for words, ends in self._limits(axes)]
        every = [points for _, points in (*named, *limits)]
        for i, (words, points) in enumerate(limits):
            if words:
                others = np.concatenate([NOWHERE, *every[: len(named)]])
                yield Callout(f"{self.name} limit words {i}", words, points, others)
        for i, (words, points) in enumerate(named):
            others = np.concatenate([NOWHERE, *every[:i], *every[i + 1 :]])
            if words and len(points):
                near, role = _alone(points, others), f"words of {self.curves[i].role}"
                yield Callout(f"{self.name} words {i}", words, near, others, role)
        for i, (words, points) in enumerate(self.notes):
            yield Callout(f"{self.name} note {i}", words, _spaced(axes.to_page(points)), NOWHERE)


NOWHERE = np.zeros((0, 2))


def _spaced(points: Points) -> Points:
    """Points of a curve on the page, a little apart."""
    points = points[np.isfinite(points).all(axis=1)]
    if len(points) < 2:
        return points
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    _, first = np.unique(np.floor(gone / max(SPARSE, gone[-1] / MANY)), return_index=True)
    return np.asarray(points[first])


def _alone(points: Points, others: Points) -> Points:
    """The points of a curve that are not near others, by its own measure."""
    if not len(others):
        return points
    off = np.array([np.hypot(*(others - point).T).min() for point in points])
    return np.asarray(points[off >= ALONE * off.max()])


def _filled(ends: Points) -> Points:
    return np.asarray(ends[0] + np.linspace(0, 1, 100)[:, None] * (ends[1] - ends[0]))


def _stroke(name: Name, role: str, points: Points) -> Stroke:
    return Stroke(name=name, role=role, space="page", points=points)


def _ring(name: Name, role: str, centre: Points, radius: float) -> Ring:
    at: Point = (float(centre[0]), float(centre[1]))
    return Ring(name=name, role=role, space="page", centre=at, radius=radius)


def _words(name: Name, text: str, at: Point, size: float, role: str = "text", bold: bool = False) -> Label:
    return Label(name=name, role=role, space="page", anchor=at, text=text, size=size, bold=bold)


def chart(
    title: str, panels: Sequence[Panel], page: Page, *, under: str = "", footnotes: Sequence[str] = ()
) -> Picture:
    """Panels in two columns below a title and a line `under` it, small lines at the foot.

    >>> points = np.array([[0.0, 0.0], [1.0, 2.0]])
    >>> scales = Scale.around(0, 1), Scale.around(0, 2)
    >>> panel = Panel("way", "Way / m", "time / s", [Curve("B", "$B$", points)], *scales)
    >>> chart("A fall", [panel], Page.of(16, 9)).title
    'A fall'
    """
    wide = page.width - 2 * MARGIN
    top, foot = MARGIN / 2, page.height - MARGIN / 2
    marks: list[Mark] = []
    for name, words, size in (("title", title, TITLE), ("under title", under, SMALL)):
        if words:
            size = _fitting(words, size, LEAST, wide, bold=name == "title")
            marks.append(_words(name, words, (MARGIN, top + size), size, bold=name == "title"))
            top += LEADING * size
    for i, words in enumerate(reversed(footnotes)):
        size = _fitting(words, SMALL, LEAST, wide)
        marks.append(_words(f"footnote {i}", words, (MARGIN, foot), size, role="quiet text"))
        foot -= LEADING * SMALL
    bottom = foot - GAP
    rows = ceil(len(panels) / COLUMNS)
    across, down = (wide + BETWEEN) / COLUMNS, (bottom - top) / max(rows, 1)
    for i, panel in enumerate(panels):
        left, over = MARGIN + (i % COLUMNS) * across, top + (i // COLUMNS) * down
        marks += panel.marks((left, over, left + across - BETWEEN, over + down))
    return Picture.of(marks, STILL, page, title)


def _fitting(text: str, size: float, least: float, width: float, bold: bool = False) -> float:
    """The size of type, down to `least`, at which a line is no longer than a width."""
    while size > least and setting(text, size, bold=bold).width > width:
        size -= 1
    return size
