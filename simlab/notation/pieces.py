"""Expressions on the page, exactly as they stand: pieces of products and sums in reading order.

`simlab.notation.plain` puts them on a terminal, `simlab.notation.latex` hands them to a typesetter.
"""

from __future__ import annotations

import re
from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

import sympy as sp

FULL_NAMES = {"asin": "arcsin", "acos": "arccos", "atan": "arctan"}
HEAVY = "mgw"  # a mass, gravity and a weight per length come before lengths
OF_ANGLES = (sp.sin, sp.cos, sp.tan, sp.cot, sp.sec, sp.csc)
HALF_TURN = 180  # degrees
FINEST = 2  # degrees are written in halves at most: 22.5°
_SMALL = ("alpha beta gamma delta epsilon zeta eta theta iota kappa lambda mu nu xi omicron pi rho", "α")
_SMALL_AFTER = ("sigma tau upsilon phi chi psi omega", "σ")  # another small sigma stands between them
GREEK = {
    name: chr(ord(first) + k)
    for names, first in (_SMALL, _SMALL_AFTER)
    for k, name in enumerate(names.split())
}
GREEK |= {name.capitalize(): letter.upper() for name, letter in GREEK.items()}
SPELLINGS = {"lam": "lambda", "lamda": "lambda"}  # lambda itself is a word of Python's
_NAME = re.compile(r"([A-Za-z]+?)(?:_?(\d+)|_(\w+))?('*)")


class Kind(IntEnum):
    """What a piece of a product is, in the order in which a book writes them."""

    NUMBER = 0
    SURD = 1
    CONSTANT = 2  # a sum of numbers, in brackets
    LETTER = 3
    SUM = 4  # in brackets
    ROOT = 5
    FUNCTION = 6


@dataclass(frozen=True)
class Piece:
    """One factor of a product, ready to be joined; `bare` is a sum without its brackets."""

    kind: Kind
    text: str
    bare: str


class Notation(ABC):
    """Walks an expression and writes it by the rules of one medium."""

    minus: str
    plus = "+"
    pi: str

    def write(self, expr: Any, *, angle: bool = False, factor: bool = False) -> str:
        """The expression in words; `angle`: multiples of pi are written in degrees.

        `factor`: beside a multiplication sign; a sum, or what has a minus, is put in brackets.
        """
        if factor and (expr.is_Add or self._term(expr, angle)[0]):
            return self.bracketed(self.write(expr, angle=angle))
        terms = expr.as_ordered_terms() if expr.is_Add else [expr]
        signed = [self._term(term, angle) for term in terms]
        if expr.is_Add and not angle and expr.is_number:
            signed = _rational_first(terms, signed)
        first = next((k for k, (negative, _) in enumerate(signed) if not negative), 0)
        signed.insert(0, signed.pop(first))
        text = (self.minus if signed[0][0] else "") + signed[0][1]
        for negative, term in signed[1:]:
            text += f" {self.minus if negative else self.plus} {term}"
        return text

    def _term(self, term: Any, angle: bool) -> tuple[bool, str]:
        """(whether a minus is in front, the rest)."""
        negative = (
            sum(bool(factor.is_Rational and factor.is_negative) for factor in _factors(term)) % 2 == 1
        )
        degrees = _in_degrees(term) if angle else None
        return negative, self._product(term) if degrees is None else self.degrees(degrees)

    def _product(self, expr: Any) -> str:
        """A product without its sign, over a bar if something is below."""
        p, q, above, below = 1, 1, list[Piece](), list[Piece]()
        for base, exponent in _powers(expr):
            if base.is_Rational and exponent == 1:
                p, q = p * abs(int(base.p)), q * int(base.q)
            elif exponent.is_negative:
                below.append(self._piece(base, -exponent))
            else:
                above.append(self._piece(base, exponent))
        above, below = self._in_order(p, above), self._in_order(q, below)
        if below:
            return self.fraction(above or [self._number(1)], below)
        if len(above) == 1:
            return above[0].bare
        return self.joined(above or [self._number(1)])

    def _in_order(self, number: int, pieces: Iterable[Piece]) -> list[Piece]:
        ordered = sorted(pieces, key=lambda piece: piece.kind)  # stable
        return [self._number(number), *ordered] if number != 1 else ordered

    def _number(self, number: int) -> Piece:
        text = self.number(str(number))
        return Piece(Kind.NUMBER, text, text)

    def _piece(self, base: Any, exponent: Any) -> Piece:
        if exponent == sp.S.Half:
            text = self.root(self.write(base), base.is_Atom)
            return Piece(Kind.SURD if base.is_Integer else Kind.ROOT, text, text)
        if isinstance(base, sp.Function):
            text = self._function(base, exponent)
            return Piece(Kind.FUNCTION, text, text)
        if base.is_Symbol:
            bare = self.letter(*_split(base.name))
        else:
            bare = self.pi if base is sp.pi else self.write(base)
        kind = Kind.LETTER if base.is_Atom else Kind.CONSTANT if base.is_number else Kind.SUM
        text = bare if base.is_Atom else self.bracketed(bare)
        if exponent == 1:
            return Piece(kind, text, bare)
        text = self.power(text, str(exponent))
        return Piece(kind, text, text)

    def _function(self, function: Any, exponent: Any) -> str:
        """tan θ, tan² θ, tan(θ/2), arctan(2/3)."""
        argument, name = function.args[0], type(function).__name__
        of_angle = isinstance(function, OF_ANGLES)
        multiple, atom = argument.as_coeff_Mul()
        plain = of_angle and (_in_degrees(argument) is not None or (atom.is_Symbol and multiple.is_Integer))
        power = "" if exponent == 1 else str(exponent)
        return self.function(FULL_NAMES.get(name, name), power, self.write(argument, angle=of_angle), plain)

    # the rules of one medium

    def number(self, digits: str) -> str:
        """A whole number without a sign."""
        return digits

    @abstractmethod
    def letter(self, base: str, index: str, primes: str) -> str:
        """A letter, or the name of a Greek one, with its index."""

    @abstractmethod
    def degrees(self, number: str) -> str:
        """18°."""

    @abstractmethod
    def bracketed(self, text: str) -> str:
        """(text)."""

    @abstractmethod
    def root(self, text: str, plain: bool) -> str:
        """The square root; `plain`: of one number or letter."""

    @abstractmethod
    def power(self, text: str, exponent: str) -> str:
        """text^exponent."""

    @abstractmethod
    def function(self, name: str, exponent: str, argument: str, plain: bool) -> str:
        """A function to a power; `plain`: its argument needs no brackets."""

    @abstractmethod
    def joined(self, pieces: Sequence[Piece]) -> str:
        """The pieces of a product side by side."""

    @abstractmethod
    def fraction(self, above: Sequence[Piece], below: Sequence[Piece]) -> str:
        """One product over another."""


