"""Typesetting: words and mathematics on one line, and paragraphs that wrap.

    "The thrust is $5 W \\tan\\alpha$"     words, with mathematics between dollar signs
    "$$\\frac{5}{2} W$$"                   mathematics as on a line of its own: large fractions

What cannot be typeset is shown as plain text: a picture is never lost to a slip in a formula.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from simlab.pictures.glyphs import EM, Codes, Outline, joined, mathematics, words
from simlab.pictures.marks import Align, Label, Points

LEADING = 1.32  # from baseline to baseline, in sizes of type: open enough for a projector
LINE_GAP = 0.36  # least bare paper between two tall lines, in sizes of type
LINE, CURVE = np.uint8(2), np.uint8(3)  # path codes: to a point; by a control point to a point
_MATHEMATICS = re.compile(r"(\$\$[^$]+\$\$|\$[^$]+\$)")
Box = tuple[float, float, float, float]  # left, top, right, bottom, from the first baseline's start


@dataclass(frozen=True, eq=False)
class Setting:
    """Typeset text in page units: vertices (n, 2) and codes (n,) of its outline, and its box.

    The first baseline is y = 0 (y downwards); x = 0 is the left edge, the middle or the right edge,
    as the text is aligned.
    """

    vertices: Points
    codes: Codes
    box: Box

    @cached_property
    def rim(self) -> tuple[Points, Codes]:
        """Vertices and codes with curves cut to chords: near enough for a halo, and quicker."""
        kept = np.ones(len(self.codes), dtype=bool)
        kept[np.flatnonzero(self.codes == CURVE)[0::2]] = False  # control points, each before its end point
        codes = self.codes[kept]
        return self.vertices[kept], np.where(codes == CURVE, LINE, codes).astype(np.uint8)

    @property
    def width(self) -> float:
        """Width of the box [page units]."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """Height of the box [page units]."""
        return self.box[3] - self.box[1]


@lru_cache(maxsize=4096)
def setting(
    text: str, size: float, width: float | None = None, align: Align = "left", bold: bool = False
) -> Setting:
    """Typeset a text of one or more lines; lines longer than `width` are broken at spaces.

    `size` and `width` in page units. Results are kept: setting the same text again costs nothing.

    >>> setting("W", 40.0).width < setting("WW", 40.0).width
    True
    """
    lines = [line for raw in text.split("\n") for line in _wrapped(_pieces(raw, bold), size, width)]
    parts: list[Outline] = []
    baseline, depth = 0.0, 0.0
    left, right = 0.0, 0.0
    for i, line in enumerate(lines):
        top, bottom = _extent(line, size)
        if i:
            baseline += max(LEADING * size, depth - top + LINE_GAP * size)
        depth = bottom
        long = _advance(line) * size / EM
        x = {"left": 0.0, "centre": -long / 2, "right": -long}[align]
        left, right = min(left, x), max(right, x + long)
        for outline in line:
            parts.append(outline.placed(size / EM, x, baseline))
            x += outline.advance * size / EM
    vertices, codes = joined([part for part in parts if len(part.vertices)])
    if not len(vertices):
        return Setting(vertices, codes, (0.0, 0.0, 0.0, 0.0))
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    box = (min(left, float(low[0])), float(low[1]), max(right, float(high[0])), float(high[1]))
    return Setting(vertices, codes, box)


def text_of(label: Label) -> Setting:
    """The typeset text of a label."""
    return setting(label.text, label.size, label.width, label.align, label.bold)


Piece = tuple[Outline, ...]  # outlines that no line break may part


def _pieces(text: str, bold: bool) -> list[Piece]:
    """The unbreakable pieces of a line, spaces among them as pieces of their own."""
    pieces: list[Piece] = []
    glued = False
    plain = text.count("$") % 2 == 1  # a stray dollar sign is one: this is no mathematics
    for part in [text] if plain else _MATHEMATICS.split(text):
        if not plain and _MATHEMATICS.fullmatch(part):
            tex = part.strip("$")
            outline = mathematics(tex, part.startswith("$$")) or words(tex)
            pieces, glued = _add(pieces, outline, glued), True
            continue
        for chunk in re.findall(r" +|[^ ]+", part):
            if chunk.startswith(" "):
                pieces.append((words(chunk, bold),))
                glued = False
            else:
                pieces, glued = _add(pieces, words(chunk, bold), glued), True
    return pieces


def _add(pieces: list[Piece], outline: Outline, glued: bool) -> list[Piece]:
    """The pieces with an outline at their end, as part of the last piece where no space is between."""
    return [*pieces[:-1], (*pieces[-1], outline)] if glued else [*pieces, (outline,)]


def _is_space(piece: Piece) -> bool:
    return all(len(outline.vertices) == 0 for outline in piece)


def _wrapped(pieces: list[Piece], size: float, width: float | None) -> list[list[Outline]]:
    """Lines of outlines, each no longer than `width` where its pieces allow."""
    lines: list[list[Piece]] = [[]]
    long = 0.0
    for piece in pieces:
        advance = _advance(piece) * size / EM
        if width is not None and long + advance > width and lines[-1] and not _is_space(piece):
            lines.append([])
            long = 0.0
        if not lines[-1] and _is_space(piece) and len(lines) > 1:
            continue  # a broken line does not begin with the space it was broken at
        lines[-1].append(piece)
        long += advance
    for line in lines:
        while line and _is_space(line[-1]):
            line.pop()
    return [[outline for piece in line for outline in piece] for line in lines]


def _advance(line: list[Outline] | Piece) -> float:
    return sum(outline.advance for outline in line)


def _extent(line: list[Outline], size: float) -> tuple[float, float]:
    """Top and bottom of a line of outlines about its baseline [page units]."""
    ys = [outline.vertices[:, 1] for outline in line if len(outline.vertices)]
    if not ys:
        return 0.0, 0.0
    return float(min(np.min(y) for y in ys)) * size / EM, float(max(np.max(y) for y in ys)) * size / EM
