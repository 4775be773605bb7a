"""Real roots of polynomials in one letter, in the letter's range: all of them, each in a ball of its own.

An angle's polynomial is one in t = tan(u/2), u = angle/D:  angle = D*(2*atan(t) + 2*pi*k).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, pi
from typing import Any

import flint
import sympy as sp

from simlab.errors import BadInput, SimlabFault
from simlab.exact import ball
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.polynomial import coefficients
from simlab.exact.unknown import Problem, Unknown

Poly = Any  # flint.fmpz_mpoly
Ball = Any  # flint.arb

BITS = (128, 256, 512)  # for the first separation of the roots; where none does, they are multiple
PROOF_BITS = 600  # an equality that holds to so many bits is taken to hold, or is proved exactly
LAST_BITS = 1 << 14  # an end of a range and a root that differ by less do not come from a drawing


class Univariate:
    """A squarefree polynomial in one letter, at the given letters' values.

    parts : the coefficients of the powers 0, 1, 2, ..., as elements of one field; the last is not zero
    """

    def __init__(self, parts: Sequence[Element]) -> None:
        self.parts = tuple(parts)
        self._balls: dict[int, list[Ball]] = {}

    def balls(self, bits: int) -> list[Ball]:
        """The coefficients as balls."""
        if bits not in self._balls:
            with flint.ctx.workprec(bits):
                self._balls[bits] = [element_ball(part, bits) for part in self.parts]
        return self._balls[bits]

    def roots(self) -> list[Ball] | None:
        """Balls around the real roots, apart from each other; None where they cannot be told apart."""
        if len(self.parts) == 1:
            return []
        for bits in BITS:
            with flint.ctx.workprec(bits):
                try:
                    found = flint.arb_poly(self.balls(bits)).complex_roots()
                except ValueError:  # a multiple root, or too few bits
                    continue
                real = [z for z in found if z.imag.contains(0)]
                if all(_is_its_own_conjugate(z, found) for z in real):
                    narrowed = [self._narrowed(z.real, bits) for z in real]
                    if None not in narrowed:
                        return sorted(narrowed, key=lambda x: float(x.mid()))
        return None

    def _narrowed(self, root: Ball, bits: int) -> Ball | None:
        """A ball around the only root in a ball in which the slope has one sign, by halving.

        FLINT's balls keep the roots apart and may be wide; None where the sign of a value is not decided.
        """
        poly = flint.arb_poly(self.balls(bits))
        slope = poly.derivative()
        low, high = root.mid() - root.rad(), root.mid() + root.rad()
        for _ in range(bits):
            ball_ = flint.arb((low + high).mid() / 2, ((high - low) / 2).upper())
            if not slope(ball_).contains(0):
                return ball_
            middle = ((low + high) / 2).mid()
            left, here = poly(low), poly(middle)
            if left.contains(0) or here.contains(0):
                return None
            low, high = (low, middle) if (left > 0) != (here > 0) else (middle, high)
        return None

    def nearer(self, root: Ball, bits: int) -> Ball:
        """A smaller ball around the root in a ball, by Newton's method for intervals."""
        with flint.ctx.workprec(bits):
            poly = flint.arb_poly(self.balls(bits))
            slope = poly.derivative()
            while root.rel_accuracy_bits() < bits:
                middle = root.mid()
                smaller = (middle - poly(middle) / slope(root)).intersection(root)
                if not smaller.rad() < root.rad() / 2:
                    break
                root = smaller
        return root


class Place:
    """A value of one letter to be found at which a polynomial in it is zero.

    poly : the irreducible polynomial in the letter and the given ones
    turn : k, how many turns of u are added to 2*atan(t)
    exact : the value, if the range ends there, or None
    """

    def __init__(
        self, unknown: Unknown, poly: Poly, at: Univariate, root: Ball, turn: int, exact: Any = None
    ) -> None:
        self.unknown = unknown
        self.poly = poly
        self.turn = turn
        self.exact = exact
        self._at = at
        self._root = root
        self._balls: dict[int, Ball] = {}

    @property
    def is_nought(self) -> bool:
        """Whether the letter is zero there."""
        return bool(self.turn == 0 and self._root.contains(0) and self._at.parts[0].sign() == 0)

    def variable(self, bits: int) -> Ball:
        """The ball of the letter itself, or of t."""
        if bits not in self._balls:
            self._balls[bits] = self._at.nearer(self._root, bits)
        return self._balls[bits]

    def value(self, bits: int) -> Ball:
        """The ball of the letter's value."""
        with flint.ctx.workprec(bits):
            x = self.variable(bits)
            if not self.unknown.is_angle:
                return x
            return self.unknown.denominator * 2 * (x.atan() + self.turn * flint.arb.pi())


