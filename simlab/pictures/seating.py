"""Seats for labels: every label's possible places, what is in their way, and who sits where."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.camera import Camera, Rect
from simlab.pictures.marks import SIDES, Label, Points, Side
from simlab.pictures.obstacles import Boxes, Segments, boxes_hit
from simlab.pictures.typeset import text_of

SWEEPS = 2  # times that a label may think again, once all others sit
AIR = 6.0  # [page units] least bare paper around a label: a little more than its halo
KEPT = 1.0  # [page units] the same of a label that sits already: it does not move for a trifle
STEPS = (0.0, 14.0, 34.0, 64.0)  # [page units] further and further from the anchor
FAR = (100.0, 145.0, 200.0)  # [page units]: only with a line that leads there
LED = 58.0  # [page units] from an arrow to its words: from here on a line leads to them
Floats = NDArray[np.float64]
DIRECTION: Mapping[Side, tuple[float, float]] = {
    "n": (0, -1), "ne": (1, -1), "e": (1, 0), "se": (1, 1),
    "s": (0, 1), "sw": (-1, 1), "w": (-1, 0), "nw": (-1, -1),
}  # fmt: skip

# Costs of a seat. What must not be outweighs any number of preferences.
ON_LABEL, ON_MARK, OFF_PAGE = 300.0, 100.0, 1000.0
ON_FAINT = 10.0
NOT_PREFERRED, FURTHER, BACK, MOVING = 1.0, 4.5, 1.5, 6.0
DOUBT, NEARER, MOST_DOUBT = (
    0.4,
    14.0,
    40.0,
)  # [page units] by which its own arrow should be nearer than others
ALONG = np.linspace(0.2, 1.0, 9)[:, None]  # shares of an arrow from which distances are taken


@lru_cache(maxsize=256)
def _seats(sides: tuple[Side, ...], stations: tuple[float, ...], is_led: bool) -> tuple[Floats, Floats]:
    """Every seat as (x direction, y direction, step, station), and its cost as a preference."""
    order = (*sides, *(side for side in SIDES if side not in sides))
    rank = {side: i for i, side in enumerate(order)}
    rows, costs = [], []
    for back, station in enumerate(stations):
        for further, step in enumerate((*STEPS, *FAR) if is_led else STEPS):
            for side in SIDES:  # always in this order: a seat's number must mean the same in every picture
                rows.append((*DIRECTION[side], step, station))
                costs.append(NOT_PREFERRED * rank[side] + FURTHER * further + BACK * back)
    return np.array(rows, dtype=np.float64), np.array(costs)


class Seating:
    """All seats of all labels of one picture, and which of them are free."""

    def __init__(
        self,
        labels: Sequence[Label],
        camera: Camera,
        room: Rect,
        marks: Segments,
        faint: Segments,
        taken: Boxes,
        kept: Sequence[int],
    ) -> None:
        """`marks` are in the way, `faint` ones may be behind; `taken`: boxes of labels without a choice.

        `kept`: seats of the picture before, or -1.
        """
        self.labels, self.room, self.fixed, self.kept = labels, room, taken, kept
        self.marks, self.faint = marks, faint
        starts = [
            camera.point(label.anchor) if label.space == "frame" else label.anchor for label in labels
        ]
        self.start = np.array(starts)  # anchors on the page
        self.lead = np.array([_lead(label, camera) for label in labels])  # along their arrows
        texts = [text_of(label) for label in labels]
        self.half = np.array([(text.width / 2 + AIR, text.height / 2 + AIR) for text in texts])
        self.clearance = np.array([label.clearance for label in labels])
        self.seats = [
            _seats(label.sides, label.stations if label.vector != (0.0, 0.0) else (0.0,), label.led)
            for label in labels
        ]
        self.arrows = [i for i, label in enumerate(labels) if label.led and self.lead[i].any()]
        self._boxes: dict[int, Boxes] = {}
        self.seat = [-1] * len(labels)
        self.free = [True] * len(labels)  # whether nothing is in the way of a label where it sits

    def boxes(self, i: int) -> Boxes:
        """The box of a label's text, with a little air, in each of its seats, shape (seats, 4)."""
        if i not in self._boxes:
            rows = self.seats[i][0]
            self._boxes[i] = self._box(rows, self.start[i], self.lead[i], self.half[i], self.clearance[i])
        return self._boxes[i]

    def taken(self) -> Boxes:
        """The box of each label in the seat it has, shape (labels, 4)."""
        rows = np.array([self.seats[i][0][seat] for i, seat in enumerate(self.seat)])
        return self._box(rows, self.start, self.lead, self.half, self.clearance)

    @staticmethod
    def _box(rows: Floats, start: Points, lead: Points, half: Points, clearance: Floats) -> Boxes:
        """Boxes of seats (rows of x direction, y direction, step, station) about anchors on the page."""
        slant = np.where(rows[:, 0] * rows[:, 1] != 0, np.sqrt(0.5), 1.0)
        gap = (clearance + rows[:, 2]) * slant
        centres = start + rows[:, 3:4] * lead + rows[:, :2] * (half + gap[:, None])
        return np.concatenate([centres - half, centres + half], axis=1)

    def choose(self) -> list[int]:
        """A seat for each label: the old one where it is free, else the cheapest, thought over again."""
        self._keep()
        crowded = self._seat_the_rest()
        if crowded and any(seat >= 0 for seat in self.kept):
            best = list(self.seat), list(self.free)
            self.seat = [-1] * len(self.labels)  # everybody makes way
            if self._seat_the_rest() >= crowded:
                self.seat, self.free = best
        return self.seat

    def _seat_the_rest(self) -> int:
        """Seats for all labels that have none; the number of those that found none free."""
        unseated = [i for i, seat in enumerate(self.seat) if seat < 0]
        if unseated:
            costs = self._costs(unseated)
            for i in unseated:
                self._take(i, costs[i])
            for i in unseated * SWEEPS:  # again, now that all the others sit
                self._take(i, costs[i])
            for i in unseated:
                if not self._is_free(i, costs):
                    self._swap(i, costs)
            for i in unseated:
                self.free[i] = self._is_free(i, costs)
        crowded = sum(not self.free[i] for i in unseated)
        for i in unseated:
            self.free[i] &= not self._are_on_marks(self.boxes(i)[self.seat[i], None])[0]
        return crowded

    def _swap(self, i: int, costs: Mapping[int, Floats]) -> None:
        """Give a label that is in the way a seat that one other label can leave for a free one."""
        before = list(self.seat)
        for seat in np.argsort(costs[i], kind="stable"):
            if costs[i][seat] >= ON_MARK:
                return
            box = self.boxes(i)[seat]
            sitting = [
                j for j in costs if j != i and meet(box[None], self.boxes(j)[self.seat[j], None])[0, 0]
            ]
            self.seat[i] = int(seat)
            for j in sitting[:1]:
                self._take(j, costs[j])
            if all(self._is_free(k, costs) for k in (i, *sitting[:1])):
                return
            self.seat = list(before)

    def _keep(self) -> None:
        """Let the labels whose old seats are free sit down first, in order."""
        old = [i for i, seat in enumerate(self.kept) if 0 <= seat < len(self.seats[i][0])]
        if not old:
            return
        rows = np.array([self.seats[i][0][self.kept[i]] for i in old])
        boxes = self._box(rows, self.start[old], self.lead[old], self.half[old], self.clearance[old])
        close = boxes + (AIR - KEPT) * np.array([1, 1, -1, -1])
        free = ~boxes_hit(close, self.marks).any(axis=1) & ~self._outside(close)
        free &= _overlaps_of_all(close, self.fixed) == 0
        overlap = meet(close, boxes)
        seated: list[int] = []
        for k in np.flatnonzero(free):
            if not overlap[k, seated].any():
                seated.append(int(k))
                self.seat[old[k]] = self.kept[old[k]]
        sitting = boxes[seated]
        alone = ~self._are_on_marks(sitting) & (meet(sitting, boxes).sum(axis=1) == 1)
        for i, is_alone in zip(seated, alone, strict=True):
            self.free[old[i]] = bool(is_alone)

    def _costs(self, chosen: Iterable[int]) -> dict[int, Floats]:
        """The cost of each seat of the chosen labels, but for the other labels."""
        chosen = list(chosen)
        every = np.concatenate([self.boxes(i) for i in chosen])
        cost = ON_MARK * boxes_hit(every, self.marks).sum(axis=1) + OFF_PAGE * self._outside(every)
        cost += ON_FAINT * boxes_hit(every, self.faint).any(axis=1)
        costs, start = {}, 0
        for i in chosen:
            preference = self.seats[i][1]
            own = cost[start : start + len(preference)] + preference + self._doubt(i)
            if self.kept[i] >= 0:
                own += MOVING
                own[self.kept[i]] -= MOVING
            costs[i], start = own, start + len(preference)
        return costs

    def _doubt(self, i: int) -> Floats | float:
        """What it costs that in a seat a label of an arrow is as near to another arrow that has one."""
        others = [j for j in self.arrows if j != i]
        if i not in self.arrows or not others:
            return 0.0
        own = _gap(self.boxes(i), self.start[i] + ALONG * self.lead[i])
        points = [self.start[j] + ALONG * self.lead[j] for j in others]
        foreign = _gap(self.boxes(i), np.concatenate(points))
        doubt = np.clip(own + NEARER - foreign, 0.0, MOST_DOUBT)
        return np.asarray(DOUBT * np.where(own > LED, 0.0, doubt))

    def _take(self, i: int, cost: NDArray[np.float64]) -> None:
        self.seat[i] = int(np.argmin(self._cost(i, cost)))

    def _cost(self, i: int, cost: NDArray[np.float64]) -> NDArray[np.float64]:
        """The cost of each seat of a label, the other labels where they sit now."""
        return cost + ON_LABEL * _overlaps_of_all(self.boxes(i), self._occupied(i))

    def _is_free(self, i: int, costs: Mapping[int, Floats]) -> bool:
        return bool(self._cost(i, costs[i])[self.seat[i]] < ON_MARK)

    def _occupied(self, but: int) -> Boxes:
        seated = [self.boxes(j)[seat] for j, seat in enumerate(self.seat) if seat >= 0 and j != but]
        return np.concatenate([self.fixed, np.array(seated).reshape(-1, 4)])

    def _are_on_marks(self, boxes: Boxes) -> NDArray[np.bool_]:
        """Which boxes have anything behind them."""
        on_faint = boxes_hit(boxes, self.faint).any(axis=1)
        return np.asarray(on_faint | boxes_hit(boxes, self.marks).any(axis=1))

    def _outside(self, boxes: Boxes) -> NDArray[np.bool_]:
        left, top, right, bottom = self.room
        return np.asarray(
            (boxes[:, 0] < left) | (boxes[:, 1] < top) | (boxes[:, 2] > right) | (boxes[:, 3] > bottom)
        )


