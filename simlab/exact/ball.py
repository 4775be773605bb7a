"""FLINT balls: numbers with a proved bound on their error, used for signs only."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flint
import sympy as sp

from simlab.errors import BadInput

Ball = Any  # flint.arb
FIRST_BITS = 64  # decides nearly every sign
DOUBTFUL_BITS = 256  # what they do not decide is zero as a rule; a value to 30 figures is decided before
LAST_BITS = 1 << 16  # a non-zero number as near to zero as 2^-65536 does not come from a drawing

_FUNCTIONS: dict[Any, Callable[[Ball], Ball]] = {
    sp.sin: lambda x: x.sin(),
    sp.cos: lambda x: x.cos(),
    sp.tan: lambda x: x.tan(),
    sp.cot: lambda x: x.cot(),
    sp.sec: lambda x: x.sec(),
    sp.csc: lambda x: x.csc(),
    sp.asin: lambda x: x.asin(),
    sp.acos: lambda x: x.acos(),
    sp.atan: lambda x: x.atan(),
    sp.Abs: abs,
}


def rational(number: Any) -> Ball:
    """The ball of a sympy Rational at FLINT's present precision."""
    return flint.arb(flint.fmpq(int(number.p), int(number.q)))


def constant(expr: Any) -> Ball:
    """The ball of a sympy expression without letters, at FLINT's present precision.

    >>> bool(constant(sp.sqrt(2) - 1) > 0)
    True
    """
    if expr.is_Rational:
        return rational(expr)
    if expr is sp.pi:
        return flint.arb.pi()
    if expr.is_Add:
        return sum((constant(term) for term in expr.args), flint.arb(0))
    if expr.is_Mul:
        product = flint.arb(1)
        for factor in expr.args:
            product *= constant(factor)
        return product
    if expr.is_Pow and expr.exp.is_Rational:
        base = constant(expr.base)
        power = flint.fmpz(int(expr.exp.p))
        return base**power if expr.exp.q == 1 else base ** rational(expr.exp)
    if expr.func in _FUNCTIONS:
        return _FUNCTIONS[expr.func](constant(expr.args[0]))
    raise BadInput(f"{expr} is not an exact number that can be placed on the line of numbers")


def polynomial(poly: Any, at: Sequence[Ball]) -> Ball:
    """The value of an fmpz_mpoly where its generators take the values `at`."""
    value = flint.arb(0)
    for powers, coefficient in poly.terms():
        term = flint.arb(coefficient)
        for power, ball in zip(powers, at, strict=True):
            if power:
                term *= ball ** flint.fmpz(power)
        value += term
    return value
