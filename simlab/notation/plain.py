"""Expressions for a terminal: 2 W tan α, 5√3 W/2, (4W + 3w) tan θ / 6, W cot 18°."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from simlab.notation.pieces import GREEK, Kind, Notation, Piece

RAISED_DIGITS, LOWERED_DIGITS = "⁰¹²³⁴⁵⁶⁷⁸⁹", "₀₁₂₃₄₅₆₇₈₉"
RAISED = str.maketrans("0123456789", RAISED_DIGITS)
LOWERED = str.maketrans("0123456789", LOWERED_DIGITS)

MASSES, GRAVITY = "mM", "g"  # letters that are read together: mg

_BRACKETS = (Kind.CONSTANT, Kind.SUM)


def plain(expr: Any, *, angle: bool = False, factor: bool = False) -> str:
    """An expression as one line of text; `angle`: multiples of pi are written in degrees.

    `factor`: a sum, or what has a minus, is put in brackets.

    >>> import sympy as sp
    >>> w, u = sp.symbols("W theta")
    >>> plain(2 * w * sp.tan(u)), plain(5 * sp.sqrt(3) * w / 2), plain(sp.pi / 2 - u, angle=True)
    ('2 W tan θ', '5√3 W/2', '90° − θ')
    """
    return _Plain().write(expr, angle=angle, factor=factor)


class _Plain(Notation):
    minus = "−"
    pi = "π"

    def letter(self, base: str, index: str, primes: str) -> str:
        lowered = index.translate(LOWERED) if index.isdigit() else f"_{index}" if index else ""
        return GREEK.get(base, base) + lowered + primes

    def degrees(self, number: str) -> str:
        return f"{number}°"

    def bracketed(self, text: str) -> str:
        return f"({text})"

    def root(self, text: str, plain: bool) -> str:
        return f"√{text}" if plain else f"√({text})"

    def power(self, text: str, exponent: str) -> str:
        return text + exponent.translate(RAISED) if exponent.isdigit() else f"{text}^({exponent})"

    def function(self, name: str, exponent: str, argument: str, plain: bool) -> str:
        head = self.power(name, exponent) if exponent else name
        return f"{head} {argument}" if plain else f"{head}({argument})"

    def joined(self, pieces: Sequence[Piece]) -> str:
        roomy = pieces[-1].kind is Kind.FUNCTION
        return pieces[0].text + "".join(self._gap(a, b, roomy) + b.text for a, b in pairwise(pieces))

    def _gap(self, a: Piece, b: Piece, roomy: bool) -> str:
        """Tight: 4W, 5√3, (a + b)c, W√2, mg. With room: 2 W tan α, √3 W, W a."""
        if b.text == GRAVITY and a.kind is Kind.LETTER and a.text[:1] in MASSES:
            return ""
        if b.kind is Kind.FUNCTION:
            return " "
        if a.kind in _BRACKETS or b.kind in (*_BRACKETS, Kind.ROOT):
            return ""
        if a.kind is Kind.NUMBER:
            return " " if roomy and b.kind is Kind.LETTER else ""
        return " "

    def fraction(self, above: Sequence[Piece], below: Sequence[Piece]) -> str:
        under = below[0].text if len(below) == 1 else self.bracketed(self.joined(below))
        slash = " / " if above[-1].kind is Kind.FUNCTION else "/"
        return self.joined(above) + slash + under
