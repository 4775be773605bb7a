"""sympy expressions -> elements of a field.

Angles: with t = tan(u/2),  cos u + i sin u = (1 + i t)^2 / (1 + t^2),  and angles add by multiplying.
"""

from __future__ import annotations

from functools import reduce
from operator import add, mul
from typing import TYPE_CHECKING, Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.generators import Cosine, Generator, HalfTangent, Letter, Pi
from simlab.exact.survey import INVERSE, TRIG, angle_terms, half_tangent

if TYPE_CHECKING:
    from simlab.exact.element import Element
    from simlab.exact.field import Field

Pair = tuple["Element", "Element"]  # cosine and sine of an angle


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
            return self._product(expr)
        if expr.is_Pow and expr.exp.is_Rational:
            return self._power(expr.base, int(expr.exp.p), int(expr.exp.q))
        if isinstance(expr, TRIG):
            return self._trig(expr)
        if isinstance(expr, sp.Abs):
            inner = self.element(expr.args[0])
            return self.field.with_root(inner * inner)[1]
        raise BadInput(f"{expr} does not lie in the field of {', '.join(self.field.names)}")

    def _product(self, expr: Any) -> Element:
        """A product; of sqrt(a)/sqrt(b), sympy's sqrt(a/b), perhaps only the whole is in the field."""
        try:
            return reduce(mul, (self.element(factor) for factor in expr.args))
        except BadInput:
            halves = [f for f in expr.args if f.is_Pow and abs(f.exp) == sp.S.Half]
            if not halves[1:]:  # a single root, and it is not here
                raise
        radicand = sp.Mul(*(f.base ** (2 * f.exp) for f in halves))
        others = (self.element(f) for f in expr.args if f not in halves)
        return reduce(mul, others, self._root(radicand, self.element(radicand)))

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
        if isinstance(expr, sp.tan | sp.cot):  # sin 2u/(1 + cos 2u): tan(x/2) lies in the field of x
            cosine, sine = self._pair(2 * expr.args[0])
            tangent = sine / (1 + cosine)
            return tangent if isinstance(expr, sp.tan) else 1 / tangent
        cosine, sine = self._pair(expr.args[0])
        match type(expr).__name__:
            case "cos":
                return cosine
            case "sin":
                return sine
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
        if isinstance(atom, INVERSE):
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
