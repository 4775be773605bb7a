"""Equations in one function of a letter solved for the letter: u^n = e, and from there x = acos(e).

Degree 1 and 2 in a power of u are solved, the square roots being adjoined to the field; balls tell which
of several solutions belongs to a root that has been isolated.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import flint
import sympy as sp

from simlab.errors import BadInput
from simlab.exact import ball
from simlab.exact.angular import Function, Relation
from simlab.exact.assumption import condition
from simlab.exact.element import Element
from simlab.exact.form import textbook
from simlab.exact.isolation import PROOF_BITS, Place, element_ball
from simlab.exact.unknown import Problem, Unknown

Ball = Any  # flint.arb
Value = tuple[Element, tuple[Element, ...]]  # of a power of u, with what has to be positive for it

BITS = (64, 128, 256, PROOF_BITS)  # to tell the solutions of one equation apart
BRANCH_BITS = 128  # to tell which branch of an inverse function it is


@dataclass(frozen=True)
class Inverted:
    """u^power = value: odd powers where a root of that degree is left, 1 as a rule."""

    function: Function
    power: int
    value: Element
    conditions: tuple[Element, ...]

    def equation(self, symbol: Any) -> tuple[Any, Any]:
        """u^power = value in textbook form."""
        return self.function.of(symbol) ** self.power, textbook(self.value)

    def letter(self, place: Place) -> Any | None:
        """The letter's own value as an expression; None where no branch could be proved."""
        sign = self.value.sign()
        size = textbook(self.value * (sign or 1)) ** sp.Rational(1, self.power)
        if self.function.kind is None:
            return -size if sign < 0 else size
        return self._angle(place, size, sign) if sign else None

    def _angle(self, place: Place, size: Any, sign: int) -> Any | None:
        """The angle of the right branch: cos x = e, x = +-acos(e) + 2*k*pi; a ball proves sign and k."""
        kind, multiple = self.function.kind, self.function.multiple
        with flint.ctx.workprec(BRANCH_BITS):
            e = (element_ball(self.value, BRANCH_BITS) * sign) ** (flint.arb(1) / self.power)
            x = place.value(BRANCH_BITS) * ball.rational(multiple)
            if kind is sp.tan:
                inner, outer = sp.atan(size, evaluate=False), e.atan()
                branches = [(0, sign, 1)]  # start [pi], sign of the inverse function, period [pi]
            elif kind is sp.sin:
                inner, outer = sp.asin(size, evaluate=False), e.asin()
                branches = [(0, sign, 2), (1, -sign, 2)]
            else:
                inner, outer = sp.acos(size, evaluate=False), e.acos()
                branches = [(0 if sign > 0 else 1, 1, 2), (0 if sign > 0 else 1, -1, 2)]
            for start, side, period in branches:
                k = (((x - outer * side) / flint.arb.pi() - start) / period).unique_fmpz()
                if k is not None:
                    turns = start + int(k) * period
                    return turns * sp.pi / multiple + side * inner / multiple
        return None

    def assumptions(self, problem: Problem, unknown: Unknown) -> list[Element]:
        """The discriminant, what keeps the root in its range, and what decided signs of square roots."""
        noted = [a for a in self.value.field.assumptions if a not in problem.given.assumptions]
        for element in (*self.conditions, *self._margins(unknown)):
            if element.sign() > 0:
                doubtful = condition(element)
                if doubtful is not None and not any(doubtful == other for other in noted):
                    noted.append(doubtful)
        return noted

    def _margins(self, unknown: Unknown) -> Iterator[Element]:
        """value - bound and bound - value, where the function is monotonic over the range."""
        low, high = self.function.multiple * unknown.low, self.function.multiple * unknown.high
        kind, quarter = self.function.kind, sp.pi / 2
        rises = bool(low >= -quarter and high <= quarter)
        ends: list[tuple[Any, int]] = [(-sp.S.One, 1), (sp.S.One, -1)]
        if kind is None:
            ends = [(low, 1), (high, -1)]
        elif kind is sp.cos and low >= 0 and high <= sp.pi:
            ends = [(sp.cos(high), 1), (sp.cos(low), -1)]
        elif kind is not sp.cos and rises:
            ends = [(kind(low), 1), (kind(high), -1)]
        elif kind is sp.tan:
            ends = []
        for end, side in ends:
            if end.is_Rational:
                yield (self.value - end**self.power) * side


def inverted(problem: Problem, relation: Relation, place: Place) -> Inverted | None:
    """An equation in u solved for u, or an odd power of it: the solution that belongs to the root.

    None for an equation of another kind.
    """
    parts = [problem.coefficient(part) for part in relation.parts]
    power = next(k for k, part in enumerate(parts) if k and not part.is_zero)
    if any(k % power and not part.is_zero for k, part in enumerate(parts)):
        power = 1
    parts = parts[::power]
    if not 2 <= len(parts) <= 3:
        return None
    values = [(-parts[0] / parts[1], ())] if len(parts) == 2 else list(_quadratic(parts))
    chosen = _matching(values, relation.function, power, place)
    while chosen is not None and power % 2 == 0 and _has_value(chosen[0]):  # u = +-sqrt(u^2)
        value, conditions = chosen
        _, root = value.field.with_root(value)
        power //= 2
        held = (*conditions, value)
        chosen = _matching([(root, held), (-root, held)], relation.function, power, place)
    if chosen is None or not _has_value(chosen[0]):
        return None
    return Inverted(relation.function, power, *chosen)


def _has_value(element: Element) -> bool:
    """Whether an element does not divide by zero at the values."""
    return element.denominator.sign() != 0


def _quadratic(parts: Sequence[Element]) -> Iterator[Value]:
    """The real solutions of parts_0 + parts_1*u + parts_2*u^2 = 0, with the discriminant."""
    c, b, a = parts
    discriminant = b * b - a * c * 4
    try:
        field, root = discriminant.field.with_root(discriminant)
    except BadInput:  # not real
        return
    held = () if field is discriminant.field else (discriminant,)
    for side in (1, -1):
        yield (root * side - b) / (a * 2), held


def _matching(values: Sequence[Value], function: Function, power: int, place: Place) -> Value | None:
    """The one of several values of u^power that belongs to the root, told by balls."""
    left = list(values)
    for bits in BITS:
        with flint.ctx.workprec(bits):
            t = place.variable(bits)
            u = flint.arb_poly(function.above)(t) / flint.arb_poly(function.below)(t)
            if not u.is_finite():
                return None
            here = u ** flint.fmpz(power)
            left = [value for value in left if element_ball(value[0], bits).overlaps(here)]
        if len(left) <= 1:
            break
    return left[0] if left else None
