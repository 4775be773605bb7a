"""Square roots in a tower of square roots: a complete test, and adjoining one that is not there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import flint

from simlab.errors import BadInput, SimlabFault
from simlab.exact import cosine, residue
from simlab.exact.assumption import positive
from simlab.exact.content import content_of
from simlab.exact.generators import Cosine, Root
from simlab.exact.polynomial import factorised

if TYPE_CHECKING:
    from simlab.exact.element import Element
    from simlab.exact.field import Field

Poly = Any  # flint.fmpz_mpoly


def norm(field: Field, poly: Poly, i: int) -> tuple[Poly, Poly]:
    """(N, q) with poly * q = N, N free of generator i and not zero: for a + b*s, q = a - b*s."""
    if isinstance(field.generators[i], Cosine):
        return cosine.norm(field, poly, i)
    others = poly - 2 * poly.derivative(i) * field.ctx.gen(i)
    return field.reduced(poly * others), others


# the test


def square_root(element: Element) -> Element | None:
    """A square root of the element in its field, of either sign, or None if there is none.

    The test is complete. In K(s) with s^2 = d, a + b*s is a square if and only if
      b = 0:  a is a square x^2 in K, or a/d is a square y^2 in K (then the root is y*s);
      b != 0: n = sqrt(a^2 - d*b^2) is in K and one of (a + n)/2, (a - n)/2 is a square x^2 in K
              (then the root is x + b/(2x) * s).
    """
    if element.is_zero:
        return element
    front, kernel = _parted(element)
    root = _root(kernel, 0)
    return None if root is None else front * root


def _parted(element: Element) -> tuple[Element, Element]:
    """(front, kernel) with element = front^2 * kernel, the kernel a polynomial without plain squares."""
    field, one = element.field, element.field.one.num
    outer, inner = square_part(field, field.reduced(element.num * element.den))
    return field.fraction(outer, element.den), field.fraction(inner, one)


def _root(element: Element, skip: int) -> Element | None:
    """A square root among the elements free of the `skip` newest roots."""
    field = element.field
    if element.is_zero:
        return element
    if not residue.may_be_square(element):
        return None
    if skip == field.depth:
        return _base_root(element)
    s, d = field.generator(skip), field.lift(_radicand(field, skip))
    b = field.fraction(element.num.derivative(skip), element.den)
    a = element - b * s
    if b.is_zero:
        x = _root(a, skip + 1)
        if x is not None:
            return x
        y = _root(a / d, skip + 1)
        return None if y is None else y * s
    n = _root(a * a - d * b * b, skip + 1)
    if n is None:
        return None
    for half in ((a + n) / 2, (a - n) / 2):
        x = _root(half, skip + 1)
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
        return cosine.square_root(element, base)
    num, den = _exact_root(element.num), _exact_root(element.den)
    return None if num is None or den is None else field.fraction(num, den)


def _exact_root(poly: Poly) -> Poly | None:
    if poly.leading_coefficient() < 0:
        return None
    try:
        return poly.sqrt()
    except flint.utils.flint_exceptions.DomainError:
        return None


# adjoining


def adjoined(field: Field, radicand: Element) -> tuple[Field, Element]:
    """The field with sqrt(radicand) in it, and that root, positive at the values.

    Square factors are taken out of the radicand first: sqrt(8*a^2) = 2*a*sqrt(2). Wherever the
    sign of a letter's expression is chosen, it is noted in the field's assumptions.
    """
    if radicand.sign() < 0:
        raise BadInput(f"the square root of {radicand.expr()}, which is negative at the values")
    if radicand.is_zero:
        return field, radicand
    front, kernel = _parted(radicand)
    found = _root(kernel, 0)
    if found is not None:
        return field, positive(front * found)
    front = positive(front)
    wider = type(field)(
        (f"_s{field.depth + 1}", *field.names), (Root(kernel), *field.generators), field.values, field
    )
    wider.conversion.inherit(field.conversion)
    return wider, wider.lift(front) * wider.generator(0)


def square_part(field: Field, poly: Poly) -> tuple[Poly, Poly]:
    """(outer, inner) with poly = outer^2 * inner, inner of the sign of poly, as small as is easily found.

    With roots in the polynomial only its content over them is looked at, and of a whole number only
    small primes: a square that is left in a radicand does no harm.
    """
    content = content_of(field, poly)
    constant, factors = factorised(content)
    factors = [*factors, *((field.ctx.constant(p), e) for p, e in abs(constant).factor_smooth())]
    outer = field.ctx.constant(1)
    for factor, power in factors:
        outer *= factor ** (power // 2)
    return outer, poly / (outer * outer)
