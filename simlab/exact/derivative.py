"""Derivatives of field elements with respect to a letter.

d(tan(u/2n))/du = (1 + tan(u/2n)^2)/(2n),    d(sqrt(r))/du = (dr/du)/(2*sqrt(r))
"""

from __future__ import annotations

from simlab.exact.element import Element, Poly
from simlab.exact.field import Field, HalfTangent, Letter, Root


def derivative(element: Element, letter: str) -> Element:
    """The derivative of an element with respect to a letter or an angle.

    >>> import sympy as sp
    >>> u, a = sp.Symbol("u"), sp.Symbol("a")
    >>> field = Field.containing([sp.sin(u), a], {})
    >>> derivative(field.element(a * sp.sin(u)), "u") == field.element(a * sp.cos(u))
    True
    """
    field = element.field
    one = field.ctx.constant(1)
    num, den = field.fraction(element.num, one), field.fraction(element.den, one)
    above, below = _of(field, element.num, letter), _of(field, element.den, letter)
    return (above * den - num * below) / (den * den)


def _of(field: Field, poly: Poly, letter: str) -> Element:
    """The derivative of a polynomial in the generators, by the chain rule."""
    total = field.zero
    for i, generator in enumerate(field.generators):
        if not poly.degrees()[i]:
            continue
        inner = field.reduced(poly.derivative(i))
        total = total + field.fraction(inner, field.ctx.constant(1)) * _rate(field, i, generator, letter)
    return total


def _rate(field: Field, i: int, generator: object, letter: str) -> Element:
    """The derivative of a generator."""
    itself = field.generator(i)
    if isinstance(generator, Letter) and generator.name == letter:
        return field.one
    if isinstance(generator, HalfTangent) and str(generator.symbol) == letter:
        return (itself * itself + 1) / (2 * generator.denominator)
    if isinstance(generator, Root):
        return field.lift(derivative(generator.radicand, letter)) / (itself * 2)
    return field.zero
