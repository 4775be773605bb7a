"""Numbers in words: surds as books print them, and sines and tangents of 18°, 20°, 22.5° and the like.

4*(sqrt(2) - 1)    2*cot(18 deg), which in surds is 2*sqrt(5 + 2*sqrt(5))
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction as Ratio
from functools import lru_cache
from itertools import combinations
from math import gcd, isqrt, lcm
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.element import Element
from simlab.exact.generators import Cosine, Root
from simlab.exact.polynomial import Poly, coefficients, degrees, terms
from simlab.exact.price import price
from simlab.exact.words import Words, product

FUNCTIONS = (sp.tan, sp.cot, sp.sin, sp.cos)
SURDS_OF_A_PAIR = 2
MOST_ANGLES = 9  # of one family: 5°, 10°, ... 45° for example


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
    for value, inverse, function in fixed_functions(element.field):
        below = ((element * value, sp.S.NegativeOne),) if isinstance(function, sp.sin | sp.cos) else ()
        for ratio, power in ((element * inverse, sp.S.One), *below):
            if not _is_nested(ratio):
                multiple |= ratio.is_constant
                plain = min(number_forms(ratio, atoms), key=price)
                yield product(sp.S.One, [(plain, sp.S.One), (function, power)])
        yield from _linear(element, value, function)
    if not multiple:
        yield from _pairs(element)


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
            parts = [words.sum(part) for part in _multiples(coefficients(element.num, i))]
            cosines = (2 * sp.cos(k * sp.pi / g.n) for k in range(1, len(parts)))
            pairs = zip(parts, (sp.S.One, *cosines), strict=True)
            return sp.Add(*(product(sp.S.One, [(part, sp.S.One), (c, sp.S.One)]) for part, c in pairs))
    return words.sum(element.num)


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


def _numbers(element: Element) -> tuple[Ratio, dict[tuple[int, ...], Ratio]]:
    """The rational term of a number, and the factors of the products of roots by their exponents."""
    below = int(element.den.leading_coefficient())
    numbers = {powers: Ratio(number, below) for powers, number in terms(element.num)}
    return numbers.pop((0,) * len(element.field.generators), Ratio(0)), numbers


def _denested(square: Element) -> Iterator[Any]:
    """sqrt(a + b*sqrt(d)) = sqrt((a + n)/2) +- sqrt((a - n)/2) if n^2 = a^2 - d*b^2 is a square."""
    a, surds = _numbers(square)
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


def _linear(element: Element, value: Element, function: Any) -> Iterator[Any]:
    """a + b*function with rational a and b, if it can be so."""
    (a, x), (zero, f) = _numbers(element), _numbers(value)
    ratios = {x[powers] / f[powers] for powers in f} if x.keys() == f.keys() else set()
    if len(ratios) == 1:
        b = ratios.pop()
        yield _over_one_bar((a - b * zero, sp.S.One), (b, function))


def _over_one_bar(*terms: tuple[Ratio, Any]) -> Any:
    """A sum of rational multiples with its numbers in front: 2*(3*f + g)/5."""
    numbers = [number for number, _ in terms]
    above, below = gcd(*(n.numerator for n in numbers)), lcm(*(n.denominator for n in numbers))
    total = sp.Add(*(int(number * below / above) * expr for number, expr in terms))
    return product(sp.Rational(above, below), [(total, sp.S.One)])


def _pairs(element: Element) -> Iterator[Any]:
    """a*f + b*g with rational a and b, for two of the functions, where surds of two kinds are in both."""
    rational, x = _numbers(element)
    functions = [(_numbers(value), function) for value, _, function in fixed_functions(element.field)]
    for ((zero_f, f), name_f), ((zero_g, g), name_g) in combinations(functions, 2):
        kinds = sorted(f.keys() | g.keys() | x.keys())
        if len(kinds) != SURDS_OF_A_PAIR or rational or zero_f or zero_g:
            continue
        (f1, f2), (g1, g2), (x1, x2) = ([v.get(kind, Ratio(0)) for kind in kinds] for v in (f, g, x))
        determinant = f1 * g2 - f2 * g1
        if determinant:
            a, b = (x1 * g2 - x2 * g1) / determinant, (f1 * x2 - f2 * x1) / determinant
            yield _over_one_bar((a, name_f), (b, name_g))


@lru_cache(maxsize=64)
def fixed_functions(field: Any) -> tuple[tuple[Element, Element, Any], ...]:
    """(value, 1/value, words) of the sines, cosines and tangents of fixed angles that lie in a field.

    They are the multiples of 18° where sqrt(10 + 2*sqrt(5)) lies in it, 22.5° where sqrt(2 + sqrt(2))
    does, and multiples of pi/n where 2cos(pi/n) does. Beyond 45° they have the names of their complements.
    """
    angles: list[tuple[Any, tuple[Any, ...]]] = []
    for inner, times, plus, n, names in ((5, 2, 10, 10, FUNCTIONS), (2, 1, 2, 8, FUNCTIONS[2:])):
        root = field.element(inner).sqrt()
        if root is not None and (root * times + plus).sqrt() is not None:
            angles += [(sp.pi * k / n, names) for k in range(1, n // 4 + 1) if 4 * k != n]
    for g in field.generators:
        if isinstance(g, Cosine):
            angles += [(sp.pi * k / g.n, FUNCTIONS) for k in range(1, min(g.n // 4, MOST_ANGLES) + 1)]
    found = []
    for angle, names in angles:
        for name in names:
            function = name(angle, evaluate=False)
            try:
                value = field.element(function)
            except BadInput:  # a sine that needs more than the field's cosines
                continue
            found.append((value, value.inverse(), function))
    return tuple(found)
