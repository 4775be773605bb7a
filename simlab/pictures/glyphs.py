"""Glyphs: outlines of words and of mathematics, from the fonts that come with ziamath.

STIX Two Math holds upright, bold and mathematical letters, so no font of the system is needed;
letters that it lacks come from DejaVu Sans, which matplotlib brings along.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import ziamath
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path
from matplotlib.textpath import TextPath
from numpy.typing import NDArray
from ziamath.zmath import loadedfonts

from simlab.pictures.marks import Points

EM = 100.0  # size at which outlines are kept; they scale, so one copy serves every size of type
Codes = NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class Outline:
    """Outlines of glyphs: vertices, shape (n, 2), and path codes, shape (n,); y downwards.

    The baseline is y = 0 and the text begins at x = 0; `advance` is where the next text begins.
    """

    vertices: Points
    codes: Codes
    advance: float

    def placed(self, scale: float, x: float = 0.0, y: float = 0.0) -> Outline:
        """The outline scaled about its origin, then moved by (x, y)."""
        return Outline(self.vertices * scale + (x, y), self.codes, self.advance * scale)


EMPTY = Outline(np.zeros((0, 2)), np.zeros(0, np.uint8), 0.0)


def joined(outlines: list[Outline]) -> tuple[Points, Codes]:
    """The vertices and codes of several outlines as one path."""
    if not outlines:
        return EMPTY.vertices, EMPTY.codes
    return (
        np.concatenate([outline.vertices for outline in outlines]),
        np.concatenate([outline.codes for outline in outlines]),
    )


# ---------------------------------------------------------------- SVG path data -> vertices

_OPERATION = re.compile(r"([MLQCZ])([^MLQCZ]*)")
_NUMBER = re.compile(r"[-+]?(?:\d*\.\d+|\d+\.?)(?:[eE][-+]?\d+)?")
_CODE = {"M": Path.MOVETO, "L": Path.LINETO, "Q": Path.CURVE3, "C": Path.CURVE4}


def _from_svg(data: str) -> tuple[list[list[float]], list[int]]:
    """Absolute SVG path data (M L Q C Z) as vertices and codes."""
    vertices: list[list[float]] = []
    codes: list[int] = []
    for letter, text in _OPERATION.findall(data):
        if letter == "Z":
            vertices.append([0.0, 0.0])
            codes.append(int(Path.CLOSEPOLY))
            continue
        numbers = [float(number) for number in _NUMBER.findall(text)]
        pairs = [numbers[i : i + 2] for i in range(0, len(numbers), 2)]
        vertices += pairs
        codes += [int(_CODE[letter])] * len(pairs)
    return vertices, codes


def _bar(x: float, y: float, width: float, height: float) -> tuple[list[list[float]], list[int]]:
    corners = [[x, y], [x + width, y], [x + width, y + height], [x, y + height], [x, y]]
    return corners, [int(Path.MOVETO), *[int(Path.LINETO)] * 3, int(Path.CLOSEPOLY)]


# ---------------------------------------------------------------- mathematics


@lru_cache(maxsize=4096)
def mathematics(tex: str, display: bool = False) -> Outline | None:
    """LaTeX mathematics as an outline of size EM, or None where it cannot be typeset.

    `display` sets fractions and limits large, as on a line of their own.
    """
    ziamath.config.svg2 = False  # glyphs as plain paths, not as references
    try:
        latex = ziamath.Latex(tex, size=EM, inline=not display)
        svg: ET.Element = latex.svgxml()
        width = float(latex.getsize()[0])
    except Exception:  # ziamath raises errors of many kinds at odd input: the caller shows plain text
        return None
    vertices: list[list[float]] = []
    codes: list[int] = []
    for element in svg.iter():
        tag = element.tag.rpartition("}")[2]
        if tag == "path":
            points, kinds = _from_svg(element.attrib["d"])
        elif tag == "rect" and element.attrib.get("fill") != "none":
            points, kinds = _bar(*(float(element.attrib[a]) for a in ("x", "y", "width", "height")))
        else:
            continue
        vertices += points
        codes += kinds
    if not vertices:
        return None
    return Outline(_without_strays(vertices, codes), np.array(codes, np.uint8), width)


def _without_strays(vertices: list[list[float]], codes: list[int]) -> Points:
    """Vertices with each closing point put where its subpath began, so that extents are right."""
    points = np.array(vertices, dtype=np.float64).reshape(-1, 2)
    start = np.zeros(2)
    for i, code in enumerate(codes):
        if code == Path.MOVETO:
            start = points[i]
        elif code == Path.CLOSEPOLY:
            points[i] = start
    return points


# ---------------------------------------------------------------- words


def _font() -> Any:
    """STIX Two Math, as ziamath has loaded it."""
    return loadedfonts["default"]


def _bold(letter: str) -> str:
    """The mathematical bold form of a Latin letter or a digit; others stay as they are."""
    for first, last, bold in (("A", "Z", 0x1D400), ("a", "z", 0x1D41A), ("0", "9", 0x1D7CE)):
        if first <= letter <= last:
            return chr(bold + ord(letter) - ord(first))
    return letter


@lru_cache(maxsize=4096)
def _glyph(letter: str) -> Outline:
    """A letter as an outline of size EM."""
    font = _font()
    if not font.glyphindex(letter):
        return _from_dejavu(letter)
    glyph = font.glyph(letter)
    element = glyph.svgpath(scale_factor=EM / glyph.DFLT_SIZE_PT)
    advance = _advance(letter)
    if element is None:  # a space
        return Outline(EMPTY.vertices, EMPTY.codes, advance)
    vertices, codes = _from_svg(element.attrib["d"])
    return Outline(_without_strays(vertices, codes), np.array(codes, np.uint8), advance)


def _from_dejavu(letter: str) -> Outline:
    """A letter that STIX lacks, from the font that comes with matplotlib; a hollow box at worst."""
    path = TextPath((0, 0), letter, size=EM, prop=FontProperties(family="DejaVu Sans"))
    if not len(path.vertices):
        return Outline(EMPTY.vertices, EMPTY.codes, EM / 3)
    vertices = _without_strays((path.vertices * (1, -1)).tolist(), path.codes.tolist())
    return Outline(vertices, np.asarray(path.codes, np.uint8), float(vertices[:, 0].max()) + EM / 12)


def _advance(letter: str, following: str | None = None) -> float:
    """From a letter of STIX to the next, kerned where the font says so."""
    font = _font()
    after = font.glyph(following) if following else None
    return float(font.glyph(letter).advance(after) * EM / font.info.layout.unitsperem)


@lru_cache(maxsize=8192)
def _step(letter: str, following: str) -> float:
    """From one letter to the next, whatever fonts they are from."""
    font = _font()
    if font.glyphindex(letter) and font.glyphindex(following):
        return _advance(letter, following)
    return _glyph(letter).advance


@lru_cache(maxsize=4096)
def words(text: str, bold: bool = False) -> Outline:
    """Plain words on one line as an outline of size EM."""
    letters = [_bold(c) if bold else c for c in text]
    placed, x = [], 0.0
    for i, letter in enumerate(letters):
        outline = _glyph(letter)
        if len(outline.vertices):
            placed.append(outline.placed(1.0, x))
        x += _step(letter, letters[i + 1]) if i + 1 < len(letters) else outline.advance
    return Outline(*joined(placed), x)
