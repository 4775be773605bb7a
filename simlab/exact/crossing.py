"""Where an expression changes sign as one letter varies, as in a book: tan(gamma) = 4*tan(beta)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import sympy as sp

HOMOGENEOUS = {(1, 0), (0, 1)}  # powers of (sin, cos) in a sin x + b cos x


@dataclass(frozen=True)
class Crossing:
    """left = right: `left` is one letter or its tangent, sine or cosine, and `right` is without it.

    The expression was slope * (left - right), times a cosine where `left` is a tangent.
    """

    letter: Any
    left: Any
    right: Any
    slope: Any


def factors(expr: Any) -> tuple[tuple[Any, ...], tuple[Any, ...]]:
    """The factors above and below the bar in which letters occur, tan and cot as sin over cos.

    Those to an even power are left out: they never change sign.

    >>> w, b, c = sp.symbols("W beta gamma", positive=True)
    >>> factors(w * (sp.tan(c) - 4 * sp.tan(b)) / 2)
    ((W, -4*sin(beta)*cos(gamma) + sin(gamma)*cos(beta)), (cos(beta), cos(gamma)))
    """
    above, below = sp.fraction(sp.together(in_sines(expr)))
    return tuple(_parts(above)), tuple(_parts(below))


def in_sines(expr: Any) -> Any:
    """The expression with sines and cosines only, those of sums and multiples of letters expanded."""
    swaps = {
        sp.tan: lambda x: sp.sin(x) / sp.cos(x),
        sp.cot: lambda x: sp.cos(x) / sp.sin(x),
        sp.sec: lambda x: 1 / sp.cos(x),
        sp.csc: lambda x: 1 / sp.sin(x),
    }
    for name, swap in swaps.items():
        expr = expr.replace(name, lambda x, swap=swap: swap(x) if x.free_symbols else name(x))  # noqa: B023
    return expr.replace(
        lambda e: isinstance(e, sp.sin | sp.cos) and bool(e.free_symbols) and not e.args[0].is_Symbol,
        sp.expand_trig,
    )


def _parts(product: Any) -> Iterator[Any]:
    for base, power in (f.as_base_exp() for f in sp.Mul.make_args(sp.factor_terms(product))):
        if base.free_symbols:
            for factor, times in sp.factor_list(base)[1] if base.is_Add else [(base, 1)]:
                if factor.free_symbols and not (power * times).is_even:
                    yield factor


def crossing(factor: Any, letter: Any) -> Crossing | None:
    """Where the factor is 0, by the letter's tangent, sine, cosine or itself; None where it is not simple.

    >>> b, c = sp.symbols("beta gamma", positive=True)
    >>> found = crossing(factors(4 * sp.tan(b) - sp.tan(c))[0][0], c)
    >>> found.left, found.right
    (tan(gamma), 4*tan(beta))
    """
    s, c, x = sp.Dummy("s"), sp.Dummy("c"), sp.Dummy("x")
    put = factor.subs({sp.sin(letter): s, sp.cos(letter): c}).subs(letter, x)
    used = [d for d in (s, c, x) if put.has(d)]
    if not used or not put.is_polynomial(*used):
        return None
    poly = sp.Poly(put, *used)
    powers = dict(poly.terms())
    if used == [s, c] and set(powers) <= HOMOGENEOUS and len(powers) == len(HOMOGENEOUS):
        return Crossing(letter, sp.tan(letter), _tidy(-powers[0, 1] / powers[1, 0]), powers[1, 0])
    left = {s: sp.sin(letter), c: sp.cos(letter), x: letter}
    if len(used) == 1 and poly.degree() == 1:
        right = _tidy(-powers.get((0,), sp.S.Zero) / powers[1,])
        return Crossing(letter, left[used[0]], right, powers[1,])
    return None


def _tidy(expr: Any) -> Any:
    """sin x / cos x as tan x: what is left after a division."""
    expr = sp.factor(expr)
    for symbol in sorted(expr.free_symbols, key=str):
        if expr.has(sp.sin(symbol)) and expr.has(sp.cos(symbol)):
            c, t = sp.Dummy("c"), sp.Dummy("t")
            ratio = sp.cancel(expr.subs({sp.sin(symbol): t * c, sp.cos(symbol): c}))
            expr = expr if ratio.has(c) else ratio.subs(t, sp.tan(symbol))
    return expr
