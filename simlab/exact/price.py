"""What an expression costs to read: the shortest form of an answer is the cheapest by these prices.

Common practice of textbooks, no source. They are in units of one letter; only differences count.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import sympy as sp

LETTER = 1.0
NUMBER = 0.3
BIT = 0.05  # each binary digit of a number: 2 is dearer than 1, and 8 than 4
FUNCTION = 2.0
RARER = {sp.cot: 0.1, sp.sec: 1.7, sp.csc: 1.7}  # on top of FUNCTION, for angles with letters
MULTIPLE = 0.7  # 2θ in place of θ, a fixed angle in degrees
SUM = 1.0  # each further term of α + β
HALF = 1.5  # θ/2 in place of θ
ROOT = 1.0
NESTED = 2.0  # a root of a sum of numbers
POWER = 0.8
BAR = 0.5  # of a fraction
ROOT_BELOW = 1.0  # a sum with a root in it below the bar, which a book would have cleared
STACKED = 1.0  # a fraction inside the brackets of a product
TERM = 0.7  # each term of a sum after the first
MINUS = 0.8  # in front of the whole
MIXED = 0.7  # tangents beside sines and cosines of one angle
MIXED_MULTIPLES = 1.5  # θ beside 2θ
SURD_MIXED = 1.5  # sqrt(5) beside tan 18°
CROSSED = 2.0  # tan α beside cot β

DECIMALS = 6  # the same numbers added in another order are the same price

_TANGENTS = (sp.tan, sp.cot)
_FUNCTIONS = (sp.sin, sp.cos, sp.tan, sp.cot, sp.sec, sp.csc)


def price(expr: Any) -> float:
    """The price of a whole expression, from a sympy expression as it is written (nothing is simplified).

    >>> a, b = sp.symbols("alpha beta")
    >>> price(2 * sp.tan(a)) < price(2 * sp.sin(a) / sp.cos(a))
    True
    >>> price(1 / (sp.cot(a) + sp.cot(b))) < price(sp.sin(a) * sp.sin(b) / sp.sin(a + b))
    True
    """
    minus = MINUS if expr.as_coeff_Mul()[0].is_negative else 0.0
    return round(_price(expr) + _mixing(expr) + minus, DECIMALS)


@lru_cache(maxsize=1 << 14)
def _price(expr: Any) -> float:
    if expr.is_Integer:
        return NUMBER + BIT * int(abs(expr)).bit_length()
    if expr.is_Mul or expr.is_Rational:
        return _product(expr)
    if expr.is_Add:
        return sum(map(_price, expr.args)) + TERM * (len(expr.args) - 1)
    if expr.is_Pow:
        return _power(expr)
    if isinstance(expr, _FUNCTIONS):
        rarer = RARER.get(expr.func, 0.0) if expr.free_symbols else 0.0
        return FUNCTION + rarer + _angle(expr.args[0])
    if expr.args:  # arctan and the like
        return FUNCTION + sum(map(_price, expr.args))
    return LETTER


def _product(expr: Any) -> float:
    total, below = 0.0, False
    for factor in sp.Mul.make_args(expr):
        if factor.is_Rational:
            p, q = abs(factor.p), factor.q
            total += _price(sp.Integer(p)) if p != 1 else 0.0
            total += _price(sp.Integer(q)) if q != 1 else 0.0
            below |= q != 1
        elif factor.is_Pow and factor.exp.is_Rational and factor.exp.is_negative:
            inverse = 1 / factor
            total += _price(inverse) + _stacked(inverse) + _rooted(inverse)
            below = True
        else:
            total += _price(factor) + _stacked(factor)
    return total + (BAR if below else 0.0)


def _stacked(factor: Any) -> float:
    """Fractions inside the brackets of one factor."""
    if not factor.is_Add:
        return 0.0
    return STACKED * sum(any(map(_is_below, sp.Mul.make_args(term))) for term in factor.args)


def _rooted(below: Any) -> float:
    """A sum with a root in it, below the bar."""
    terms = below.args if below.is_Add else ()
    roots = (f for term in terms for f in sp.Mul.make_args(term) if f.is_Pow and f.exp == sp.Rational(1, 2))
    return ROOT_BELOW if any(roots) else 0.0


def _is_below(factor: Any) -> bool:
    """Whether a factor stands below the bar, wholly or in part."""
    if factor.is_Rational:
        return bool(factor.q != 1)
    return bool(factor.is_Pow and factor.exp.is_negative)


def _power(expr: Any) -> float:
    base, exponent = expr.args
    if exponent == sp.Rational(1, 2):
        nested = base.is_Add and not base.free_symbols and not _functions(base)
        return ROOT + _price(base) + (NESTED if nested else 0.0)
    if exponent.is_negative:
        inverse = 1 / expr
        return BAR + NUMBER + _price(inverse) + _stacked(inverse) + _rooted(inverse)
    return POWER + _price(base)


def _angle(angle: Any) -> float:
    """What an angle costs beyond a plain letter."""
    total = SUM * (len(sp.Add.make_args(angle)) - 1)
    for term in sp.Add.make_args(angle):
        multiple, atom = term.as_coeff_Mul()
        if atom is sp.pi or abs(multiple) != 1:
            total += MULTIPLE if multiple.is_Integer or atom is sp.pi else HALF
    return total


@lru_cache(maxsize=1 << 14)
def _functions(expr: Any) -> frozenset[Any]:
    """The sines, cosines and tangents in an expression."""
    if isinstance(expr, _FUNCTIONS):
        return frozenset((expr,))
    return frozenset().union(*map(_functions, expr.args))


@lru_cache(maxsize=1 << 14)
def _has_surd(expr: Any) -> bool:
    """Whether the root of a number is in an expression."""
    if expr.is_Pow and expr.exp.is_Rational and not expr.exp.is_Integer and expr.is_number:
        return True
    return any(map(_has_surd, expr.args))


def _mixing(expr: Any) -> float:
    """What a reader pays for different functions of one angle in one expression."""
    kinds: dict[Any, set[bool]] = {}
    multiples: dict[Any, set[Any]] = {}
    functions = _functions(expr)
    crossed = {function.func for function in functions if isinstance(function, _TANGENTS)}
    for function in functions:
        multiple, atom = function.args[0].as_coeff_Mul()
        if atom.is_Symbol:
            kinds.setdefault(atom, set()).add(isinstance(function, _TANGENTS))
            multiples.setdefault(atom, set()).add(abs(multiple))
    total = CROSSED if len(crossed) > 1 and len(kinds) > 1 else 0.0
    if _has_surd(expr) and any(not function.free_symbols for function in functions):
        total += SURD_MIXED
    total += sum(MIXED * (len(k) - 1) for k in kinds.values())
    return total + sum(MIXED_MULTIPLES * (len(m) - 1) for m in multiples.values())
