"""Equations as they are written and worked: terms on two sides, values put in, divided through, solved."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from math import gcd, lcm
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.element import Element
from simlab.exact.price import price
from simlab.exact.words import product
from simlab.frame.model import Name
from simlab.frame.quantity import NUMBER, Quantity
from simlab.results.working import Equation, Line, Product, Term, Words
from simlab.working.balances import Balances

ONE = sp.S.One


@dataclass(frozen=True)
class Item:
    """One term of a sum that is zero: a coefficient, with its sign, times a letter (None: no letter)."""

    letter: Name | None
    coefficient: Element


class Algebra:
    """Writes sums that are zero as lines of algebra; every line follows from the one before."""

    def __init__(self, balances: Balances) -> None:
        self.balances = balances
        self.field = balances.frame.field

    # as it is first written

    def raw(self, equation: Equation, target: Name | None) -> Line:
        """The equation with its arms, the letter that is sought on the left."""
        sides: dict[int, list[Product]] = {1: [], -1: []}
        first = next((t.side for t in equation.terms if t.action.letter == target), 1)
        alike: dict[tuple[int, Any, Any], list[Term]] = {}
        for term in sorted(equation.terms, key=lambda t: t.action.letter != target):
            alike.setdefault((term.side, term.action.size.expr, term.arm.expr), []).append(term)
        for (side, _, _), terms in alike.items():
            sides[side * first].append(_product(terms[0], len(terms), equation.method == "moments"))
        return Line(tuple(sides[1]), tuple(sides[-1]))

    # as sums

    def put_in(self, items: Iterable[Item], values: Mapping[Name, Element]) -> list[Item]:
        """The same with the values of letters put in; what is then nothing is left out."""
        found = []
        for item in items:
            if item.letter is None or item.letter not in values:
                found.append(item)
            elif not values[item.letter].is_zero:
                found.append(Item(None, item.coefficient * values[item.letter]))
        return found

    def collected(self, items: Iterable[Item]) -> list[Item]:
        """The same with one term for each letter, and one without; none that is nothing."""
        sums: dict[Name | None, Element] = {}
        for item in items:
            known = sums.get(item.letter)
            sums[item.letter] = item.coefficient if known is None else known + item.coefficient
        return [Item(letter, total) for letter, total in sums.items() if not total.is_zero]

    def divided(self, items: Sequence[Item], target: Name | None = None) -> list[Item]:
        """The same without what all terms have in common, and without fractions, if it is then shorter.

        Not where the letter sought stands alone already.
        """
        if any(i.letter is not None and i.letter == target and i.coefficient**2 == 1 for i in items):
            return list(items)
        forms = [self.balances.printed(item.coefficient).expr for item in items]
        common = common_factor(forms)
        if common == 1 or not items:
            return list(items)
        try:
            factor = self.field.element(common)
        except BadInput:
            return list(items)
        if factor.sign() < 0:
            factor = -factor
        shorter = [Item(item.letter, item.coefficient / factor) for item in items]
        before = sum(map(price, forms))
        after = sum(price(self.balances.printed(item.coefficient).expr) for item in shorter)
        return shorter if after <= before else list(items)

    def spread(self, items: Sequence[Item]) -> list[Item]:
        """A sum divided through; one product that is zero is spread into its terms first."""
        if len(items) != 1:
            return self.divided(items)
        form = sp.expand_mul(self.balances.printed(items[0].coefficient).expr)
        try:
            terms = [Item(None, self.field.element(term)) for term in sp.Add.make_args(form)]
        except BadInput:
            return list(items)
        return self.divided(terms) if len(terms) > 1 else list(items)

    def gathered(self, items: Sequence[Item]) -> list[Item]:
        """A sum without letters of unknowns as one term on each side of its equation, divided through."""
        zero = self.field.zero
        sides = [
            sum((i.coefficient for i in items if i.coefficient.sign() * sign > 0), zero) for sign in (1, -1)
        ]
        return self.divided([Item(None, side) for side in sides if not side.is_zero])

    def cancelled(self, items: Sequence[Item]) -> list[Item]:
        """A sum without letters, with what stands on both sides of its equation taken away."""
        total: dict[Any, Any] = {}
        count = 0
        for item in items:
            sign = item.coefficient.sign() or 1
            form = self.balances.printed(item.coefficient * sign).expr
            count += len(sp.Add.make_args(form))
            for term in sp.Add.make_args(sp.expand_mul(form)):
                number, rest = term.as_coeff_Mul()
                total[rest] = total.get(rest, 0) + number * sign
        left = [number * rest for rest, number in total.items() if number]
        if not left or len(left) > count or (len(left) == count and count > 2):
            return list(items)
        try:
            shorter = [Item(None, self.field.element(term)) for term in left]
        except BadInput:
            return list(items)
        return self.divided(self.gathered(shorter))

    def line(
        self, items: Sequence[Item], target: Name | None = None, label: str = "", note: Words = ()
    ) -> Line:
        """A sum that is zero as a line: positive terms against negative ones, the letter sought left."""
        first = next((i.coefficient.sign() for i in items if target and i.letter == target), 0)
        if not first:
            first = next((i.coefficient.sign() for i in items if i.letter), 1) or 1
        sides: dict[int, list[Product]] = {1: [], -1: []}
        for item in sorted(items, key=lambda i: (i.letter != target, i.letter is None)):
            sign = item.coefficient.sign() or 1
            sides[sign * first].append(self._written(item, sign))
        return Line(tuple(sides[1]), tuple(sides[-1]), label, note)

    def standing(self, items: Sequence[Item], label: str = "", note: Words = ()) -> Line:
        """A sum that is zero with all letters on the left and the rest on the right."""
        letters = [item for item in items if item.letter is not None]
        first = (letters[0].coefficient.sign() if letters else 1) or 1
        left = [self._written(item, item.coefficient.sign() or 1, first) for item in letters]
        rest = [item for item in items if item.letter is None]
        right = [self._written(item, item.coefficient.sign() or 1, -first) for item in rest]
        return Line(tuple(left), tuple(right), label, note)

    def _written(self, item: Item, sign: int, turn: int = 0) -> Product:
        """A term without its sign; with `turn`, its sign times that is put in front."""
        size = self.balances.printed(item.coefficient * sign).expr
        negative = bool(turn) and sign * turn < 0
        if item.letter is None:
            return Product((Quantity(size),), negative)
        letter = sp.Symbol(item.letter, real=True)
        return Product((Quantity(product(ONE, [(size, ONE), (letter, ONE)])),), negative)

    def worked(self, line: Line, values: Mapping[Name, Element]) -> tuple[Line, Any]:
        """A line with every letter's value put in, term by term, and the factor that was divided out."""
        letters = {sp.Symbol(name, real=True): value for name, value in values.items()}
        sides = []
        for side in (line.left, line.right):
            sides.append([self._worth(product, letters) for product in side])
        worths = [worth for side in sides for worth in side]
        forms = [self.balances.printed(worth * (worth.sign() or 1)).expr for worth in worths]
        common = common_factor([form for form in forms if form != 0] or [ONE])
        if not common.free_symbols and not any(form.free_symbols for form in forms):
            common = ONE  # numbers of newtons stay as they are
        factor = self.field.element(common)
        factor = factor * (factor.sign() or 1)
        left, right = (
            tuple(self._written(Item(None, worth / factor), worth.sign() or 1, 1) for worth in side)
            for side in sides
        )
        return Line(left, right), common

    def _worth(self, product: Product, letters: Mapping[Any, Element]) -> Element:
        """What a product comes to."""
        total = self.field.one * (-1 if product.negative else 1)
        for factor in product.factors:
            used = [symbol for symbol in factor.expr.free_symbols if symbol in letters]
            rest = factor.expr
            for symbol in used:
                total, rest = total * letters[symbol], rest / symbol
            total = total * self.field.element(rest)
        return total

    def is_line(self, name: Name, value: Element) -> Line:
        """letter = value."""
        right = () if value.is_zero else (Product((self.balances.printed(value),)),)
        return Line((Product((Quantity(sp.Symbol(name, real=True)),)),), right)


