"""Polynomials in words: the cheapest way to write one with brackets.

v*s^2 + w*s^2 + v  ->  v + (v + w)*s^2
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import sympy as sp

from simlab.exact.polynomial import Poly, degrees, factorised, terms
from simlab.exact.price import price

Power = tuple[Any, Any]  # base (a sympy expression), exponent (a sympy Rational)

TRIES = ((6, 5), (12, 2), (24, 1))  # (terms of a sum at most, generators by whose powers it is grouped)


def product(number: Any, powers: Iterable[Power]) -> Any:
    """number * base^exponent * ... with brackets kept: sympy would spread a number over a sum.

    A minus in front goes into a bracket that has a minus already: -2*(a - b) is 2*(b - a).

    >>> a, b = sp.symbols("a b")
    >>> product(sp.Rational(-1, 2), [(a - b, sp.S.One)])
    (-a + b)/2
    """
    factors: list[Any] = []
    for base, exponent in _separate(powers):
        if base.is_Add and exponent.is_odd and _minuses(base) * 2 > len(base.args):
            base, number = negated(base), -number
        if base.is_Rational and exponent.is_Integer:
            number *= base**exponent
        elif exponent:
            factors.append(sp.Pow(base, exponent))
    if number.is_negative:
        for k, factor in enumerate(factors):
            base, exponent = factor.as_base_exp()
            if base.is_Add and exponent.is_odd and _minuses(negated(base)) < len(base.args):
                factors[k], number = sp.Pow(negated(base), exponent), -number
                break
    if number == 0:
        return sp.S.Zero
    if len(factors) == 1 and factors[0].is_Add and number != 1:
        return sp.Mul(number, factors[0], evaluate=False)
    return sp.Mul(number, *factors)


def _separate(powers: Iterable[Power]) -> Iterator[Power]:
    """The same with products as bases taken apart."""
    for base, exponent in powers:
        if base.is_Mul and exponent.is_Integer:
            yield from _separate((b, e * exponent) for b, e in (x.as_base_exp() for x in base.args))
        else:
            yield base, exponent


def negated(total: Any) -> Any:
    """The sum with every sign turned."""
    return sp.Add(*(product(sp.S.NegativeOne, [(term, sp.S.One)]) for term in total.args))


def turned(form: Any) -> Any:
    """The form with its sign turned, otherwise as it stands; a minus goes into a bracket that has one.

    >>> m = sp.Symbol("mu")
    >>> turned(m * (2 * m - 1))
    mu*(1 - 2*mu)
    """
    return negated(form) if form.is_Add else product(sp.S.NegativeOne, [(form, sp.S.One)])


def _minuses(total: Any) -> int:
    return sum(bool(term.as_coeff_Mul()[0].is_negative) for term in total.args)


class Words:
    """Writes polynomials whose generators stand for the expressions `atoms`, in the order of ctx.gens()."""

    def __init__(self, atoms: Sequence[Any]) -> None:
        self.atoms = tuple(atoms)
        self._known: dict[str, Any] = {}

    def polynomial(self, poly: Poly) -> Any:
        """A polynomial as a product of its factors, each written the cheapest way."""
        number, factors = factorised(poly)
        return product(
            sp.Integer(int(number)), [(self.factor(base), sp.Integer(int(e))) for base, e in factors]
        )

    def factor(self, poly: Poly) -> Any:
        """An irreducible polynomial as a sum: term by term, or by the powers of one generator."""
        key = str(poly)
        if key not in self._known:
            self._known[key] = min(self._ways(poly), key=price)
        return self._known[key]

    def sum(self, poly: Poly) -> Any:
        """A polynomial term by term."""
        return sp.Add(*(sp.Mul(number, self._monomial(powers)) for powers, number in terms(poly)))

    def _ways(self, poly: Poly) -> Iterator[Any]:
        yield self.sum(poly)
        sums = terms(poly)
        tries = next((n for most, n in TRIES if len(sums) <= most), 0) if len(sums) > 2 else 0
        shared = {i: sum(bool(powers[i]) for powers, _ in sums) for i, d in enumerate(degrees(poly)) if d}
        for i in sorted(shared, key=lambda i: -shared[i])[:tries]:
            groups: dict[int, dict[tuple[int, ...], int]] = {}
            for powers, number in sums:
                rest = (*powers[:i], 0, *powers[i + 1 :])
                groups.setdefault(powers[i], {})[rest] = number
            if len(groups) < len(sums):
                yield self._grouped(poly.context(), i, groups)

    def _grouped(self, ctx: Any, i: int, groups: dict[int, dict[tuple[int, ...], int]]) -> Any:
        """sum of (coefficient in the other generators) * atom_i^power."""
        total = []
        for power, group in groups.items():
            coefficient = self.polynomial(ctx.from_dict(group))
            number, rest = coefficient.as_coeff_Mul()
            total.append(product(number, [(rest, sp.S.One), (self.atoms[i], sp.Integer(power))]))
        return sp.Add(*total)

    def _monomial(self, powers: Sequence[int]) -> Any:
        return sp.Mul(*(atom**p for atom, p in zip(self.atoms, powers, strict=True) if p))
