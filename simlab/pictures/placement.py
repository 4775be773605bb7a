"""Placing of labels: never on one another, on a rod or an arrow, or off the page.

Each label has seats around its anchor (and along its arrow), the preferred ones first. A label keeps
the seat of the picture before as long as nothing is in the way; otherwise it takes the cheapest.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.camera import SCREEN, Camera, Page, Rect
from simlab.pictures.marks import SIDES, Label, Mark, Name, Side
from simlab.pictures.obstacles import Boxes, Segments, boxes_hit, segments
from simlab.pictures.typeset import Setting, setting

MARGIN = 14.0  # [page units] from the edge of the page
SWEEPS = 2  # times that a label may think again, once all others sit
AIR = 4.0  # [page units] least bare paper around a label
ARRIVED = 0.5  # [page units] a gliding label this near its seat is there
STATIONS = (1.0, 0.72, 0.45)  # seats along an arrow: at its tip, then back towards its tail
STEPS = (0.0, 14.0, 34.0, 64.0)  # [page units] further and further from the anchor
_DIRECTION: Mapping[Side, tuple[float, float]] = {
    "n": (0, -1), "ne": (1, -1), "e": (1, 0), "se": (1, 1), "s": (0, 1), "sw": (-1, 1), "w": (-1, 0), "nw": (-1, -1),
}  # fmt: skip

# Costs of a seat. What must not be outweighs any number of preferences.
ON_LABEL, ON_MARK, OFF_PAGE = 300.0, 100.0, 1000.0
NOT_PREFERRED, FURTHER, BACK, MOVING = 1.0, 4.5, 1.5, 6.0


class Spot(NamedTuple):
    """Where a label stands: its origin [page units] and the seat it took (-1: it had no choice).

    `still` [page units] is how far it is yet from that seat, when it glides there.
    """

    x: float
    y: float
    seat: int
    still: tuple[float, float] = (0.0, 0.0)


Placement = Mapping[Name, Spot]


def text_of(label: Label) -> Setting:
    """The typeset text of a label."""
    return setting(label.text, label.size, label.width, label.align, label.bold)


def place(
    marks: Sequence[Mark],
    camera: Camera,
    before: Placement | None = None,
    *,
    page: Page = SCREEN,
    within: Rect | None = None,
    glide: float = 1.0,
) -> Placement:
    """Find a place for every label, by name.

    `before` is the placement of the picture before: seats are kept where they are still free.
    `within` bounds the labels that may choose (the page less a margin, if not given). `glide` is the
    share of the way to a new place that a label moves in one picture (1 at once).
    """
    labels = [mark for mark in marks if isinstance(mark, Label)]
    free = [label for label in labels if label.sides and label.opacity > 0]
    spots = {label.name: _fixed(label, camera) for label in labels if not label.sides}
    taken = np.array([_box(text_of(label), spots[label.name]) for label in labels if not label.sides])
    if not free:
        return spots
    room = within or (MARGIN, MARGIN, page.width - MARGIN, page.height - MARGIN)
    table = _Seating(free, camera, room, segments(marks, camera), taken.reshape(-1, 4), before or {})
    for label, seat in zip(free, table.choose(), strict=True):
        spots[label.name] = _glided(table.spot(label, seat), label.name, before, glide)
    return spots


def _glided(spot: Spot, name: Name, before: Placement | None, glide: float) -> Spot:
    old = (before or {}).get(name)
    if old is None or glide >= 1:
        return spot
    way = old.still if old.seat == spot.seat else (old.x - spot.x, old.y - spot.y)
    dx, dy = (0.0 if abs(d) < ARRIVED else d * (1 - glide) for d in way)
    return Spot(spot.x + dx, spot.y + dy, spot.seat, (dx, dy))


def _fixed(label: Label, camera: Camera) -> Spot:
    point = np.array(label.anchor)
    x, y = camera.to_page(point) if label.space == "frame" else point
    return Spot(float(x), float(y), -1)


def _box(text: Setting, spot: Spot) -> Rect:
    left, top, right, bottom = text.box
    return (left + spot.x, top + spot.y, right + spot.x, bottom + spot.y)


@lru_cache(maxsize=256)
def _seats(sides: tuple[Side, ...], has_arrow: bool) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Every seat as (x direction, y direction, step, station), and its cost as a preference."""
    order = (*sides, *(side for side in SIDES if side not in sides))
    rows, costs = [], []
    for back, station in enumerate(STATIONS if has_arrow else STATIONS[:1]):
        for further, step in enumerate(STEPS):
            for rank, side in enumerate(order):
                rows.append((*_DIRECTION[side], step, station))
                costs.append(NOT_PREFERRED * rank + FURTHER * further + BACK * back)
    return np.array(rows, dtype=np.float64), np.array(costs)


