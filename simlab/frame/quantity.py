"""Exact quantities with dimensions. The only place of the frame that knows sympy."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

import sympy as sp
from sympy.functions.elementary.trigonometric import TrigonometricFunction

from simlab.errors import BadInput
from simlab.notation import latex, plain

Dim = tuple[int, int, int]  # powers of (force, length, time)

NUMBER: Dim = (0, 0, 0)  # ratios and angles
FORCE: Dim = (1, 0, 0)
LENGTH: Dim = (0, 1, 0)
MASS: Dim = (1, -1, 2)  # weight over acceleration
ACCELERATION: Dim = (0, 1, -2)
MOMENT: Dim = (1, 1, 0)
FORCE_PER_LENGTH: Dim = (1, -1, 0)

_WORDS = {
    NUMBER: "a ratio or an angle",
    FORCE: "a force",
    LENGTH: "a length",
    MASS: "a mass",
    ACCELERATION: "an acceleration",
    MOMENT: "a moment",
    FORCE_PER_LENGTH: "a force per length",
}
_PLACES = 4  # of a decimal that is still read at a glance
_DIGITS = 20  # more than a double holds (17), so that `number` is the nearest double


def in_words(dim: Dim) -> str:
    """Name a dimension as a reader would: 'a force'; 'force*length^2' where it has no name."""
    if dim in _WORDS:
        return _WORDS[dim]
    parts = zip(("force", "length", "time"), dim, strict=True)
    return "*".join(word if p == 1 else f"{word}^{p}" for word, p in parts if p)


@dataclass(frozen=True)
class Quantity:
    """An exact expression with its dimensions: newtons, metres, seconds, radians.

    >>> a, b = Quantity.of(3, LENGTH), Quantity.of(4, LENGTH)
    >>> str((a * a + b * b).sqrt()), (a * a + b * b).sqrt().dim == LENGTH
    ('5', True)
    """

    expr: Any  # a sympy expression, exact: no floating-point number inside
    dim: Dim = NUMBER

    @classmethod
    def of(cls, value: int | Fraction, dim: Dim = NUMBER) -> Quantity:
        """A rational number of the given dimensions."""
        fraction = Fraction(value)
        return cls(sp.Rational(fraction.numerator, fraction.denominator), dim)

    @classmethod
    def symbol(cls, name: str, dim: Dim = NUMBER, positive: bool = True) -> Quantity:
        """The letter `name`; taken as positive unless it is said not to be."""
        return cls(sp.Symbol(name, positive=True) if positive else sp.Symbol(name, real=True), dim)

    @classmethod
    def zero(cls, dim: Dim = NUMBER) -> Quantity:
        """Nothing; it may be added to any quantity."""
        return cls(sp.S.Zero, dim)

    @classmethod
    def pi(cls) -> Quantity:
        """The angle of half a turn."""
        return cls(sp.pi)

    @property
    def is_zero(self) -> bool:
        """Whether the expression is plainly 0 (exact identities are proved in `exact`, not here)."""
        return bool(self.expr == 0)

    @property
    def names(self) -> frozenset[str]:
        """The letters in the expression."""
        return frozenset(str(s) for s in self.expr.free_symbols)

    def _common(self, other: Quantity, what: str) -> Dim:
        if self.dim == other.dim or other.is_zero:
            return self.dim
        if self.is_zero:
            return other.dim
        raise BadInput(f"cannot {what} {in_words(self.dim)} ({self}) and {in_words(other.dim)} ({other})")

    def __add__(self, other: Quantity) -> Quantity:
        return Quantity(self.expr + other.expr, self._common(other, "add"))

    def __sub__(self, other: Quantity) -> Quantity:
        return Quantity(self.expr - other.expr, self._common(other, "subtract"))

    def __neg__(self) -> Quantity:
        return Quantity(-self.expr, self.dim)

    def __mul__(self, other: Quantity) -> Quantity:
        f, l, t = (x + y for x, y in zip(self.dim, other.dim, strict=True))
        return Quantity(self.expr * other.expr, (f, l, t))

    def __truediv__(self, other: Quantity) -> Quantity:
        if other.expr == 0:
            raise BadInput(f"cannot divide {self} by zero")
        f, l, t = (x - y for x, y in zip(self.dim, other.dim, strict=True))
        return Quantity(self.expr / other.expr, (f, l, t))

    def __pow__(self, power: int) -> Quantity:
        if power < 0 and self.expr == 0:
            raise BadInput("cannot divide by zero")
        f, l, t = (x * power for x in self.dim)
        return Quantity(self.expr ** sp.Integer(power), (f, l, t))

    def sqrt(self) -> Quantity:
        """The square root; it must not be of a negative number."""
        if self.expr.is_negative:
            raise BadInput(f"cannot take the square root of the negative number {self}")
        if any(x % 2 for x in self.dim):
            raise BadInput(f"cannot take the square root of {in_words(self.dim)} ({self})")
        f, l, t = (x // 2 for x in self.dim)
        return Quantity(sp.sqrt(self.expr), (f, l, t))

    def function(self, name: str) -> Quantity:
        """sin, cos, tan, cot, sec, csc of an angle; asin, acos, atan of a ratio."""
        if self.dim != NUMBER and not self.is_zero:
            raise BadInput(f"{name}(...) is of an angle or a ratio, not of {in_words(self.dim)} ({self})")
        call: Callable[[Any], Any] = getattr(sp, name)
        value = call(self.expr)
        if value.has(sp.zoo, sp.oo, sp.nan) or value.is_extended_real is False:
            raise BadInput(f"{name}({self}) has no value")
        return Quantity(value)

    @property
    def odd_angles(self) -> frozenset[Fraction]:
        """The fixed angles in it, as shares of pi, of which the sines and cosines are no square roots.

        >>> Quantity.of(Fraction(37, 180)).times_pi.function("cos").odd_angles
        frozenset({Fraction(37, 180)})
        """
        turns = (trig.args[0].coeff(sp.pi) for trig in self.expr.atoms(TrigonometricFunction))
        return frozenset(
            Fraction(int(r.p), int(r.q)) for r in turns if sp.cos(r * sp.pi).has(sp.cos, sp.sin)
        )

    def with_angles(self, letters: Mapping[Fraction, Quantity]) -> Quantity:
        """The same with letters for fixed angles, given as shares of pi."""

        def lettered(trig: Any) -> Any:
            turn = trig.args[0].coeff(sp.pi)
            letter = letters.get(Fraction(int(turn.p), int(turn.q)))
            return trig if letter is None else trig.func(trig.args[0] - turn * sp.pi + letter.expr)

        return Quantity(
            self.expr.replace(lambda e: isinstance(e, TrigonometricFunction), lettered), self.dim
        )

    @property
    def times_pi(self) -> Quantity:
        """The quantity times pi."""
        return Quantity(self.expr * sp.pi, self.dim)

    def at(self, values: Mapping[str, Quantity]) -> Quantity:
        """The same quantity with values put for its letters."""
        known = {s: values[str(s)].expr for s in self.expr.free_symbols if str(s) in values}
        return Quantity(_put(self.expr, frozenset(known.items())), self.dim) if known else self

    def number(self, values: Mapping[str, Quantity] | None = None) -> float:
        """The value as the nearest double, in newtons, metres, seconds, radians."""
        value = _double(self.at(values).expr if values else self.expr)
        if value is None:
            raise BadInput(f"{self} has no real value for these letters: no such shape. Choose others")
        return value

    @property
    def decimal(self) -> str | None:
        """The number as a decimal, if it is one of a few places; None otherwise.

        >>> Quantity.of(Fraction(245, 4)).decimal, Quantity.of(Fraction(1, 3)).decimal
        ('61.25', None)
        """
        if not self.expr.is_Rational:
            return None
        scaled = self.expr * 10**_PLACES
        return f"{float(self.expr):.{_PLACES}f}".rstrip("0").rstrip(".") if scaled.is_Integer else None

    @property
    def is_inverse(self) -> bool:
        """Whether it is an arctangent, arcsine or arccosine, or a right angle less an arctangent."""
        return isinstance(self.expr, sp.atan | sp.asin | sp.acos) or isinstance(
            sp.pi / 2 - self.expr, sp.atan
        )

    @property
    def tangent(self) -> Quantity | None:
        """What it is the arctangent of; None where it is no arctangent.

        >>> half = Quantity.of(1) / Quantity.of(2)
        >>> half.function("atan").tangent == half
        True
        """
        return Quantity(self.expr.args[0]) if isinstance(self.expr, sp.atan) else None

    @property
    def is_angle(self) -> bool:
        """Whether a ratio is plainly an angle: multiples of pi, inverse functions and letters, added up.

        >>> sixth = Quantity.pi() / Quantity.of(6)
        >>> sixth.is_angle, sixth.function("cot").is_angle
        (True, False)
        """
        atoms = [term.as_coeff_Mul()[1] for term in sp.Add.make_args(self.expr)]
        plain = [atom is sp.pi or isinstance(atom, sp.atan | sp.asin | sp.acos) for atom in atoms]
        return (
            self.dim == NUMBER
            and any(plain)
            and all(is_plain or atom.is_Symbol for atom, is_plain in zip(atoms, plain, strict=True))
        )

    @property
    def has_other_roots(self) -> bool:
        """Whether there is a cube root or the like in it, rather than square roots (of square roots) only.

        >>> Quantity.of(2).sqrt().sqrt().has_other_roots
        False
        """
        return any(
            power.exp.is_Rational and power.exp.q & (power.exp.q - 1) for power in self.expr.atoms(sp.Pow)
        )

    def __str__(self) -> str:
        return str(self.expr)

    @property
    def tex(self) -> str:
        """The quantity as LaTeX mathematics.

        >>> (Quantity.of(2, FORCE) * Quantity.symbol("alpha").function("tan")).tex
        '2\\tan\\alpha'
        """
        return latex(self.expr)

    @property
    def plain(self) -> str:
        """The quantity as a line of text for a terminal.

        >>> (Quantity.of(2, FORCE) * Quantity.symbol("alpha").function("tan")).plain
        '2 tan α'
        """
        return plain(self.expr)


# A picture asks for the same numbers whenever it is laid out anew.
@lru_cache(maxsize=1 << 14)
def _put(expr: Any, known: frozenset[tuple[Any, Any]]) -> Any:
    """An expression with others put for its letters."""
    return expr.subs(dict(known), simultaneous=True)


@lru_cache(maxsize=1 << 14)
def _double(expr: Any) -> float | None:
    """The nearest double of an expression without letters; None where it has no real value."""
    if expr.is_Rational:
        return float(Fraction(int(expr.p), int(expr.q)))
    value = expr.evalf(_DIGITS)
    return float(value) if value.is_Float or value.is_Rational else None


def distance2(a: tuple[Quantity, Quantity], b: tuple[Quantity, Quantity]) -> Quantity:
    """The square of the distance of two points [m^2]."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return dx * dx + dy * dy


def total(terms: Iterable[Quantity]) -> Quantity:
    """The sum of quantities of one dimension; nothing when there are none."""
    result = Quantity.zero()
    for term in terms:
        result = result + term
    return result
