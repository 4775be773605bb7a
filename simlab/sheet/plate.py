"""A picture ready for paper: cut down to what is drawn, on white, at the one scale of a sheet's type."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from simlab.notation.page import Figure
from simlab.pictures.palette import PAPER
from simlab.pictures.picture import Picture

TEXT_WIDTH = 170.0  # [mm] of the words on A4, between margins of 20 mm
PER_UNIT = 0.09  # [mm] of a page unit on paper: a name 44 units high is of 11 point type
PER_UNIT_OF_PART = 0.076  # and of 9.5 point type on the diagrams of parts
HALF, NEARLY_HALF = (
    0.49,
    0.57,
)  # of the width: what is little wider than half is made to have room beside it
LOOK = 540  # [px] high, to see where something is drawn
AIR = 6  # [px] left around it
FAINT = 6  # of 255: less than this from the paper is paper
_SIZE = re.compile(r'width="[\d.]+pt" height="[\d.]+pt" viewBox="[\d. ]+"')
_ABOUT = re.compile(r"\s*<metadata>.*?</metadata>", re.S)
_FRONT = re.compile(r"^<\?xml.*?\?>\s*<!DOCTYPE.*?>\s*", re.S)


@dataclass(frozen=True)
class Plate:
    """An SVG document, how much of the page's width it takes, and whether it is taller than wide."""

    svg: str
    share: float
    is_tall: bool

    @classmethod
    def of(cls, picture: Picture, per_unit: float = PER_UNIT) -> Plate:
        """A picture without its empty edges, all of a kind of the same scale on one sheet."""
        left, top, right, bottom = _drawn(picture)
        wide, high = (right - left) * picture.page.width, (bottom - top) * picture.page.height
        share = min(1.0, wide * per_unit / TEXT_WIDTH)
        share = HALF if HALF < share < NEARLY_HALF else share
        return cls(_cut(picture.svg(), (left, top, right, bottom)), share, high > wide)

    def figure(self, name: str, alt: str, caption: str = "") -> Figure:
        """The place on a page where it goes."""
        return Figure(name, alt, caption, self.share)


def _drawn(picture: Picture) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of what is drawn, as shares of the page."""
    seen = picture.pixels(LOOK)[..., :3].astype(int)
    marked = (np.abs(seen - seen[0, 0]) > FAINT).any(axis=2)
    rows, columns = (np.flatnonzero(marked.any(axis=axis)) for axis in (1, 0))
    high, wide = marked.shape
    if not len(rows):
        return 0.0, 0.0, 1.0, 1.0
    left, right = max(columns[0] - AIR, 0) / wide, min(columns[-1] + 1 + AIR, wide) / wide
    top, bottom = max(rows[0] - AIR, 0) / high, min(rows[-1] + 1 + AIR, high) / high
    return float(left), float(top), float(right), float(bottom)


def _cut(svg: str, rect: tuple[float, float, float, float]) -> str:
    """The part of a drawing within a rectangle, on white paper, and nothing in it but the drawing."""
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    wide, high = (float(found[1]), float(found[2])) if found else (1.0, 1.0)
    left, top, right, bottom = rect
    x, y, w, h = left * wide, top * high, (right - left) * wide, (bottom - top) * high
    size = f'width="{w:.3f}pt" height="{h:.3f}pt" viewBox="{x:.3f} {y:.3f} {w:.3f} {h:.3f}"'
    svg = _SIZE.sub(size, _ABOUT.sub("", _FRONT.sub("", svg)), count=1)
    return svg.replace(PAPER.lower(), "#ffffff")
