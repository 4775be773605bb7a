"""Which of two opposite elements is positive, and what has to be assumed for it to stay so."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import sympy as sp

from simlab.exact.generators import Cosine, HalfTangent, Letter, Pi, Root
from simlab.exact.polynomial import factorised

if TYPE_CHECKING:
    from simlab.exact.element import Element
    from simlab.exact.field import Field

Poly = Any  # flint.fmpz_mpoly


def positive(element: Element) -> Element:
    """The element or its negative, whichever is positive at the values; what decides it is noted."""
    if element.sign() < 0:
        element = -element
    doubt = condition(element)
    if doubt is not None and doubt not in element.field.assumptions:
        element.field.assumptions.append(doubt)
    return element


def condition(element: Element) -> Element | None:
    """What has to be positive for an element to keep its sign at the values; None if nothing has to."""
    doubt = _doubt(element)
    return None if doubt.is_constant else _in_sines(-doubt if doubt.sign() < 0 else doubt)


def has_one_sign(element: Element) -> bool:
    """Whether an element plainly has one sign for all positive letters and all angles as acute as here."""
    return _doubt(element).is_constant


def _doubt(element: Element) -> Element:
    """The product of those factors of an element that may change their sign; 1 if none may."""
    field = element.field
    doubtful = field.one
    for poly in (element.num, element.den):
        for factor, power in factorised(poly)[1]:
            if power % 2 and not _keeps_sign(factor, field):
                doubtful = doubtful * field.fraction(factor, field.ctx.constant(1))
    return doubtful


def _in_sines(element: Element) -> Element:
    """A polynomial in half-angle tangents over powers of 1 + t^2: the same sign, and sines and cosines."""
    field = element.field
    for i, generator in enumerate(field.generators):
        if isinstance(generator, HalfTangent):
            t = field.generator(i)
            element = element / (t * t + 1) ** ((element.num.degrees()[i] + 1) // 2)
    return element


def _keeps_sign(poly: Poly, field: Field) -> bool:
    """Whether a factor has one sign for all positive letters and all angles as acute as at the values."""
    free = [
        isinstance(g, Pi | Root | Cosine)
        or (bool(sp.sympify(g.symbol).is_positive) and not _may_be_reflex(g, field))
        for g in field.generators
    ]
    signs = {coefficient > 0 for coefficient in poly.coeffs()}
    if len(signs) == 1 and all(
        known or power % 2 == 0
        for powers in poly.monoms()
        for known, power in zip(free, powers, strict=True)
    ):
        return True
    held = [i for i, degree in enumerate(poly.degrees()) if degree]
    return len(held) == 1 and _is_of_acute_angle(poly, field, held[0])


def _may_be_reflex(generator: Letter | HalfTangent, field: Field) -> bool:
    """Whether tan(u/2) may be negative though the angle letter is positive."""
    return isinstance(generator, HalfTangent) and str(generator.symbol) in field.unbounded


def _is_of_acute_angle(poly: Poly, field: Field, i: int) -> bool:
    """Whether a polynomial in t divides sin 2x, which has no zero while the angle x = D*u is acute.

    sin 2x = Im (1 + i t)^(4D) / (1 + t^2)^(2D)
    """
    angle = field.generators[i]
    if not (isinstance(angle, HalfTangent) and angle.symbol.is_Symbol):
        return False
    value = field.values[angle.symbol.name]
    if angle.symbol.name in field.unbounded or not (value > 0 and value < sp.pi / 2):
        return False
    t = field.ctx.gen(i)
    real, imaginary = field.ctx.constant(1), field.ctx.constant(0)
    for _ in range(4 * angle.denominator):
        real, imaginary = real - imaginary * t, imaginary + real * t
    return bool(divmod(imaginary, poly)[1].is_zero())
