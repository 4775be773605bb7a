"""Square roots in a tower of square roots: a complete test, and adjoining one that is not there."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from math import gcd
from typing import TYPE_CHECKING, Any

import flint

from simlab.errors import BadInput, SimlabFault
from simlab.exact.assumption import positive
from simlab.exact.generators import Cosine, Root

if TYPE_CHECKING:
    from simlab.exact.element import Element
    from simlab.exact.field import Field

Poly = Any  # flint.fmpz_mpoly


# conjugates and norms


def conjugates(field: Field, poly: Poly, i: int) -> Iterator[Poly]:
    """The other conjugates of a reduced polynomial over the field without generator i.

    a + b*s has a - b*s; a polynomial in c = 2cos(pi/n) has those with 2cos(k*pi/n), k prime to 2n.
    """
    generator = field.generators[i]
    if isinstance(generator, Root):
        yield poly - 2 * poly.derivative(i) * field.ctx.gen(i)
    elif isinstance(generator, Cosine):
        variables = list(field.ctx.gens())
        for k in range(2, generator.n):
            if gcd(k, 2 * generator.n) == 1:
                variables[i] = multiple_angle(field, i, k)
                yield field.reduced(poly.compose(*variables, ctx=field.ctx))


def norm(field: Field, poly: Poly, i: int) -> tuple[Poly, Poly]:
    """The product of all conjugates, free of generator i, and that of the others alone."""
    others = field.ctx.constant(1)
    for conjugate in conjugates(field, poly, i):
        others = field.reduced(others * conjugate)
    return field.reduced(poly * others), others


def multiple_angle(field: Field, i: int, k: int) -> Poly:
    """2cos(k*x) as a reduced polynomial in generator i, which is 2cos(x).

    C_0 = 2,  C_1 = c,  C_(k+1) = c*C_k - C_(k-1)
    """
    c = field.ctx.gen(i)
    before, now = field.ctx.constant(2), c
    if k == 0:
        return before
    for _ in range(k - 1):
        before, now = now, field.reduced(c * now) - before
    return now


# the test


def square_root(element: Element, skip: int = 0) -> Element | None:
    """A square root of `element` among the elements free of the `skip` newest roots, or None.

    In K(s) with s^2 = d, a + b*s is a square if and only if
      b = 0:  a is a square x^2 in K, or a/d is a square y^2 in K (then the root is y*s);
      b != 0: n = sqrt(a^2 - d*b^2) is in K and one of (a + n)/2, (a - n)/2 is a square x^2 in K
              (then the root is x + b/(2x) * s).
    """
    field = element.field
    if element.is_zero:
        return element
    if skip == field.depth:
        return _base_root(element)
    s, d = field.generator(skip), field.lift(_radicand(field, skip))
    b = field.fraction(element.num.derivative(skip), element.den)
    a = element - b * s
    if b.is_zero:
        x = square_root(a, skip + 1)
        if x is not None:
            return x
        y = square_root(a / d, skip + 1)
        return None if y is None else y * s
    n = square_root(a * a - d * b * b, skip + 1)
    if n is None:
        return None
    for half in ((a + n) / 2, (a - n) / 2):
        x = square_root(half, skip + 1)
        if x is not None and not x.is_zero:
            return x + b / (x * 2) * s
    return None


def _radicand(field: Field, i: int) -> Element:
    generator = field.generators[i]
    if not isinstance(generator, Root):
        raise SimlabFault(f"generator {i} of the tower {field.names} is no root")
    return generator.radicand


def _base_root(element: Element) -> Element | None:
    """The root below all adjoined roots: a fraction is a square iff both its polynomials are."""
    field = element.field
    base = field.depth
    if base < len(field.generators) and isinstance(field.generators[base], Cosine):
        return _root_over_cosine(element, base)
    num, den = _exact_root(element.num), _exact_root(element.den)
    return None if num is None or den is None else field.fraction(num, den)


def _exact_root(poly: Poly) -> Poly | None:
    if poly.leading_coefficient() < 0:
        return None
    try:
        return poly.sqrt()
    except flint.utils.flint_exceptions.DomainError:
        return None


def _root_over_cosine(element: Element, i: int) -> Element | None:
    """The root in Q(c)(x): P = num*den is a square iff y^2 - P has a factor of degree 1 in y.

    Trager's method (Algebraic factoring and rational function integration, 1976): factor the norm
    N(y) of (y - k*c)^2 - P over Q(x), for a k with N free of squares. A factor M with
    M(y + k*c) = A + B*y modulo y^2 - P gives the candidate y = -A/B.
    """
    field = element.field
    target = field.reduced(element.num * element.den)
    wide = flint.fmpz_mpoly_ctx.get((*field.names, "_y"), "lex")
    y, c = wide.gen(len(field.names)), wide.gen(i)
    minimal = next(p for j, _, p in field.relations if j == i).project_to_context(wide)
    for k in count(0):
        shifted = (y - k * c) ** 2 - target.project_to_context(wide)
        _, factors = shifted.resultant(minimal, i).factor()
        factors = [(f, e) for f, e in factors if f.degrees()[-1]]
        if all(e == 1 for _, e in factors):
            break
    square = field.element(0) + type(element)(field, target, field.ctx.constant(1))
    step = field.generator(i) * k
    for factor, _ in factors:
        a = b = field.zero
        for coefficient in _coefficients(factor, field):  # Horner's scheme in y + k*c
            a, b = a * step + b * square + coefficient, a + b * step
        if not b.is_zero and (a / b) ** 2 == square:
            return a / b / field.fraction(element.den, field.ctx.constant(1))
    return None


def _coefficients(poly: Poly, field: Field) -> list[Element]:
    """The coefficients of a polynomial in its last variable, the highest power first."""
    parts: list[dict[tuple[int, ...], Any]] = [{} for _ in range(poly.degrees()[-1] + 1)]
    for powers, coefficient in poly.terms():
        parts[powers[-1]][tuple(powers[:-1])] = coefficient
    one = field.ctx.constant(1)
    return [field.fraction(field.ctx.from_dict(part), one) for part in reversed(parts)]


# adjoining


def adjoined(field: Field, radicand: Element) -> tuple[Field, Element]:
    """The field with sqrt(radicand) in it, and that root, positive at the values.

    Square factors are taken out of the radicand first: sqrt(8*a^2) = 2*a*sqrt(2). Wherever the
    sign of a letter's expression is chosen, it is noted in the field's assumptions.
    """
    if radicand.sign() < 0:
        raise BadInput(f"the square root of {radicand.expr()}, which is negative at the values")
    found = square_root(radicand)
    if found is not None:
        return field, positive(found)
    whole = field.reduced(radicand.num * radicand.den)
    outer, inner = _square_part(field, whole)
    front = positive(field.fraction(outer, radicand.den))
    kernel = type(radicand)(field, inner, field.ctx.constant(1))
    wider = type(field)(
        (f"_s{field.depth + 1}", *field.names), (Root(kernel), *field.generators), field.values, field
    )
    wider.conversion.inherit(field.conversion)
    return wider, wider.lift(front) * wider.generator(0)


def _square_part(field: Field, poly: Poly) -> tuple[Poly, Poly]:
    """(outer, inner) with poly = outer^2 * inner, inner of the sign of poly, as small as is easily found.

    With roots in the polynomial only its content over them is looked at.
    """
    algebraic = [i for i, _, _ in field.relations]
    parts: dict[tuple[int, ...], dict[tuple[int, ...], Any]] = {}
    for powers, coefficient in poly.terms():
        head = tuple(powers[i] for i in algebraic)
        rest = tuple(0 if i in algebraic else p for i, p in enumerate(powers))
        parts.setdefault(head, {})[rest] = coefficient
    content = field.ctx.constant(0)
    for part in parts.values():
        content = content.gcd(field.ctx.from_dict(part))
    constant, factors = content.factor()
    factors = [*factors, *((field.ctx.constant(p), e) for p, e in abs(constant).factor())]
    outer = field.ctx.constant(1)
    for factor, power in factors:
        outer *= factor ** (power // 2)
    return outer, poly / (outer * outer)