def _factors(expr: Any) -> Iterator[Any]:
    """The factors of a product, also of products in it."""
    for factor in sp.Mul.make_args(expr):
        if factor.is_Mul:
            yield from _factors(factor)
        else:
            yield factor


def _powers(expr: Any) -> list[tuple[Any, Any]]:
    """(base, exponent) of the factors in reading order, roots of letters under one sign: √(a/b), 1/√b."""
    powers = [f.args if f.is_Pow and f.exp.is_Rational else (f, sp.S.One) for f in _factors(expr)]
    roots = [(x, e) for x, e in powers if abs(e) == sp.S.Half and not x.is_Rational]
    if len(roots) > 1:
        inside = sp.Mul(*(x ** (2 * e) for x, e in roots))
        powers = [power for power in powers if power not in roots] + [(inside, sp.S.Half)]
    powers = [(1 / x, -e) if e == sp.S.Half and _is_inverse(x) else (x, e) for x, e in powers]
    return sorted(powers, key=_reading_order)


def _is_inverse(base: Any) -> bool:
    """Whether it is 1 over something."""
    return bool(not base.is_Rational and sp.fraction(base)[0] == 1)


def _reading_order(power: tuple[Any, Any]) -> tuple[int, str]:
    """Greek letters before others, W before m g, these before a; functions by their angles, sin α cos β."""
    base = power[0]
    if base.is_Symbol:
        letter = _split(base.name)[0]
        place = HEAVY.find(letter) if len(letter) == 1 else -1
        return 0 if letter in GREEK else 1, base.name if place < 0 else f"Z{place}"
    return 0, str(base.args[0]) if isinstance(base, OF_ANGLES) else ""


def _in_degrees(angle: Any) -> str | None:
    """The size of a whole or half number of degrees, 22.5, or None for other angles."""
    number, atom = angle.as_coeff_Mul()
    degrees = abs(number) * HALF_TURN
    return f"{float(degrees):g}" if atom is sp.pi and degrees.q <= FINEST else None


def _split(name: str) -> tuple[str, str, str]:
    """(base, index, primes) of a letter's name.

    >>> _split("T_AB"), _split("theta1"), _split("a'")
    (('T', 'AB', ''), ('theta', '1', ''), ('a', '', "'"))
    """
    match = _NAME.fullmatch(name)
    if match is None:
        return name, "", ""
    base, digits, index, primes = match.groups()
    return SPELLINGS.get(base, base), digits or index or "", primes


def _rational_first(terms: Sequence[Any], signed: Sequence[tuple[bool, str]]) -> list[tuple[bool, str]]:
    """6 + √2: in a sum of numbers the rational one first."""
    order = sorted(range(len(terms)), key=lambda k: not terms[k].is_Rational)
    return [signed[k] for k in order]
