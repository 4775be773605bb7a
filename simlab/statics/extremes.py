"""What an answer tends to as an angle or a length goes as far as it can, and where it has no bound."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from typing import Any

import sympy as sp

from simlab.exact.crossing import Crossing, crossing, factors, in_sines
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import LENGTH, NUMBER, Quantity
from simlab.results.extremes import Extreme
from simlab.results.statics import Statics
from simlab.statics.validity import FIGURES, RIGHT_ANGLE, at, in_books_form, is_acute, is_nothing

NEAR = Fraction(1, 10**6)  # of the way back from an end: where signs just before it are looked at
END_OF_HALF_ANGLE = {0: 0, 1: RIGHT_ANGLE}  # t = tan(x/2) and x


def extremes(statics: Statics) -> tuple[Extreme, ...]:
    """The limits of every answer at both ends of each acute angle, and where it grows without limit.

    An end is 0 or 90 degrees, 0 or no limit for a length, or a pole of the answer on the way there, found
    where a factor below the bar is linear in the letter or in its sine and cosine. Ends that the frame
    cannot reach, since a member falls out or an answer turns its sign before, are left out; so are finite
    limits of answers in a length.
    """
    if statics.verdict != "determined" or statics.only_here or statics.found:
        return ()  # of a shape that was found it is not known how far it exists
    limits = []
    for words, answer in statics.answers.items():
        for name in statics.frame.symbols:
            if name in answer.names and _varies(name, statics.values):
                limits += list(_Letter(statics, words, answer, name).limits())
    return tuple(limits)


def _varies(name: Name, values: Values) -> bool:
    value = values[name]
    return value.dim == LENGTH or (
        value.dim == NUMBER and bool(value.expr.has(sp.pi)) and is_acute(value.expr)
    )


class _Letter:
    """One answer as a function of one of its letters."""

    def __init__(self, statics: Statics, asked: str, answer: Quantity, name: Name) -> None:
        self.statics = statics
        self.asked = asked
        self.dim = answer.dim
        self.name = name
        self.values = statics.values
        self.letter = next(s for s in answer.expr.free_symbols if str(s) == name)
        self.is_angle = self.values[name].dim == NUMBER
        self.answer = answer.expr
        self.squared = any(
            p.exp == sp.S.Half and p.base.has(self.letter) for p in answer.expr.atoms(sp.Pow)
        )
        self.expr = answer.expr**2 if self.squared else answer.expr
        self.sign = sp.sign(at(answer.expr, self.values))

    def limits(self) -> Iterator[Extreme]:
        """The limit on either side of the value shown; none of an arctangent or the like."""
        if self.answer.has(sp.atan, sp.asin, sp.acos):
            return
        poles = sorted(self._poles(), key=lambda pole: sp.N(pole[0], FIGURES))
        shown = sp.N(self.values[self.name].expr, FIGURES)
        below = [pole for pole in poles if sp.N(pole[0], FIGURES) < shown]
        above = [pole for pole in poles if sp.N(pole[0], FIGURES) > shown]
        for end, pole in ((0, below[-1:]), (1, above[:1])):
            if pole:
                yield self._at_pole(*pole[0])
            else:
                yield from self._at_end(end)

    def _poles(self) -> Iterator[tuple[Any, Crossing]]:
        """Where a factor below the bar is 0 between the ends, and how a book says it."""
        for factor in factors(self.expr)[1]:
            found = crossing(factor, self.letter) if factor.has(self.letter) else None
            if found is None:
                continue
            known = {s: self.values[str(s)].expr for s in found.right.free_symbols}
            place = self._inverse(found.left, found.right.subs(known))
            if place is not None:
                yield place, replace(found, right=in_books_form(found.right, self.values))

    def _inverse(self, left: Any, right: Any) -> Any | None:
        """The value of the letter where left = right, exactly, if it is between the ends."""
        if not self.is_angle:
            return right if sp.N(right, FIGURES) > 0 else None
        inverse = {sp.tan: sp.atan, sp.sin: sp.asin, sp.cos: sp.acos}.get(left.func)
        place = None if inverse is None else inverse(right)
        return place if place is not None and place.is_real and is_acute(place) else None

    def _at_pole(self, place: Any, pole: Crossing) -> Extreme:
        symbol = self.statics.frame.symbols[self.name]
        low, high = (None if end is None else sp.N(end.expr, FIGURES) for end in (symbol.low, symbol.high))
        is_limited = low is not None or high is not None
        inside = (
            is_limited
            and (low is None or low <= sp.N(place, FIGURES))
            and (high is None or sp.N(place, FIGURES) <= high)
        )
        right = Quantity(pole.right, LENGTH if pole.left == self.letter else NUMBER)
        flat = _is_flat(self.statics.frame, self.values, self.name, place)
        return Extreme(self.asked, Quantity(pole.left, right.dim), right, None, flat, bool(inside))

    def _at_end(self, end: int) -> Iterator[Extreme]:
        """The limit at the lower (0) or upper (1) end, if the frame can come near it."""
        if end and not self.is_angle:
            return  # nobody asks of rods without end
        x = sp.Dummy("x", positive=True)
        above, below = self._fraction(x)
        place: Any = END_OF_HALF_ANGLE[end] if self.is_angle else 0
        if not self._is_reached(place):
            return
        top, bottom = (sp.simplify(part.subs(x, end if self.is_angle else 0)) for part in (above, below))
        is_infinite = bottom == 0
        value = None if is_infinite else top / bottom
        if not is_infinite and not self.is_angle:
            return
        if value is not None:
            value = Quantity(
                in_books_form(self.sign * sp.sqrt(value) if self.squared else value, self.values),
                self.dim,
            )
        flat = self.is_angle and is_infinite and _is_flat(self.statics.frame, self.values, self.name, place)
        left = Quantity(self.letter, self.values[self.name].dim)
        yield Extreme(self.asked, left, Quantity(sp.sympify(place)), value, flat, False)

    def _fraction(self, x: Any) -> tuple[Any, Any]:
        """The answer (or its square) over a bar, in x: the length, or the tangent of half the angle."""
        expr = in_sines(self.expr)
        if self.is_angle:
            square = 1 + x**2
            put = {sp.sin(self.letter): 2 * x / square, sp.cos(self.letter): (1 - x**2) / square}
            expr = expr.subs(put, simultaneous=True)
        else:
            expr = expr.subs(self.letter, x)
        above, below = sp.fraction(sp.cancel(sp.together(expr)))
        return above, below

    def _is_reached(self, place: Any) -> bool:
        """Whether every member still acts its own way, and the answer has its sign, just before an end."""
        shown = self.values[self.name].expr
        near = place + (shown - place) * sp.Rational(1, NEAR.denominator)
        values = {**self.values, self.name: Quantity(near, self.values[self.name].dim)}
        if sp.sign(at(self.answer, values)) == -self.sign:
            return False
        spare = [at(condition.positive.expr, values) for condition in self.statics.case.holds]
        return all(value.is_real and value >= 0 for value in spare)


def _is_flat(frame: Frame, values: Values, name: Name, place: Any) -> bool:
    """Whether two rods on one pin lie in line where the letter has come to its end."""
    here = {**values, name: Quantity(sp.sympify(place))}
    for joint in frame.joints.values():
        rods = [frame.bodies[body] for body in joint.bodies if body in frame.bodies]
        for one, other in combinations([rod for rod in rods if rod.kind == "rod"], 2):
            (ax, ay), (bx, by) = (
                (end[0] - start[0], end[1] - start[1]) for start, end in (one.outline, other.outline)
            )
            sizes = (ax * ax + ay * ay) * (bx * bx + by * by)
            if is_nothing((ax * by - ay * bx).expr, here) and not is_nothing(sizes.expr, here):
                return True
    return False
