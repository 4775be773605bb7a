"""sympy expressions -> elements of a field: what they need is surveyed first, then they are converted.

Angles: with t = tan(u/2),  cos u + i sin u = (1 + i t)^2 / (1 + t^2),  and angles add by multiplying.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce
from math import lcm
from operator import add, mul
from typing import TYPE_CHECKING, Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.generators import Cosine, Generator, HalfTangent, Letter, Pi

if TYPE_CHECKING:
    from simlab.exact.field import Element, Field

Pair = tuple["Element", "Element"]  # cosine and sine of an angle

_TRIG = (sp.sin, sp.cos, sp.tan, sp.cot, sp.sec, sp.csc)
_INVERSE = (sp.asin, sp.acos, sp.atan)


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
        elif atom.is_Symbol or atom is sp.S.One or isinstance(atom, _INVERSE):
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
        elif isinstance(expr, _TRIG):
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
            if isinstance(atom, _INVERSE):
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


class Conversion:
    """Converts expressions into elements of one field, remembering what it has converted."""

    def __init__(self, field: Field) -> None:
        self.field = field
        self._known: dict[Any, Element] = {}
        self._roots: dict[Any, Element] = {}  # by radicand, positive at the values
        self._pairs: dict[Any, Pair] = {}
        self._generators: dict[Any, tuple[int, Generator]] = {}
        for i, generator in enumerate(field.generators):
            match generator:
                case Letter(name=name):
                    self._generators[name] = i, generator
                case HalfTangent(symbol=symbol):
                    self._generators["angle", str(symbol)] = i, generator
                case Pi():
                    self._generators[sp.pi] = i, generator
                case Cosine():
                    self._generators[sp.cos] = i, generator

    def inherit(self, narrower: Conversion) -> None:
        """Take over what has been converted in a narrower field."""
        self._known = dict(narrower._known)
        self._roots = dict(narrower._roots)
        self._pairs = dict(narrower._pairs)

    def adjoin(self, radicand: Any) -> Field:
        """The field with the square root of an expression in it."""
        field, root = self.field.with_root(self.element(radicand))
        field.conversion._roots[radicand] = root
        return field

    def element(self, expr: Any) -> Element:
        """The element equal to an expression; raises BadInput if the field does not contain it."""
        if expr not in self._known:
            self._known[expr] = self._convert(expr)
        return self.field.lift(self._known[expr])

    def _convert(self, expr: Any) -> Element:
        if expr.is_Rational:
            constant = self.field.ctx.constant
            return self.field.fraction(constant(int(expr.p)), constant(int(expr.q)))
        if expr.is_Symbol or expr is sp.pi:
            return self._generator(expr.name if expr.is_Symbol else expr, expr)
        if expr.is_Add:
            return reduce(add, (self.element(term) for term in expr.args))
        if expr.is_Mul:
            return reduce(mul, (self.element(factor) for factor in expr.args))
        if expr.is_Pow and expr.exp.is_Rational:
            return self._power(expr.base, int(expr.exp.p), int(expr.exp.q))
        if isinstance(expr, _TRIG):
            return self._trig(expr)
        if isinstance(expr, sp.Abs):
            inner = self.element(expr.args[0])
            return self.field.with_root(inner * inner)[1]
        raise BadInput(f"{expr} does not lie in the field of {', '.join(self.field.names)}")

    def _generator(self, key: Any, expr: Any) -> Element:
        if key not in self._generators:
            raise BadInput(f"{expr} does not lie in the field of {', '.join(self.field.names)}")
        return self.field.generator(self._generators[key][0])

    def _power(self, base: Any, p: int, q: int) -> Element:
        root = self.element(base)
        while q > 1:
            root = self._root(base, root)
            base, q = sp.sqrt(base), q // 2
        return root**p

    def _root(self, radicand: Any, element: Element) -> Element:
        if radicand not in self._roots:
            field, root = self.field.with_root(element)
            if field is not self.field:
                raise BadInput(f"sqrt({radicand}) does not lie in the field of {self.field.names}")
            self._roots[radicand] = root
        return self._roots[radicand]

    def _trig(self, expr: Any) -> Element:
        cosine, sine = self._pair(expr.args[0])
        match type(expr).__name__:
            case "cos":
                return cosine
            case "sin":
                return sine
            case "tan":
                return sine / cosine
            case "cot":
                return cosine / sine
            case "sec":
                return self.field.one / cosine
        return self.field.one / sine

    def _pair(self, angle: Any) -> Pair:
        """(cos, sin) of an angle."""
        if angle not in self._pairs:
            terms, turns = angle_terms(angle)
            pair = self._fixed(turns)
            for atom, coefficient in terms.items():
                pair = _sum(pair, self._multiple(atom, coefficient))
            self._pairs[angle] = pair
        return self._pairs[angle]

    def _multiple(self, atom: Any, coefficient: Any) -> Pair:
        if isinstance(atom, _INVERSE):
            t = self.element(half_tangent(atom, coefficient.q))
            times = int(coefficient.p)
        else:
            t = self._generator(("angle", str(atom)), atom)
            generator = self._generators["angle", str(atom)][1]
            scaled = (
                coefficient * generator.denominator if isinstance(generator, HalfTangent) else coefficient
            )
            if not scaled.is_Integer:
                raise BadInput(f"{coefficient * atom} is a finer angle than the field contains")
            times = int(scaled)
        square = t * t
        unit = (1 - square) / (1 + square), 2 * t / (1 + square)
        pair: Pair = (self.field.one, self.field.zero)
        for _ in range(abs(times)):
            pair = _sum(pair, unit)
        return pair if times >= 0 else (pair[0], -pair[1])

    def _fixed(self, turns: Any) -> Pair:
        """(cos, sin) of turns*pi."""
        cosine, sine = sp.cos(turns * sp.pi), sp.sin(turns * sp.pi)
        if not (cosine.has(sp.cos, sp.sin) or sine.has(sp.cos, sp.sin)):
            return self.element(cosine), self.element(sine)
        return self._cosine(turns), self._cosine(sp.Rational(1, 2) - turns)

    def _cosine(self, turns: Any) -> Element:
        """cos(turns*pi) from c = 2cos(pi/n), by C_(k+1) = c*C_k - C_(k-1), C_k = 2cos(k*pi/n)."""
        c = self._generator(sp.cos, f"cos({turns}*pi)")
        generator = self._generators[sp.cos][1]
        k = turns * generator.n if isinstance(generator, Cosine) else turns
        if not k.is_Integer:
            raise BadInput(f"cos({turns}*pi) does not lie in the field of {', '.join(self.field.names)}")
        before, now = self.field.element(2), c
        for _ in range(abs(int(k))):
            before, now = now, c * now - before
        return before / 2


def _sum(a: Pair, b: Pair) -> Pair:
    """(cos, sin) of the sum of two angles."""
    return a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]
