"""Repainting: only what changed from one picture to the next is drawn again, and what lies across it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.engraving import Ink
from simlab.pictures.marks import Name

RIM = 2  # [px] around an outline: what is smoothed, and what a kept label's place is rounded by
Boxes = NDArray[np.int64]  # shape (n, 4): left, top, right, bottom [px]


class _Painted(NamedTuple):
    ink: Ink
    order: int
    box: tuple[int, int, int, int]


class Repainting:
    """What is on a canvas of `ratio` pixels a page unit, and what has to be drawn on it again.

    It changes no pixel of an outline: whatever shares a pixel with a change is cleared and drawn again
    in the order of the whole picture. So nobody else may write on the canvas.
    """

    def __init__(self, canvas: NDArray[np.uint8], paper: tuple[int, int, int], ratio: float) -> None:
        self._pixels: NDArray[np.uint32] = canvas.view(np.uint32)[..., 0]
        self._paper = np.array([*paper, 255], np.uint8).view(np.uint32)[0]
        self._ratio = ratio
        self._before: dict[Name, _Painted] | None = None
        self._top = len(self._pixels)  # of the rows that are covered

    def forget(self) -> None:
        """Begin anew: the canvas was drawn on otherwise."""
        self._before = None

    def spoil(self, top: int) -> None:
        """What is below a row of the canvas has been covered, and has to be drawn again."""
        self._top = top

    def begin(self, inks: Sequence[Ink]) -> Sequence[Ink]:
        """Clear the canvas where the picture changes, and return the inks to be drawn again, in order."""
        before, painted, changed = self._before or {}, {}, np.ones(len(inks), np.bool_)
        gone, last = dict(before), -1
        for i, ink in enumerate(inks):
            old = before.get(ink.name)
            if old is not None and old.order > last and _same(old.ink, ink):
                changed[i], last = False, old.order
                painted[ink.name] = _Painted(ink, i, old.box)
                gone.pop(ink.name, None)
            else:
                painted[ink.name] = _Painted(ink, i, self._box(ink))
        whole = self._before is None or len(painted) < len(inks)  # two of a name: whose place is whose?
        self._before = painted if len(painted) == len(inks) else None
        (height, width), top, self._top = self._pixels.shape, self._top, len(self._pixels)
        if not whole:
            boxes = np.array([one.box for one in painted.values()], np.int64).reshape(-1, 4)
            covered = (0, top, width, height)
            cleared = np.array([covered, *(one.box for one in gone.values())], np.int64)
            again = _across(boxes, changed, cleared)
            cleared = np.concatenate([cleared, boxes[again]])
            sides = (cleared[:, 2:] - cleared[:, :2]).clip(min=0)
            whole = bool((sides[:, 0] * sides[:, 1]).sum() > self._pixels.size)
        if whole:
            self._pixels[:] = self._paper
            return inks
        for left, top, right, bottom in cleared.tolist():
            self._pixels[top:bottom, left:right] = self._paper
        return [ink for ink, is_drawn in zip(inks, again, strict=True) if is_drawn]

    def _box(self, ink: Ink) -> tuple[int, int, int, int]:
        """The pixels of the canvas that an ink may touch."""
        height, width = self._pixels.shape
        (x, y), ratio = ink.origin, self._ratio
        edge = (ink.halo + ink.width / 2) * ratio + RIM
        if not len(ink.vertices):
            return (0, 0, 0, 0)
        points = ink.vertices if ink.rim is None else np.concatenate([ink.vertices, ink.rim[0]])
        (left, top), (right, bottom) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
        return (
            max(int((left + x) * ratio - edge), 0),
            max(int((top + y) * ratio - edge), 0),
            min(int((right + x) * ratio + edge) + 1, width),
            min(int((bottom + y) * ratio + edge) + 1, height),
        )


def _across(boxes: Boxes, changed: NDArray[np.bool_], cleared: Boxes) -> NDArray[np.bool_]:
    """Which boxes meet what is cleared or changed, or a box that does, and so on."""
    again, fresh = changed.copy(), np.concatenate([cleared, boxes[changed]])
    while len(fresh):
        across = (boxes[:, None, 0] < fresh[:, 2]) & (fresh[:, 0] < boxes[:, None, 2])
        up = (boxes[:, None, 1] < fresh[:, 3]) & (fresh[:, 1] < boxes[:, None, 3])
        met = (across & up).any(axis=1) & ~again
        again |= met
        fresh = boxes[met]
    return again


def _same(old: Ink, new: Ink) -> bool:
    """Whether two inks leave the same marks."""
    if old[3:-1] != new[3:-1]:
        return False
    if (old.rim is None) != (new.rim is None):
        return False
    pairs = zip(_arrays(old), _arrays(new), strict=True)
    return all(a is b or a.tobytes() == b.tobytes() for a, b in pairs)


def _arrays(ink: Ink) -> tuple[NDArray[Any], ...]:
    return (ink.vertices, ink.codes, *(ink.rim or ()))
