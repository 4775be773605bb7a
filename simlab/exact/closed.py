"""Closed forms of the roots of polynomials in one letter: expressions in the given letters.

Of all functions u of the letter in which the equation has degree 1, 2 or is u^n = e, the one wins whose
solution is the cheapest to read (`simlab.exact.price`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import sympy as sp

from simlab.exact.angular import Relation, functions, relation
from simlab.exact.direction import angles_at
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.exact.generators import HalfTangent
from simlab.exact.inversion import Inverted, inverted
from simlab.exact.isolation import Place, is_zero
from simlab.exact.polynomial import coefficients
from simlab.exact.price import price
from simlab.exact.unknown import Problem

TRIED = 4  # inverted equations that are written out to be compared
WRITTEN = 3  # equations without a closed form that are written out to be compared
MOST_TERMS = 400  # of an equation that is inverted
RECOGNISED_BITS = 128  # of an angle that is compared with known ones


@dataclass(frozen=True)
class ClosedForm:
    """A root: exact expression or None, equation left = right, elements taken as positive."""

    exact: Any | None
    equation: tuple[Any, Any]
    assumptions: tuple[Element, ...] = ()


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
        if known is not None and (known == 0 or known.free_symbols or not place.unknown.is_angle):
            return ClosedForm(known, (symbol, known))
        best = self._inverted(place)
        if known is not None:
            equation = None if best is None else best.equation(symbol)
            if equation is None or (equation[1] == 0 and equation[0] != sp.cos(symbol)):
                equation = symbol, known
            return ClosedForm(known, equation)
        if best is None:
            if place.exact is not None:  # at the values only
                return ClosedForm(place.exact, (symbol, place.exact))
            return ClosedForm(None, self._unsolved_equation(place))
        exact = best.letter(place)
        if exact is None:
            return ClosedForm(None, best.equation(symbol))
        plain = best.power == 1 and not place.unknown.is_angle
        equation = (symbol, exact) if plain else best.equation(symbol)
        return ClosedForm(exact, equation, tuple(best.assumptions(self.problem, place.unknown)))

    def _known(self, place: Place) -> Any | None:
        """The end of the range, or the angle like pi/6 or beta/2, that the root is proved to be."""
        elements = [self.problem.coefficient(c) for c in coefficients(place.poly, place.unknown.variable)]
        parts = [element.expr() for element in elements]
        if not place.unknown.is_angle:
            return place.exact if place.exact is not None and is_zero(parts, place.exact) else None
        given = self.problem.given
        letters = [g.symbol for g in given.generators if isinstance(g, HalfTangent) and g.symbol.is_Symbol]
        near = angles_at(place.value(RECOGNISED_BITS), letters, given.values)
        for angle in near if place.exact is None else (place.exact, *near):
            if is_zero(parts, sp.tan(angle / (2 * place.unknown.denominator), evaluate=False)):
                return angle
        return None

    def relations(self, place: Place, rare: bool = False) -> list[Relation]:
        """The equations in functions of the letter, the simplest first."""
        key = str(place.poly), rare
        if key not in self._relations:
            tried = (relation(place.poly, place.unknown, f) for f in functions(place.unknown, rare))
            found = [one for one in tried if one is not None]
            self._relations[key] = sorted(found, key=lambda r: (r.degree, r.terms))
        return self._relations[key]

    def _inverted(self, place: Place) -> Inverted | None:
        """The cheapest equation u^n = e; functions of 3*angle and angle/2 only where no other has one."""
        symbol = place.unknown.generator.symbol
        for rare in (False, True) if place.unknown.is_angle else (False,):
            solved: list[Inverted] = []
            for candidate in self.relations(place, rare):
                if candidate.terms <= MOST_TERMS and len(solved) < TRIED:
                    one = inverted(self.problem, candidate, place)
                    if one is not None:
                        solved.append(one)
            if solved:
                return min(solved, key=lambda one: (one.power, sum(map(price, one.equation(symbol)))))
        return None

    # where no closed form is known

    def _unsolved_equation(self, place: Place) -> tuple[Any, Any]:
        """The cheapest equation: in one function of the letter, or in sines and cosines of multiples."""
        key = str(place.poly)
        if key not in self._unsolved:
            self._unsolved[key] = min(self._equations(place), key=lambda sides: sum(map(price, sides)))
        return self._unsolved[key]

    def _equations(self, place: Place) -> Iterator[tuple[Any, Any]]:
        symbol = place.unknown.generator.symbol
        simplest = self.relations(place)
        for one in [r for r in simplest if r.degree == simplest[0].degree][:WRITTEN]:
            u = one.function.of(symbol)
            parts = [textbook(self.problem.coefficient(part)) for part in one.parts]
            yield sp.Add(*(sp.Mul(part, u**k) for k, part in enumerate(parts))), sp.S.Zero
        if place.unknown.is_angle:
            ctx, variable = self.problem.ctx, place.unknown.variable
            field = Field(ctx.names(), self.problem.below, self.problem.field.values)
            whole = (1 + ctx.gen(variable) ** 2) ** ((int(place.poly.degrees()[variable]) + 1) // 2)
            yield _balanced(textbook(field.fraction(place.poly, whole)))


def _balanced(expr: Any) -> tuple[Any, Any]:
    """expr = 0 with the terms that have a minus on the right."""
    terms = sp.Add.make_args(sp.fraction(expr)[0])
    right = [term for term in terms if term.as_coeff_Mul()[0].is_negative]
    left = [term for term in terms if term not in right]
    if not left:
        left, right = [-term for term in right], []
    return sp.Add(*left), sp.Add(*(-term for term in right))
