"""The generator c = 2cos(pi/n): inverses and square roots over it.

Its minimal polynomial m has degree phi(2n)/2; its conjugates are 2cos(k*pi/n), k prime to 2n.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from math import gcd
from typing import TYPE_CHECKING, Any

import flint

from simlab.errors import SimlabFault
from simlab.exact.content import coefficients, content_of
from simlab.exact.generators import Cosine

if TYPE_CHECKING:
    from simlab.exact.element import Element
    from simlab.exact.field import Field

Poly = Any  # flint.fmpz_mpoly
Univariate = Any  # flint.fmpq_poly


def norm(field: Field, poly: Poly, i: int) -> tuple[Poly, Poly]:
    """(N, q) with poly * q = N, N free of c = generator i and not zero."""
    content = content_of(field, poly)
    primitive = poly / content
    if _is_number(primitive, i):
        one, inverse, _ = _univariate(primitive, i).xgcd(_minimal(field, i))
        if one != 1:
            raise SimlabFault(f"{poly} has a factor in common with the minimal polynomial of a cosine")
        return content * int(inverse.denom()), _multivariate(field, inverse.numer(), i)
    others = field.ctx.constant(1)
    for conjugate in _conjugates(field, poly, i):
        others = field.reduced(others * conjugate)
    return field.reduced(poly * others), others


def square_root(element: Element, i: int) -> Element | None:
    """The root of an element free of square roots, in Q(x)(c), c = generator i; None if there is none."""
    field = element.field
    one = field.ctx.constant(1)
    root = _root_of_polynomial(field.fraction(field.reduced(element.num * element.den), one), i)
    return None if root is None else root / field.fraction(element.den, one)


def _root_of_polynomial(square: Element, i: int) -> Element | None:
    """The root in Q(c)[x]: that of the leading coefficient in one letter settles all the others.

    (r_h x^h + ... + r_0)^2 = p_2h x^2h + ...:  r_h^2 = p_2h,  2 r_h r_(h-k) = p_(2h-k) - (products between)
    """
    field = square.field
    held = [j for j, degree in enumerate(square.num.degrees()) if degree and j != i]
    if not held:
        return _root_of_number(square, i)
    p = {power: part for (power,), part in coefficients(square, held[:1]).items()}
    half, odd = divmod(max(p), 2)
    top = None if odd else _root_of_polynomial(p[2 * half], i)
    if top is None:
        return None
    x, root, r = field.generator(held[0]), top * field.generator(held[0]) ** half, [top]
    for k in range(1, half + 1):
        between = sum((r[m] * r[k - m] for m in range(1, k)), field.zero)
        r.append((p.get(2 * half - k, field.zero) - between) / (top * 2))
        root = root + r[k] * x ** (half - k)
    return root if root * root == square else None


def _root_of_number(square: Element, i: int) -> Element | None:
    """The root in Q(c), by Trager's method (Algebraic factoring and rational function integration, 1976).

    P is a square if and only if y^2 - P has a factor of degree 1 in y. Factor the norm N(y) of
    (y - k*c)^2 - P over Q, for a k with N free of squares. A factor M with M(y + k*c) = A + B*y
    modulo y^2 - P gives the candidate y = -A/B.
    """
    field = square.field
    minimal, number = _minimal(field, i), _univariate(square.num, i)
    for k in count(1):
        _, factors = _norm_in_y(number, minimal, k).factor()
        if all(power == 1 for _, power in factors):
            break
    step = field.generator(i) * k
    for factor, _ in factors:
        a = b = field.zero
        for coefficient in reversed(factor.coeffs()):  # Horner's scheme in y + k*c
            a, b = a * step + b * square + int(coefficient), a + b * step
        if not b.is_zero:
            root = a / b
            if root * root == square:
                return root
    return None


def _norm_in_y(target: Univariate, minimal: Univariate, k: int) -> Any:
    """N(y) for P in Q(c), by its values at y = 0, 1, ..., 2m and Newton's interpolation; an fmpz_poly."""
    degree = 2 * minimal.degree()
    differences = []
    for y in range(degree + 1):
        linear = flint.fmpq_poly([y, -k])
        differences.append(minimal.resultant((linear * linear - target) % minimal))
    for j in range(1, degree + 1):
        for i in range(degree, j - 1, -1):
            differences[i] = (differences[i] - differences[i - 1]) / j
    norm = flint.fmpq_poly([0])
    for i in range(degree, -1, -1):
        norm = norm * flint.fmpq_poly([-i, 1]) + differences[i]
    return norm.numer()


def _conjugates(field: Field, poly: Poly, i: int) -> Iterator[Poly]:
    generator = field.generators[i]
    if not isinstance(generator, Cosine):
        raise SimlabFault(f"generator {i} of {field.names} is no cosine")
    variables = list(field.ctx.gens())
    for k in range(2, generator.n):
        if gcd(k, 2 * generator.n) == 1:
            variables[i] = _multiple_angle(field, i, k)
            yield field.reduced(poly.compose(*variables, ctx=field.ctx))


def _multiple_angle(field: Field, i: int, k: int) -> Poly:
    """2cos(k*x) as a reduced polynomial in c = 2cos(x), for k > 0: C_(k+1) = c*C_k - C_(k-1)."""
    c = field.ctx.gen(i)
    before, now = field.ctx.constant(2), c
    for _ in range(k - 1):
        before, now = now, field.reduced(c * now) - before
    return now


def _is_number(poly: Poly, i: int) -> bool:
    """Whether c is the only generator in a polynomial."""
    return all(not degree or j == i for j, degree in enumerate(poly.degrees()))


def _minimal(field: Field, i: int) -> Univariate:
    return _univariate(next(p for j, _, p in field.relations if j == i), i)


def _univariate(poly: Poly, i: int) -> Univariate:
    coefficients = [0] * (poly.degrees()[i] + 1)
    for powers, coefficient in poly.terms():
        coefficients[powers[i]] = coefficient
    return flint.fmpq_poly(coefficients)


def _multivariate(field: Field, poly: Any, i: int) -> Poly:
    n = len(field.generators)
    terms = {
        tuple(power if j == i else 0 for j in range(n)): c
        for power, c in enumerate(poly.coeffs())
        if c != 0
    }
    return field.ctx.from_dict(terms)