def places(problem: Problem, unknown: Unknown, poly: Poly) -> list[Place]:
    """All values in the letter's range at which a polynomial in it is zero, in order.

    Raises BadInput if the polynomial is zero for every value of the letter.
    """
    at, roots = _separated(problem, unknown, poly)
    found = []
    for root in roots:
        for turn in _turns(unknown) if unknown.is_angle else (0,):
            place = _within(problem, Place(unknown, poly, at, root, turn))
            if place is not None:
                found.append(place)
    return sorted(found, key=lambda place: float(place.value(BITS[0]).mid()))


def _separated(problem: Problem, unknown: Unknown, poly: Poly) -> tuple[Univariate, list[Ball]]:
    parts = [problem.coefficient(c) for c in coefficients(poly, unknown.variable)]
    while parts and element_ball(parts[-1], BITS[0]).contains(0) and parts[-1].sign() == 0:
        parts.pop()
    if not parts:
        raise BadInput(
            f"at the values of the given letters {unknown.name} may take any value: choose other values"
        )
    at = Univariate(parts)
    roots = at.roots()
    if roots is None:
        at = Univariate(_squarefree([part.at_values() for part in parts]))
        roots = at.roots()
        if roots is None:
            raise SimlabFault(f"the roots of {poly} could not be told apart")
    return at, roots


def element_ball(element: Element, bits: int) -> Ball:
    """The ball of an element at its field's values."""
    point = element.field.point(bits)
    with flint.ctx.workprec(bits):
        return ball.polynomial(element.num, point) / ball.polynomial(element.den, point)


def _is_its_own_conjugate(root: Any, roots: Sequence[Any]) -> bool:
    """Whether a ball around one root z contains that of conj(z) too, which is then z: z is real."""
    mirrored = flint.acb(root.real, -root.imag)
    return all(other is root or not other.overlaps(mirrored) for other in roots)


def _squarefree(parts: Sequence[Element]) -> list[Element]:
    """p/gcd(p, p'), for coefficients in a field of numbers."""
    p = list(parts)
    a, b = p, [k * part for k, part in enumerate(p)][1:]
    while b:
        a, b = b, _divided(a, b)[1]
    return _divided(p, a)[0]


def _divided(a: Sequence[Element], b: Sequence[Element]) -> tuple[list[Element], list[Element]]:
    """Quotient and remainder of polynomials by their coefficients; an empty list is 0."""
    rest, quotient = list(a), []
    lead = 1 / b[-1]
    while len(rest) >= len(b):
        factor = rest[-1] * lead
        quotient.append(factor)
        shift = len(rest) - len(b)
        rest = [r - factor * b[k - shift] if k >= shift else r for k, r in enumerate(rest)][:-1]
    while rest and rest[-1].is_zero:
        rest.pop()
    return quotient[::-1], rest


# the range


def _turns(unknown: Unknown) -> range:
    """The whole numbers of turns that may bring an angle into its range."""
    turn = 2 * pi * unknown.denominator
    return range(floor(float(unknown.low) / turn - 1), ceil(float(unknown.high) / turn + 1) + 1)


def _within(problem: Problem, place: Place) -> Place | None:
    """The place, if it lies in the closed range: at an end this is proved exactly."""
    for end, side in ((place.unknown.low, 1), (place.unknown.high, -1)):
        if not end.is_finite:
            continue
        bits = BITS[0]
        while True:
            with flint.ctx.workprec(bits):
                beyond = (place.value(bits) - ball.constant(end)) * side
                if beyond < 0:
                    return None
                if beyond > 0:
                    break
            if bits == BITS[1] and _is_root(problem, place, end):
                place.exact = end
                return place
            if bits > LAST_BITS:
                raise SimlabFault(f"whether {place.unknown.name} lies in its range could not be decided")
            bits *= 2
    return place


def _is_root(problem: Problem, place: Place, value: Any) -> bool:
    """Whether the place's polynomial is zero at the given letters' values and a value of the letter."""
    u = value / place.unknown.denominator
    x = sp.sin(u) / (1 + sp.cos(u)) if place.unknown.is_angle else value
    parts = [problem.coefficient(c).at_values() for c in coefficients(place.poly, place.unknown.variable)]
    return is_zero([part.expr() for part in parts], x)


def is_zero(parts: Sequence[Any], x: Any) -> bool:
    """Whether the sum of parts_k * x^k is zero identically, for sympy expressions of a field."""
    field = Field.containing([*parts, x], {})
    at, total = field.element(x), field.zero
    for part in reversed(parts):
        total = total * at + field.element(part)
    return total.is_zero
