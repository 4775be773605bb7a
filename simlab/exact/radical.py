"""The square roots of a field, seen from the one who writes them."""

from __future__ import annotations

from typing import Any

from simlab.exact.generators import Cosine, HalfTangent, Root
from simlab.exact.polynomial import Poly, degrees, terms


def is_number(generator: Any) -> bool:
    """Whether a root, or a cosine, contains no letters and no angles."""
    if isinstance(generator, Cosine):
        return True
    radicand = generator.radicand
    used = [g for g, degree in zip(radicand.field.generators, degrees(radicand.num), strict=True) if degree]
    return all(isinstance(g, Root | Cosine) and is_number(g) for g in used)


def scale(root: Root) -> Poly | None:
    """(1 + t^2)^k such that the root over it has no half angles; None if there is no such k.

    sqrt((1 + t^2)^2 + 12*t^2)/(1 + t^2) = sqrt(1 + 3*sin(u)^2),  t = tan(u/2).
    """
    field = root.radicand.field
    result = field.ctx.constant(1)
    for degree, t, g in zip(degrees(root.radicand.num), field.ctx.gens(), field.generators, strict=True):
        if isinstance(g, HalfTangent):
            if degree % 4:
                return None
            result *= (1 + t**2) ** (degree // 4)
    return result


def square(field: Any, root: Poly) -> Poly | None:
    """The square of a number times a product of roots of the field; None if there are roots in it."""
    powers, number = terms(root)[0]
    result = field.ctx.constant(number**2)
    for g, power in zip(field.generators, powers, strict=True):
        if power:
            if not isinstance(g, Root) or any(degrees(g.radicand.num)[: g.radicand.field.depth]):
                return None
            result *= g.radicand.num.project_to_context(field.ctx) ** power
    return result
