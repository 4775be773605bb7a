"""Exact fields: rational functions of letters and half-angle tangents, with square roots adjoined.

    K = Q(x_1, ..., x_n)(c)(s_1)...(s_m),    s_k^2 = d_k,    d_k in Z[x][c, s_1, ..., s_(k-1)]

x are letters, t = tan(u/2) of angles u, and pi; c = 2 cos(pi/n), if needed, satisfies its minimal
polynomial. Every element has one normal form, so equality is equality of polynomials: a root is
adjoined only after a complete test that it is not in the field already (`simlab.exact.root`).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

import flint
import sympy as sp

from simlab.errors import SimlabFault
from simlab.exact import ball, root
from simlab.exact.conversion import Conversion
from simlab.exact.element import Element, Poly, image
from simlab.exact.generators import Cosine, Generator, HalfTangent, Letter, Pi, Root
from simlab.exact.survey import Survey, value_of

__all__ = ["Cosine", "Element", "Field", "Generator", "HalfTangent", "Letter", "Pi", "Root"]


class Field:
    """A field to compute in; adjoining a root gives a wider field and leaves this one as it is.

    ctx : the fmpz_mpoly context, lexicographic, the newest root first
    generators : what each variable of `ctx` stands for, in the order of ctx.gens()
    values : exact sympy numbers by letter, at which signs are decided
    unbounded : angle letters of which nothing is taken for granted though they are acute at the values
    narrower : the field without its newest root, or None
    assumptions : elements taken as positive where a root was found or adjoined; that positive letters are
        positive, and that angles that are acute at the values stay so, is not noted

    >>> a, w = sp.symbols("a w", positive=True)
    >>> field = Field.containing([sp.sqrt(8 * a**2) * w], {"a": sp.Integer(1)})
    >>> (field.element(sp.sqrt(8 * a**2)) / a).expr()
    2*sqrt(2)
    """

    def __init__(
        self,
        names: Sequence[str],
        generators: Sequence[Generator],
        values: Mapping[str, Any],
        narrower: Field | None = None,
        unbounded: Collection[str] = (),
    ) -> None:
        self.ctx = flint.fmpz_mpoly_ctx.get(tuple(names), "lex")
        self.names = tuple(names)
        self.generators = tuple(generators)
        self.values = dict(values)
        self.narrower = narrower
        self.unbounded: frozenset[str] = frozenset(unbounded) if narrower is None else narrower.unbounded
        self.assumptions: list[Element] = [] if narrower is None else list(narrower.assumptions)
        self.depth: int = 0 if narrower is None else narrower.depth + 1
        self._unit = self.ctx.constant(1)
        self.zero = Element(self, self.ctx.constant(0), self._unit)
        self.one = Element(self, self._unit, self._unit)
        self.relations = tuple(self._relations())  # (index, degree, monic polynomial = 0)
        self.is_numeric = all(  # no letters: then what is not zero has a value other than zero
            isinstance(g, Root | Pi | Cosine) or (isinstance(g, HalfTangent) and not g.symbol.is_Symbol)
            for g in generators
        )
        self.conversion = Conversion(self)
        self._rooted: dict[Element, tuple[Field, Element]] = {}
        self._points: dict[int, tuple[ball.Ball, ...]] = {}
        self._images: tuple[Element, ...] | None = None

    @classmethod
    def containing(
        cls, exprs: Iterable[Any], values: Mapping[str, Any], unbounded: Collection[str] = ()
    ) -> Field:
        """The smallest such field with all of `exprs` in it; signs are decided at `values`.

        A letter without a value gets one of no special kind. Raises BadInput for what has no place
        in such a field, and for a square root that is not real at the values.
        """
        survey = Survey(exprs)
        generators = survey.generators()
        known = {str(name): sp.sympify(value) for name, value in values.items()}
        names, meanings = [name for name, _ in generators], [g for _, g in generators]
        field = cls(names, meanings, survey.valued(known), unbounded=unbounded)
        for radicand in survey.radicands:
            field = field.conversion.adjoin(radicand)
        return field

    def _relations(self) -> Iterable[tuple[int, int, Poly]]:
        for i, generator in enumerate(self.generators):
            if isinstance(generator, Root):
                radicand = generator.radicand.num.project_to_context(self.ctx)
                yield i, 2, self.ctx.gen(i) ** 2 - radicand
            elif isinstance(generator, Cosine):
                minimal = flint.fmpz_poly.cos_minpoly(2 * generator.n)
                powers = (self.ctx.gen(i) ** k * c for k, c in enumerate(minimal.coeffs()))
                yield i, minimal.degree(), sum(powers, self.ctx.constant(0))

    # elements

    def element(self, expr: Any) -> Element:
        """The element equal to a sympy expression, a number or an element of a narrower field.

        Raises BadInput on division by an expression that is identically zero, and for an
        expression that does not lie in the field.
        """
        if isinstance(expr, Element):
            return self.lift(expr)
        if isinstance(expr, int | Fraction):
            fraction = Fraction(expr)
            return self.fraction(
                self.ctx.constant(fraction.numerator), self.ctx.constant(fraction.denominator)
            )
        return self.conversion.element(sp.sympify(expr))

    def generator(self, i: int) -> Element:
        """The i-th generator as an element."""
        return Element(self, self.ctx.gen(i), self._unit)

    def fraction(self, num: Poly, den: Poly) -> Element:
        """num/den in normal form; den must be free of roots and of the cosine, and not zero."""
        if not den.is_one():
            common = num.gcd(den)
            if not common.is_one():
                num, den = num / common, den / common
            if den.leading_coefficient() < 0:
                num, den = -num, -den
        return Element(self, num, den)

    def reduced(self, poly: Poly) -> Poly:
        """The polynomial with the powers of roots and of the cosine worked out."""
        for i, degree, relation in self.relations:
            if poly.degrees()[i] >= degree:
                poly = divmod(poly, relation)[1]
        return poly

    def lift(self, element: Element) -> Element:
        """An element of this field or of a narrower one, as an element of this field."""
        if element.field is self:
            return element
        if not self.extends(element.field):
            raise SimlabFault(f"{element} does not lie in the field of {self.names}")
        num, den = (p.project_to_context(self.ctx) for p in (element.num, element.den))
        return Element(self, num, den)

    def extends(self, other: Field) -> bool:
        """Whether `other` is this field or one that it was made from by adjoining roots."""
        field: Field | None = self
        while field is not None and field.depth > other.depth:
            field = field.narrower
        return field is other

    def with_root(self, radicand: Element) -> tuple[Field, Element]:
        """A field that contains the square root of `radicand`, positive at the values, and the root.

        The field is this one if the root lies in it. Raises BadInput if the radicand is negative.
        """
        radicand = self.lift(radicand)
        if radicand not in self._rooted:
            self._rooted[radicand] = root.adjoined(self, radicand)
        return self._rooted[radicand]

    # values

    def point(self, bits: int) -> tuple[ball.Ball, ...]:
        """The balls of the generators at the values."""
        if bits not in self._points:
            with flint.ctx.workprec(bits):
                below = () if self.narrower is None else self.narrower.point(bits)
                own = self.generators[: len(self.generators) - len(below)]
                self._points[bits] = tuple(self._ball(g, below) for g in own) + below
        return self._points[bits]

    def _ball(self, generator: Generator, below: tuple[ball.Ball, ...]) -> ball.Ball:
        if isinstance(generator, Root):
            return ball.polynomial(generator.radicand.num, below).nonnegative_part().sqrt()
        return ball.constant(value_of(generator, self.values))

    def images(self) -> tuple[Element, ...]:
        """The generators at the values, as elements of a field of numbers."""
        if self._images is None:
            if self.narrower is None:
                exprs = [value_of(g, self.values) for g in self.generators]
                numbers = Field.containing(exprs, {})
                self._images = tuple(numbers.element(e) for e in exprs)
            else:
                below = self.narrower.images()
                newest = self.generators[0]
                if not isinstance(newest, Root):
                    raise SimlabFault("the newest generator of a wider field is no root")
                numbers = below[0].field if below else Field.containing([], {})
                square = image(newest.radicand.num, below, numbers)
                wider, value = numbers.with_root(square)
                self._images = tuple(wider.lift(e) for e in (value, *below))
        return self._images
