"""Numbers in words: surds as books print them, and sines and tangents of 18°, 20°, 22.5° and the like.

4*(sqrt(2) - 1)    2*cot(18 deg), which in surds is 2*sqrt(5 + 2*sqrt(5))
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction as Ratio
from math import isqrt
from typing import Any

import sympy as sp

from simlab.exact.element import Element
from simlab.exact.fixed import functions, guessed, linear, numbers
from simlab.exact.generators import Cosine, Root
from simlab.exact.polynomial import Poly, coefficients, degrees
from simlab.exact.price import price
from simlab.exact.words import Words, product


def number_forms(element: Element, atoms: Sequence[Any]) -> Iterator[Any]:
    """Ways of writing a number of the field; `atoms` are its generators in words.

    They may have the wrong sign where a root was taken.
    """
    scale = sp.Rational(1, int(element.den.leading_coefficient()))
    yield product(scale, [(_expanded(element, atoms), sp.S.One)])
    if element.is_constant:
        return
    yield product(scale, [(Words(atoms).polynomial(element.num), sp.S.One)])
    if not _is_nested(element):
        return
    yield from _denested(element * element)
    multiple = False
    for f in functions(element.field):
        over = ((element * f.value, sp.S.NegativeOne),) if isinstance(f.words, sp.sin | sp.cos) else ()
        for ratio, power in ((element * f.inverse, sp.S.One), *over):
            if not _is_nested(ratio):
                multiple |= ratio.is_constant
                plain = min(number_forms(ratio, atoms), key=price)
                yield product(sp.S.One, [(plain, sp.S.One), (f.words, power)])
        if multiple:
            return
    yield from linear(element)
    yield from guessed(element)


def _is_nested(element: Element) -> bool:
    """Whether roots of roots, or the cosine of the field, are in a number."""
    return any(
        degree and (isinstance(g, Cosine) or (isinstance(g, Root) and not g.radicand.is_constant))
        for g, degree in zip(element.field.generators, degrees(element.num), strict=True)
    )


def _expanded(element: Element, atoms: Sequence[Any]) -> Any:
    """The numerator term by term, powers of c = 2cos(pi/n) as cosines of multiples of pi/n."""
    words = Words(atoms)
    for i, g in enumerate(element.field.generators):
        if isinstance(g, Cosine):
            parts = by_cosines(element.num, i, g)
            return sp.Add(
                *(product(sp.S.One, [(words.sum(part), sp.S.One), (c, sp.S.One)]) for c, part in parts)
            )
    return words.sum(element.num)


def by_cosines(num: Poly, i: int, generator: Cosine) -> list[tuple[Any, Poly]]:
    """[(cosine, part)] with num = sum of part * cosine, for 1 and the 2cos(k*pi/n), c = generator i."""
    parts = _multiples(coefficients(num, i))
    cosines = (sp.S.One, *(2 * sp.cos(k * sp.pi / generator.n) for k in range(1, len(parts))))
    return [(c, part) for c, part in zip(cosines, parts, strict=True) if not part.is_zero()]


def _multiples(parts: Sequence[Poly]) -> list[Poly]:
    """sum of parts_k * c^k as sum of result_k * C_k, C_k = 2cos(kx) for k > 0 and C_0 = 1, c = C_1."""
    result = [part * 0 for part in parts]
    for part in reversed(parts):  # Horner's scheme: c*C_k = C_(k+1) + C_(k-1), c*C_1 = C_2 + 2, c*C_0 = C_1
        shifted = [part * 0, *result]
        for k, coefficient in enumerate(result):
            if k:
                shifted[k - 1] += coefficient * (2 if k == 1 else 1)
        result = shifted[: len(parts)]
        result[0] += part
    return result


def _denested(square: Element) -> Iterator[Any]:
    """sqrt(a + b*sqrt(d)) = sqrt((a + n)/2) +- sqrt((a - n)/2) if n^2 = a^2 - d*b^2 is a square."""
    a, surds = numbers(square)
    if len(surds) != 1:
        return
    (powers, b), d = surds.popitem(), 1
    for g, power in zip(square.field.generators, powers, strict=True):
        if power and isinstance(g, Root) and g.radicand.is_constant:
            d *= int(g.radicand.num.leading_coefficient())
        elif power:
            return
    norm = a * a - d * b * b
    if norm < 0:
        return
    n = Ratio(isqrt(norm.numerator), isqrt(norm.denominator))
    if n * n == norm:
        left, right = (sp.sqrt(sp.Rational(x.numerator, x.denominator)) for x in ((a + n) / 2, (a - n) / 2))
        yield sp.factor_terms(left + right if b > 0 else left - right)
