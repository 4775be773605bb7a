"""Ways of writing a polynomial in sines, cosines and tangents of some angles.

Each way is a sum times a product of powers of sines and cosines:

    T^2 + 2*T - 1  =  T*(T + 2 - cot u)  =  (sin(2u) - cos(2u)) / cos(u)^2
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction as Ratio
from itertools import product as combinations
from math import lcm
from typing import Any

import sympy as sp

from simlab.exact.harmonic import Harmonic, harmonics
from simlab.exact.polynomial import Poly, coefficients, degrees, homogeneous, put, terms
from simlab.exact.price import price
from simlab.exact.ring import Angle, Ring, reduced
from simlab.exact.words import Power, Words, product

Shift = tuple[int, ...]  # powers of sine and cosine of each angle: s1, c1, s2, c2, ...

MOST_SHIFTS = 12
HIGHEST = 12  # degree of a polynomial in one angle that is written in more than one way


class Sums:
    """Writes polynomials of a ring, the angles being seen in a certain way."""

    def __init__(self, ring: Ring, letters: Sequence[Any], angles: Sequence[Angle]) -> None:
        self.ring = ring
        self.angles = tuple(angles)
        atoms = [*letters, *([sp.S.One] * (ring.ctx.nvars() - len(letters)))]
        for angle in angles:
            atoms[angle.v], atoms[angle.w] = sp.tan(angle.u), sp.cot(angle.u)
            atoms[angle.s], atoms[angle.c] = sp.sin(angle.u), sp.cos(angle.u)
        self.atoms = atoms
        self.words = Words(atoms)
        self.tangents = [a for a in self.angles if a.kind in ("tangent", "half")]

    def ways(self, poly: Poly) -> list[tuple[Any, Shift]]:
        """[(expression, shift)], poly = expression * product of s^a * c^b: the cheapest of each shift."""
        best: dict[Shift, tuple[float, Any]] = {}
        for expr, shift in self._ways(poly):
            cost = price(expr)
            if shift not in best or cost < best[shift][0]:
                best[shift] = cost, expr
        return [(expr, shift) for shift, (_, expr) in best.items()]

    def _ways(self, poly: Poly) -> Iterator[tuple[Any, Shift]]:
        degree = degrees(poly)
        present = [a for a in self.angles if degree[a.v] or degree[a.s] or degree[a.c]]
        if max((degree[i] for a in present for i in (a.v, a.s, a.c)), default=0) > HIGHEST:
            present = []
        yield from self._through_tangents(poly, [a for a in present if degree[a.v]])
        half = any(a.kind == "half" and degree[a.v] for a in present)
        yield from self._linear(poly, present)
        if present and not half:
            round_poly, shift = self._through_cosines(poly)
            if shift != self._shift({}):
                yield self.words.polynomial(round_poly), shift
            choices = [((a.s, a.c), (a.c, a.s)) for a in present[:2]]
            for choice in combinations(*choices):
                other = round_poly
                for i, j in choice:
                    other = reduced(other, i, j)
                yield self.words.polynomial(other), shift
            yield from self._through_harmonics(round_poly, shift, present)

    def _shift(self, powers: Mapping[int, int]) -> Shift:
        return tuple(powers.get(i, 0) for a in self.angles for i in (a.s, a.c))

    def _through_tangents(self, poly: Poly, present: Sequence[Angle]) -> Iterator[tuple[Any, Shift]]:
        """Sums of tangents and cotangents: a power of each tangent is taken out in front."""
        degree = degrees(poly)
        choices = list(combinations(*(range(degree[a.v] + 1) for a in present)))
        for choice in choices if len(choices) <= MOST_SHIFTS else choices[:1]:
            moves: dict[tuple[int, ...], int] = {}
            for powers, number in terms(poly):
                moved = list(powers)
                for angle, k in zip(present, choice, strict=True):
                    power = powers[angle.v] - k
                    moved[angle.v], moved[angle.w] = max(power, 0), max(-power, 0)
                moves[tuple(moved)] = number
            shift = {a.s: k for a, k in zip(present, choice, strict=True)}
            shift |= {a.c: -k for a, k in zip(present, choice, strict=True)}
            yield self.words.polynomial(self.ring.ctx.from_dict(moves)), self._shift(shift)

    def _linear(self, poly: Poly, present: Sequence[Angle]) -> Iterator[tuple[Any, Shift]]:
        """a*sin(u) + b*cos(u) as cos(u)*(a*tan(u) + b) or sin(u)*(a + b*cot(u))."""
        gen = self.ring.ctx.gen
        for a in present:
            if all(powers[a.s] + powers[a.c] == 1 and not powers[a.v] for powers, _ in terms(poly)):
                tangent = put(put(poly, a.s, gen(a.v)), a.c, gen(a.v) ** 0)
                yield self.words.polynomial(tangent), self._shift({a.c: 1})
                cotangent = put(put(poly, a.c, gen(a.w)), a.s, gen(a.w) ** 0)
                yield self.words.polynomial(cotangent), self._shift({a.s: 1})

    def _through_cosines(self, poly: Poly) -> tuple[Poly, Shift]:
        """Each tangent as sine over cosine, over a common power of the cosine in front."""
        gen, shift = self.ring.ctx.gen, {}
        for angle in self.tangents:
            degree = degrees(poly)[angle.v]
            if degree:
                poly = homogeneous(coefficients(poly, angle.v), gen(angle.s), gen(angle.c))
                shift[angle.c] = -degree
        return poly, self._shift(shift)

    def _through_harmonics(
        self, poly: Poly, shift: Shift, present: Sequence[Angle]
    ) -> Iterator[tuple[Any, Shift]]:
        """Sines and cosines of multiples, sums and differences of the angles."""
        found: dict[Harmonic, dict[tuple[int, ...], Ratio]] = {}
        for powers, number in terms(poly):
            own = {i for a in present for i in (a.s, a.c)}
            rest = tuple(0 if i in own else power for i, power in enumerate(powers))
            for key, ratio in harmonics(tuple((powers[a.s], powers[a.c]) for a in present)).items():
                group = found.setdefault(key, {})
                group[rest] = group.get(rest, Ratio(0)) + ratio * number
        found = {key: group for key, group in found.items() if any(group.values())}
        if len(found) > len(self.ring.harmonics):
            return
        common = lcm(*(n.denominator for group in found.values() for n in group.values()))
        atoms, total = list(self.atoms), self.ring.ctx.constant(0)
        for i, ((multiples, of_sine), group) in zip(self.ring.harmonics, found.items(), strict=False):
            u = sp.Add(*(m * a.u for m, a in zip(multiples, present, strict=True)))
            sign, atoms[i] = (
                sp.sin(u) if of_sine else sp.cos(u)
            ).as_coeff_Mul()  # -sin(a - b) for sin(b - a)
            numbers = {rest: int(n * common) * int(sign) for rest, n in group.items()}
            harmonic = self.ring.ctx.gen(i) if any(multiples) else 1
            total += self.ring.ctx.from_dict(numbers) * harmonic
        yield product(sp.Rational(1, common), [(Words(atoms).polynomial(total), sp.S.One)]), shift


def monomial(u: Any, a: int, b: int) -> tuple[Any, list[Power]]:
    """sin(u)^a * cos(u)^b the cheapest way, as (number, powers): with tan, cot or sin(2u) where shorter."""
    ways = [(sp.S.One, {sp.sin(u): a, sp.cos(u): b})]
    m = min(abs(a), abs(b))
    if a * b < 0:
        step = 1 if a > 0 else -1
        ratio = sp.tan(u) if a > 0 else sp.cot(u)
        ways.append((sp.S.One, {ratio: m, sp.sin(u): a - step * m, sp.cos(u): b + step * m}))
    elif m:
        step = 1 if a > 0 else -1
        powers = {sp.sin(2 * u): step * m, sp.sin(u): a - step * m, sp.cos(u): b - step * m}
        ways.append((sp.Rational(1, 2) ** (step * m), powers))
    ready = [(n, [(x, sp.Integer(e)) for x, e in powers.items() if e]) for n, powers in ways]
    return min(ready, key=lambda way: price(product(*way)))
