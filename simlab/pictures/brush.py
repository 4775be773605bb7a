"""The brush: inked outlines to any of matplotlib's low-level renderers (Agg, SVG, PDF)."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.backend_bases import GraphicsContextBase
from matplotlib.path import Path
from matplotlib.transforms import Affine2D
from numpy.typing import NDArray

from simlab.pictures.camera import Page
from simlab.pictures.engraving import Ink
from simlab.pictures.glyphs import Codes
from simlab.pictures.marks import Points
from simlab.pictures.palette import PAPER, Colour, rgb

Context = tuple[Colour | None, float, tuple[float, ...], bool, float]


class Brush:
    """Draws outlines with a renderer, at `ratio` of the renderer's pixels (or points) a page unit.

    `paper` is the colour of bare paper, of which halos are.
    """

    def __init__(self, renderer: Any, page: Page, ratio: float, paper: Colour = PAPER) -> None:
        self._renderer = renderer
        self._paper = paper
        self._ratio = ratio
        self._height = page.height * ratio
        self._upwards = page.upwards(ratio)
        self._still = Affine2D.from_values(*self._upwards)
        self._contexts: dict[Context, GraphicsContextBase] = {}

    def draw(self, ink: Ink) -> None:
        """Draw one outline: its halo of bare paper first, then fill and line."""
        path = _path(ink.vertices, ink.codes)
        where = self._still
        if ink.origin != (0.0, 0.0):
            a, b, c, d, e, f = self._upwards
            x, y = ink.origin
            where = Affine2D.from_values(a, b, c, d, e + a * x + c * y, f + b * x + d * y)
        if ink.halo > 0:
            around = self._context(self._paper, 2 * ink.halo, (), True, ink.opacity)
            self._renderer.draw_path(around, _path(*ink.rim) if ink.rim else path, where)
        context = self._context(ink.line, ink.width, ink.dash, ink.round_ends, ink.opacity)
        self._renderer.draw_path(context, path, where, rgb(ink.fill) if ink.fill else None)

    def paste(self, pixels: NDArray[np.uint8], left: int, top: int, opacity: float) -> None:
        """Put a small picture on the canvas, its top left corner at a pixel."""
        context = self._context(None, 0.0, (), True, 1.0)
        if opacity < 1:  # Agg takes an image's own opacities only
            pixels = pixels.copy()
            pixels[..., 3] = np.rint(pixels[..., 3] * opacity)
        bottom = self._height - top - len(pixels)
        self._renderer.draw_image(context, left, bottom, pixels[::-1])  # Agg's images stand on their heads

    def _context(
        self, line: Colour | None, width: float, dash: tuple[float, ...], round_ends: bool, opacity: float
    ) -> GraphicsContextBase:
        key = (line, width, dash, round_ends, opacity)
        if key not in self._contexts:
            if len(self._contexts) > MANY:
                self._contexts.clear()
            self._contexts[key] = self._new_context(*key)
        return self._contexts[key]

    def _new_context(
        self, line: Colour | None, width: float, dash: tuple[float, ...], round_ends: bool, opacity: float
    ) -> GraphicsContextBase:
        context = self._renderer.new_gc()
        context.set_antialiased(True)
        context.set_snap(False)  # snapping to pixels would make slow motion jerk
        context.set_alpha(opacity)
        context.set_capstyle("round" if round_ends else "butt")
        context.set_joinstyle("round")
        context.set_linewidth(width * self._ratio if line else 0.0)
        context.set_foreground(rgb(line) if line else (0.0, 0.0, 0.0))
        if dash:
            context.set_dashes(0.0, [length * self._ratio for length in dash])
        return context


def _path(vertices: Points, codes: Codes) -> Path:
    path = Path(vertices, codes)
    path.should_simplify = False  # simplifying would shift edges by fractions of a pixel
    return path


MANY = 2000  # graphics contexts kept: every opacity of a fade needs its own
