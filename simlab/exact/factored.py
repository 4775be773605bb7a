"""A fraction, or the square root of one, as a number times powers of polynomials.

    f = number * sqrt(inside) * product of p_k^e_k

p_k are sines and cosines, and polynomials that are irreducible in the subfield where each angle is
seen; the exponents are whole, or halves of whole numbers under a square root.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction as Ratio
from itertools import product as combinations
from typing import Any

import sympy as sp

from simlab.exact.polynomial import (
    Fraction,
    Poly,
    coefficients,
    degrees,
    factorised,
    homogeneous,
    put,
    terms,
)
from simlab.exact.ring import Angle, Ring, even_form

WHOLE = Ratio(1)
HALF = Ratio(1, 2)


class Factored:
    """A product of powers; equal polynomials are kept together, whatever their sign."""

    def __init__(self, ring: Ring, angles: Sequence[Angle]) -> None:
        self.ring = ring
        self.angles = tuple(angles)
        self.number = sp.S.One
        self.inside = sp.S.One  # rational, under a square root
        self._powers: dict[str, tuple[Poly, Ratio]] = {}

    @classmethod
    def of(
        cls, ring: Ring, fraction: Fraction, angles: Sequence[Angle], odd: Mapping[int, int], unit: Ratio
    ) -> Factored:
        """(fraction * product of gen_i^odd_i)^unit, unit being 1 or 1/2."""
        result = cls(ring, angles)
        for poly, sign in zip(fraction, (1, -1), strict=True):
            number, factors = factorised(poly)
            result.scale(int(number), sign * unit)
            for base, e in factors:
                result.times(base, sign * e * unit)
        for angle in angles:
            result._settle(angle)
        for i, power in odd.items():
            result.times(ring.ctx.gen(i), power * unit)
        return result

    def powers(self) -> list[tuple[Poly, Ratio]]:
        """[(polynomial, exponent)], no exponent being 0."""
        return list(self._powers.values())

    def scale(self, number: Any, power: Ratio) -> None:
        """Multiply by number^power."""
        if power.denominator == 1:
            self.number *= sp.Rational(number) ** int(power)
        else:
            self.inside *= sp.Rational(number) ** int(2 * power)

    def times(self, poly: Poly, power: Ratio) -> None:
        """Multiply by poly^power."""
        if poly.is_constant():
            self.scale(int(poly.leading_coefficient()), power)
            return
        if poly.leading_coefficient() < 0:
            poly = -poly
            self.scale(-1, power)
        key = str(poly)
        power += self.exponent(poly)
        self._powers.pop(key, None)
        if power:
            self._powers[key] = poly, power

    def exponent(self, poly: Poly) -> Ratio:
        """The power of poly or -poly in the product."""
        poly = -poly if poly.leading_coefficient() < 0 else poly
        return self._powers.get(str(poly), (poly, Ratio(0)))[1]

    def copy(self, *, empty: bool = False) -> Factored:
        """The same product, or its number alone, to be changed."""
        twin = Factored(self.ring, self.angles)
        twin.number, twin.inside = self.number, self.inside
        twin._powers = {} if empty else dict(self._powers)
        return twin

    def _replace(self, old: Poly, new: Poly, ratio: Ratio | int = 1) -> None:
        """Write every power of old as new^(ratio*power)."""
        power = self.exponent(old)
        self.times(old, -power)
        self.times(new, ratio * power)

    def _join(self, p: Poly, q: Poly, new: Poly, number: int = 1) -> None:
        """Write p*q as new/number, as often as both are above or both below the bar."""
        e, f = self.exponent(p), self.exponent(q)
        if e * f > 0:
            both = min(e, f, key=abs)
            self.times(p, -both)
            self.times(q, -both)
            self.times(new, both)
            self.scale(number, -both)

    # each angle

    def _settle(self, angle: Angle) -> None:
        """From generator v alone to sines and cosines, or tangents, or forms in v and w."""
        gen = self.ring.ctx.gen
        v, w, s, c = (gen(i) for i in (angle.v, angle.w, angle.s, angle.c))
        if angle.kind in ("tangent", "half"):
            self.times(c, -self.exponent(v))
            self._replace(v, s)
            self._replace(v**2 + 1, c, -2)
        elif angle.kind in ("cosine", "sine"):
            x, y = (c, s) if angle.kind == "cosine" else (s, c)
            powers, self._powers = self.powers(), {}
            for poly, e in powers:
                self.times(put(poly, angle.v, x), e)
            self._join(1 - x, 1 + x, y**2)
            self._replace(y**2, y, 2)
        else:
            self._homogenise(angle.v, v, w)
            self._join(v, w, s, 2)
            self._join(w - v, w + v, c)

    def _homogenise(self, i: int, v: Poly, w: Poly) -> None:
        """t = v/w: every factor becomes homogeneous in v = sin(u/2) and w = cos(u/2)."""
        powers, self._powers = self.powers(), {}
        for poly, e in powers:
            degree = degrees(poly)[i]
            self.times(w, -degree * e)
            if poly != v**2 + 1:  # which is w^-2
                self.times(homogeneous(coefficients(poly, i), v, w) if degree else poly, e)

    # other products of the same value

    def conjugated(self) -> Factored:
        """p(x)*p(-x) joined, x being the tangent, cosine, sine or half tangent of an angle."""
        twin = self.copy()
        for angle in self.angles:
            i = {"cosine": angle.c, "sine": angle.s}.get(angle.kind, angle.v)
            for poly, _ in twin.powers():
                other = put(poly, i, -self.ring.ctx.gen(i))
                if other not in (poly, -poly):
                    twin._join(poly, other, poly * other)
        return twin

    def merged(self, *, monomials: bool = False) -> Factored:
        """All factors with angles multiplied out above and below the bar; `monomials`: s and c too."""
        twin = self.copy(empty=True)
        parts: dict[Ratio, Poly] = {}
        for poly, e in self.powers():
            if self.has_angle(poly) and (monomials or not self.is_monomial(poly)):
                unit = (HALF if e.denominator == 2 else Ratio(1)) * (1 if e > 0 else -1)
                parts[unit] = parts.get(unit, self.ring.ctx.constant(1)) * poly ** int(e / unit)
            else:
                twin.times(poly, e)
        for unit, poly in parts.items():
            twin.times(poly, unit)
        return twin

    def degree(self) -> Ratio:
        """The degree in angles of all factors together, above and below the bar."""
        gens = [i for a in self.angles for i in (a.v, a.w, a.s, a.c)]
        return sum((abs(e) * max(degrees(poly)[i] for i in gens) for poly, e in self.powers()), Ratio(0))

    def has_angle(self, poly: Poly) -> bool:
        """Whether a polynomial depends on an angle."""
        degree = degrees(poly)
        return any(degree[i] for a in self.angles for i in (a.v, a.w, a.s, a.c))

    def is_monomial(self, poly: Poly) -> bool:
        """Whether a polynomial is a sine or cosine."""
        return any(poly == self.ring.ctx.gen(i) for a in self.angles for i in (a.s, a.c))

    def rounded(self) -> Iterator[Factored]:
        """Forms in v and w turned into polynomials in sine and cosine, which needs even degrees.

        Factors of odd degree are multiplied together; where that is not enough, numerator and
        denominator are multiplied by v, w or w - v, w + v, as in v/w = v*w/w^2 = s/(1 + c).
        """
        general = [a for a in self.angles if a.kind == "general"]
        twin, odd = self._odd_apart(general)
        if any(_odd(odd[HALF], general)):
            return
        for multiplier in self._multipliers(odd[WHOLE], general):
            result = twin.copy()
            for power, poly in odd.items():
                result.times(poly * multiplier if power.denominator == 1 else poly, power)
            yield result._without_forms(general)

    def _odd_apart(self, general: Sequence[Angle]) -> tuple[Factored, dict[Ratio, Poly]]:
        """(the factors of even degree, {power: product of those of odd degree})."""
        twin, one = self.copy(empty=True), self.ring.ctx.constant(1)
        odd = {power: one for power in (WHOLE, -WHOLE, HALF, -HALF)}
        for poly, e in self.powers():
            sign, rest = (1 if e > 0 else -1), abs(e) % 2
            if not any(_odd(poly, general)):
                twin.times(poly, e)
                continue
            twin.times(poly**2, sign * (abs(e) - rest) / 2)
            if rest >= 1:
                odd[sign * WHOLE] *= poly
            if rest.denominator == 2:
                odd[sign * HALF] *= poly
        if _odd(odd[WHOLE], general) != _odd(odd[-WHOLE], general):  # p = sqrt(p^2)
            for sign in (1, -1):
                odd[sign * HALF] *= odd[sign * WHOLE] ** 2
                odd[sign * WHOLE] = one
        if any(_odd(odd[-HALF], general)):  # 1/sqrt(p) = sqrt(p)/p
            odd[HALF] *= odd[-HALF]
            odd[-WHOLE] *= odd[-HALF]
            odd[-HALF] = one
        return twin, odd

    def _multipliers(self, poly: Poly, general: Sequence[Angle]) -> Iterator[Poly]:
        gen, one = self.ring.ctx.gen, self.ring.ctx.constant(1)
        odd = _odd(poly, general)
        choices = []
        for angle, is_odd in zip(general, odd, strict=True):
            v, w = gen(angle.v), gen(angle.w)
            forms = (v, w) if sum(odd) > 1 else (v, w, w - v, w + v)  # two angles: 4 products are enough
            choices.append(forms if is_odd else (one,))
        for choice in combinations(*choices):
            total = one
            for factor in choice:
                total *= factor
            yield total

    def _without_forms(self, general: Sequence[Angle]) -> Factored:
        result = self.copy(empty=True)
        for poly, e in self.powers():
            for angle in general:
                if degrees(poly)[angle.v] or degrees(poly)[angle.w]:
                    poly, n = even_form(poly, angle)
                    result.scale(2, -n * e)
            result.times(poly, e)
        return result


def _odd(poly: Poly, general: Sequence[Angle]) -> list[bool]:
    """Whether a form is of odd degree in each angle's v and w."""
    powers = terms(poly)[0][0]
    return [bool((powers[a.v] + powers[a.w]) % 2) for a in general]
