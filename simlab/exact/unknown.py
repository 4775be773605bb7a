"""Letters to be found, and the numbers and elements that the given letters stand for meanwhile."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import flint
import sympy as sp

from simlab.errors import BadInput, SimlabFault
from simlab.exact import ball, root
from simlab.exact.element import Element, image
from simlab.exact.field import Field
from simlab.exact.generators import Generator, HalfTangent, Letter, Root
from simlab.exact.survey import value_of

Poly = Any  # flint.fmpz_mpoly
Ball = Any  # flint.arb
Point = tuple[Ball, ...]


@dataclass(frozen=True)
class Unknown:
    """A letter to be found: the generator that contains it, its variable, its closed range.

    variable : its number among the variables of `Problem.ctx`
    low, high : exact sympy numbers, of an angle [rad]; sp.oo or -sp.oo for a plain letter without an end
    """

    name: str
    variable: int
    generator: Letter | HalfTangent
    low: Any
    high: Any

    @property
    def is_angle(self) -> bool:
        """Whether the letter stands for an angle."""
        return isinstance(self.generator, HalfTangent)

    @property
    def denominator(self) -> int:
        """D, where the variable is t = tan(u/2), u = angle/D; 1 for a plain letter."""
        return self.generator.denominator if isinstance(self.generator, HalfTangent) else 1


class Problem:
    """Equations over one field, with some letters to be found.

    ctx : polynomials in the letters and half-angle tangents, and the cosine as if it were a letter: a norm
        over it would have a degree many times as high
    given : the field of the given letters, with those roots of the equations' field that contain no others
    """

    def __init__(self, field: Field, ranges: Mapping[str, tuple[Any, Any]]) -> None:
        self.field = field
        self.depth = field.depth
        self.below: tuple[Generator, ...] = field.generators[field.depth :]
        free = list(zip(field.names[field.depth :], self.below, strict=True))
        self.ctx = flint.fmpz_mpoly_ctx.get(tuple(n for n, _ in free), "lex")  # one for each of `below`
        self.unknowns = tuple(_unknown(name, ends, self.below) for name, ends in ranges.items())
        self._sought = {id(u.generator): u for u in self.unknowns}
        kept = [(n, g) for n, g in free if id(g) not in self._sought]
        self.given = Field([n for n, _ in kept], [g for _, g in kept], field.values)
        self.moving: set[int] = set()  # roots whose radicands contain letters to be found
        self._adjoin_constant_roots()
        self._values: dict[int, list[Ball | None]] = {}

    def _adjoin_constant_roots(self) -> None:
        """Give the field of the given letters the roots that contain no letter to be found."""
        self.constants: dict[int, Element] = {}  # by number of the generator in the equations' field
        for i, generator in reversed(list(enumerate(self.field.generators))):
            if isinstance(generator, Root):
                value = self.constant(generator.radicand)
                if value is None:
                    self.moving.add(i)
                else:
                    self.given, self.constants[i] = self.given.with_root(value)
            elif id(generator) not in self._sought:
                name = self.field.names[i]
                self.constants[i] = self.given.generator(self.given.names.index(name))

    def constant(self, element: Element) -> Element | None:
        """An element of the equations' field in the given letters' field; None if others are in it."""
        shift = self.field.depth - element.field.depth
        used = [i + shift for i, d in enumerate(element.num.degrees()) if d]
        used += [i + shift for i, d in enumerate(element.den.degrees()) if d]
        if any(i not in self.constants for i in used):
            return None
        at = [
            self.given.lift(self.constants[i]) if i in self.constants else self.given.zero
            for i in range(shift, len(self.field.generators))
        ]
        return image(element.num, at, self.given) / image(element.den, at, self.given)

    def coefficient(self, poly: Poly) -> Element:
        """A polynomial of `ctx` without letters to be found, as an element of the given letters' field."""
        base = self.given
        while base.narrower is not None:
            base = base.narrower
        return self.given.lift(base.fraction(base.reduced(poly.project_to_context(base.ctx)), base.one.num))

    # clearing of roots

    def cleared(self, element: Element) -> Poly:
        """A polynomial of `ctx` that is zero wherever the element is: its norm over the roots."""
        poly = element.num
        for i, _, _ in self.field.relations:
            if poly.degrees()[i] and i < self.depth:
                poly, _ = root.norm(self.field, poly, i)
        poly, below = poly.project_to_context(self.ctx), element.den.project_to_context(self.ctx)
        common = poly.gcd(below)
        while not (poly.is_zero() or common.is_constant()):  # shared with the bar: a pole, and no zero
            poly = poly / common
            common = poly.gcd(below)
        return poly

    # balls

    def point(self, bits: int, put: Sequence[Ball]) -> Point | None:
        """The balls of all generators where the unknowns' variables take the values `put`.

        None if a square root is of a negative number there.
        """
        if bits not in self._values:
            with flint.ctx.workprec(bits):
                self._values[bits] = [
                    None if id(g) in self._sought else ball.constant(value_of(g, self.field.values))
                    for g in self.below
                ]
        found = {id(u.generator): value for u, value in zip(self.unknowns, put, strict=True)}
        with flint.ctx.workprec(bits):
            at: Point = tuple(
                found.get(id(g), value) for g, value in zip(self.below, self._values[bits], strict=True)
            )
            for generator in reversed(self.field.generators[: self.depth]):
                if not isinstance(generator, Root):
                    raise SimlabFault("a generator above the base of a tower is no root")
                radicand = ball.polynomial(generator.radicand.num, at)
                if radicand < 0:
                    return None
                at = (radicand.nonnegative_part().sqrt(), *at)
        return at


def _unknown(name: str, ends: tuple[Any, Any], generators: Sequence[Generator]) -> Unknown:
    held = [
        (i, g)
        for i, g in enumerate(generators)
        if isinstance(g, Letter | HalfTangent) and str(g.symbol) == name
    ]
    if not held:
        raise BadInput(
            f"no equation contains {name}: it may take any value. Leave it out of the letters to be found, "
            "or say what determines it"
        )
    if len(held) > 1:
        raise BadInput(f"{name} occurs as an angle and as a plain letter: no algebra finds such a letter")
    low, high = (sp.sympify(end) for end in ends)
    i, generator = held[0]
    if isinstance(generator, HalfTangent) and not (low.is_finite and high.is_finite):
        raise BadInput(f"the angle {name} needs a range with two ends, such as 0 to pi/2")
    return Unknown(name, i, generator, low, high)
