"""Callouts: words beside the curve that they name, on nothing else, with a thin line from further off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.camera import Rect
from simlab.pictures.marks import Label, Mark, Name, Points, Stroke
from simlab.pictures.obstacles import Boxes, Segments, boxes_hit
from simlab.pictures.palette import SMALL
from simlab.pictures.typeset import Setting, setting
from simlab.results.trace import Floats

STEP = 11.0  # [page units] from one place that is tried to the next
SQUARE = 4.0  # [page units]: words keep off any square with ink in it
AIR = 7.0  # [page units] of bare paper around the words
BESIDE = 26.0  # [page units]: words this near to their curve need no line to it
CLEAR = 30.0  # [page units] by which their own curve should be nearer than any other
DOUBTFUL = 3.0  # cost of a page unit less than that
FAR = 1e4  # [page units]: further than anything on the page
LINE = 2.0  # [page units] width of a line to a curve
WIDEST = 0.6  # of the room: longer words are broken
BROKEN = 15.0  # cost of words on two lines
CROSSED = 300.0  # cost of a line across another curve
CROSSING = 8.0  # [page units] from a point of another curve: its points are that far apart
ALONG = 60  # points along a line that another one should not cross
TINY = 1e-9  # [square page units]: a line without length is a point


@dataclass(frozen=True, eq=False)
class Callout:
    """Words, points of what they name, and points of what they might be taken to name instead.

    Points on the page [page units], shape (n, 2).
    """

    name: Name
    words: str
    near: Points
    others: Points
    role: str = "text"  # words in the colour of their curve, besides standing at it


def callouts(wanted: Sequence[Callout], room: Rect, marks: Segments) -> Laid | None:
    """The words and their lines, all inside the room and off the marks; None where one finds no place."""
    drawn: list[Mark] = []
    crossings = 0
    taken, lines = np.zeros((0, 4)), np.zeros((0, 2, 2))
    inked = _Inked(marks, room)
    for callout in wanted:
        widths = (None, WIDEST * (room[2] - room[0]))
        seats = [
            seat for width in widths if (seat := _seat(callout, width, inked, taken, lines)) is not None
        ]
        if not seats:
            return None
        best = min(seats, key=lambda seat: seat.cost + (seat.width is not None) * BROKEN)
        crossings += best.crosses
        drawn.append(_label(callout, best))
        taken = np.concatenate([taken, best.box[None]])
        if best.line is not None:
            name = f"line to {callout.name}"
            drawn.append(Stroke(name=name, role="callout line", space="page", points=best.line))
            lines = np.concatenate([lines, best.line[None]])
    return Laid(drawn, crossings)


class Laid(NamedTuple):
    """Words and lines, and how many of the lines cross a curve that they do not lead to."""

    marks: list[Mark]
    crossings: int


class _Seat(NamedTuple):
    """Where words stand: their box with air, the width at which they are broken, their line."""

    cost: float
    box: Floats
    width: float | None
    line: Points | None
    crosses: bool


class _Inked:
    """Where marks are in a room, on squared paper: sums of all squares to the left of and above each."""

    def __init__(self, marks: Segments, room: Rect) -> None:
        self.room = room
        left, top, right, bottom = room
        shape = int((bottom - top) / SQUARE) + 2, int((right - left) / SQUARE) + 2
        squares = np.zeros(shape, dtype=np.int64)
        long = np.hypot(*(marks.b - marks.a).T)
        counts = np.ceil(2 * long / SQUARE).astype(int) + 1
        of = np.repeat(np.arange(len(long)), counts)
        share = (np.arange(len(of)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[of]
        points = marks.a[of] + share[:, None] * (marks.b - marks.a)[of]
        for corner in ((-1, -1), (-1, 1), (1, -1), (1, 1), (0, 0)):
            reach = points + marks.half[of, None] * corner
            rows, columns = self._squares(reach[:, 1], top), self._squares(reach[:, 0], left)
            inside = (rows >= 0) & (rows < shape[0]) & (columns >= 0) & (columns < shape[1])
            squares[rows[inside], columns[inside]] = 1
        self.sums = np.pad(squares, ((1, 0), (1, 0))).cumsum(axis=0).cumsum(axis=1)

    @staticmethod
    def _squares(along: Floats, start: float) -> NDArray[np.intp]:
        return np.floor((along - start) / SQUARE).astype(np.intp)

    def free(self, text: Setting) -> Boxes:
        """The boxes of words, with air around them, in which there is no ink, shape (n, 4)."""
        left, top, right, bottom = self.room
        wide, high = text.width + 2 * AIR, text.height + 2 * AIR
        x, y = np.meshgrid(np.arange(left, right - wide, STEP), np.arange(top, bottom - high, STEP))
        boxes = np.stack([x.ravel(), y.ravel(), x.ravel() + wide, y.ravel() + high], axis=1)
        x0, x1 = self._squares(boxes[:, 0], left), self._squares(boxes[:, 2], left) + 1
        y0, y1 = self._squares(boxes[:, 1], top), self._squares(boxes[:, 3], top) + 1
        ink = self.sums[y1, x1] - self.sums[y0, x1] - self.sums[y1, x0] + self.sums[y0, x0]
        return np.asarray(boxes[ink == 0])


def _seat(
    callout: Callout, width: float | None, inked: _Inked, taken: Boxes, lines: Points
) -> _Seat | None:
    """The best free box for words, and the line that they need if they do not stand beside their curve."""
    boxes = inked.free(setting(callout.words, SMALL, width))
    boxes = boxes[~boxes_hit(boxes, _as_segments(lines)).any(axis=1)]
    boxes = boxes[~_meet(boxes, taken)]
    own = _distances(boxes, callout.near)
    off, foreign = own.min(axis=1), _distances(boxes, callout.others).min(axis=1, initial=FAR)
    tips = callout.near[own.argmin(axis=1)] if len(boxes) else np.zeros((0, 2))
    leads = np.stack([np.clip(tips, boxes[:, :2], boxes[:, 2:]), tips], axis=1)
    beside = (off <= BESIDE) & (off <= foreign)
    crosses = ~beside & (_nearest(leads, np.concatenate([callout.others, _along(lines)])) < CROSSING)
    cost = off + DOUBTFUL * np.maximum(0.0, off + CLEAR - foreign) + CROSSED * crosses
    for i in np.argsort(cost, kind="stable"):
        if beside[i]:
            return _Seat(float(cost[i]), boxes[i], width, None, False)
        if not boxes_hit(taken, _as_segments(leads[i : i + 1])).any():
            return _Seat(float(cost[i]), boxes[i], width, leads[i], bool(crosses[i]))
    return None


def _nearest(lines: Points, points: Points) -> Floats:
    """How near any of the points come to each line, shape (lines,)."""
    start, along = lines[:, None, 0], lines[:, None, 1] - lines[:, None, 0]
    squared = np.maximum((along**2).sum(axis=2), TINY)
    share = np.clip(((points - start) * along).sum(axis=2) / squared, 0.0, 1.0)
    off = points - start - share[..., None] * along
    return np.asarray(np.hypot(off[..., 0], off[..., 1]).min(axis=1, initial=FAR))


def _meet(boxes: Boxes, taken: Boxes) -> NDArray[np.bool_]:
    """Whether boxes overlap any of those that are taken, shape (boxes,)."""
    across = (boxes[:, None, 0] < taken[:, 2]) & (taken[:, 0] < boxes[:, None, 2])
    up = (boxes[:, None, 1] < taken[:, 3]) & (taken[:, 1] < boxes[:, None, 3])
    return np.asarray((across & up).any(axis=1))


def _distances(boxes: Boxes, points: Points) -> Floats:
    """How far points are from boxes, shape (boxes, points)."""
    beyond = np.maximum(boxes[:, None, :2] - points, points - boxes[:, None, 2:]).clip(min=0.0)
    return np.asarray(np.hypot(beyond[..., 0], beyond[..., 1]))


def _along(lines: Points) -> Points:
    """Points along lines, shape (n, 2)."""
    shares = np.linspace(0, 1, ALONG)[:, None]
    return np.concatenate([np.zeros((0, 2)), *(a + shares * (b - a) for a, b in lines)])


def _as_segments(lines: Points) -> Segments:
    return Segments(lines[:, 0], lines[:, 1], np.full(len(lines), LINE / 2))


def _label(callout: Callout, seat: _Seat) -> Label:
    text = setting(callout.words, SMALL, seat.width)
    return Label(
        name=callout.name,
        role=callout.role,
        space="page",
        anchor=(float(seat.box[0]) + AIR - text.box[0], float(seat.box[1]) + AIR - text.box[1]),
        text=callout.words,
        size=SMALL,
        width=seat.width,
    )
