"""Canvas: marks to an RGBA array, sub-pixel exact, fast enough for a film.

It uses matplotlib's Agg renderer directly: no figure, no axes.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from math import ceil, floor

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from numpy.typing import NDArray

from simlab.pictures.brush import Brush
from simlab.pictures.camera import Camera, Page
from simlab.pictures.engraving import Ink, engrave
from simlab.pictures.marks import Mark, Point
from simlab.pictures.palette import Colour, rgb
from simlab.pictures.placement import Placement, place
from simlab.pictures.repainting import Repainting
from simlab.pictures.schemes import LIGHT, Scheme

Pixels = NDArray[np.uint8]  # shape (height, width, 4): red, green, blue, opacity
DPI = 72.0  # so that a renderer's point is one pixel
PHASES = 16  # a kept label is drawn at sixteenths of a pixel; one that glides is drawn anew
KEEP = 48 * 2**20  # [bytes] of kept labels
WORTH_KEEPING = 4  # times at the same phase: making a sprite costs as much as four drawings


class Canvas:
    """A canvas of `width` x `height` pixels that draws picture after picture.

    `page` is a page of the same shape to be shown on it, where it is not to be 1080 units high;
    `scheme` says what its board is like.

    >>> Canvas(64, 36).draw([], Camera((0, 0), (0, 0), 1.0)).shape
    (36, 64, 4)
    """

    def __init__(self, width: int, height: int, page: Page | None = None, scheme: Scheme = LIGHT) -> None:
        self.page = page or Page.of(width, height)
        self.scheme = scheme
        self.ratio = height / self.page.height  # pixels a page unit
        self._renderer = RendererAgg(width, height, DPI)
        self._pixels: Pixels = np.asarray(self._renderer.buffer_rgba())
        self._brush = Brush(self._renderer, self.page, self.ratio, scheme.paper)
        self._sprites = _Sprites(self.ratio, scheme.paper)
        red, green, blue = (round(255 * c) for c in rgb(scheme.paper))
        self._repainting = Repainting(self._pixels, (red, green, blue), self.ratio)
        self._shown = self._pixels.view()
        self._shown.flags.writeable = False  # what is on the canvas is what was drawn

    def draw(
        self,
        marks: Sequence[Mark],
        camera: Camera,
        placement: Placement | None = None,
        under: Pixels | None = None,
    ) -> Pixels:
        """Draw the marks on bare paper, or on a picture drawn before (`under`).

        Returns the canvas's own pixels, shape (height, width, 4): they change with the next drawing,
        so copy what is to last.
        """
        if placement is None:
            placement = place(marks, camera, page=self.page)
        inks = list(engrave(marks, camera, placement, self.scheme))
        if under is None:
            inks = list(self._repainting.begin(inks))
        else:
            self._repainting.forget()
            np.copyto(self._pixels, under)
        for ink in inks:
            if ink.key is None or not self._sprites.draw(ink, self._brush):
                self._brush.draw(ink)
        return self._shown

    def covered(self, foot: Pixels) -> Pixels:
        """The picture with some rows of another laid over its lowest ones, until the next drawing."""
        self._pixels[-len(foot) :] = foot
        self._repainting.spoil(len(self._pixels) - len(foot))
        return self._shown

    def to_page(self, pixel: Point) -> Point:
        """Where on the page [page units] a pixel (x, y from the top left) is."""
        return (pixel[0] / self.ratio, pixel[1] / self.ratio)


class _Sprites:
    """Labels that were drawn before, kept as small pictures at fractions of a pixel."""

    def __init__(self, ratio: float, paper: Colour) -> None:
        self.ratio, self.paper = ratio, paper
        self.seen: OrderedDict[object, int] = OrderedDict()
        self.kept: OrderedDict[object, tuple[Pixels, int, int]] = OrderedDict()
        self.bytes = 0

    def draw(self, ink: Ink, brush: Brush) -> bool:
        """Put a kept label on the canvas; False where it is not worth keeping."""
        x, y = (round(v * self.ratio * PHASES) for v in ink.origin)
        key = (ink.key, x % PHASES, y % PHASES)
        seen = self.seen[key] = self.seen.pop(key, 0) + 1
        if len(self.seen) > MANY:
            self.seen.popitem(last=False)
        if seen < WORTH_KEEPING:
            return False
        if key not in self.kept:
            self.kept[key] = self._made(ink, x % PHASES / PHASES, y % PHASES / PHASES)
            self.bytes += self.kept[key][0].nbytes
            while self.bytes > KEEP:
                self.bytes -= self.kept.popitem(last=False)[1][0].nbytes
        else:
            self.kept.move_to_end(key)
        if key in self.kept:
            pixels, left, top = self.kept[key]
            brush.paste(pixels, x // PHASES + left, y // PHASES + top, ink.opacity)
        return key in self.kept

    def _made(self, ink: Ink, x: float, y: float) -> tuple[Pixels, int, int]:
        """A label's picture with its origin at the fraction (x, y) of a pixel; its left and top [px]."""
        rim = ink.halo * self.ratio + 1
        low, high = ink.vertices.min(axis=0) * self.ratio, ink.vertices.max(axis=0) * self.ratio
        left, top = floor(low[0] + x - rim), floor(low[1] + y - rim)
        wide, high_px = ceil(high[0] + x + rim) - left, ceil(high[1] + y + rim) - top
        renderer = RendererAgg(wide, high_px, DPI)
        brush = Brush(renderer, Page(wide / self.ratio, high_px / self.ratio), self.ratio, self.paper)
        brush.draw(ink._replace(origin=((x - left) / self.ratio, (y - top) / self.ratio), opacity=1.0))
        return np.array(renderer.buffer_rgba()), left, top


MANY = 10_000  # labels at a phase remembered as seen
