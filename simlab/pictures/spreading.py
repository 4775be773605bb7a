"""How far apart the parts of a frame are moved: so that at each hinge between two of them there is a gap.

shifts s:  minimise  sum over hinges |s_i - s_j - gap e_ij|^2,   e_ij from one part's middle to the other's
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.marks import Points

Floats = NDArray[np.float64]
ROUNDS = 6  # of moving apart what is still too near
HALF = 0.5  # of a gap: what parts that are not hinged together keep between them
SAMPLES = 13  # points along a line of a part


def shifts(
    outlines: Sequence[Points], middles: Sequence[Points], hinged: set[tuple[int, int]], gap: float
) -> Points:
    """The shift [m] of each part, shape (parts, 2); `hinged` says which of them are hinged together."""
    wanted = {pair: gap * _apart(middles, *pair) for pair in hinged}
    lines = [_sampled(outline) for outline in outlines]
    found = _least_squares(len(outlines), wanted)
    for _ in range(ROUNDS):
        near = [
            (pair, short)
            for pair in combinations(range(len(outlines)), 2)
            if (short := HALF * gap - _between(lines, found, *pair)) > 0
        ]
        if not near:
            break
        for pair, short in near:
            i, j = pair
            wanted[pair] = found[i] - found[j] + (short + NUDGE * gap) * _apart(middles, i, j)
        found = _least_squares(len(outlines), wanted)
    return found


NUDGE = 0.05  # of a gap: a little more than is missing


def _apart(middles: Sequence[Points], i: int, j: int) -> Points:
    """The unit vector from the middle of one part to that of another; to the right where they are one."""
    along = middles[i] - middles[j]
    long = float(np.hypot(*along))
    return along / long if long > 0 else np.array([1.0, 0.0])


def _least_squares(count: int, wanted: dict[tuple[int, int], Points]) -> Points:
    """The shifts that come nearest to the wanted differences; their mean is nothing."""
    rows, right = np.zeros((len(wanted) + 1, count)), np.zeros((len(wanted) + 1, 2))
    for k, ((i, j), difference) in enumerate(wanted.items()):
        rows[k, i], rows[k, j] = 1.0, -1.0
        right[k] = difference
    rows[-1] = 1.0
    return np.asarray(np.linalg.lstsq(rows, right, rcond=None)[0])


def _sampled(outline: Points) -> Points:
    """Points along the closed line through some points, shape (n, 2)."""
    share = np.linspace(0, 1, SAMPLES)[:, None]
    ends = np.roll(outline, -1, axis=0)
    return np.concatenate([a + share * (b - a) for a, b in zip(outline, ends, strict=True)])


def _between(lines: Sequence[Points], moved: Points, i: int, j: int) -> float:
    """The distance between two parts when they are moved [m]."""
    off = (lines[i] + moved[i])[:, None] - (lines[j] + moved[j])[None]
    return float(np.hypot(off[..., 0], off[..., 1]).min())
