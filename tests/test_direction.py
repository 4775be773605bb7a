"""Magnitude and direction of exact vectors, against sympy's numbers and published answers."""

from __future__ import annotations

from typing import Any

import pytest
import sympy as sp

from simlab.exact.direction import Direction, direction, magnitude
from simlab.exact.field import Field

W, P, a, b = sp.symbols("W P a b", positive=True)
alpha, beta, theta = sp.symbols("alpha beta theta")
sin, cos, tan = sp.sin, sp.cos, sp.tan
R = sp.Rational
VALUES = {"W": 1, "P": 2, "a": 1, "b": 3, "alpha": R(1, 2), "beta": R(1, 3), "theta": R(3, 5)}


def both(x: Any, y: Any) -> tuple[Any, Direction]:
    field = Field.containing([sp.sympify(x), sp.sympify(y)], VALUES)
    left, right = field.element(x), field.element(y)
    return magnitude(left, right), direction(left, right)


def number(expr: Any) -> Any:
    return sp.N(sp.sympify(expr).subs({s: VALUES[s.name] for s in sp.sympify(expr).free_symbols}), 30)


VECTORS = {
    ("sqrt(13)*W", "atan(2/3)", 1, 1): (3 * W, 2 * W),
    ("sqrt(13)*W/2", "pi/4", -1, 1): (-sp.sqrt(R(13, 8)) * W, sp.sqrt(R(13, 8)) * W),
    ("2*W", "pi/3", -1, -1): (-W, -sp.sqrt(3) * W),
    ("W", "0", 1, 0): (W, 0),
    ("W", "pi/2", 0, -1): (0, -W),
    ("0", "0", 0, 0): (0, 0),
    ("W", "theta", 1, -1): (W * cos(theta), -W * sin(theta)),
    ("W", "-theta + pi/2", -1, 1): (-W * sin(theta), W * cos(theta)),
    ("W", "alpha - beta", 1, 1): (W * cos(alpha - beta), W * sin(alpha - beta)),
    ("2*W", "-theta + 2*pi/3", -1, 1): (
        W * cos(theta) - sp.sqrt(3) * W * sin(theta),
        W * sin(theta) + sp.sqrt(3) * W * cos(theta),
    ),
    ("sqrt(2*sin(theta) + 2)", "-theta/2 + pi/4", 1, 1): (1 + sin(theta), cos(theta)),
    ("sqrt(2*cos(alpha - beta) + 2)", "-alpha/2 - beta/2 + pi/2", 1, 1): (
        sin(alpha) + sin(beta),
        cos(alpha) + cos(beta),
    ),
    ("W", "2*pi/5", 1, 1): (W * sin(sp.pi / 10), W * cos(sp.pi / 10)),
    ("W", "7*pi/18", 1, 1): (W * sin(sp.pi / 9), W * cos(sp.pi / 9)),
    ("W*sqrt(9*tan(theta)**2 + 4)/2", "atan(3*tan(theta)/2)", 1, 1): (W, 3 * W * tan(theta) / 2),
    ("sqrt(P**2*b**2 + W**2*(a - b)**2)", "atan(P*b/(W*(-a + b)))", -1, 1): ((a - b) * W, P * b),
}


@pytest.mark.parametrize("printed", VECTORS, ids=[f"{m} at {t}" for m, t, _, _ in VECTORS])
def test_vectors_are_printed_as_in_a_book_and_are_right(printed):
    """Magnitude, acute angle and senses in their printed form, and as numbers by sympy's atan2."""
    x, y = VECTORS[printed]

    size, way = both(x, y)

    assert (str(size), str(way.angle), way.right, way.up) == printed
    assert abs(number(size) - number(sp.sqrt(x * x + y * y))) < 1e-25
    right, up = abs(number(x)), abs(number(y))
    assert abs(number(way.angle) - (sp.atan2(up, right) if size != 0 else 0)) < 1e-25


PUBLISHED = {  # tests/published/statics.json, which names the sources
    "square-hung-adjacent-midpoints-string": (W / 2, 2 * W, "sqrt(17)*W/2", sp.atan(R(1, 4))),
    "rod-hung-at-A-string-perpendicular": (R(36, 10), R(123, 10), "3*sqrt(73)/2", sp.atan(R(36, 123))),
    "L-frame-brace-hung": (1, 3, "sqrt(10)", sp.atan(R(1, 3))),
}


@pytest.mark.parametrize("problem", PUBLISHED)
def test_published_hinge_forces(problem):
    """The size, and the angle to the vertical, of forces given by components."""
    x, y, size, to_vertical = PUBLISHED[problem]

    found, way = both(x, y)

    assert str(found) == size
    assert abs(number(way.angle) + number(to_vertical) - number(sp.pi / 2)) < 1e-25


def test_an_angle_is_named_only_on_its_own_branch():
    """Beyond a right angle theta is not the acute angle to the horizontal; its supplement is."""
    field = Field.containing([sin(theta)], {"theta": R(2)})

    way = direction(field.element(cos(theta)), field.element(sin(theta)))

    assert way == Direction(-theta + sp.pi, -1, 1)


def test_a_near_miss_is_no_known_angle():
    """A slope that is tan(30 deg) to twelve figures is not called 30 degrees."""
    near = sp.Rational(str(sp.N(1 / sp.sqrt(3), 14)))

    way = both(1, near)[1]

    assert way.angle == sp.atan(near)
