"""What FLINT's polynomials in several variables do not say themselves."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from math import lcm
from operator import mul
from typing import Any

import flint

Poly = Any  # flint.fmpz_mpoly
Fraction = tuple[Poly, Poly]  # numerator, denominator


def degrees(poly: Poly) -> list[int]:
    """The degree in each generator."""
    return [int(degree) for degree in poly.degrees()]


def terms(poly: Poly) -> list[tuple[tuple[int, ...], int]]:
    """[(powers of the generators, number)]."""
    return [(tuple(map(int, powers)), int(number)) for powers, number in poly.terms()]


def factorised(poly: Poly) -> tuple[Any, list[tuple[Poly, int]]]:
    """(whole number, [(irreducible primitive factor, power)]).

    python-flint 0.9 sorts the factors by their terms, which overflows for some large numbers; over the
    fractions it does not.
    """
    try:
        number, found = poly.factor()
        return number, found
    except OverflowError:
        ctx = poly.context()
        wide = flint.fmpq_mpoly_ctx.get(ctx.names(), "lex")
        _, found = wide.from_dict(dict(terms(poly))).factor()
        whole = [(_whole(ctx, factor), power) for factor, power in found]
        product = reduce(mul, (factor**power for factor, power in whole), ctx.constant(1))
        return flint.fmpz(int(poly.leading_coefficient())) // int(product.leading_coefficient()), whole


def _whole(ctx: Any, factor: Any) -> Poly:
    """A polynomial over the fractions times the least number that makes it whole, and primitive."""
    numbers = [flint.fmpq(number) for _, number in factor.terms()]
    below = lcm(*(int(number.q) for number in numbers))
    return ctx.from_dict(
        {tuple(map(int, powers)): int(flint.fmpq(n) * below) for powers, n in factor.terms()}
    ).primitive()[1]


def coefficients(poly: Poly, i: int) -> list[Poly]:
    """The coefficients of the powers 0, 1, 2, ... of generator i.

    >>> import flint
    >>> t, a = flint.fmpz_mpoly_ctx.get(("t", "a"), "lex").gens()
    >>> coefficients(3 * t**2 + a, 0)
    [a, 0, 3]
    """
    parts: list[dict[tuple[int, ...], int]] = [{} for _ in range(max(degrees(poly)[i], 0) + 1)]
    for powers, number in terms(poly):
        parts[powers[i]][(*powers[:i], 0, *powers[i + 1 :])] = number
    return [poly.context().from_dict(part) for part in parts]


def homogeneous(parts: Sequence[Poly], x: Poly, y: Poly) -> Poly:
    """sum of parts_k * x^k * y^(n - k), n the last k."""
    n = len(parts) - 1
    return sum((part * x**k * y ** (n - k) for k, part in enumerate(parts)), x.context().constant(0))


def put(poly: Poly, i: int, value: Poly) -> Poly:
    """The polynomial with `value` put for generator i."""
    ctx = poly.context()
    return poly.compose(*(value if k == i else g for k, g in enumerate(ctx.gens())), ctx=ctx)


def cancelled(num: Poly, den: Poly) -> Fraction:
    """The fraction in lowest terms."""
    common = num.gcd(den)
    return num / common, den / common
