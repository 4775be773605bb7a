"""The polynomials in letters and in tangents, cotangents, sines and cosines of angles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import flint

from simlab.exact.polynomial import Poly, coefficients, degrees

Kind = Literal["tangent", "cosine", "sine", "general", "half"]

MOST_HARMONICS = 10  # sines and cosines of multiples in one sum; more make no short form


@dataclass(frozen=True)
class Angle:
    """An angle u, how it is seen, and its generators in the ring.

    v : tan u where it is seen through its tangent, else tan(u/2) homogeneous with w;
    w : cot u, s : sin u, c : cos u
    """

    u: Any  # sympy expression
    kind: Kind
    v: int
    w: int
    s: int
    c: int


class Ring:
    """The polynomials in letters and in tangents, cotangents, sines, cosines of angles."""

    def __init__(self, names: Sequence[str], count: int) -> None:
        extra = [f"_{kind}_{k}" for k in range(count) for kind in ("cot", "sin", "cos")]
        harmonics = [f"_multiple_{k}" for k in range(MOST_HARMONICS)] if count else []
        self.first = len(names)
        self.harmonics = range(self.first + len(extra), self.first + len(extra) + len(harmonics))
        self.ctx = flint.fmpz_mpoly_ctx.get((*names, *extra, *harmonics), "lex")

    def angle(self, u: Any, kind: Kind, v: int, k: int) -> Angle:
        """The k-th angle, whose half tangent is generator v."""
        w = self.first + 3 * k
        return Angle(u, kind, v, w, w + 1, w + 2)


def even_form(poly: Poly, angle: Angle) -> tuple[Poly, int]:
    """(p(s, c), n) with poly(v, w) = p(s, c)/2^n, for v = sin(u/2), w = cos(u/2).

    poly is homogeneous of an even degree 2*n in v, w: v^2 = (1 - c)/2, w^2 = (1 + c)/2, v*w = s/2.
    """
    gen = poly.context().gen
    s, x, y = gen(angle.s), 1 - gen(angle.c), 1 + gen(angle.c)
    total, n = poly.context().constant(0), 0
    for k, part in enumerate(coefficients(poly, angle.v)):
        for j, letter in enumerate(coefficients(part, angle.w)):
            if not letter.is_zero():
                n = (k + j) // 2
                total += letter * s ** (k % 2) * x ** (k // 2) * y ** (j // 2)
    return reduced(total, angle.s, angle.c), n


def reduced(poly: Poly, i: int, j: int) -> Poly:
    """The polynomial with 1 - gen_j^2 put for gen_i^2."""
    if degrees(poly)[i] < 2:
        return poly
    gen = poly.context().gen
    parts = coefficients(poly, i)
    square = 1 - gen(j) ** 2
    return sum(
        (part * gen(i) ** (k % 2) * square ** (k // 2) for k, part in enumerate(parts)),
        poly.context().constant(0),
    )
