"""The underpainting: what lies lowest and does not change, painted once for many pictures."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.engraving import Ink

WORTH_KEEPING = 6  # inks: keeping a picture of them costs as much as drawing so many
PATIENCE = 4  # pictures in which more inks stay before they are kept too


class Underpainting:
    """The lowest inks of one canvas that were the same in the picture before, with the ground below them.

    It changes no pixel: the inks that it saves would have been drawn first, on the same ground.
    """

    def __init__(self, canvas: NDArray[np.uint8], ground: NDArray[np.uint8]) -> None:
        self._canvas, self._ground = canvas, ground
        self._kept = np.empty_like(ground)
        self._count = 0  # of inks that are on what is kept
        self._steady = 0  # pictures for which it could have been more
        self._before: Sequence[Ink] = ()

    def lay(self, inks: Sequence[Ink], draw: Callable[[Ink], None]) -> int:
        """Fill the canvas with the ground and the lowest of the inks; return how many are then drawn."""
        common, ready = _common(self._before, inks), self._count
        self._before = inks
        if common < ready:  # some of it has changed: keep the rest
            ready = self._count = 0
            self._steady = PATIENCE
        else:
            self._steady = self._steady + 1 if common >= ready + WORTH_KEEPING else 0
        np.copyto(self._canvas, self._kept if ready else self._ground)
        if self._steady < PATIENCE or common < WORTH_KEEPING:
            return ready
        for ink in inks[ready:common]:
            draw(ink)
        np.copyto(self._kept, self._canvas)
        self._count, self._steady = common, 0
        return common


def _common(before: Sequence[Ink], inks: Sequence[Ink]) -> int:
    """How many of the first inks are the same; labels count as new, since a canvas keeps them itself."""
    for i, (old, new) in enumerate(zip(before, inks, strict=False)):
        if new.key is not None or not _same(old, new):
            return i
    return min(len(before), len(inks))


def _same(old: Ink, new: Ink) -> bool:
    """Whether two inks leave the same marks."""
    if old is new:
        return True
    if old[3:-1] != new[3:-1]:
        return False
    return _bytes(old) == _bytes(new)


def _bytes(ink: Ink) -> list[bytes]:
    return [array.tobytes() for array in (ink.vertices, ink.codes, *(ink.rim or ()))]
