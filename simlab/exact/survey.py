"""What an exact field must contain for given sympy expressions to lie in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import lcm
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.generators import Cosine, Generator, HalfTangent, Letter, Pi

TRIG = (sp.sin, sp.cos, sp.tan, sp.cot, sp.sec, sp.csc)
INVERSE = (sp.asin, sp.acos, sp.atan)


def angle_terms(angle: Any) -> tuple[dict[Any, Any], Any]:
    """An angle as sum of rational multiples of letters, of 1 [rad], of inverse functions, and of pi.

    >>> angle_terms(sp.Symbol("x") / 2 + sp.pi / 3)
    ({x: 1/2}, 1/3)
    """
    terms: dict[Any, Any] = {}
    turns = sp.S.Zero
    for term in sp.Add.make_args(sp.expand(angle)):
        coefficient, atom = term.as_coeff_Mul()
        if atom is sp.pi:
            turns += coefficient
        elif atom.is_Symbol or atom is sp.S.One or isinstance(atom, INVERSE):
            terms[atom] = coefficient
        elif term != 0:
            raise BadInput(
                f"the angle {angle}: {term} is neither a rational multiple of an angle letter, of pi, "
                "of a number of radians nor of asin, acos or atan. Give the angle a letter of its own"
            )
    return terms, turns


def half_tangent(angle: Any, denominator: int) -> Any:
    """tan(u/2) for u = asin, acos or atan over a power of two, by square roots."""
    e = angle.args[0]
    if isinstance(angle, sp.acos):
        t = sp.sqrt(1 - e**2) / (1 + e)
    else:
        t = e / (1 + sp.sqrt(1 + e**2 if isinstance(angle, sp.atan) else 1 - e**2))
    while denominator % 2 == 0:
        t = t / (1 + sp.sqrt(1 + t**2))  # tan(u/4) from tan(u/2), for |u| < pi
        denominator //= 2
    if denominator > 1:
        raise BadInput(f"{angle} can be halved but not divided by {denominator} exactly")
    return t


def at_values(expr: Any, values: Mapping[str, Any]) -> Any:
    """The expression with values put for its letters."""
    return expr.subs({s: values[s.name] for s in expr.free_symbols}, simultaneous=True)


def value_of(generator: Generator, values: Mapping[str, Any]) -> Any:
    """The exact value of a generator as a sympy number."""
    if isinstance(generator, HalfTangent):  # tan(u/2) by u itself: half as many kinds of angle
        u = at_values(sp.sympify(generator.symbol), values) / generator.denominator
        if sp.cos(u) == -1:
            raise BadInput(f"the angle {generator.symbol} may not be half a turn here")
        return sp.sin(u) / (1 + sp.cos(u))
    return at_values(generator.expr, values)


class Survey:
    """What a field must contain for some expressions to lie in it."""

    def __init__(self, exprs: Iterable[Any]) -> None:
        self.letters: dict[str, Any] = {}
        self.angles: dict[str, tuple[Any, int]] = {}  # letter or "1" -> symbol, denominator
        self.radicands: list[Any] = []  # inner ones first
        self.cosine = 1  # n of 2cos(pi/n); 1 where none is needed
        self.has_pi = False
        self._seen: set[Any] = set()
        for expr in exprs:
            self._walk(sp.sympify(expr))

    def _walk(self, expr: Any) -> None:
        if expr in self._seen:
            return
        self._seen.add(expr)
        if expr.is_Symbol:
            self.letters[expr.name] = expr
        elif expr is sp.pi:
            self.has_pi = True
        elif isinstance(expr, TRIG):
            self._walk_angle(expr.args[0])
        elif expr.is_Pow and expr.exp.is_Rational:
            self._walk_power(expr)
        elif expr.is_Add or expr.is_Mul or isinstance(expr, sp.Abs):
            for arg in expr.args:
                self._walk(arg)
        elif not expr.is_Rational:
            if expr.has(sp.zoo, sp.nan):
                raise BadInput("division by an expression that is identically zero")
            raise BadInput(
                f"{expr} is not made of numbers, letters, + - * /, square roots and sines, cosines, "
                "tangents of angles"
            )

    def _walk_power(self, expr: Any) -> None:
        self._walk(expr.base)
        q, radicand = expr.exp.q, expr.base
        while q > 1:
            if q % 2:
                raise BadInput(f"{expr}: only square roots are known here")
            if radicand not in self.radicands:
                self.radicands.append(radicand)
            q, radicand = q // 2, sp.sqrt(radicand)

    def _walk_angle(self, angle: Any) -> None:
        terms, turns = angle_terms(angle)
        for atom, coefficient in terms.items():
            if isinstance(atom, INVERSE):
                self._walk(half_tangent(atom, coefficient.q))
            else:
                _, denominator = self.angles.get(str(atom), (atom, 1))
                self.angles[str(atom)] = (atom, lcm(denominator, coefficient.q))
        for value in (sp.cos(turns * sp.pi), sp.sin(turns * sp.pi)):
            if value.has(sp.cos, sp.sin):  # sympy knows no radicals for it
                self.cosine = lcm(self.cosine, turns.q, (sp.Rational(1, 2) - turns).q)
            else:
                self._walk(value)

    def generators(self) -> list[tuple[str, Generator]]:
        """Name and meaning of each variable below the roots. No letter begins with an underscore."""
        named: list[tuple[str, Generator]] = []
        if self.cosine > 1:
            named.append(("_c", Cosine(self.cosine)))
        for name, (symbol, denominator) in sorted(self.angles.items()):
            named.append((f"_t_{name}", HalfTangent(symbol, denominator)))
        named.extend((name, Letter(name, symbol)) for name, symbol in sorted(self.letters.items()))
        if self.has_pi:
            named.append(("_pi", Pi()))
        return named

    def valued(self, known: Mapping[str, Any]) -> dict[str, Any]:
        """A value for every letter: the known one, or one of no special kind (an angle in radians)."""
        names = sorted({*self.letters, *self.angles} - {"1"})
        primes = (sp.prime(i + 4) for i in range(len(names)))
        return {
            name: known.get(name, (sp.Rational(1, 2) if name in self.angles else 1) + sp.Rational(1, p))
            for name, p in zip(names, primes, strict=True)
        }
