"""Functions of an angle, by which an equation in its half-angle tangent becomes a simpler one.

u = A(t)/B(t):  r(u) = resultant_t(f(t), u*B(t) - A(t))  is a power of an irreducible polynomial for an
irreducible f. With t = tan(x/2):  (1 + i t)^(2n) = A + i B,  cos(n x) = A/(1 + t^2)^n,  tan(n x) = B/A.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import flint
import sympy as sp

from simlab.exact.polynomial import coefficients, factorised
from simlab.exact.unknown import Unknown

Poly = Any  # flint.fmpz_mpoly
Whole = Any  # flint.fmpz_poly

KINDS = ((1, sp.tan), (1, sp.cos), (1, sp.sin), (2, sp.tan), (2, sp.cos), (2, sp.sin))


@dataclass(frozen=True)
class Function:
    """A function of the angle: kind(multiple*angle) = above/below, polynomials in t; or the letter itself.

    kind : sp.sin, sp.cos, sp.tan; None for the letter itself
    """

    kind: Any
    multiple: Any  # sympy Rational
    above: Whole
    below: Whole

    def of(self, symbol: Any) -> Any:
        """The function as an expression."""
        return symbol if self.kind is None else self.kind(self.multiple * symbol)


@dataclass(frozen=True)
class Relation:
    """parts_0 + parts_1*u + parts_2*u^2 + ... = 0 for u a function of the letter; irreducible.

    parts : polynomials in the letters (the one that is sought does not occur)
    """

    function: Function
    parts: tuple[Poly, ...]

    @property
    def degree(self) -> int:
        """The degree in u."""
        return len(self.parts) - 1

    @property
    def terms(self) -> int:
        """The number of all terms."""
        return sum(map(len, self.parts))


def functions(unknown: Unknown, rare: bool = False) -> Iterator[Function]:
    """The functions of a letter that an equation in it is tried in."""
    t, one = flint.fmpz_poly([0, 1]), flint.fmpz_poly([1])
    if not unknown.is_angle:
        yield Function(None, sp.S.One, t, one)
        return
    for multiple, kind in ((sp.S.Half, sp.tan), (3, sp.cos), (3, sp.sin), (3, sp.tan)) if rare else KINDS:
        twice = 2 * sp.sympify(multiple) * unknown.denominator
        if not twice.is_Integer or (kind is not sp.tan and int(twice) % 2):
            continue
        real, imaginary = one, one - one
        for _ in range(int(twice)):
            real, imaginary = real - imaginary * t, imaginary + real * t
        whole = (1 + t * t) ** (int(twice) // 2)
        above, below = {
            sp.tan: (imaginary, real),
            sp.cos: (real, whole),
            sp.sin: (imaginary, whole),
        }[kind]
        yield Function(kind, sp.sympify(multiple), above, below)


def relation(poly: Poly, unknown: Unknown, function: Function) -> Relation | None:
    """The irreducible equation in a function of a letter that follows from an irreducible one.

    None where the function has no value: tan at a quarter turn.
    """
    if function.kind is None:
        return Relation(function, tuple(coefficients(poly, unknown.variable)))
    ctx = poly.context()
    names = tuple(map(str, ctx.names()))
    wider = flint.fmpz_mpoly_ctx.get(("_u", *names), "lex")
    u, t = wider.gen(0), wider.gen(unknown.variable + 1)

    def put(whole: Whole) -> Poly:
        return sum((t**k * int(n) for k, n in enumerate(whole.coeffs())), wider.constant(0))

    joined = poly.project_to_context(wider).resultant(
        u * put(function.below) - put(function.above), unknown.variable + 1
    )
    factor = next((f for f, _ in factorised(joined)[1] if f.degrees()[0]), None)
    if factor is None:
        return None
    return Relation(function, tuple(part.project_to_context(ctx) for part in coefficients(factor, 0)))
