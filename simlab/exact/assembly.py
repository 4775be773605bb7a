"""A factored product in words: every way of writing its factors, put together and priced."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction as Ratio
from itertools import islice
from itertools import product as combinations
from typing import Any

import sympy as sp

from simlab.exact.factored import Factored
from simlab.exact.price import price
from simlab.exact.trigonometric import Sums, monomial
from simlab.exact.words import Power, negated, product

MOST_COMBINATIONS = 64
Written = list[tuple[Any, Ratio]]  # expressions and their exponents


def written(f: Factored, sums: Sums) -> Iterator[Any]:
    """The forms of one product, one for each combination of ways to write its factors."""
    indices = [(a.u, a.s, a.c) for a in f.angles]
    gens = f.ring.ctx.gens()
    powers = [Ratio(f.exponent(gens[i])) for _, s, c in indices for i in (s, c)]
    factors = [(poly, e) for poly, e in f.powers() if not f.is_monomial(poly)]
    ways = [sums.ways(poly) for poly, _ in factors]
    for choice in islice(combinations(*ways), MOST_COMBINATIONS):
        exponents = list(powers)
        for (_, shift), (_, e) in zip(choice, factors, strict=True):
            exponents = [x + e * n for x, n in zip(exponents, shift, strict=True)]
        parts = [(expr, e) for (expr, _), (_, e) in zip(choice, factors, strict=True)]
        form = _together(f, parts, [u for u, _, _ in indices], exponents)
        if form is not None:
            yield form


def _together(f: Factored, parts: Written, angles: Sequence[Any], exponents: Sequence[Ratio]) -> Any | None:
    number, inside = f.number, f.inside
    outer: list[Power] = []
    inner: list[Power] = []
    trig = {u: [exponents[2 * k], exponents[2 * k + 1]] for k, u in enumerate(angles)}
    for expr, e in parts:
        coefficient, base = expr.as_coeff_Mul()
        if e.denominator == 1:
            number *= coefficient ** int(e)
        else:
            inside *= coefficient ** int(2 * e)
        if isinstance(base, sp.sin | sp.cos):
            trig.setdefault(base.args[0], [Ratio(0), Ratio(0)])[isinstance(base, sp.cos)] += e
        else:
            _split(base, e, outer, inner)
    for u, (a, b) in trig.items():
        n, powers = monomial(u, int(a), int(b))
        number *= n
        outer += powers
        n, powers = monomial(u, int(2 * (a - int(a))), int(2 * (b - int(b))))
        inside *= n
        inner += powers
    root = square_root(inside, inner)
    if root is None:
        return None
    outside, rest = root.as_coeff_Mul()
    return product(number * outside, [*outer, *((x, sp.S.One) for x in sp.Mul.make_args(rest))])


def _split(base: Any, e: Ratio, outer: list[Power], inner: list[Power]) -> None:
    """Whole powers before the root, the rest under it."""
    whole = int(e)
    if whole:
        outer.append((base, sp.Integer(whole)))
    if e != whole:
        inner.append((base, sp.Integer(int(2 * (e - whole)))))


def square_root(number: Any, powers: Sequence[Power]) -> Any | None:
    """sqrt(number * product of base^power) with square numbers outside; None if it is plainly not real.

    >>> x = sp.Symbol("x")
    >>> square_root(sp.Rational(3, 4), [])
    sqrt(3)/2
    >>> square_root(sp.Rational(1, 4), [(9 * x**2 + 4, sp.S.One)])
    sqrt(9*x**2 + 4)/2
    """
    powers = [(base, e) for base, e in powers if e]
    if number.is_negative:
        for k, (base, e) in enumerate(powers):
            if base.is_Add and e.is_odd:
                powers[k], number = (negated(base), e), -number
                break
        else:
            return None
    outside, under = sp.S.One, sp.S.One
    for prime, e in sp.factorint(number.p * number.q).items():
        outside *= prime ** (e // 2)
        under *= prime ** (e % 2)
    outside /= number.q
    if not powers:
        return outside * sp.sqrt(under)
    forms = [sp.Mul(outside, sp.sqrt(under), _root(product(sp.S.One, powers)), evaluate=True)]
    for k, (base, e) in enumerate(powers):
        if under != 1 and base.is_Add and e == 1:
            spread = sp.Add(*(under * term for term in base.args))
            inside = product(sp.S.One, [*powers[:k], (spread, e), *powers[k + 1 :]])
            forms.append(outside * _root(inside))
    return min(forms, key=price)


def _root(inside: Any) -> Any:
    """The square root of a product in one piece: sympy would write sqrt(a)*sqrt(b)."""
    if inside.is_Pow and inside.exp == -1:
        return 1 / sp.sqrt(inside.base)
    return sp.Pow(inside, sp.S.Half, evaluate=not inside.is_Mul)