def _product(term: Term, count: int, with_arm: bool) -> Product:
    """What a force (or a few alike) brings, as it is first written."""
    size, arm = term.action.size, term.arm
    if count > 1:
        size = Quantity(product(sp.Integer(count), [(size.expr, ONE)]), size.dim)
    if with_arm and not term.action.turning:
        return Product((size, arm))
    if arm.expr == 1:
        return Product((size,))
    return Product((Quantity(product(ONE, [(size.expr, ONE), (arm.expr, ONE)]), NUMBER),))


def common_factor(forms: Sequence[Any]) -> Any:
    """What all products have in common: whole numbers, letters, sines; fractions are cleared.

    >>> a, w = sp.symbols("a W", positive=True)
    >>> common_factor([8 * a * w, 14 * a, sp.Rational(3, 2) * a * w**2])
    a/2
    """
    numbers, powers = [], []
    for form in forms:
        number, some = ONE, dict[Any, Any]()
        for base, exponent in _powers(form):
            if base.is_Rational and exponent.is_Integer:
                number *= base**exponent
            else:
                some[base] = some.get(base, 0) + exponent
        numbers.append(abs(number))
        powers.append(some)
    if not forms or any(number == 0 for number in numbers):
        return ONE
    top = reduce(gcd, (int(number.p) for number in numbers))
    bottom = reduce(lcm, (int(number.q) for number in numbers))
    total = sp.Rational(top, bottom)
    for base in dict.fromkeys(base for some in powers for base in some):
        least = min(some.get(base, 0) for some in powers)
        if least:
            total = total * base**least
    return total


def _powers(form: Any) -> Iterable[tuple[Any, Any]]:
    for factor in sp.Mul.make_args(form):
        base, exponent = factor.as_base_exp()
        if factor.is_Mul and factor is not form:  # a product that was kept as it is written
            yield from _powers(factor)
        elif exponent.is_Rational:
            yield base, exponent
        else:
            yield factor, ONE


def same(a: Line, b: Line) -> bool:
    """Whether two lines say the same, in whatever order."""
    return _read(a) == _read(b)


def _read(line: Line) -> tuple[tuple[str, ...], ...]:
    """The terms of both sides, in one order."""
    return tuple(
        tuple(sorted(str(term) for p in side for term in sp.Add.make_args(p.value.expr)))
        for side in (line.left, line.right)
    )
