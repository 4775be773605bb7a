"""Sines, cosines and tangents of fixed angles that lie in a field of numbers, and numbers made of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction as Ratio
from functools import lru_cache
from itertools import combinations
from math import gcd, lcm
from typing import Any

import flint
import sympy as sp

from simlab.errors import BadInput
from simlab.exact import ball
from simlab.exact.element import Element
from simlab.exact.generators import Cosine
from simlab.exact.polynomial import terms
from simlab.exact.words import product

FUNCTIONS = (sp.tan, sp.cot, sp.sin, sp.cos)
COARSE = 36  # pi/36 = 5°: multiples of coarser angles are few enough to look for sums and products of them
SURDS_OF_A_PAIR = 2
BITS = 128  # in which a rational factor is guessed; the field proves it
ROOM = 512  # bits for the powers of 2cos(pi/180), of which large multiples nearly cancel
LARGEST_BELOW = 1000  # denominator of such a factor
SURE = 90  # bits that must agree: by chance some 128 - 2*log2(1000) would not

Surds = dict[tuple[int, ...], Ratio]


@dataclass(frozen=True)
class Fixed:
    """A function of a fixed angle: in words, its value, the rational term and the surds of the value."""

    words: Any
    value: Element
    inverse: Element
    rational: Ratio
    surds: Surds


def numbers(element: Element) -> tuple[Ratio, Surds]:
    """The rational term of a number, and the factors of the products of roots by their exponents."""
    below = int(element.den.leading_coefficient())
    parts = {powers: Ratio(number, below) for powers, number in terms(element.num)}
    return parts.pop((0,) * len(element.field.generators), Ratio(0)), parts


@lru_cache(maxsize=64)
def functions(field: Any) -> tuple[Fixed, ...]:
    """The functions of fixed angles in a field that are worth a name.

    They are of multiples of 18° where sqrt(10 + 2*sqrt(5)) lies in it, of 22.5° where sqrt(2 + sqrt(2))
    does, and of pi/n where 2cos(pi/n) does, n <= 36. Beyond 45° they have the names of their complements.
    """
    angles: list[tuple[Any, tuple[Any, ...]]] = []
    for inner, times, plus, n, names in ((5, 2, 10, 10, FUNCTIONS), (2, 1, 2, 8, FUNCTIONS[2:])):
        root = field.element(inner).sqrt()
        if root is not None and (root * times + plus).sqrt() is not None:
            angles += [(sp.pi * k / n, names) for k in range(1, n // 4 + 1) if 4 * k != n]
    n = _order(field)
    if n <= COARSE:
        angles += [(sp.pi * k / n, FUNCTIONS) for k in range(1, n // 4 + 1)]
    found = []
    for angle, names in angles:
        for name in names:
            words = name(angle, evaluate=False)
            try:
                value = field.element(words)
            except BadInput:  # a sine that needs more than the field's cosines
                continue
            found.append(Fixed(words, value, value.inverse(), *numbers(value)))
    return tuple(found)


def _order(field: Any) -> int:
    """n of the field's 2cos(pi/n), or 1."""
    return next((g.n for g in field.generators if isinstance(g, Cosine)), 1)


def linear(element: Element) -> Iterator[Any]:
    """a + b*f, or a*f + b*g, with rational a and b."""
    a, x = numbers(element)
    known = functions(element.field)
    for f in known:
        ratios = {x[powers] / f.surds[powers] for powers in x} if x.keys() == f.surds.keys() else set()
        if len(ratios) == 1:
            b = ratios.pop()
            yield _over_one_bar((a - b * f.rational, sp.S.One), (b, f.words))
    for f, g in combinations(known, 2):
        kinds = sorted(f.surds.keys() | g.surds.keys() | x.keys())
        if len(kinds) != SURDS_OF_A_PAIR or a or f.rational or g.rational:
            continue
        (f1, f2), (g1, g2), (x1, x2) = ([v.get(k, Ratio(0)) for k in kinds] for v in (f.surds, g.surds, x))
        determinant = f1 * g2 - f2 * g1
        if determinant:
            yield _over_one_bar(
                ((x1 * g2 - x2 * g1) / determinant, f.words), ((f1 * x2 - f2 * x1) / determinant, g.words)
            )


def _over_one_bar(*parts: tuple[Ratio, Any]) -> Any:
    """A sum of rational multiples with its numbers in front: 2*(3*f + g)/5."""
    factors = [factor for factor, _ in parts]
    above, below = gcd(*(n.numerator for n in factors)), lcm(*(n.denominator for n in factors))
    total = sp.Add(*(int(factor * below / above) * expr for factor, expr in parts))
    return product(sp.Rational(above, below), [(total, sp.S.One)])


# guesses, to be proved by who uses them


def guessed(element: Element) -> Iterator[Any]:
    """r*f, r/f, r*f*g and r*f/g with rational r, for multiples of pi/n where the field has 2cos(pi/n)."""
    n = _order(element.field)
    if n == 1:
        return
    with flint.ctx.workprec(ROOM):
        point = element.field.point(ROOM)
        x = _ratio(ball.polynomial(element.num, point) / ball.polynomial(element.den, point))
    single = _values(n)
    yield from _multiples(x, ((value, [(words, sp.S.One)]) for words, value in single))
    yield from _multiples(x, ((1 / value, [(words, sp.S.NegativeOne)]) for words, value in single))
    if n > COARSE:
        return
    pairs = list(combinations(single, 2))
    yield from _multiples(x, ((f * g, [(v, sp.S.One), (w, sp.S.One)]) for (v, f), (w, g) in pairs))
    quotients = [pair for f, g in pairs for pair in ((f, g), (g, f))]
    yield from _multiples(x, ((f / g, [(v, sp.S.One), (w, -sp.S.One)]) for (v, f), (w, g) in quotients))


def _multiples(x: Ratio, candidates: Iterator[tuple[Ratio, list[tuple[Any, Any]]]]) -> Iterator[Any]:
    for value, powers in candidates:
        quotient = x / value
        factor = quotient.limit_denominator(LARGEST_BELOW)
        if factor and abs(quotient - factor) * (1 << SURE) < 1:
            yield product(sp.Rational(factor.numerator, factor.denominator), powers)


@lru_cache(maxsize=16)
def _values(n: int) -> tuple[tuple[Any, Ratio], ...]:
    """(words, value) of the functions of k*pi/n up to 45°."""
    with flint.ctx.workprec(BITS):
        result = []
        for k in range(1, n // 4 + 1):
            angle = flint.arb.pi() * k / n
            values = (angle.tan(), angle.cot(), angle.sin(), angle.cos())
            for name, value in zip(FUNCTIONS, values, strict=True):
                result.append((name(sp.pi * k / n, evaluate=False), _ratio(value)))
    return tuple(result)


def _ratio(value: ball.Ball) -> Ratio:
    """The middle of a ball, to BITS bits after the point."""
    digits, exponent = value.mid().man_exp()
    return Ratio(round(Ratio(int(digits)) * Ratio(2) ** (int(exponent) + BITS)), 1 << BITS)
