"""Halves of a page: places of a drawing and of what is said beside it, on wide and on tall pages."""

from __future__ import annotations

from typing import NamedTuple

from simlab.pictures.camera import Page, Rect
from simlab.pictures.cards import band

AIR = 12.0  # [page units] between labels and the edges of the page and of the caption band
EDGE = 56.0  # [page units] from the edges of the page and of the caption band
GUTTER = 48.0  # [page units] between the two
TALL_SHARE = 0.52  # of a tall page that a drawing takes at most: what is said needs more lines there


def labels_room(page: Page) -> Rect:
    """Where labels may stand on a page: above the caption band."""
    return (AIR, AIR, page.width - AIR, page.height - band(page) - AIR)


class Halves(NamedTuple):
    """The place of a drawing, and beside it (on a tall page below it) that of what is said of it."""

    drawing: Rect
    beside: Rect

    def room(self) -> Rect:
        """Where labels of the drawing may stand: in its place, and in the bare edge around it."""
        _, _, right, bottom = self.drawing
        return (AIR, AIR, right + GUTTER / 4, bottom)

    @classmethod
    def of(cls, page: Page, share: float = 0.54) -> Halves:
        """A page in two, the drawing taking a `share` of it.

        >>> Halves.of(Page.of(16, 9)).drawing[2] < Halves.of(Page.of(16, 9)).beside[0]
        True
        """
        left, top, right, bottom = EDGE, EDGE, page.width - EDGE, page.height - band(page) - EDGE / 2
        if page.width >= page.height:
            middle = page.width * share
            return cls((left, top, middle - GUTTER / 2, bottom), (middle + GUTTER / 2, top, right, bottom))
        middle = top + (bottom - top) * min(share, TALL_SHARE)
        return cls((left, top, right, middle - GUTTER / 2), (left, middle + GUTTER / 2, right, bottom))

    @classmethod
    def twins(cls, page: Page) -> Halves:
        """A page in two equal halves."""
        return cls.of(page, 0.5)
