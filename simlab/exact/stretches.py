"""Where on the range of one letter a set of inequalities can hold together, with exact ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import flint
import sympy as sp

from simlab.exact.element import Element
from simlab.exact.generators import HalfTangent, Letter, Root
from simlab.exact.inequalities import BITS, Inequality, Trial, essential, points, together
from simlab.exact.solving import Solution, solutions

DIGITS = 40  # of a number such as sqrt(2) or pi/3 that bounds a range, when trials are placed


@dataclass(frozen=True)
class End:
    """Where a stretch ends: at a solution, or (None) where the range itself does or there is a pole.

    `in_force` are the inequalities in force there, by number.
    """

    solution: Solution | None
    low: Fraction
    high: Fraction
    in_force: frozenset[int] = frozenset()
    is_pole: bool = False


@dataclass(frozen=True)
class Stretch:
    """Values of the letter from one end to the other; `high` is None where the range has no upper end."""

    low: End
    high: End | None


def stretches(inequalities: Sequence[Inequality], letter: str, low: Any, high: Any) -> tuple[Stretch, ...]:
    """All stretches of low <= letter <= high (sympy numbers, high may be oo) on which some y satisfies all.

    Ends belong to them. A stretch may be a single value.
    """
    return tuple(_Range(inequalities, letter, low, high).stretches())


class _Range:
    """The special values on a range, and trials between them."""

    def __init__(self, inequalities: Sequence[Inequality], letter: str, low: Any, high: Any) -> None:
        self.inequalities = inequalities
        self.letter = letter
        self.within = {letter: (low, high)}
        self.field = max((e.field for e in self._entries()), key=lambda field: field.depth)
        self.unknowns = essential(inequalities, self.field)
        self.low = _end(low)
        self.high = None if high == sp.oo else _end(high)
        self.special = [end for end in self._special() if not self._is_bound(end)]

    def _entries(self) -> Iterator[Element]:
        for inequality in self.inequalities:
            yield inequality.constant
            yield from inequality.coefficients.values()

    def _is_bound(self, end: End) -> bool:
        """Whether a special value is an end of the range: it is the range then that ends there."""
        for bound in ("low", "high"):
            mine: End | None = getattr(self, bound)
            if mine is not None and end.low <= mine.high and mine.low <= end.high:
                setattr(self, bound, replace(mine, is_pole=mine.is_pole or end.is_pole))
                return True
        return False

    def _special(self) -> list[End]:
        """Every value at which they may begin or cease to hold together, in order, each once."""
        found = [
            End(solution, solution.low[self.letter], solution.high[self.letter])
            for value in self._determinants()
            for solution in solutions([value], self.within)
        ]
        found += [
            End(None, solution.low[self.letter], solution.high[self.letter], is_pole=True)
            for pole in self._poles()
            for solution in solutions([pole], self.within)
        ]
        merged: list[End] = []
        for end in sorted(found, key=lambda end: (end.low + end.high, end.solution is None)):
            if merged and end.low <= merged[-1].high and merged[-1].low <= end.high:
                better = min(merged[-1], end, key=self._rank)
                merged[-1] = replace(better, is_pole=end.is_pole or merged[-1].is_pole)
            else:
                merged.append(end)
        return merged

    def _rank(self, end: End) -> int:
        """Exact forms first, poles last."""
        if end.solution is None:
            return 2
        return 0 if end.solution.exact[self.letter] is not None else 1

    def _determinants(self) -> Iterator[Element]:
        seen = set()
        for _, value in together(self.inequalities, self.unknowns):
            one = value.field.one.num
            numerator = value.field.fraction(value.num, one)
            if str(value.num) not in seen and depends(numerator, self.letter):
                seen.add(str(value.num))
                yield numerator

    def _poles(self) -> Iterator[Element]:
        seen = set()
        for entry in self._entries():
            pole = entry.field.fraction(entry.den, entry.field.one.num)
            if str(entry.den) not in seen and depends(pole, self.letter):
                seen.add(str(entry.den))
                yield pole

    def trial(self, low: Fraction, high: Fraction) -> Trial:
        """The inequalities where the letter lies between two values."""
        middle, half = (low + high) / 2, (high - low) / 2
        value = flint.arb(_rational(middle), _rational(half)) if half else flint.arb(_rational(middle))
        return Trial(self.inequalities, self.unknowns, points(self.field, {self.letter: value}))

    def stretches(self) -> Iterator[Stretch]:
        """The gaps between special values that hold, joined where the values between them hold too."""
        with flint.ctx.workprec(BITS):
            ends = [self.low, *self.special, *([] if self.high is None else [self.high])]
            gaps = [self._holds_between(i, ends) for i in range(len(ends) - (self.high is not None))]
            at = [self._holds_at(end) for end in ends]
            start: End | None = None
            for i, end in enumerate(ends):
                after = i < len(gaps) and gaps[i]
                if start is None:
                    if not after and at[i]:
                        yield Stretch(self._marked(end), self._marked(end))
                    start = end if after else None
                elif not (after and (at[i] or end.is_pole)):
                    yield Stretch(self._marked(start), self._marked(end))
                    start = end if after else None
            if start is not None:
                yield Stretch(self._marked(start), None)

    def _holds_between(self, i: int, ends: Sequence[End]) -> bool:
        below = ends[i].high
        middle = (
            (below + ends[i + 1].low) / 2 if i + 1 < len(ends) else below + max(abs(below), Fraction(1))
        )
        return self.trial(middle, middle).holds

    def _holds_at(self, end: End) -> bool:
        return not end.is_pole and self.trial(end.low, end.high).holds

    def _marked(self, end: End) -> End:
        if end.solution is None:
            return end
        return End(end.solution, end.low, end.high, self.trial(end.low, end.high).in_force())


def depends(element: Element, letter: str) -> bool:
    """Whether an element changes with a letter."""
    return any(
        power and _has(generator, letter)
        for poly in (element.num, element.den)
        for power, generator in zip(poly.degrees(), element.field.generators, strict=True)
    )


def _has(generator: object, letter: str) -> bool:
    match generator:
        case Root(radicand=radicand):
            return depends(radicand, letter)
        case HalfTangent(symbol=symbol):
            return str(symbol) == letter
        case Letter(name=name):
            return name == letter
    return False


def _end(bound: Any) -> End:
    """An end of the range: exactly where it is a fraction, else between two close ones."""
    number = sp.sympify(bound)
    if number.is_Rational:
        exact = Fraction(int(number.p), int(number.q))
        return End(None, exact, exact)
    near = sp.Rational(str(number.evalf(DIGITS)))
    value, width = Fraction(int(near.p), int(near.q)), Fraction(1, 10 ** (DIGITS - 5))
    return End(None, value - width, value + width)


def _rational(number: Fraction) -> Any:
    return flint.fmpq(number.numerator, number.denominator)
