"""Expressions for a browser: presentation MathML that MathML Core knows, without the element around it."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import pairwise
from typing import Any

from simlab.notation.pieces import GREEK, Kind, Notation, Piece

NAMESPACE = "http://www.w3.org/1998/Math/MathML"
THIN = '<mspace width="0.1667em"/>'
_BRACKETS = (Kind.CONSTANT, Kind.SUM)


def mathml(expr: Any, *, angle: bool = False, factor: bool = False) -> str:
    """An expression as elements of MathML; `angle`: multiples of pi are written in degrees.

    `factor`: a sum, or what has a minus, is put in brackets.

    >>> import sympy as sp
    >>> print(mathml(2 * sp.Symbol("theta1")))
    <mn>2</mn><msub><mi>θ</mi><mn>1</mn></msub>
    """
    return _MathML().write(expr, angle=angle, factor=factor)


def element(inside: str, *, display: bool = False) -> str:
    """A formula of its own; `display`: with fractions at full size."""
    style = ' displaystyle="true"' if display else ""
    return f'<math xmlns="{NAMESPACE}"{style}><mrow>{inside}</mrow></math>'


class _MathML(Notation):
    minus = "<mo>−</mo>"
    plus = "<mo>+</mo>"
    pi = "<mi>π</mi>"

    def number(self, digits: str) -> str:
        return f"<mn>{digits}</mn>"

    def letter(self, base: str, index: str, primes: str) -> str:
        text = f"<mi>{escape(GREEK.get(base, base))}</mi>"
        if len(base) > 1 and base not in GREEK:  # a name: letters lean by themselves, names must be told
            text = f"<mrow>{''.join(f'<mi>{escape(one)}</mi>' for one in base)}</mrow>"
        low = f"<mn>{index}</mn>" if index.isdigit() else f"<mi>{escape(index)}</mi>"
        high = f"<mo>{'′' * len(primes)}</mo>"
        if index and primes:
            return f"<msubsup>{text}{low}{high}</msubsup>"
        if index:
            return f"<msub>{text}{low}</msub>"
        return f"<msup>{text}{high}</msup>" if primes else text

    def degrees(self, number: str) -> str:
        return f"<mn>{number}°</mn>"

    def bracketed(self, text: str) -> str:
        # browsers set stretchy brackets apart from what is in them, whether they have to grow or not
        flat = "" if "<mfrac" in text or "<msqrt" in text else ' stretchy="false"'
        return f"<mrow><mo{flat}>(</mo>{text}<mo{flat}>)</mo></mrow>"

    def root(self, text: str, plain: bool) -> str:
        return f"<msqrt>{text}</msqrt>"

    def power(self, text: str, exponent: str) -> str:
        return f"<msup>{text}<mn>{exponent}</mn></msup>"

    def function(self, name: str, exponent: str, argument: str, plain: bool) -> str:
        head = f"<mi>{name}</mi>"
        head = self.power(head, exponent) if exponent else head
        return (
            f"<mrow>{head}{THIN}{argument}</mrow>"
            if plain
            else f"<mrow>{head}{self.bracketed(argument)}</mrow>"
        )

    def joined(self, pieces: Sequence[Piece]) -> str:
        return pieces[0].text + "".join(self._gap(a, b) + b.text for a, b in pairwise(pieces))

    def _gap(self, a: Piece, b: Piece) -> str:
        """A thin space round functions and after roots."""
        if b.kind is Kind.FUNCTION or a.kind in (Kind.SURD, Kind.ROOT, Kind.FUNCTION):
            return "" if a.kind in _BRACKETS or b.kind in _BRACKETS else THIN
        return ""

    def fraction(self, above: Sequence[Piece], below: Sequence[Piece]) -> str:
        top, bottom = (side[0].bare if len(side) == 1 else self.joined(side) for side in (above, below))
        return f"<mfrac><mrow>{top}</mrow><mrow>{bottom}</mrow></mfrac>"
