"""Expressions for typst, the typesetter of sheets as PDF: its mathematics, without dollar signs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from simlab.notation.pieces import GREEK, Notation, Piece

_TWINS = {"omicron": "o"}


def typst(expr: Any, *, angle: bool = False, factor: bool = False) -> str:
    """An expression as typst mathematics; `angle`: multiples of pi are written in degrees.

    `factor`: a sum, or what has a minus, is put in brackets.

    >>> import sympy as sp
    >>> w, u = sp.symbols("W theta")
    >>> print(typst(5 * w * sp.tan(u) ** 2 / 2))
    frac(5 W tan^(2) theta, 2)
    """
    return _Typst().write(expr, angle=angle, factor=factor)


def quoted(text: str) -> str:
    """A text as it stands, between the quotation marks of typst's code."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


class _Typst(Notation):
    minus = "-"
    pi = "pi"

    def letter(self, base: str, index: str, primes: str) -> str:
        if base not in GREEK and len(base) > 1:
            base = f"italic({quoted(base)})"
        base = _TWINS.get(base, base)
        low = "" if not index else f"_({index})" if index.isdigit() else f"_(italic({quoted(index)}))"
        return base + low + primes

    def degrees(self, number: str) -> str:
        return f"{number} degree"

    def bracketed(self, text: str) -> str:
        return f"({text})"

    def root(self, text: str, plain: bool) -> str:
        return f"sqrt({text})"

    def power(self, text: str, exponent: str) -> str:
        return f"{text}^({exponent})"

    def function(self, name: str, exponent: str, argument: str, plain: bool) -> str:
        head = self.power(name, exponent) if exponent else name
        return (
            f"{head} {argument}"
            if plain or argument.startswith("frac(")
            else f"{head} {self.bracketed(argument)}"
        )

    def joined(self, pieces: Sequence[Piece]) -> str:
        return " ".join(piece.text for piece in pieces)

    def fraction(self, above: Sequence[Piece], below: Sequence[Piece]) -> str:
        top, bottom = (side[0].bare if len(side) == 1 else self.joined(side) for side in (above, below))
        return f"frac({top}, {bottom})"
