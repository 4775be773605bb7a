r"""Factors of a product as LaTeX, and the product with some of them left blank: where a stroke goes.

5a\sin\theta/2 without a and sin(theta) is \frac{5\phantom{a}\phantom{\sin\theta}}{2}: all else stands
where it stood.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise
from typing import Any

from simlab.notation.latex import Latex
from simlab.notation.pieces import Kind, Piece


def factors(expr: Any) -> tuple[str, ...]:
    r"""The factors of a product above the bar, each with its power, but for numbers; of a sum, none.

    >>> import sympy as sp
    >>> a, u = sp.symbols("a theta")
    >>> print(*factors(5 * a * sp.sin(u) / 2))
    a \sin\theta
    """
    notes = _Blanks(())
    notes.write(expr)
    return () if expr.is_Add else tuple(notes.seen)


def struck(expr: Any, gone: Collection[str], *, factor: bool = False) -> str:
    r"""An expression as LaTeX in which the factors `gone` (as `factors` writes them) are blank.

    >>> import sympy as sp
    >>> a, u = sp.symbols("a theta")
    >>> print(struck(10 * a * sp.sin(u), [r"\sin\theta"]))
    10a\phantom{\sin\theta}
    """
    return _Blanks(gone).write(expr, factor=factor)


class _Blanks(Latex):
    """LaTeX that remembers the factors it has seen above a bar, and leaves some blank."""

    def __init__(self, gone: Collection[str]) -> None:
        self.gone = gone
        self.seen: list[str] = []
        self._depth = 0

    def _piece(self, base: Any, exponent: Any) -> Piece:
        self._depth += 1
        piece = super()._piece(base, exponent)
        self._depth -= 1
        return piece

    def _product(self, expr: Any) -> str:
        count = len(self.seen)
        text = super()._product(expr)
        if self._depth or len(self.seen) > count or expr.is_number:
            return text
        self.seen.append(text)  # a single factor
        return rf"\phantom{{{text}}}" if text in self.gone else text

    def joined(self, pieces: Sequence[Piece]) -> str:
        self._note(pieces)
        gaps = [self._gap(a, b) for a, b in pairwise(pieces)]
        return self._blank(pieces[0], pieces[0].text) + "".join(
            gap + self._blank(piece, piece.text) for gap, piece in zip(gaps, pieces[1:], strict=True)
        )

    def fraction(self, above: Sequence[Piece], below: Sequence[Piece]) -> str:
        if len(above) > 1:
            top = self.joined(above)
        else:
            self._note(above)
            top = self._blank(above[0], above[0].bare)
        bottom = below[0].bare if len(below) == 1 else super().joined(below)
        return rf"\frac{{{top}}}{{{bottom}}}"

    def _note(self, pieces: Sequence[Piece]) -> None:
        if not self._depth:
            self.seen += [piece.text for piece in pieces if piece.kind is not Kind.NUMBER]

    def _blank(self, piece: Piece, text: str) -> str:
        is_gone = not self._depth and piece.kind is not Kind.NUMBER and piece.text in self.gone
        return rf"\phantom{{{text}}}" if is_gone else text
