"""Ends of parts of a letter's range: where something changes, and where the range itself ends."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.closed import ClosedForm
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.generators import HalfTangent
from simlab.exact.halfturn import half_turns_within
from simlab.exact.solving import Solution, solutions

DIGITS = 40  # of a number such as sqrt(2) or pi/3 that bounds a range, when trials are placed


@dataclass(frozen=True)
class End:
    """Where a stretch ends, and whether that value belongs to it.

    `is_bound`: the range itself ends there. `in_force` are the inequalities in force there, by number,
    that are not in force beside it.
    """

    solution: Solution
    low: Fraction
    high: Fraction
    in_force: frozenset[int] = frozenset()
    belongs: bool = True
    is_bound: bool = False

    @property
    def number(self) -> Any:
        """The value as a sympy number: exactly if the range ends there, else near it."""
        if self.is_bound:
            (exact,) = self.solution.exact.values()
            return exact
        middle = (self.low + self.high) / 2
        return sp.Rational(middle.numerator, middle.denominator)


def in_order(ends: Iterable[End], letter: str, low: End, high: End | None) -> list[End]:
    """Those ends that lie between two others, in order, each once and in its best form."""
    found: list[End] = []
    for end in sorted(ends, key=lambda end: end.low):
        if end.low <= low.high or (high is not None and end.high >= high.low):
            continue
        if not found or found[-1].high < end.low:
            found.append(end)
        elif found[-1].solution.exact[letter] is None:
            found[-1] = end
    return found


def zeros(element: Element, letter: str, within: tuple[Any, Any]) -> list[End]:
    """Where an element is zero, between two numbers; nowhere if it is so for every value of the letter."""
    try:
        found = solutions([element.numerator], {letter: within})
    except BadInput:
        return []
    return [End(solution, solution.low[letter], solution.high[letter]) for solution in found]


def joined(ends: Sequence[End], holds: Sequence[bool]) -> Iterator[tuple[End, End | None]]:
    """The stretches that hold: each gap between two ends that does, joined over ends that belong.

    holds : of each gap, and of what follows the last end if there is one more
    """
    start: End | None = None
    for i, end in enumerate(ends):
        before, after = i > 0 and holds[i - 1], i < len(holds) and holds[i]
        if end.belongs and before and after:
            continue
        if start is not None:
            yield start, end
        elif end.belongs and not after:
            yield end, end
        start = end if after else None
    if start is not None:
        yield start, None


def half_turns(field: Field, letter: str, low: End, high: End | None) -> list[End]:
    """Where an angle letter's tan(u/2) changes from oo to -oo, and with it the sign of any element may."""
    return [
        replace(bound(letter, value), is_bound=False)
        for generator in field.generators
        if isinstance(generator, HalfTangent) and generator.contains(letter) and high is not None
        for value in half_turns_within(generator, low.number, high.number)
    ]


def bound(letter: str, at: Any) -> End:
    """An end of the range, a sympy number: exactly where it is a fraction, else between two close ones."""
    exact = sp.sympify(at)
    number, width = exact, Fraction(0)
    if not exact.is_Rational:
        number, width = sp.Rational(str(exact.evalf(DIGITS))), Fraction(1, 10 ** (DIGITS - 5))
    value = Fraction(int(number.p), int(number.q))
    low, high = value - width, value + width
    form = ClosedForm(exact, (sp.Symbol(letter), exact))
    solution = Solution({letter: low}, {letter: high}, {letter: form})
    return End(solution, low, high, is_bound=True)
