"""Sheets and wires: the parts of a plate, found from its one closed outline.

The outline goes round every piece in turn: along a wire it goes there and back, and wherever it comes
back to a point it has closed a part. A sheet inside another one is a hole in it.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from simlab.pictures.marks import Points

Corners = list[int]  # rows of the outline
FLAT = 1e-9  # of the square of its size: a smaller area is none


def parts_of(outline: Points) -> tuple[list[Corners], list[Corners], list[Corners]]:
    """The sheets, the holes in them, and the straight wires of an outline, shape (n, 2)."""
    loops = _loops(outline)
    sheets = [loop for loop in loops if len(loop) > 2 and not _is_flat(outline[loop])]
    holes = [loop for loop in sheets if any(_is_inside(outline, loop, other) for other in sheets)]
    on_holes = {tuple(outline[i]) for loop in holes for i in loop}
    wires: list[Corners] = []
    for loop in loops:
        if loop in sheets:
            continue
        for start, end in pairwise(loop):
            is_new = not any(_is_same(outline, (start, end), wire) for wire in wires)
            if is_new and not {tuple(outline[start]), tuple(outline[end])} & on_holes:
                wires.append([start, end])
    return [loop for loop in sheets if loop not in holes], holes, wires


def _loops(outline: Points) -> list[Corners]:
    """The rows of the outline in simple closed loops; of two points where it goes there and back."""
    loops: list[Corners] = []
    way: Corners = []
    for row in [*range(len(outline)), 0]:
        at = next(
            (i for i, before in enumerate(way) if np.array_equal(outline[before], outline[row])), None
        )
        if at is None:
            way.append(row)
        else:
            if len(way) - at > 1:
                loops.append(way[at:])
            way = way[: at + 1]
    return loops


def _is_flat(corners: Points) -> bool:
    x, y = corners.T
    area = abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2
    return area < FLAT * float(np.ptp(x) + np.ptp(y)) ** 2


def _is_same(outline: Points, ends: tuple[int, int], wire: Corners) -> bool:
    one, other = outline[list(ends)], outline[wire]
    return np.array_equal(one, other) or np.array_equal(one, other[::-1])


def _is_inside(outline: Points, loop: Corners, other: Corners) -> bool:
    """Whether all corners of a loop are inside another one (ray crossings; common practice)."""
    if loop is other:
        return False
    corners = outline[other]
    for x, y in outline[loop]:
        a, b = corners, np.roll(corners, -1, axis=0)
        spans = (a[:, 1] > y) != (b[:, 1] > y)
        rise = np.where(spans, b[:, 1] - a[:, 1], 1.0)
        crossing = a[:, 0] + (y - a[:, 1]) * (b[:, 0] - a[:, 0]) / rise
        if np.count_nonzero(spans & (crossing > x)) % 2 == 0:
            return False
    return True
