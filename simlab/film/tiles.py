"""Tiles: a picture cut into equal pieces, of which only those that changed are converted.

In a film of a collapse a picture differs from the one before in a hundredth of its pixels, which lie
in a tenth of its tiles.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.uint8]  # shape (height, width, 4): red, green, blue, opacity (taken as full)
Pixels = NDArray[np.uint32]  # the same, four bytes in one
TILE = (120, 60)  # [px] what tiles are near to: small enough to miss what stays, few enough to handle


class Patch(NamedTuple):
    """The tiles that changed, shape (n, height, width), and where they are: row and column, shape (n,)."""

    tiles: Pixels
    rows: NDArray[np.intp]
    columns: NDArray[np.intp]


class Tiles:
    """The tiles of pictures of one size, and the picture seen last.

    >>> Tiles((1920, 1080)).shape, Tiles((1366, 768)).shape, Tiles((33, 21)).shape
    ((18, 16), (12, 1), (1, 1))
    """

    def __init__(self, size: tuple[int, int]) -> None:
        self.size = size
        width, height = size
        self.width, self.height = _side(width, TILE[0]), _side(height, TILE[1])  # of a tile [px]
        self.shape = (height // self.height, width // self.width)  # rows and columns of tiles
        self._seen = np.zeros((height, width), np.uint32)
        self._differs = np.ones((height, width), np.bool_)
        self._begun = False

    def changed(self, picture: Picture) -> Patch | None:
        """The tiles in which a picture differs from the one before, all of the first; None if none does.

        They are copies, so the picture's memory may be drawn on again.
        """
        pixels = np.ascontiguousarray(picture).view(np.uint32)[..., 0]
        if self._begun:
            np.not_equal(pixels, self._seen, out=self._differs)
        (rows, columns), self._begun = self.shape, True
        in_rows = self._differs.reshape(rows, self.height, -1).any(axis=1)
        where = np.nonzero(in_rows.reshape(rows, columns, self.width).any(axis=2))
        if not len(where[0]):
            return None
        new, seen = (
            whole.reshape(rows, self.height, columns, self.width) for whole in (pixels, self._seen)
        )
        tiles = new[where[0], :, where[1]]
        seen[where[0], :, where[1]] = tiles
        return Patch(tiles, *where)


def _side(side: int, near: int) -> int:
    """The even part of a side that is nearest to a length; the whole side, where none is near."""
    parts = [part for part in range(near // 2, 2 * near, 2) if side % part == 0]
    return min(parts, key=lambda part: abs(part - near), default=side)
