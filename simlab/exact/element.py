"""Elements of an exact field, in normal form."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import flint
import sympy as sp

from simlab.errors import BadInput, SimlabFault
from simlab.exact import ball, root

if TYPE_CHECKING:
    from simlab.exact.field import Field

Poly = Any  # flint.fmpz_mpoly


def image(poly: Poly, at: Sequence[Element], field: Field) -> Element:
    """The value of a polynomial where its variables take the values `at`, in `field`."""
    total = field.zero
    for powers, coefficient in poly.terms():
        term = field.element(int(coefficient))
        for power, value in zip(powers, at, strict=True):
            if power:
                term = term * value**power
        total = total + term
    return total


Operand = Any  # Element, int, Fraction or a sympy expression of the field


class Element:
    """num/den: num of degree 1 at most in every root, den free of roots, cancelled, den's sign positive.

    + - * / ** and == are exact; an operand may be a number or an expression of the field.
    """

    __slots__ = ("den", "field", "num")

    def __init__(self, field: Field, num: Poly, den: Poly) -> None:
        self.field = field
        self.num = num
        self.den = den

    @property
    def is_zero(self) -> bool:
        """Whether the element is zero: not nearly, and not only at the values."""
        return bool(self.num.is_zero())

    @property
    def is_constant(self) -> bool:
        """Whether the element is a rational number."""
        return bool(self.num.is_constant() and self.den.is_constant())

    @property
    def numerator(self) -> Element:
        """The numerator alone: zero where the element is."""
        return Element(self.field, self.num, self.field.one.num)

    @property
    def denominator(self) -> Element:
        """The denominator alone: zero where the element has a pole."""
        return Element(self.field, self.den, self.field.one.num)

    def depends_on(self, letter: str) -> bool:
        """Whether the element changes with a letter."""
        return any(
            power and generator.contains(letter)
            for poly in (self.num, self.den)
            for power, generator in zip(poly.degrees(), self.field.generators, strict=True)
        )

    def _pair(self, other: Operand) -> tuple[Element, Element]:
        if not isinstance(other, Element):
            return self, self.field.element(other)
        if other.field is self.field:
            return self, other
        if other.field.depth > self.field.depth:
            return other.field.lift(self), other
        return self, self.field.lift(other)

    def __add__(self, other: Operand) -> Element:
        a, b = self._pair(other)
        if a.den == b.den:
            return a.field.fraction(a.num + b.num, a.den)
        return a.field.fraction(a.num * b.den + b.num * a.den, a.den * b.den)

    def __sub__(self, other: Operand) -> Element:
        a, b = self._pair(other)
        if a.den == b.den:
            return a.field.fraction(a.num - b.num, a.den)
        return a.field.fraction(a.num * b.den - b.num * a.den, a.den * b.den)

    def __mul__(self, other: Operand) -> Element:
        a, b = self._pair(other)
        return a.field.fraction(a.field.reduced(a.num * b.num), a.den * b.den)

    def __truediv__(self, other: Operand) -> Element:
        a, b = self._pair(other)
        return a * b.inverse()

    def __neg__(self) -> Element:
        return Element(self.field, -self.num, self.den)

    def __pow__(self, power: int) -> Element:
        if power < 0:
            return self.inverse() ** (-power)
        result, square = self.field.one, self
        while power:
            if power & 1:
                result = result * square
            power >>= 1
            square = square * square if power else square
        return result

    __radd__ = __add__
    __rmul__ = __mul__

    def __rsub__(self, other: Operand) -> Element:
        return -(self - other)

    def __rtruediv__(self, other: Operand) -> Element:
        return self.inverse() * other

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Element | int | Fraction | sp.Expr):
            return NotImplemented
        a, b = self._pair(other)
        return bool(a.num == b.num and a.den == b.den)

    def __hash__(self) -> int:
        return hash((str(self.num), str(self.den)))

    def __repr__(self) -> str:
        return f"Element({self.num} / {self.den})"

    def inverse(self) -> Element:
        """1/self, by conjugates down the tower; raises BadInput if self is zero."""
        if self.is_zero:
            raise BadInput("division by an expression that is identically zero")
        field, norm, factor = self.field, self.num, self.den
        for i, _, _ in field.relations:
            if norm.degrees()[i]:
                norm, others = root.norm(field, norm, i)
                factor = field.reduced(factor * others)
        return field.fraction(factor, norm)

    def sqrt(self) -> Element | None:
        """A square root in the field, of either sign; None when there is none."""
        return root.square_root(self)

    def sign(self) -> int:
        """The sign at the field's values: -1, 0 or 1, proved.

        Balls of growing precision decide it; where the first do not, an exact test for zero does.
        Raises BadInput if the element has no value there.
        """
        if self.is_zero:
            return 0
        return self._sign_of(self.num, "") * self._sign_of(self.den, "no value")

    def _sign_of(self, poly: Poly, zero_means: str) -> int:
        if poly.is_constant():
            return 1 if poly.leading_coefficient() > 0 else -1
        bits = ball.FIRST_BITS
        while bits <= ball.LAST_BITS:
            point = self.field.point(bits)
            with flint.ctx.workprec(bits):
                value = ball.polynomial(poly, point)
                if value > 0:
                    return 1
                if value < 0:
                    return -1
            if bits == ball.DOUBTFUL_BITS and not self.field.is_numeric:
                images = self.field.images()
                if image(poly, images, images[0].field).is_zero:
                    if zero_means:
                        raise BadInput(f"{self.expr()} has no value there: it divides by zero")
                    return 0
            bits *= 2
        raise SimlabFault(f"the sign of {self!r} could not be decided with {ball.LAST_BITS} bits")

    def at_values(self) -> Element:
        """The element's value at the field's values, in a field of numbers."""
        images = self.field.images()
        numbers = images[0].field if images else self.field
        return image(self.num, images, numbers) / image(self.den, images, numbers)

    def expr(self) -> Any:
        """A sympy expression in the original letters; correct, not pretty."""
        letters = [generator.expr for generator in self.field.generators]
        num, den = (
            sp.Add(
                *(
                    sp.Mul(sp.Integer(int(c)), *(x**p for x, p in zip(letters, powers, strict=True) if p))
                    for powers, c in poly.terms()
                )
            )
            for poly in (self.num, self.den)
        )
        return num / den
