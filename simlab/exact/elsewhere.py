"""Elements in numbers where letters have other values than those at which their field decides signs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

import flint

from simlab.exact import ball
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.generators import Generator, HalfTangent, Letter, Root
from simlab.exact.solving import Solution
from simlab.exact.survey import value_of

BITS = 192  # of trials: what is not nothing is not so near to it
Point = Mapping[int, Sequence[ball.Ball]]  # by the field's depth, the balls of its generators


def number(element: Element, point: Point) -> ball.Ball:
    """An element at a point; not finite at a pole, or where a root in it is not real."""
    balls = point[element.field.depth]
    return ball.polynomial(element.num, balls) / ball.polynomial(element.den, balls)


def points(field: Field, values: Mapping[str, ball.Ball]) -> dict[int, tuple[ball.Ball, ...]]:
    """The balls of the generators of a field and of all narrower ones where some letters have other values.

    A root that is not real there is no number (its ball is not finite).
    """
    below = {} if field.narrower is None else points(field.narrower, values)
    inner = () if field.narrower is None else below[field.narrower.depth]
    own = field.generators[: len(field.generators) - len(inner)]
    return {**below, field.depth: (*(_ball(field, g, values, inner) for g in own), *inner)}


def _ball(
    field: Field, generator: Generator, values: Mapping[str, ball.Ball], inner: Sequence[ball.Ball]
) -> ball.Ball:
    match generator:
        case Root(radicand=radicand):
            return ball.polynomial(radicand.num, inner).sqrt()
        case HalfTangent(symbol=symbol, denominator=denominator) if str(symbol) in values:
            return (values[str(symbol)] / (2 * denominator)).tan()
        case Letter(name=name) if name in values:
            return values[name]
    return ball.constant(value_of(generator, field.values))


def between(low: Fraction, high: Fraction) -> ball.Ball:
    """The ball from one number to another."""
    middle, half = (low + high) / 2, (high - low) / 2
    return flint.arb(_rational(middle), _rational(half)) if half else flint.arb(_rational(middle))


def _rational(number: Fraction) -> Any:
    return flint.fmpq(number.numerator, number.denominator)


def signs_at(elements: Iterable[Element], values: Mapping[str, Any]) -> tuple[int, ...]:
    """The sign of each element where letters have values, sympy numbers; 0 where it is 0 or not real."""
    with flint.ctx.workprec(BITS):
        return _signs(elements, {name: ball.constant(value) for name, value in values.items()})


def signs_near(elements: Iterable[Element], solution: Solution) -> tuple[int, ...]:
    """The sign of each element at a solution; 0 where it is 0 or not real."""
    with flint.ctx.workprec(BITS):
        at = {name: between(low, solution.high[name]) for name, low in solution.low.items()}
        return _signs(elements, at)


def _signs(elements: Iterable[Element], at: Mapping[str, ball.Ball]) -> tuple[int, ...]:
    balls = [number(element, points(element.field, at)) for element in elements]
    return tuple(1 if value > 0 else -1 if value < 0 else 0 for value in balls)
