"""Other ways to write a product: its brackets positive at the values, a root and what divides it in one.

-W/(h - 2*r) = W/(2*r - h),      sqrt(a*b)/b = sqrt(a/b)
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import sympy as sp

from simlab.exact.survey import at_values
from simlab.exact.words import negated, product

HALF = sp.Rational(1, 2)
FIGURES = 15  # in which a bracket is seen to be negative
LONGEST = 60  # [operations] of a radicand that is factored for this


def faced(expr: Any, values: Mapping[str, Any]) -> Any:
    """The expression with every bracket of its product turned that is negative at the values."""
    factors = [factor.as_base_exp() for factor in sp.Mul.make_args(expr)]
    turned = [
        (base, power)
        for base, power in factors
        if base.is_Add and power.is_Integer and power % 2 and _is_negative(base, values)
    ]
    if not turned:
        return expr
    kept = [sp.Pow(base, power) for base, power in factors if (base, power) not in turned]
    brackets = [sp.Pow(negated(base), power) for base, power in turned]
    return sp.Mul(sp.S.NegativeOne ** len(turned), *kept, *brackets)


def _is_negative(base: Any, values: Mapping[str, Any]) -> bool:
    return bool(sp.N(at_values(base, values), FIGURES) < 0)


def under_one_root(expr: Any, values: Mapping[str, Any]) -> Iterator[Any]:
    """sqrt(a*b)/b as sqrt(a/b), for brackets and letters below the bar that divide what the root is of."""
    factors = [factor.as_base_exp() for factor in sp.Mul.make_args(expr)]
    roots = [base for base, power in factors if power == HALF and sp.count_ops(base) < LONGEST]
    for root in roots:
        for below, power in factors:
            if power != -1 or not below.free_symbols or _is_negative(below, values):
                continue
            inside = sp.factor(root / below**2)
            if sp.count_ops(inside) < sp.count_ops(root / below):
                rest = [f for f in factors if f not in ((root, HALF), (below, power))]
                yield product(sp.S.One, [*rest, (inside, HALF)])
