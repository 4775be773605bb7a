"""Closed forms of the roots of polynomials in one letter: expressions in the given letters.

Of all functions u of the letter in which the equation has degree 1, 2 or is u^n = e, the one wins whose
solution is the cheapest to read (`simlab.exact.price`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import flint
import sympy as sp

from simlab.errors import BadInput
from simlab.exact import ball
from simlab.exact.angular import Function, Relation, functions, relation
from simlab.exact.assumption import condition
from simlab.exact.direction import angles_at
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.exact.generators import HalfTangent
from simlab.exact.isolation import PROOF_BITS, Place, element_ball, is_zero
from simlab.exact.polynomial import coefficients
from simlab.exact.price import price
from simlab.exact.unknown import Problem, Unknown

Poly = Any  # flint.fmpz_mpoly
Ball = Any  # flint.arb

BITS = (64, 128, 256, PROOF_BITS)  # to tell the roots of one equation in u apart
TRIED = 4  # solved relations that are written out to be compared
MOST_TERMS = 400  # of a relation that is solved or written


@dataclass(frozen=True)
class ClosedForm:
    """A root: exact expression or None, equation left = right, elements taken as positive."""

    exact: Any | None
    equation: tuple[Any, Any]
    assumptions: tuple[Element, ...] = ()


@dataclass(frozen=True)
class _Solved:
    """u^power = value, an element."""

    relation: Relation
    power: int
    value: Element
    conditions: tuple[Element, ...]

    def equation(self, symbol: Any) -> tuple[Any, Any]:
        return self.relation.function.of(symbol) ** self.power, textbook(self.value)


class ClosedForms:
    """Finds the closed forms of one problem's roots."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._relations: dict[tuple[str, bool], list[Relation]] = {}
        self._unsolved: dict[str, tuple[Any, Any]] = {}

    def of(self, place: Place) -> ClosedForm:
        """The closed form of a root, or the simplest equation for it."""
        symbol = place.unknown.generator.symbol
        known = self._known(place)
        solved = self._solved(place)
        if known is not None:
            if solved is None or known.free_symbols or known == 0:
                return ClosedForm(known, (symbol, known))
            return ClosedForm(known, solved.equation(symbol))
        if solved is None:
            return ClosedForm(None, self._unsolved_equation(place))
        exact = _letter(solved) if not place.unknown.is_angle else _angle(solved, place)
        if exact is None:
            return ClosedForm(None, solved.equation(symbol))
        equation = (symbol, exact) if not place.unknown.is_angle and solved.power == 1 else None
        return ClosedForm(
            exact, equation or solved.equation(symbol), tuple(self._assumptions(solved, place.unknown))
        )

    def _known(self, place: Place) -> Any | None:
        """The exact end of the range that the root is, or the angle like pi/6 or beta/2 that it is proved to be."""
        if place.exact is not None:
            return place.exact
        if not place.unknown.is_angle:
            return None
        given = self.problem.given
        letters = [
            g.symbol for g in given.generators if isinstance(g, HalfTangent) and g.symbol.is_Symbol
        ]
        parts = [self.problem.coefficient(c) for c in coefficients(place.poly, place.unknown.variable)]
        for angle in angles_at(place.value(BITS[1]), letters, given.values):
            with flint.ctx.workprec(BITS[1]):
                here = {s: given.values[s.name] for s in angle.free_symbols}
                if not place.value(BITS[1]).overlaps(ball.constant(angle.subs(here, simultaneous=True))):
                    continue
            t = sp.tan(angle / (2 * place.unknown.denominator), evaluate=False)
            if angle == 0 or is_zero([part.expr() for part in parts], t):
                if angle != 0 or parts[0].is_zero:
                    return angle
        return None

    # equations in a function of the letter

    def relations(self, place: Place, rare: bool = False) -> list[Relation]:
        """The equations in functions of the letter, the simplest first."""
        key = str(place.poly), rare
        if key not in self._relations:
            tried = (relation(place.poly, place.unknown, f) for f in functions(place.unknown, rare))
            found = [one for one in tried if one is not None]
            self._relations[key] = sorted(found, key=lambda r: (r.degree, r.terms))
        return self._relations[key]

    def _solved(self, place: Place) -> _Solved | None:
        symbol = place.unknown.generator.symbol
        for rare in (False, True) if place.unknown.is_angle else (False,):
            solved: list[_Solved] = []
            for candidate in self.relations(place, rare):
                if candidate.terms <= MOST_TERMS and len(solved) < TRIED:
                    one = self._solve(candidate, place)
                    if one is not None and (place.unknown.is_angle or one.power != 2):
                        solved.append(one)
            if solved:
                plain = [one for one in solved if one.power <= 2] or solved
                return min(plain, key=lambda one: sum(map(price, one.equation(symbol))))
        return None

    def _solve(self, relation: Relation, place: Place) -> _Solved | None:
        """The relation solved for a power of u: the solution that belongs to the root."""
        parts = [self.problem.coefficient(part) for part in relation.parts]
        stride = next(k for k, part in enumerate(parts) if k and not part.is_zero)
        if any(k % stride and not part.is_zero for k, part in enumerate(parts)):
            stride = 1
        parts = parts[::stride]
        if not 2 <= len(parts) <= 3:
            return None
        power = stride
        values = [(-parts[0] / parts[1], ())] if len(parts) == 2 else list(_quadratic(parts))
        chosen = self._matching(values, relation.function, power, place)
        if chosen is None:
            return None
        value, conditions = chosen
        if power % 2 == 0:  # u = +-sqrt(u^2)
            conditions = (*conditions, value)
            roots = []
            while power % 2 == 0:
                field, value = value.field.with_root(value)
                power //= 2
            roots = [(value, conditions), (-value, conditions)] if power % 2 else []
            chosen = self._matching(roots, relation.function, power, place)
            if chosen is None:
                return None
            value, conditions = chosen
        return _Solved(relation, power, value, tuple(conditions))

    def _matching(
        self,
        values: Sequence[tuple[Element, tuple[Element, ...]]],
        function: Function,
        power: int,
        place: Place,
    ) -> tuple[Element, tuple[Element, ...]] | None:
        """The one of several values of u^power that belongs to the root, told by balls."""
        left = list(values)
        for bits in BITS:
            with flint.ctx.workprec(bits):
                u = _value(function, place, bits)
                if not u.is_finite():
                    return None
                here = u ** flint.fmpz(power)
                left = [pair for pair in left if element_ball(pair[0], bits).overlaps(here)]
                if len(left) <= 1:
                    break
        return left[0] if left else None

    # where no closed form is known

    def _unsolved_equation(self, place: Place) -> tuple[Any, Any]:
        """The cheapest equation: in one function of the letter, or in sines and cosines of multiples."""
        key = str(place.poly)
        if key not in self._unsolved:
            self._unsolved[key] = min(
                self._equations(place), key=lambda sides: price(sides[0]) + price(sides[1])
            )
        return self._unsolved[key]

    def _equations(self, place: Place) -> Iterator[tuple[Any, Any]]:
        symbol = place.unknown.generator.symbol
        simplest = self.relations(place)[0]
        u = simplest.function.of(symbol)
        parts = [self.problem.coefficient(part) for part in simplest.parts]
        yield sp.Add(*(sp.Mul(textbook(part), u**k) for k, part in enumerate(parts))), sp.S.Zero
        if place.unknown.is_angle:
            ctx = self.problem.ctx
            plain = Field(ctx.names(), self.problem.plain, self.problem.field.values)
            t = ctx.gen(place.unknown.variable)
            degree = int(place.poly.degrees()[place.unknown.variable])
            whole = plain.fraction(place.poly, (1 + t * t) ** ((degree + 1) // 2))
            yield _balanced(textbook(whole))

    # what has to hold

    def _assumptions(self, solved: _Solved, unknown: Unknown) -> Iterator[Element]:
        """The discriminant, what keeps the root in its range, and what decided signs of square roots."""
        given, value = self.problem.given, solved.value
        signs = [*solved.conditions, *self._margins(solved, unknown)]
        noted = [a for a in value.field.assumptions if a not in given.assumptions]
        yield from noted
        for element in signs:
            if element.sign() > 0:
                doubtful = condition(element)
                if doubtful is not None and not any(doubtful == other for other in noted):
                    noted.append(doubtful)
                    yield doubtful

    def _margins(self, solved: _Solved, unknown: Unknown) -> Iterator[Element]:
        """value - bound and bound - value, where the function is monotonic between the ends of the range."""
        function = solved.relation.function
        low, high = function.multiple * unknown.low, function.multiple * unknown.high
        if function.kind is None:
            ends = [(unknown.low, 1), (unknown.high, -1)]
        elif function.kind is sp.cos:
            falls = bool(low >= 0 and high <= sp.pi)
            ends = [(sp.cos(high), 1), (sp.cos(low), -1)] if falls else [(-sp.S.One, 1), (sp.S.One, -1)]
        else:
            quarter = sp.pi / 2
            rises = bool(low >= -quarter and high <= quarter)
            if function.kind is sp.sin:
                ends = [(sp.sin(low), 1), (sp.sin(high), -1)] if rises else [(-sp.S.One, 1), (sp.S.One, -1)]
            else:
                ends = [(sp.tan(low), 1), (sp.tan(high), -1)] if rises else []
        for end, side in ends:
            if end.is_finite and end.is_Rational:
                bound = end**solved.power
                yield (solved.value - bound) * side


def _quadratic(parts: Sequence[Element]) -> Iterator[tuple[Element, tuple[Element, ...]]]:
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


def _value(function: Function, place: Place, bits: int) -> Ball:
    """The ball of a function at a root."""
    t = place.variable(bits)
    above, below = (flint.arb_poly(whole)(t) for whole in (function.above, function.below))
    return above / below


def _letter(solved: _Solved) -> Any:
    """(value)^(1/power), of the sign of the value."""
    if solved.power == 1:
        return textbook(solved.value)
    if solved.value.sign() < 0:
        return -(textbook(-solved.value) ** sp.Rational(1, solved.power))
    return textbook(solved.value) ** sp.Rational(1, solved.power)


def _angle(solved: _Solved, place: Place) -> Any | None:
    """The angle of the right branch: cos x = e, x = +-acos(e) + 2*k*pi; k is proved by a ball."""
    function, sign = solved.relation.function, solved.value.sign()
    if sign == 0:
        return None
    size = textbook(solved.value * sign) ** sp.Rational(1, solved.power)
    bits = BITS[1]
    with flint.ctx.workprec(bits):
        pi = flint.arb.pi()
        value = (element_ball(solved.value, bits) * sign) ** (flint.arb(1) / solved.power)
        times = place.value(bits) * ball.rational(function.multiple)
        if function.kind is sp.tan:
            inner, outer = sp.atan(size, evaluate=False), value.atan()
            forms = [(sp.S.Zero, sign, 1)]  # start [pi], sign of the inverse function, period [pi]
        elif function.kind is sp.sin:
            inner, outer = sp.asin(size, evaluate=False), value.asin()
            forms = [(sp.S.Zero, sign, 2), (sp.S.One, -sign, 2)]
        else:
            inner, outer = sp.acos(size, evaluate=False), value.acos()
            start = sp.S.Zero if sign > 0 else sp.S.One
            forms = [(start, 1, 2), (start, -1, 2)]
        for start, side, period in forms:
            turns = ((times - outer * side) / pi - int(start)) / period
            k = turns.unique_fmpz()
            if k is not None:
                whole = start + int(k) * period
                return (whole * sp.pi) / function.multiple + side * inner / function.multiple
    return None


def _balanced(expr: Any) -> tuple[Any, Any]:
    """expr = 0 with the terms that have a minus on the right."""
    numerator = sp.fraction(expr)[0] if not expr.is_Add else expr
    terms = sp.Add.make_args(numerator)
    right = [term for term in terms if term.as_coeff_Mul()[0].is_negative]
    left = [term for term in terms if term not in right]
    return (sp.Add(*left), sp.Add(*(-term for term in right))) if left else (sp.Add(*(-t for t in right)), sp.S.Zero)