def _lead(label: Label, camera: Camera) -> tuple[float, float]:
    """The arrow that a label belongs to, on the page."""
    if label.measure == "force":
        return camera.arrow(label.vector)
    return camera.length(label.vector) if label.space == "frame" else label.vector


def _gap(boxes: Boxes, points: Points) -> Floats:
    """How far each box is from the nearest of some points, shape (boxes,)."""
    across, up = (
        np.maximum(np.maximum(boxes[:, k, None] - points[:, k], points[:, k] - boxes[:, k + 2, None]), 0.0)
        for k in (0, 1)
    )
    return np.asarray(np.hypot(across, up).min(axis=1))


def meet(boxes: Boxes, others: Boxes) -> NDArray[np.bool_]:
    """Which boxes overlap which others, shape (boxes, others)."""
    across = (boxes[:, None, 0] < others[None, :, 2]) & (others[None, :, 0] < boxes[:, None, 2])
    up = (boxes[:, None, 1] < others[None, :, 3]) & (others[None, :, 1] < boxes[:, None, 3])
    return np.asarray(across & up)


def _overlaps_of_all(boxes: Boxes, others: Boxes) -> NDArray[np.int64]:
    """How many of the others each box overlaps, shape (boxes,)."""
    return np.asarray(meet(boxes, others).sum(axis=1))
