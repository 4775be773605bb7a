"""Magnitude and direction of a vector of exact components."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Any

import flint
import sympy as sp

from simlab.errors import BadInput
from simlab.exact import ball
from simlab.exact.element import Element
from simlab.exact.form import textbook
from simlab.exact.generators import HalfTangent
from simlab.exact.polynomial import degrees
from simlab.exact.price import price
from simlab.exact.survey import at_values

if TYPE_CHECKING:
    from simlab.exact.field import Field

STEPS = 360  # fixed angles are looked for in steps of half a degree: 22.5 is one


@dataclass(frozen=True)
class Direction:
    """Which way a vector points, at the field's values.

    angle : the acute angle to the horizontal, a sympy expression [rad] (0 for the zero vector)
    right : 1 to the right, -1 to the left, 0 neither
    up : 1 upwards, -1 downwards, 0 neither
    """

    angle: Any
    right: int
    up: int


def magnitude(x: Element, y: Element) -> Any:
    """sqrt(x^2 + y^2) in textbook form, positive at the field's values.

    >>> from simlab.exact.field import Field
    >>> w, u = sp.symbols("W theta", positive=True)
    >>> field = Field.containing([w, sp.tan(u)], {})
    >>> magnitude(field.element(3 * w * sp.tan(u) / 2), field.element(w))
    W*sqrt(9*tan(theta)**2 + 4)/2
    """
    return textbook(size(x, y)[0])


def size(x: Element, y: Element) -> tuple[Element, tuple[Element, ...]]:
    """sqrt(x^2 + y^2), its root adjoined, positive at the values; and what was taken as positive for it."""
    known = len(x.field.assumptions)
    wider, length = x.field.with_root(x * x + y * y)
    return length, tuple(wider.assumptions[known:])


def direction(x: Element, y: Element) -> Direction:
    """The direction of the vector (x, y).

    The angle is a rational multiple of pi, or of the angle letters and pi, where its tangent is proved to
    be that of |y/x|, and arctan of |y/x| in textbook form otherwise.

    >>> from simlab.exact.field import Field
    >>> u = sp.Symbol("theta")
    >>> field = Field.containing([sp.sin(u)], {"theta": sp.pi / 5})
    >>> direction(field.element(-sp.sin(u)), field.element(sp.cos(u)))
    Direction(angle=-theta + pi/2, right=-1, up=1)
    """
    right, up = x.sign(), y.sign()
    if up == 0:
        return Direction(sp.S.Zero, right, up)
    if right == 0:
        return Direction(sp.pi / 2, right, up)
    slope = y / x * (right * up)
    angle = _known_angle(slope)
    if angle is None:
        angle = sp.atan(textbook(slope), evaluate=False)
    return Direction(angle, right, up)


def _known_angle(slope: Element) -> Any | None:
    """A multiple of letters plus k*pi/360 with this tangent, or None.

    Balls find the k at the field's values, where the angle is acute; the field proves the tangent.
    """
    field = slope.field
    used = [
        g.symbol
        for g, above, below in zip(field.generators, degrees(slope.num), degrees(slope.den), strict=True)
        if isinstance(g, HalfTangent) and g.symbol.is_Symbol and (above or below)
    ]
    with flint.ctx.workprec(ball.FIRST_BITS):
        point = field.point(ball.FIRST_BITS)
        value = (ball.polynomial(slope.num, point) / ball.polynomial(slope.den, point)).atan()
    for angle in angles_at(value, used, field.values):
        if _has_tangent(field, angle, slope):
            return angle
    return None


def plainest_angle(angle: Any, values: Mapping[str, Any]) -> Any:
    """An arctangent, arcsine or arccosine as it is easiest to read; an acute angle as any of them.

    values : exact sympy numbers by letter, at which signs are decided. Raises BadInput for an angle whose
    tangent has no exact form.

    >>> a = sp.Symbol("a", positive=True)
    >>> plainest_angle(sp.atan(sp.sqrt(1 - a**2) / a), {"a": sp.Rational(1, 3)})
    acos(a)
    """
    from simlab.exact.field import Field

    other = sp.pi / 2 - angle
    if isinstance(other, sp.atan):
        angle = sp.atan(1 / other.args[0])
    inner = angle.args[0]
    field = Field.containing([inner], values)
    x = field.element(inner)
    if x.sign() <= 0:
        return angle.func(textbook(x), evaluate=False)
    one = field.one
    if isinstance(angle, sp.atan):
        cosine = 1 / field.with_root(one + x * x)[1]
        sine = x * cosine
    else:
        rest = field.with_root(one - x * x)[1]
        cosine, sine = (x, rest) if isinstance(angle, sp.acos) else (rest, x)
    ways = [sp.acos(textbook(cosine), evaluate=False), sp.asin(textbook(sine), evaluate=False)]
    if cosine.sign() > 0:
        ways.insert(0, direction(cosine, sine).angle)
    return min(ways, key=price)


def angles_at(value: Any, letters: Sequence[Any], values: Mapping[str, Any]) -> Iterator[Any]:
    """Small multiples of angle letters plus k*pi/360 that lie in a ball at the letters' values."""
    with flint.ctx.workprec(ball.FIRST_BITS):
        for multiple in _multiples(letters):
            rest = value - ball.constant(at_values(multiple, values))
            k = (rest / flint.arb.pi() * STEPS).unique_fmpz()
            if k is not None:
                yield multiple + sp.pi * int(k) / STEPS


def _multiples(angles: Sequence[Any]) -> Iterator[Any]:
    """0 and the small multiples of angle letters that occur in drawings, the plain ones first."""
    yield sp.S.Zero
    for factor in (1, 2, sp.S.Half):
        for angle in angles:
            yield from (factor * angle, -factor * angle)
    for factor in (1, sp.S.Half):
        for a, b in combinations(angles, 2):
            yield from (factor * (a + b), factor * (a - b), factor * (b - a), -factor * (a + b))


def _has_tangent(field: Field, angle: Any, slope: Element) -> bool:
    try:
        return field.element(sp.tan(angle, evaluate=False)) == slope
    except BadInput:  # a finer angle or another surd than the field has
        return False
