"""Polynomials in one letter each that vanish at every common zero of polynomials in several.

    p(x, y) = q(x, y) = 0   =>   resultant_y(p, q)(x) = 0

A product is zero where one of its factors is: every choice of irreducible factors is a case of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from simlab.exact.polynomial import degrees, factorised

Poly = Any  # flint.fmpz_mpoly
Case = tuple[Poly, ...]  # irreducible polynomials that vanish together

FEW = 3  # polynomials of which all pairs are eliminated; of more, each with the simplest


class Free(Exception):
    """No polynomial is left to determine a letter, whose variable is `variable`."""

    def __init__(self, variable: int) -> None:
        super().__init__(variable)
        self.variable = variable


class Eliminants:
    """Eliminates down to one variable at a time.

    variables : those of the letters to be found
    vanishes : whether a polynomial without letters to be found is zero at the given letters' values
    possible : whether a polynomial in one of the letters has a zero in the letter's range
    """

    def __init__(
        self, variables: Sequence[int], vanishes: Callable[[Poly], bool], possible: Callable[[Poly], bool]
    ) -> None:
        self.variables = tuple(variables)
        self._vanishes = vanishes
        self._possible = possible

    def used(self, poly: Poly) -> list[int]:
        """The variables of letters to be found that occur in a polynomial."""
        degree = degrees(poly)
        return [v for v in self.variables if degree[v]]

    def found(self, polys: Iterable[Poly]) -> dict[int, list[Poly]]:
        """By variable: irreducible polynomials in it, one of which is zero at every common zero.

        Raises Free where the polynomials determine a letter by no equation.
        """
        cases = self._cases((), polys)
        return {v: _different(f for case in cases for f in self._down_to(v, case)) for v in self.variables}

    def _cases(self, kept: Case, polys: Iterable[Poly]) -> list[Case]:
        """The choices of one factor of each polynomial, besides the factors that are kept anyhow."""
        cases: list[Case] = [_ordered(kept)]
        for poly in polys:
            factors = self._factors(poly)
            if factors is None:
                continue
            found: list[Case] = []
            for case in cases:
                if any(f == kept_one for f in factors for kept_one in case):
                    found.append(case)
                else:
                    found.extend(_ordered((*case, f)) for f in factors)
            cases = list({str(case): case for case in found}.values())
        return cases

    def _factors(self, poly: Poly) -> list[Poly] | None:
        """The irreducible factors that may be zero; None for a polynomial that is zero at the values."""
        if poly.is_zero():
            return None
        factors = []
        for factor, _ in factorised(poly)[1]:
            used = self.used(factor)
            if not used and self._vanishes(factor):
                return None
            if len(used) > 1 or (used and self._possible(factor)):
                factors.append(factor)
        return factors

    def _down_to(self, target: int, case: Case) -> list[Poly]:
        others = sorted(
            {v for poly in case for v in self.used(poly)} - {target},
            key=lambda v: sum(degrees(poly)[v] for poly in case),
        )
        if not others:
            alone = [poly for poly in case if self.used(poly) == [target]]
            if not alone:
                raise Free(target)
            return [min(alone, key=lambda poly: (degrees(poly)[target], len(poly)))]
        alone = [poly for poly in case if self.used(poly) == [target]]
        if alone:
            return self._down_to(target, tuple(alone))
        v = others[0]
        having = sorted((p for p in case if degrees(p)[v]), key=lambda p: (degrees(p)[v], len(p)))
        without = tuple(p for p in case if not degrees(p)[v])
        pairs = [
            (p, q) for i, p in enumerate(having) for q in having[i + 1 :] if i == 0 or len(having) <= FEW
        ]
        cases = self._cases(without, (p.resultant(q, v) for p, q in pairs))
        return _different(f for smaller in cases for f in self._down_to(target, smaller))


def _ordered(polys: Iterable[Poly]) -> Case:
    return tuple(sorted(_different(polys), key=str))


def _different(polys: Iterable[Poly]) -> list[Poly]:
    return list({str(poly): poly for poly in polys}.values())