class _Seating:
    """All seats of all labels of one picture, and which of them are free."""

    def __init__(
        self,
        labels: Sequence[Label],
        camera: Camera,
        room: Rect,
        marks: Segments,
        taken: Boxes,
        before: Placement,
    ) -> None:
        self.labels, self.camera, self.room, self.marks = labels, camera, room, marks
        self.texts = [text_of(label) for label in labels]
        self.kept = [before[label.name].seat if label.name in before else -1 for label in labels]
        self.boxes: list[Boxes] = [
            _seat_boxes(label, text, camera) for label, text in zip(labels, self.texts, strict=True)
        ]
        self.fixed = taken
        self.seat = [-1] * len(labels)

    def spot(self, label: Label, seat: int) -> Spot:
        """The origin of a label's text when it takes a seat."""
        i = self.labels.index(label)
        left, top = self.boxes[i][seat, :2]
        box = self.texts[i].box
        return Spot(float(left + AIR - box[0]), float(top + AIR - box[1]), seat)

    def choose(self) -> list[int]:
        """A seat for each label: the old one where it is free, else the cheapest, thought over again."""
        self._keep()
        unseated = [i for i, seat in enumerate(self.seat) if seat < 0]
        if unseated:
            costs = self._costs(unseated)
            for i in unseated:
                self._take(i, costs[i])
            for i in unseated * SWEEPS:  # again, now that all the others sit
                self._take(i, costs[i])
        return self.seat

    def _keep(self) -> None:
        """Let the labels whose old seats are free sit down first, in order."""
        old = [i for i, seat in enumerate(self.kept) if 0 <= seat < len(self.boxes[i])]
        if not old:
            return
        boxes = np.array([self.boxes[i][self.kept[i]] for i in old])
        free = ~boxes_hit(boxes, self.marks).any(axis=1) & ~self._outside(boxes)
        for i, box, is_free in zip(old, boxes, free, strict=True):
            if is_free and not _overlaps(box, self._occupied(i)).any():
                self.seat[i] = self.kept[i]

    def _costs(self, chosen: Iterable[int]) -> dict[int, NDArray[np.float64]]:
        """The cost of each seat of the chosen labels, but for the other labels."""
        chosen = list(chosen)
        every = np.concatenate([self.boxes[i] for i in chosen])
        cost = ON_MARK * boxes_hit(every, self.marks).sum(axis=1) + OFF_PAGE * self._outside(every)
        costs, start = {}, 0
        for i in chosen:
            label = self.labels[i]
            _, preference = _seats(label.sides, label.vector != (0.0, 0.0))
            own = cost[start : start + len(preference)] + preference
            if self.kept[i] >= 0:
                own += MOVING
                own[self.kept[i]] -= MOVING
            costs[i], start = own, start + len(preference)
        return costs

    def _take(self, i: int, cost: NDArray[np.float64]) -> None:
        on_others = _overlaps_of_all(self.boxes[i], self._occupied(i))
        self.seat[i] = int(np.argmin(cost + ON_LABEL * on_others))

    def _occupied(self, but: int) -> Boxes:
        seated = [self.boxes[j][seat] for j, seat in enumerate(self.seat) if seat >= 0 and j != but]
        return np.concatenate([self.fixed, np.array(seated).reshape(-1, 4)])

    def _outside(self, boxes: Boxes) -> NDArray[np.bool_]:
        left, top, right, bottom = self.room
        return np.asarray(
            (boxes[:, 0] < left) | (boxes[:, 1] < top) | (boxes[:, 2] > right) | (boxes[:, 3] > bottom)
        )


def _seat_boxes(label: Label, text: Setting, camera: Camera) -> Boxes:
    """The box of a label's text, with a little air, in each of its seats."""
    seats, _ = _seats(label.sides, label.vector != (0.0, 0.0))
    anchor = np.array(label.anchor)
    start = camera.to_page(anchor) if label.space == "frame" else anchor
    points = start + seats[:, 3:4] * np.array(camera.arrow(label.vector))
    half = np.array([text.width / 2 + AIR, text.height / 2 + AIR])
    gap = label.clearance + seats[:, 2]
    slant = np.where((seats[:, 0] != 0) & (seats[:, 1] != 0), np.sqrt(0.5), 1.0)
    centres = points + seats[:, :2] * (half + (gap * slant)[:, None])
    return np.concatenate([centres - half, centres + half], axis=1)


def _overlaps(box: NDArray[np.float64], others: Boxes) -> NDArray[np.bool_]:
    return np.asarray(
        (box[0] < others[:, 2])
        & (others[:, 0] < box[2])
        & (box[1] < others[:, 3])
        & (others[:, 1] < box[3])
    )


def _overlaps_of_all(boxes: Boxes, others: Boxes) -> NDArray[np.int64]:
    """How many of the others each box overlaps, shape (boxes,)."""
    across = (boxes[:, None, 0] < others[None, :, 2]) & (others[None, :, 0] < boxes[:, None, 2])
    up = (boxes[:, None, 1] < others[None, :, 3]) & (others[None, :, 1] < boxes[:, None, 3])
    return np.asarray((across & up).sum(axis=1))
