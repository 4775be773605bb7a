"""Arrowheads: each kind of force has a head of its own, so that colour is never needed to tell them.

An arrow that grows from nothing does so as a whole, without a jump in any part of it.

solid    a full triangle                        weights
barbed   a triangle with a notched back         forces at hinges
open     a hollow triangle, on a dashed shaft   tensions
double   two triangles, one behind the other    forces of supports
blunt    a broad wedge on a heavy shaft         thrusts
plain    two thin strokes                       dimensions, the scale bar
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.glyphs import Codes
from simlab.pictures.marks import Points
from simlab.pictures.palette import Pen

Floats = NDArray[np.float64]

# Length and half width of a head, in page units, for a shaft 6 units wide.
HEADS = {
    "solid": (26.0, 11.5),
    "barbed": (30.0, 13.0),
    "open": (28.0, 13.0),
    "double": (34.0, 12.0),
    "blunt": (22.0, 17.0),
    "plain": (18.0, 8.0),
}
SHORTEST = 1.5  # least length of an arrow in lengths of its head; shorter ones get smaller heads
LEAST = 0.4  # but not smaller than this share of the full head: beyond, the head says it all
WHOLE = 12.0  # [page units] until an arrow shorter than this shrinks, head and shaft, to nothing
RIM = 4.0  # [page units] wall of a hollow head


def head_sizes(long: Floats, half: Floats, length: Floats) -> tuple[Floats, Floats]:
    """Lengths and half widths of the heads of arrows `length` page units long; `long`, `half` when full."""
    share = np.clip(length / (SHORTEST * long), LEAST, 1.0) * np.minimum(1.0, length / WHOLE)
    return long * share, half * share


def thickness(length: float) -> float:
    """The share of their full thickness that shaft and halo of an arrow `length` page units long have."""
    return min(1.0, length / WHOLE)


def head_size(pen: Pen, length: float) -> tuple[float, float]:
    """Length and half width of the head of one arrow `length` page units long."""
    long, half = head_sizes(*(np.array([v]) for v in (*HEADS[pen.head], length)))
    return float(long[0]), float(half[0])


Piece = list[tuple[float, float]]  # one closed polygon; the arrow points along +x with its tail at 0


@lru_cache(maxsize=2048)
def arrow_outline(pen: Pen, length: float) -> tuple[Points, Codes]:
    """Vertices (n, 2) and codes (n,) of an arrow that lies on the x axis, tail at the origin.

    `length` in page units; callers round it a little so that equal arrows share an outline.
    """
    long, half = head_size(pen, length)
    back = length - long  # where the head begins
    thick = thickness(length)
    w = pen.width / 2 * thick
    heads: dict[str, list[Piece]] = {
        "solid": [[(back, -half), (length, 0), (back, half)]],
        "barbed": [[(back, -half), (length, 0), (back, half), (back + long * 0.36, 0)]],
        "open": _hollow(back, length, half, RIM * thick),
        "double": [
            [(back, -half), (back + long * 0.62, 0), (back, half)],
            [(back + long * 0.38, -half), (length, 0), (back + long * 0.38, half)],
        ],
        "blunt": [[(back, -half), (length, -w * 0.6), (length, w * 0.6), (back, half)]],
        "plain": _chevron(length, long, half, w),
    }
    neck = {
        "solid": back + 1,
        "barbed": back + long * 0.4,
        "open": back,
        "double": back + 1,
        "blunt": back + 1,
    }
    pieces = [*_shaft(max(0.0, neck.get(pen.head, length - w * 2)), w, pen.dash), *heads[pen.head]]
    vertices = np.array([p for piece in pieces for p in (*piece, piece[0])], dtype=np.float64)
    codes = [code for piece in pieces for code in (1, *[2] * (len(piece) - 1), 79)]
    return vertices, np.array(codes, np.uint8)


def _shaft(end: float, half: float, dash: tuple[float, ...]) -> list[Piece]:
    """The shaft from 0 to `end` as one bar, or as dashes that stay where they are as the head moves."""
    if not dash:
        return [[(0, -half), (end, -half), (end, half), (0, half)]]
    on, off = dash
    bars: list[Piece] = []
    start = 0.0
    while start < end:
        stop = min(start + on, end)
        bars.append([(start, -half), (stop, -half), (stop, half), (start, half)])
        start += on + off
    return bars


def _hollow(back: float, tip: float, half: float, rim: float) -> list[Piece]:
    """A triangle with a triangular hole, the hole running the other way round."""
    long = tip - back
    inner_back = back + rim
    slope = half / long if long > 0 else 0.0
    inner_tip = tip - rim * float(np.hypot(1, slope)) / slope if slope > 0 else back
    if inner_tip <= inner_back:
        return [[(back, -half), (tip, 0), (back, half)]]
    inner_half = (inner_tip - inner_back) * slope
    return [
        [(back, -half), (tip, 0), (back, half)],
        [(inner_back, inner_half), (inner_tip, 0), (inner_back, -inner_half)],
    ]


def _chevron(tip: float, long: float, half: float, w: float) -> list[Piece]:
    """Two thin strokes that meet at the tip."""
    back = tip - long
    return [[(back, -half), (tip, 0), (back, half), (back + w, half), (tip + 2 * w, 0), (back + w, -half)]]
