"""Fractions of one field in words: what each angle is seen through, and every form that follows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction as Ratio
from functools import lru_cache
from typing import Any

from simlab.exact import subfield
from simlab.exact.assembly import written
from simlab.exact.factored import Factored
from simlab.exact.generators import HalfTangent
from simlab.exact.polynomial import Fraction, degrees
from simlab.exact.ring import Angle, Kind, Ring
from simlab.exact.trigonometric import Sums

WHOLE = Ratio(1)
HALF_VIEW_DEGREE = 2  # of t at most in a fraction that may be written in tan(u/2)
MULTIPLE_DEGREE = 6  # of sines and cosines at most in a product that may be written in 3u
DOUBLE_DEGREE = 2  # of tan u at least in a fraction that may be written in 2u

Look = Callable[[Fraction, int], tuple[Fraction, int] | None]
KINDS: tuple[tuple[Kind, Look], ...] = (
    ("tangent", subfield.tangent),
    ("cosine", subfield.cosine),
    ("sine", subfield.sine),
)
Seen = tuple[Fraction, Angle, dict[int, int]]  # odd sine or cosine in front, by generator


class Writer:
    """Writes fractions of polynomials in a field's generators; `atoms` are these in words."""

    def __init__(self, names: Sequence[str], generators: Sequence[Any], atoms: Sequence[Any]) -> None:
        self.angles = [(i, g) for i, g in enumerate(generators) if isinstance(g, HalfTangent)]
        self.ring = Ring(names, len(self.angles))
        self.atoms = tuple(atoms)
        self._sums = lru_cache(maxsize=64)(lambda angles: Sums(self.ring, self.atoms, angles))

    def forms(self, fraction: Fraction, unit: Ratio = WHOLE) -> Iterator[Any]:
        """Forms of fraction^unit, unit being 1 or 1/2 (a square root may have the wrong sign)."""
        num, den = (poly.project_to_context(self.ring.ctx) for poly in fraction)
        views: list[tuple[Fraction, list[Angle], dict[int, int]]] = [((num, den), [], {})]
        for k, (i, g) in enumerate(self.angles):
            if degrees(num)[i] or degrees(den)[i]:
                views = [
                    (seen, [*angles, angle], odd | more)
                    for start, angles, odd in views
                    for seen, angle, more in self._views(start, k, i, g)
                ]
        for seen, angles, odd in views:
            yield from self._written(Factored.of(self.ring, seen, angles, odd, unit))

    def _views(self, fraction: Fraction, k: int, i: int, g: HalfTangent) -> Iterator[Seen]:
        """The ways in which one angle can be seen, the shortest first."""
        denominator = g.denominator
        through = subfield.tangent(fraction, i)
        while through is not None and through[1] == 0 and denominator % 2 == 0:
            fraction, denominator = through[0], denominator // 2  # tan u is the half tangent of 2u
            through = subfield.tangent(fraction, i)
        u = g.symbol / denominator
        if through is not None:
            yield from self._in_subfields(fraction, k, i, u)
            if through[1] == 0 and _degree(through[0], i) >= DOUBLE_DEGREE:
                yield from self._in_subfields(through[0], k, i, 2 * u, KINDS[:1])
            return
        if _degree(fraction, i) <= HALF_VIEW_DEGREE:
            yield fraction, self.ring.angle(u / 2, "half", i, k), {}
        smaller = list(self._in_subfields(fraction, k, i, u))
        yield from smaller or [(fraction, self.ring.angle(u, "general", i, k), {})]

    def _in_subfields(
        self, fraction: Fraction, k: int, i: int, u: Any, kinds: Sequence[tuple[Kind, Look]] = KINDS
    ) -> Iterator[Seen]:
        """The fraction through tan u, cos u or sin u, if one of them is enough."""
        for kind, look in kinds:
            through = look(fraction, i)
            if through is not None:
                angle = self.ring.angle(u, kind, i, k)
                yield through[0], angle, {angle.s if kind == "cosine" else angle.c: through[1]}
                return

    def _written(self, f: Factored) -> Iterator[Any]:
        sums = self._sums(f.angles)
        done: set[str] = set()
        variants = [f, f.conjugated(), f.merged()]
        if len(f.angles) == 1 and f.degree() <= MULTIPLE_DEGREE:
            variants.append(f.merged(monomials=True))  # sin(3u) has the factor sin(u)
        for variant in variants:
            key = str(sorted((str(poly), e) for poly, e in variant.powers()))
            if key not in done:
                done.add(key)
                for product in variant.rounded():
                    yield from written(product, sums)


def _degree(fraction: Fraction, i: int) -> int:
    return max(degrees(poly)[i] for poly in fraction)
