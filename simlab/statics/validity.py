"""For which values a member acts its own way: the condition positive > 0 solved for one letter."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.crossing import Crossing, crossing, factors
from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.exact.price import price
from simlab.frame.model import Name, Values
from simlab.frame.quantity import NUMBER, Quantity
from simlab.frame.question import LONG
from simlab.results.extremes import Validity
from simlab.results.statics import Condition, Statics

MANY_FIGURES = 50
NOT_NOTHING = sp.Rational(1, 10**25)  # found values are known to 30 figures
RIGHT_ANGLE = sp.pi / 2
FIGURES = 30  # to which signs at values are decided here: far beyond what any question gives


def validity(statics: Statics) -> tuple[Validity, ...]:
    """For each one-sided member or contact, for which values it acts its own way.

    Letters are taken as positive, and angles as acute, as far as the values shown are.
    """
    frame = statics.frame
    members = {*frame.links, *frame.contacts}
    return tuple(solved(c, statics.values) for c in statics.case.holds if c.about in members)


def solved(condition: Condition, values: Values) -> Validity:
    """One condition, solved where just one factor can change its sign."""
    about, words = condition.about, condition.words.partition(" (here")[0]
    expr = condition.positive.expr
    holds = at(expr, values) > 0
    if not expr.free_symbols:
        return Validity(about, words, "always" if holds else "never")
    if _has_roots(expr) or at(expr, values) == 0:
        return Validity(about, condition.words)
    above, below = factors(expr)
    doubtful = [factor for factor in (*above, *below) if not is_positive(factor, values)]
    if not doubtful:
        return Validity(about, words, "always" if holds else "never")
    if len(doubtful) > 1:
        return Validity(about, words)
    return _solved(about, words, doubtful[0], holds, values)


def _solved(about: Name, words: str, factor: Any, holds: bool, values: Values) -> Validity:
    """The condition that a factor has the sign that it has at the values, or not, for its best letter."""
    for found in _crossings(factor, values):
        where = None
        if not is_positive(found.slope, values):
            where = solved(Condition(_positive_here(found.slope, values), about, ""), values)
            if where.relation not in ("<", ">") or where.where is not None:
                continue
        left = Quantity(found.left, values[str(found.letter)].dim if found.left == found.letter else NUMBER)
        is_below = (at(found.left - found.right, values) < 0) == holds
        right = Quantity(found.right, left.dim)
        return Validity(about, words, "<" if is_below else ">", left, right, where)
    return Validity(about, words)


def _positive_here(expr: Any, values: Values) -> Quantity:
    return Quantity(-expr if at(expr, values) < 0 else expr)


def _has_roots(expr: Any) -> bool:
    """Whether letters stand under a root."""
    return any(p.exp == sp.S.Half and p.base.free_symbols for p in expr.atoms(sp.Pow))


def _crossings(factor: Any, values: Values) -> list[Crossing]:
    """The letters for which a factor can be solved, those first by whose slope one may always divide."""
    places = []
    for letter in sorted(factor.free_symbols, key=str):
        found = crossing(factor, letter)
        if found is not None and at(found.right, values) > 0:
            places.append(replace(found, right=in_books_form(found.right, values)))
    return sorted(places, key=lambda c: (not is_positive(c.slope, values), price(c.left) + price(c.right)))


def in_books_form(expr: Any, values: Values) -> Any:
    """The textbook form of an expression, or the expression itself where it has no place in a field."""
    try:
        field = Field.containing([expr], {name: value.expr for name, value in values.items()})
        return textbook(field.element(expr))
    except BadInput:
        return expr


def is_positive(factor: Any, values: Values) -> bool:
    """Whether a factor has one sign for all positive letters and acute angles."""
    swaps: dict[Any, Any] = {}
    for letter in factor.free_symbols:
        shown = values[str(letter)].expr
        if sp.N(shown, FIGURES) > 0:
            swaps[letter] = sp.Dummy(positive=True)
            if is_acute(shown):
                swaps[sp.sin(letter)] = sp.Dummy(positive=True)
                swaps[sp.cos(letter)] = sp.Dummy(positive=True)
    put = factor.subs(swaps, simultaneous=True)
    return bool(put.is_positive) or bool(put.is_negative)


def is_acute(angle: Any) -> bool:
    """Whether an angle, as a number, is between 0 and a right angle."""
    return bool(0 < sp.N(angle, FIGURES) < sp.N(RIGHT_ANGLE, FIGURES))


def at(expr: Any, values: Values) -> Any:
    """An expression at the values, to FIGURES figures."""
    known = {s: values[str(s)].expr for s in expr.free_symbols}
    return sp.N(expr.subs(known, simultaneous=True), FIGURES)


def is_nothing(expr: Any, values: Values) -> bool:
    """Whether an expression is 0 at the values, exactly; one that has no value there is not.

    With a value that is itself given to so many figures only, it is 0 if it is nothing to as many.
    """
    known = {s: values[str(s)].expr for s in expr.free_symbols if str(s) in values}
    put = expr.subs(known, simultaneous=True)
    if put.has(sp.zoo, sp.nan, sp.oo):
        return False
    number = sp.N(put, MANY_FIGURES)
    if number.is_number and abs(number) > NOT_NOTHING:
        return False  # what is nothing is not told from zero by figures, but the rest is
    if any(value.is_Rational and value.q > LONG for value in known.values()):
        return True
    try:
        return Field.containing([put], {}).element(put).is_zero
    except BadInput:
        return False
