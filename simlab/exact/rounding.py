"""Plain fractions for elements, and plain tangents for angles, where near is enough and said to be."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import flint
import sympy as sp

from simlab.exact import ball
from simlab.exact.element import Element

PLAIN = 1000  # the tangent of half of k/n radians is found exactly, as an algebraic one, for n up to this
ANGLE_BITS = 128  # of tan(u/4): far more than the 30 figures with which angles come


def tangible(angle: Any) -> Any:
    """The angle, or if it is a long fraction one next to it whose half has a fraction for its tangent.

    An angle of 30 figures in radians has no place in a field of numbers that one could compute in; one of
    the form 2*atan(2s/(1 - s^2)) has sine, cosine and half-angle tangent in the rational numbers.

    >>> tangible(sp.pi / 3), tangible(sp.Rational(1, 2))
    (pi/3, 1/2)
    """
    if not angle.is_Rational or angle.q <= PLAIN:
        return angle
    with flint.ctx.workprec(ANGLE_BITS):
        mantissa, exponent = ball.constant(sp.tan(angle / 4)).mid().man_exp()
    s = sp.Integer(int(mantissa)) * sp.Integer(2) ** int(exponent)
    return 2 * sp.atan(2 * s / (1 - s**2))


def rounded(element: Element, bits: int) -> Fraction:
    """The element's value at its field's values, worked out with numbers of so many bits.

    >>> import sympy as sp
    >>> from simlab.exact.field import Field
    >>> third = rounded(Field.containing([], {}).element(sp.Rational(1, 3)), 20)
    >>> abs(third - Fraction(1, 3)) < Fraction(1, 10**6)
    True
    """
    with flint.ctx.workprec(bits):
        point = element.field.point(bits)
        value = ball.polynomial(element.num, point) / ball.polynomial(element.den, point)
        mantissa, exponent = value.mid().man_exp()
    return Fraction(int(mantissa)) * Fraction(2) ** int(exponent)
