"""An equation of first degree in the only letter to be found: its root at once, in the field.

    a*x + b = 0,   x = -b/a

No roots are cleared and nothing is factored, so that constants of high degree (cos 37 degrees) do no harm.
"""

from __future__ import annotations

from collections.abc import Sequence

import flint

from simlab.exact import ball
from simlab.exact.element import Element
from simlab.exact.isolation import element_ball
from simlab.exact.unknown import Problem

BITS = 512  # at which an end of the range, or another equation, counts as met


def linear_root(equations: Sequence[Element], problem: Problem) -> Element | None:
    """The root, as an element of the given letters' field; None if no equation is of first degree.

    Whether it lies in the range and satisfies the other equations is not asked.
    """
    (unknown,) = problem.unknowns
    if unknown.is_angle or problem.moving:
        return None
    field = problem.field
    i = field.generators.index(unknown.generator)
    for equation in equations:
        if equation.num.degrees()[i] == 1:
            slope = equation.num.derivative(i)
            rest = equation.num - slope * field.ctx.gen(i)
            a, b = (problem.constant(field.fraction(part, field.one.num)) for part in (slope, rest))
            if a is not None and b is not None and a.sign() != 0:
                return -b / a
    return None


def is_solution(root: Element, equations: Sequence[Element], problem: Problem) -> bool:
    """Whether a root lies in the letter's closed range and satisfies every equation."""
    (unknown,) = problem.unknowns
    value = element_ball(root, BITS)
    with flint.ctx.workprec(BITS):
        for end, sign in ((unknown.low, 1), (unknown.high, -1)):
            if end.is_finite and (value - ball.constant(end)) * sign < 0:
                return False
        point = problem.point(BITS, [value])
        return point is not None and all(
            ball.polynomial(e.num, point).contains(0) and not ball.polynomial(e.den, point).contains(0)
            for e in equations
        )
