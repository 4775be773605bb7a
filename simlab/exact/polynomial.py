"""What FLINT's polynomials in several variables do not say themselves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

Poly = Any  # flint.fmpz_mpoly
Fraction = tuple[Poly, Poly]  # numerator, denominator


def degrees(poly: Poly) -> list[int]:
    """The degree in each generator."""
    return [int(degree) for degree in poly.degrees()]


def terms(poly: Poly) -> list[tuple[tuple[int, ...], int]]:
    """[(powers of the generators, number)]."""
    return [(tuple(map(int, powers)), int(number)) for powers, number in poly.terms()]


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
