"""Angles of exactly half a turn, where t = tan(u/2) has no value: equations there, as t grows without end.

s^2 = d(t) ~ d_n t^n   =>   s ~ sqrt(d_n) * t^(n/2)
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.element import Element, image
from simlab.exact.field import Field
from simlab.exact.generators import HalfTangent, Root
from simlab.exact.polynomial import terms

Poly = Any  # flint.fmpz_mpoly
Case = tuple[str, Any, list[Element], dict[str, tuple[Any, Any]]]


def half_turns(equations: Sequence[Element], found: Mapping[str, tuple[Any, Any]]) -> Iterator[Case]:
    """(letter, its value, equations there, ranges of the other letters) for all half turns in ranges."""
    field = equations[0].field
    for i, generator in enumerate(field.generators):
        if isinstance(generator, HalfTangent) and str(generator.symbol) in found:
            name = str(generator.symbol)
            values = half_turns_within(generator, *found[name])
            if not values:
                continue
            smaller = _at_half_turn(equations, i)
            if smaller is None:
                continue
            rest = {other: ends for other, ends in found.items() if other != name}
            for value in values:
                yield name, value, smaller, rest


def half_turns_within(generator: HalfTangent, low: Any, high: Any) -> list[Any]:
    """The values of the angle letter, from one number to another, at which t is infinite."""
    turn = sp.pi * generator.denominator
    low, high = sp.sympify(low), sp.sympify(high)
    return [k * turn for k in range(_odd(low / turn), int(sp.floor(high / turn)) + 1, 2)]


def _odd(number: Any) -> int:
    """The least odd whole number that is not less."""
    least = int(sp.ceiling(number))
    return least if least % 2 else least + 1


def _at_half_turn(equations: Sequence[Element], i: int) -> list[Element] | None:
    """What has to be zero there; None if an equation has no finite value, or a root no real one."""
    field = equations[0].field
    kept = [k for k in range(field.depth, len(field.generators)) if k != i]
    base = Field([field.names[k] for k in kept], [field.generators[k] for k in kept], field.values)
    weights = [Fraction(0)] * len(field.generators)
    weights[i] = Fraction(1)
    at = [base.generator(n) for n in range(len(kept))]
    at.insert(i - field.depth, base.one)
    smaller = base
    for k in reversed(range(field.depth)):
        generator = field.generators[k]
        if not isinstance(generator, Root):
            return None
        lead, weight = _lead(generator.radicand.num, weights[k + 1 :], at, smaller)
        try:
            smaller, value = smaller.with_root(lead)
        except BadInput:
            return None
        weights[k] = weight / 2
        at = [value, *at]
    left = []
    for equation in equations:
        above, height = _lead(equation.num, weights, at, smaller)
        _, depth = _lead(equation.den, weights, at, smaller)
        if height > depth or above.is_zero:
            return None
        if height == depth:
            left.append(above)
    return left


def _lead(
    poly: Poly, weights: Sequence[Fraction], at: Sequence[Element], field: Field
) -> tuple[Element, Fraction]:
    """The coefficient of the highest power of t, and that power."""
    parts: dict[Fraction, dict[tuple[int, ...], int]] = {}
    for powers, number in terms(poly):
        height = sum((p * w for p, w in zip(powers, weights, strict=True)), Fraction(0))
        parts.setdefault(height, {})[powers] = number
    top = max(parts)
    return image(poly.context().from_dict(parts[top]), [field.lift(x) for x in at], field), top
