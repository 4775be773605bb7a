"""Equations typeset piece by piece, so that they can be written term by term and struck through.

All equations of a column have their equals signs under one another. Where a side is too long it goes on in
the next row, broken before a plus or a minus.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from simlab.notation.latex import latex
from simlab.notation.page import Formula, Maths
from simlab.notation.struck import factors, struck
from simlab.pictures.camera import Rect
from simlab.pictures.glyphs import Codes
from simlab.pictures.marks import Points
from simlab.pictures.typeset import LEADING, setting

EQUALS = -1  # the term that an equals sign belongs to: none
SIGNS = ("+", "−")
AROUND = {"+": 0.24, "−": 0.24, "=": 0.3, "×": 0.2}  # bare paper on either side of a sign, in sizes of type
SIZES = (52.0, 48.0, 44.0)  # [page units] of type, tried one after another before a line is broken
SMALLER = (46.0, 42.0, 38.0, 36.0, 34.0, 30.0, 26.0)  # with lines broken
ROW_GAP = 0.36  # least bare paper between two rows, in sizes of type
INDENT = 1.5  # of equals signs, where all left sides stand above them, in sizes of type
MOST_ROWS = 2  # of a left side beside its equals sign
LEFT_SHARES = (0.64, 0.54, 0.42, 0.3, 0.18)  # of a column that left sides may take
MOVE = 1  # matplotlib's path code of a new contour
SAME = 1e-6  # [page units] contours that differ by less are one

Piece = str | Maths


@dataclass(frozen=True)
class Token:
    """A piece of an equation: its text, its place from the equals sign [page units], the term it is of.

    Terms are counted over the left side and then the right; `blank`: its text with struck factors left out.
    """

    text: str
    x: float
    y: float
    size: float
    term: int
    maths: Maths | None = None

    @property
    def box(self) -> Rect:
        """Left, top, right, bottom, from the equals sign [page units]."""
        left, top, right, bottom = setting(self.text, self.size).box
        return (self.x + left, self.y + top, self.x + right, self.y + bottom)

    def factor_boxes(self, gone: Collection[str]) -> Iterator[Rect]:
        """Where the factors that are `gone` stand in it, each in a box."""
        if self.maths is None:
            return
        for one in gone:
            if one in factors(self.maths.expr):
                blank = f"$${struck(self.maths.expr, [one], factor=self.maths.factor)}$$"
                box = _what_is_gone(self.text, blank, self.size)
                if box is not None:
                    yield (self.x + box[0], self.y + box[1], self.x + box[2], self.y + box[3])


@dataclass(frozen=True)
class Laid:
    """An equation as it is set: tokens, and its box about its first baseline and its equals sign."""

    tokens: tuple[Token, ...]
    box: Rect

    @property
    def height(self) -> float:
        """From its top to its bottom [page units]."""
        return self.box[3] - self.box[1]

    def term_box(self, term: int) -> Rect:
        """The box of one term, its sign not counted."""
        boxes = [token.box for token in self.tokens if token.term == term and token.text not in SIGNS]
        return around(boxes)


def around(boxes: Sequence[Rect]) -> Rect:
    """The box around some boxes; nothing at the origin around none."""
    if not boxes:
        return (0.0, 0.0, 0.0, 0.0)
    left, top, right, bottom = zip(*boxes, strict=True)
    return (min(left), min(top), max(right), max(bottom))


@dataclass(frozen=True)
class Column:
    """Equations under one another: each as it is set, the size of type, how far the equals signs are in."""

    laid: tuple[Laid, ...]
    size: float
    equals: float

    @classmethod
    def of(cls, formulas: Sequence[Formula], width: float, sizes: Sequence[float] = SIZES) -> Column:
        """Set equations in a column [page units]: as large as may be, broken before they get small."""
        for size in sizes:
            found = cls._at(formulas, size, width, np.inf)
            if found._sticks_out(width) <= SAME:
                return found
        for size in SMALLER:
            tried = [cls._at(formulas, size, width, share * width) for share in LEFT_SHARES]
            fitting = [one for one in tried if one._sticks_out(width) <= SAME]
            if fitting:
                return min(fitting, key=lambda one: sum(laid.height for laid in one.laid))
        return tried[-1]

    @classmethod
    def _at(cls, formulas: Sequence[Formula], size: float, width: float, limit: float) -> Column:
        """All at one size; left sides longer than the limit are broken, or stand above the right ones."""
        widths = [_left_width(f, size, limit) for f in formulas]
        equals = max([wide for wide in widths if wide <= limit], default=INDENT * size)
        laid = []
        for formula, wide in zip(formulas, widths, strict=True):
            room = _Room(limit, width, width - equals if np.isfinite(limit) else np.inf)
            few = len(_rows(terms_of(formula.left), 0, size, limit)) <= MOST_ROWS
            laid.append(
                _beside(formula, size, room) if wide <= limit and few else _stacked(formula, size, room)
            )
        return cls(tuple(laid), size, equals)

    def _sticks_out(self, width: float) -> float:
        """By how much an equation is too long."""
        return max((self.equals + one.box[2] - width for one in self.laid), default=0.0)


# rows


def terms_of(side: Sequence[Piece]) -> list[list[Piece]]:
    """The terms of one side of an equation, each with the sign in front of it."""
    terms: list[list[Piece]] = [[]]
    for piece in side:
        if isinstance(piece, str) and piece.strip() in SIGNS and terms[-1]:
            terms.append([])
        terms[-1].append(piece)
    return [term for term in terms if term]


def _rows(
    terms: Sequence[list[Piece]], first: int, size: float, width: float
) -> list[list[tuple[int, Piece]]]:
    """Terms in rows no wider than `width` where they can be; each piece with the number of its term."""
    rows: list[list[tuple[int, Piece]]] = [[]]
    for k, term in enumerate(terms):
        more = [(first + k, piece) for piece in term]
        if rows[-1] and _width([*rows[-1], *more], size) > width:
            rows.append([])
        rows[-1] += more
    return rows


def _left_width(formula: Formula, size: float, width: float) -> float:
    rows = _rows(terms_of(formula.left), 0, size, width)
    return max(_width(row, size) for row in rows) + AROUND["="] * size


def _width(row: Sequence[tuple[int, Piece]], size: float) -> float:
    return sum(before + long + after for before, long, after in _measured(row, size))


def _measured(row: Sequence[tuple[int, Piece]], size: float) -> list[tuple[float, float, float]]:
    """The room before, of and after each piece of a row; a sign that begins a row has less after it."""
    found = []
    for k, (_, piece) in enumerate(row):
        sign = piece.strip() if isinstance(piece, str) else ""
        gap = AROUND.get(sign, 0.0) * size
        found.append((gap if k else 0.0, setting(text_of(piece), size).width, gap if k else gap / 2))
    return found


def text_of(piece: Piece) -> str:
    """A piece as it is typeset."""
    if isinstance(piece, str):
        return piece.strip()
    return f"$${latex(piece.expr, angle=piece.angle, factor=piece.factor)}$$"


@dataclass(frozen=True)
class _Room:
    """How long rows may be: of a left side beside its equals sign, or above it; from that sign on."""

    left: float
    above: float
    right: float


def _beside(formula: Formula, size: float, room: _Room) -> Laid:
    """The equals sign after the last row of the left side."""
    terms = terms_of(formula.left)
    lefts = _rows(terms, 0, size, room.left)
    rows = [list(_placed(row, size, -_width(row, size) - AROUND["="] * size)) for row in lefts]
    rights = _right_rows(formula, size, room, len(terms))
    rows[-1] += rights[0]
    return _stood([*rows, *rights[1:]], size)


def _stacked(formula: Formula, size: float, room: _Room) -> Laid:
    """The left side in rows of its own, above the equals sign and the right side."""
    terms = terms_of(formula.left)
    start = room.right - room.above  # the left edge of the column
    rows = [list(_placed(row, size, start)) for row in _rows(terms, 0, size, room.above)]
    rights = _right_rows(formula, size, room, len(terms))
    if rows[-1][-1].box[2] <= -AROUND["="] * size:  # there is room for the equals sign in its place
        rows[-1] += rights.pop(0)
    return _stood([*rows, *rights], size)


def _right_rows(formula: Formula, size: float, room: _Room, first: int) -> list[list[Token]]:
    """The equals sign and the right side, in rows that begin under one another."""
    start = AROUND["="] * size + setting("=", size).width
    rows = _rows(terms_of(formula.right), first, size, room.right - start)
    placed = [list(_placed(row, size, start)) for row in rows]
    return [[Token("=", 0.0, 0.0, size, EQUALS), *placed[0]], *placed[1:]]


def _stood(rows: Sequence[Sequence[Token]], size: float) -> Laid:
    """Rows under one another, no nearer than they can be read."""
    tokens: list[Token] = []
    baseline, depth = 0.0, 0.0
    for k, row in enumerate(rows):
        box = around([token.box for token in row])
        if k:
            baseline += max(LEADING * size, depth - box[1] + ROW_GAP * size)
        depth = box[3]
        tokens += [replace(token, y=baseline) for token in row]
    return Laid(tuple(tokens), around([token.box for token in tokens]))


def _placed(row: Sequence[tuple[int, Piece]], size: float, x: float) -> Iterator[Token]:
    for (term, piece), (before, long, after) in zip(row, _measured(row, size), strict=True):
        yield Token(
            text_of(piece), x + before, 0.0, size, term, piece if isinstance(piece, Maths) else None
        )
        x += before + long + after


# what is struck


@lru_cache(maxsize=512)
def _what_is_gone(text: str, blank: str, size: float) -> Rect | None:
    """The box around the contours of a text that are missing where some of it is left blank."""
    whole, rest = setting(text, size), setting(blank, size)
    left = {_print_of(contour) for contour in _contours(rest.vertices, rest.codes)}
    gone = [c for c in _contours(whole.vertices, whole.codes) if _print_of(c) not in left]
    if not gone:
        return None
    points = np.concatenate(gone)
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return (float(x0), float(y0), float(x1), float(y1))


def _contours(vertices: Points, codes: Codes) -> list[Points]:
    starts = np.flatnonzero(codes == MOVE)
    return [vertices[a:b] for a, b in zip(starts, [*starts[1:], len(codes)], strict=True)]


def _print_of(contour: Points) -> tuple[float, ...]:
    """What tells a contour from others, but for rounding."""
    return (*np.round(contour[:2].ravel(), 3).tolist(), float(len(contour)))
