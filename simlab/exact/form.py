"""The form of an exact result that a textbook would print.

parity -> subfield -> factors -> every way of writing each -> the cheapest that is provably equal
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction as Ratio
from functools import lru_cache
from itertools import islice
from math import inf
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.element import Element
from simlab.exact.facing import faced, under_one_root
from simlab.exact.generators import Cosine, Letter, Root
from simlab.exact.number import by_cosines, number_forms
from simlab.exact.parts import by_powers, separate
from simlab.exact.polynomial import Poly, degrees, put
from simlab.exact.price import price
from simlab.exact.radical import is_number, scale, square
from simlab.exact.words import product
from simlab.exact.writer import Writer

MOST_TERMS = 1500  # above and below the bar; a longer element is printed as it is, in half angles
MOST_CHECKS = 8  # forms that are converted back; beyond it something else is wrong
MOST_VARIED = 3  # forms that are written in other ways too
MOST_FRONTS = 2  # forms of a number in front, and of what follows it, that are tried
MOST_INVERTED_TERMS = 12  # an element of more terms is not inverted to be written
MOST_POWERS = 3  # of 2cos(pi/n) in a form with powers of it
MOST_COSINES = 8  # in a form with cosines of multiples
HALF = Ratio(1, 2)


def textbook(element: Element) -> Any:
    """The cheapest form that is proved equal to `element`, as a sympy expression that prints as it stands.

    Do not let sympy rework it: it would spread numbers over brackets and turn cot(pi/10) into surds.

    >>> from simlab.exact.field import Field
    >>> w, u = sp.symbols("W theta")
    >>> field = Field.containing([w, sp.sin(u)], {})
    >>> textbook(field.element(w * sp.sin(u) / sp.cos(u) * 2))
    2*W*tan(theta)
    """
    return Forms.over(element.field).best(element)


class Forms:
    """The forms of the elements of one field."""

    def __init__(self, field: Any) -> None:
        generators = field.generators
        self.field = field
        self.letters = [i for i, g in enumerate(generators) if isinstance(g, Letter)]
        self.roots = [i for i, g in enumerate(generators) if isinstance(g, Root | Cosine)]
        self.numbers = [i for i in self.roots if is_number(generators[i])]
        self.scales = {i: scale(generators[i]) for i in self.roots if i not in self.numbers}
        self.atoms = tuple(self._atom(i, g) for i, g in enumerate(generators))
        self.writer = Writer(field.names, generators, self.atoms)

    @staticmethod
    @lru_cache(maxsize=64)
    def over(field: Any) -> Forms:
        """The forms over a field, remembered."""
        return Forms(field)

    def _atom(self, i: int, generator: Any) -> Any:
        """A generator in words; a root without half angles, if that can be."""
        if not isinstance(generator, Root):
            return generator.expr
        radicand = generator.radicand
        if i in self.numbers:
            return sp.sqrt(sp.expand(radicand.expr()))
        one = radicand.field.ctx.constant(1)
        return sp.sqrt(textbook(radicand / radicand.field.fraction((self.scales[i] or one) ** 2, one)))

    def best(self, element: Element, whole: bool = False) -> Any:
        """The cheapest form that converts back to the element; `whole`: not as a sum of separate parts."""
        if len(element.num) + len(element.den) > MOST_TERMS:
            return element.expr()
        for form in islice(_cheapest(self._varied(_cheapest(self._all(element, whole)))), MOST_CHECKS):
            try:
                back = self.field.element(form)
            except BadInput:
                continue
            if back == element:
                return form
            if back == -element:  # a form made by taking a root
                return product(sp.S.NegativeOne, [(form, sp.S.One)])
        return element.expr()

    def _varied(self, forms: Sequence[Any]) -> Iterator[Any]:
        """The forms, and the cheapest also with brackets turned, and with a root and a bracket in one."""
        values = self.field.values
        for k, form in enumerate(forms):
            yield form
            if k < MOST_VARIED and form.free_symbols:
                turned = faced(form, values)
                yield turned
                yield from under_one_root(turned, values)

    def _all(self, element: Element, whole: bool) -> Iterator[Any]:
        used = [i for i, degree in enumerate(degrees(element.num)) if degree]
        if element.is_zero:
            yield sp.S.Zero
        elif element.den.is_constant() and all(i in self.numbers for i in used):
            yield from number_forms(element, self.atoms)
        else:
            forms = list(self._in_one(element))
            yield from forms
            if not whole:
                limit = min(map(price, forms), default=inf)
                yield from self._sums(separate(element, self.letters), limit)
                yield from self._inverted(element)

    # in one piece

    def _in_one(self, element: Element) -> Iterator[Any]:
        """Forms with the roots as letters, as number and root in front, or as a sum by roots."""
        num, den = element.num, element.den
        used = [i for i in self.roots if degrees(num)[i]]
        scaled = self._scaled(num, [i for i in used if i in self.scales])
        if scaled is not None and all(degrees(num)[i] <= MOST_POWERS for i in used):
            yield from self.writer.forms((scaled, den))
        for i in used:
            if isinstance(self.field.generators[i], Cosine):
                yield from self._by_cosines(element, i)
        by_root = by_powers(num, list(self.scales))
        if len(by_root) > 1:
            parts = [self.field.fraction(root * part, den) for root, part in by_root]
            yield from self._sums([parts], inf)
        elif used:
            yield from self._as_product(*by_root[0], den)

    def _scaled(self, num: Poly, roots: Sequence[int]) -> Poly | None:
        """The polynomial with roots that have no half angles, if all can be so."""
        for i in roots:
            factor = self.scales[i]
            if factor is None:
                return None
            num = put(num, i, self.field.ctx.gen(i) * factor.project_to_context(self.field.ctx))
        return num

    def _by_cosines(self, element: Element, i: int) -> Iterator[Any]:
        """A sum of few cosines of multiples of pi/n, each with the best form of what stands before it."""
        parts = by_cosines(element.num, i, self.field.generators[i])
        if 1 < len(parts) <= MOST_COSINES:
            fronts = (self.best(self.field.fraction(part, element.den), whole=True) for _, part in parts)
            cosines = (cosine for cosine, _ in parts)
            yield sp.Add(
                *(
                    product(sp.S.One, [(f, sp.S.One), (c, sp.S.One)])
                    for f, c in zip(fronts, cosines, strict=True)
                )
            )

    def _as_product(self, root: Poly, num: Poly, den: Poly) -> Iterator[Any]:
        """Forms of number * root * fraction; all under one root where the number has one term."""
        surds = by_powers(num, self.numbers)
        first, below = (poly / int(poly.content()) for poly in (surds[0][1], den))
        lead = first.leading_coefficient()
        if any(part * lead != first * part.leading_coefficient() for _, part in surds):
            return  # a*sqrt(2) + b: no number in front
        number = self.field.zero
        for surd, part in surds:
            front = surd * (part.leading_coefficient() / lead)
            number += self.field.fraction(front, self.field.ctx.constant(int(den.content())))
        under = square(self.field, number.num * root) if len(surds) == 1 else None
        if under is not None:
            yield from self.writer.forms((first**2 * under, (below * number.den) ** 2), HALF)
            return
        under = square(self.field, root)
        if under is None:
            return
        if under.is_one():
            forms = self.writer.forms((first, below))
        else:
            forms = self.writer.forms((first**2 * under, below**2), HALF)
        fronts = _cheapest(number_forms(number, self.atoms))[:MOST_FRONTS]
        for form in _cheapest(forms)[:MOST_FRONTS]:
            yield from (product(sp.S.One, [(front, sp.S.One), (form, sp.S.One)]) for front in fronts)

    # in several pieces

    def _sums(self, splits: Iterable[Sequence[Element]], limit: float) -> Iterator[Any]:
        """The sums of the best forms of parts, where they cost no more than the limit."""
        for parts in splits:
            total = sp.S.Zero
            for part in parts:
                total += self.best(part, whole=True)
                if price(total) > limit:
                    break
            else:
                yield total

    def _inverted(self, element: Element) -> Iterator[Any]:
        """1/(a + b*sqrt(2)) from its inverse: in the field it has no root below the bar."""
        has_root = any(degrees(element.num)[i] for i in self.roots)
        if has_root and not element.den.is_constant() and 1 < len(element.num) <= MOST_INVERTED_TERMS:
            yield sp.Pow(self.best(1 / element, whole=True), sp.S.NegativeOne)


def _cheapest(forms: Iterable[Any]) -> list[Any]:
    """The forms by price; of equally cheap ones the first found comes first."""
    return sorted(dict.fromkeys(forms), key=price)
