r"""Expressions for a typesetter: 2W\tan\alpha, \frac{5\sqrt{3}\,W}{2}, W\cot 18^{\circ}."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from simlab.notation.pieces import GREEK, Kind, Notation, Piece

_ROMAN_TWINS = {"Alpha": "A", "Beta": "B", "Epsilon": "E", "Eta": "H", "omicron": "o"}  # LaTeX has no name


def latex(expr: Any, *, angle: bool = False, factor: bool = False) -> str:
    r"""An expression as LaTeX mathematics; `angle`: multiples of pi are written in degrees.

    `factor`: a sum, or what has a minus, is put in brackets.

    >>> import sympy as sp
    >>> w, u = sp.symbols("W theta")
    >>> print(latex(5 * w * sp.tan(u) ** 2 / 2))
    \frac{5W\tan^{2}\theta}{2}
    """
    return Latex().write(expr, angle=angle, factor=factor)


class Latex(Notation):
    """Writes by the rules of LaTeX."""

    minus = "-"
    pi = r"\pi"

    def letter(self, base: str, index: str, primes: str) -> str:
        if base in _ROMAN_TWINS:
            base = _ROMAN_TWINS[base]
        elif base in GREEK:
            base = f"\\{base}"
        elif len(base) > 1:
            base = rf"\mathit{{{base}}}"
        return base + (f"_{{{index}}}" if index else "") + primes

    def degrees(self, number: str) -> str:
        return rf"{number}^{{\circ}}"

    def bracketed(self, text: str) -> str:
        return rf"\left({text}\right)"

    def root(self, text: str, plain: bool) -> str:
        return rf"\sqrt{{{text}}}"

    def power(self, text: str, exponent: str) -> str:
        return f"{text}^{{{exponent}}}"

    def function(self, name: str, exponent: str, argument: str, plain: bool) -> str:
        head = self.power(f"\\{name}", exponent) if exponent else f"\\{name}"
        if plain or _is_one_fraction(argument):
            return head + ("" if argument.startswith("\\") else " ") + argument
        return head + self.bracketed(argument)

    def joined(self, pieces: Sequence[Piece]) -> str:
        return pieces[0].text + "".join(self._gap(a, b) + b.text for a, b in pairwise(pieces))

    def _gap(self, a: Piece, b: Piece) -> str:
        """A thin space after roots, long names and functions; none in 4W or W(a + b)."""
        brackets = (Kind.CONSTANT, Kind.SUM)
        if b.kind in brackets or a.kind in (Kind.NUMBER, *brackets):
            return ""
        if a.kind is Kind.LETTER and len(a.text) == 1:
            return ""
        if a.kind is Kind.LETTER and b.kind is Kind.FUNCTION:
            return ""
        if a.kind is Kind.LETTER and a.text[1:].isalpha():  # the space ends the name of a Greek letter
            return "" if b.text.startswith("\\") else " "
        return r"\,"

    def fraction(self, above: Sequence[Piece], below: Sequence[Piece]) -> str:
        top, bottom = (side[0].bare if len(side) == 1 else self.joined(side) for side in (above, below))
        return rf"\frac{{{top}}}{{{bottom}}}"


def _is_one_fraction(text: str) -> bool:
    """Whether a text is a single fraction, which needs no brackets."""
    if not text.startswith(r"\frac{"):
        return False
    depth, ends = 0, []
    for k, character in enumerate(text):
        depth += (character == "{") - (character == "}")
        if character == "}" and depth == 0:
            ends.append(k)
    return len(ends) == len(("numerator", "denominator")) and ends[-1] == len(text) - 1
