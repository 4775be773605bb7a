"""The exact field: identities from trigonometry and algebra, normal forms, signs."""

from __future__ import annotations

import random
from typing import Any

import pytest
import sympy as sp

from simlab.errors import BadInput
from simlab.exact.field import Cosine, Element, Field, HalfTangent, Letter, Root

a, b = sp.symbols("a b", positive=True)
alpha, beta = sp.symbols("alpha beta", positive=True)
R = sp.Rational
DEGREE = sp.pi / 180


def equal(left: Any, right: Any, **values: Any) -> bool:
    field = Field.containing([left, right], values)
    return field.element(left) == field.element(right)


IDENTITIES = {  # standard results of algebra and trigonometry
    "square factor": (sp.sqrt(8 * a**2), 2 * a * sp.sqrt(2)),
    "addition formula": (
        sp.sin(alpha + beta),
        sp.sin(alpha) * sp.cos(beta) + sp.cos(alpha) * sp.sin(beta),
    ),
    "addition of 60 degrees": (
        sp.cos(alpha + sp.pi / 3),
        sp.cos(alpha) / 2 - sp.sqrt(3) * sp.sin(alpha) / 2,
    ),
    "tangent of a third and its triple": (
        sp.tan(alpha),
        (3 * sp.tan(alpha / 3) - sp.tan(alpha / 3) ** 3) / (1 - 3 * sp.tan(alpha / 3) ** 2),
    ),
    "half-angle": (sp.sqrt(2 - 2 * sp.cos(alpha)), 2 * sp.sin(alpha / 2)),
    "denested root": (sp.sqrt(3 + 2 * sp.sqrt(2)), 1 + sp.sqrt(2)),
    "Ramanujan's nested root": (sp.sqrt(5 + 2 * sp.sqrt(6)), sp.sqrt(2) + sp.sqrt(3)),
    "pentagon": (sp.cos(sp.pi / 10), sp.sqrt(10 + 2 * sp.sqrt(5)) / 4),
    "pentagon, cot and tan": (
        sp.cot(sp.pi / 10),
        (3 * sp.tan(sp.pi / 10) + sp.tan(3 * sp.pi / 10)) * sp.cot(sp.pi / 10) / (4 * sp.sin(sp.pi / 5)),
    ),
    "heptagon": (sp.cos(sp.pi / 7) * sp.cos(2 * sp.pi / 7) * sp.cos(3 * sp.pi / 7), R(1, 8)),
    "Morrie's law": (
        sp.cos(20 * DEGREE) * sp.cos(40 * DEGREE) * sp.cos(80 * DEGREE),
        R(1, 8),
    ),
    "sines of 20, 40, 80": (
        sp.sin(20 * DEGREE) * sp.sin(40 * DEGREE) * sp.sin(80 * DEGREE),
        sp.sqrt(3) / 8,
    ),
    "root of a cosine": (sp.sqrt(2 + 2 * sp.cos(40 * DEGREE)), 2 * sp.cos(20 * DEGREE)),
    "root of a cosine with a letter": (
        a * sp.sqrt(2 - 2 * sp.cos(40 * DEGREE)),
        2 * a * sp.sin(20 * DEGREE),
    ),
    "double of an inverse tangent": (sp.tan(2 * sp.atan(a / b)), 2 * a * b / (b**2 - a**2)),
    "half of an inverse tangent": (sp.sin(sp.atan(R(3, 4)) / 2), 1 / sp.sqrt(10)),
    "inverse sine and cosine": (sp.sin(sp.asin(R(3, 5)) + sp.acos(R(12, 13))), R(56, 65)),
    "fourth root": (sp.root(4 * a**4, 4), sp.sqrt(2) * a),
}


@pytest.mark.parametrize("name", IDENTITIES)
def test_identity_holds(name: str) -> None:
    """Two expressions that are equal by a known identity are one element, and unequal ones are not."""
    left, right = IDENTITIES[name]

    assert equal(left, right)
    assert not equal(left, right + R(1, 10**9))


def test_no_root_is_adjoined_twice() -> None:
    """A root that lies in the tower already, also as a product or nested, is found there."""
    field = Field.containing(
        [
            sp.sqrt(2),
            sp.sqrt(3),
            sp.sqrt(6),
            sp.sqrt(a**2 * 2),
            sp.sqrt(5 + 2 * sp.sqrt(6)),
            sp.sqrt(R(2, 3)),
        ],
        {},
    )

    assert sum(isinstance(g, Root) for g in field.generators) == 2


def test_generators_say_what_they_are() -> None:
    """Letters, half-angle tangents with their denominator, the cosine of odd angles, roots on top."""
    field = Field.containing([a * sp.cos(alpha / 3) + sp.sqrt(a + b), sp.sin(sp.pi / 7)], {})

    root, cosine, angle, first, second = field.generators
    assert isinstance(root, Root)
    assert root.radicand.expr() == a + b
    assert cosine == Cosine(14)
    assert angle == HalfTangent(alpha, 3)
    assert (first, second) == (Letter("a", a), Letter("b", b))
    assert len(field.ctx.gens()) == len(field.generators)


def test_inverse_undoes_multiplication_in_a_tower() -> None:
    """x * (1/x) = 1 for random elements over nested roots, a cosine, letters and angles (seed 7)."""
    chance = random.Random(7)
    exprs = [
        sp.sqrt(2),
        sp.sqrt(a + sp.sqrt(2) * b),
        sp.cos(sp.pi / 7),
        sp.tan(alpha),
        sp.Integer(1),
    ]
    field = Field.containing(exprs, {})
    for _ in range(20):
        x = field.zero
        for _ in range(3):
            term = field.element(chance.randint(1, 9))
            for expr in chance.sample(exprs, 2):
                term = term * field.element(expr)
            x = x + term

        assert x * (1 / x) == field.one


TOWERS = {
    "letters and an angle": [a, b, sp.tan(alpha)],
    "nested roots": [sp.sqrt(2), sp.sqrt(3 + sp.sqrt(2))],
    "roots of letters": [sp.sqrt(a + b), sp.sqrt(a), b],
    "a cosine": [sp.cos(sp.pi / 7)],
    "a cosine and a letter": [sp.cos(sp.pi / 7), a],
    "a cosine and a root": [sp.cos(sp.pi / 9), sp.sqrt(a), sp.sqrt(5)],
    "a cosine of high degree": [sp.cos(37 * DEGREE)],
}


@pytest.mark.parametrize("name", TOWERS)
def test_squares_have_roots_and_others_have_none(name: str) -> None:
    """The root of x^2 is x or -x for random x; 11 x^2 has none, since 11 divides no n here (seed 11)."""
    chance = random.Random(11)
    exprs = TOWERS[name]
    field = Field.containing(exprs, {})
    for _ in range(4):
        x = field.element(chance.randint(1, 9))
        for expr in exprs:
            x = x + field.element(chance.randint(-5, 5)) * field.element(expr)
        x = x / field.element(chance.choice(exprs))
        root = (x * x).sqrt()

        assert root is not None
        assert root in (x, -x)
        assert (x * x * 11).sqrt() is None
        assert (x * x * field.element(exprs[0]) + 1).sqrt() is None


def test_conversion_keeps_the_value() -> None:
    """The value at the field's values is that of sympy's own evaluation (50 digits)."""
    values = {"a": R(3, 2), "b": R(2, 7), "alpha": R(1, 3), "beta": 35 * DEGREE}
    expr = (
        sp.sqrt(a**2 + b**2 - 2 * a * b * sp.cos(alpha)) * sp.sec(beta / 2 - sp.pi / 7)
        + sp.pi * sp.cot(alpha + beta) / sp.sqrt(1 + sp.sqrt(a))
        - sp.csc(2 * alpha) * sp.sin(sp.acos(R(1, 3)) * R(3, 2))
    )
    field = Field.containing([expr], values)
    back = field.element(expr).expr()

    numbers = {s: values[s.name] for s in expr.free_symbols}
    assert abs(sp.N((expr - back).subs(numbers), 50)) < R(1, 10**45)


@pytest.mark.parametrize(
    ("expr", "expected"),
    [
        (a - b / 2, 0),
        (a - b, -1),
        (sp.sin(alpha) - sp.cos(alpha), 0),
        (sp.tan(alpha) - 1 + R(1, 10**60), 1),
        (sp.sqrt(a + b) - sp.sqrt(3), 0),
        (sp.sqrt(a + b) * sp.sin(alpha) - sp.sqrt(6) / 2, 0),
        (sp.pi - R(355, 113), -1),
        (sp.cos(beta) * 2 * sp.sin(20 * DEGREE) - sp.sin(40 * DEGREE), 0),
    ],
)
def test_sign_is_exact_at_the_values(expr: Any, expected: int) -> None:
    """Signs at a = 1, b = 2, alpha = 45 deg, beta = 20 deg, where differences vanish or nearly do."""
    field = Field.containing(
        [expr], {"a": sp.Integer(1), "b": sp.Integer(2), "alpha": sp.pi / 4, "beta": 20 * DEGREE}
    )

    assert field.element(expr).sign() == expected


def test_chosen_signs_are_noted() -> None:
    """The root of (a - b)^2 is the positive one at the values, and that it is positive is on record."""
    expr = sp.sqrt(a**2 - 2 * a * b + b**2)
    field = Field.containing([expr], {"a": sp.Integer(1), "b": sp.Integer(2)})

    assert field.element(expr) == b - a
    assert [e.expr() for e in field.assumptions] == [b - a]
    assert Field.containing([sp.sqrt(a**2 + b**2 + 2 * a * b)], {}).assumptions == []


def test_a_wider_field_takes_elements_of_the_narrower() -> None:
    """Adjoining a root by need: sqrt(a^2 + b^2)^2 = a^2 + b^2, and mixed products work."""
    field = Field.containing([a, b], {})
    square = field.element(a**2 + b**2)
    wider, root = field.with_root(square)

    assert root * root == square
    assert isinstance(root * field.element(a), Element)
    assert (root * field.element(a)).field is wider


@pytest.mark.parametrize(
    "expr",
    [
        1 / (sp.sin(alpha) ** 2 + sp.cos(alpha) ** 2 - 1),
        1 / (sp.sqrt(a**2 + 2 * a * b + b**2) - a - b),
        1 / (sp.cos(36 * DEGREE) - sp.cos(72 * DEGREE) - R(1, 2)),
    ],
)
def test_division_by_a_hidden_zero_is_refused(expr: Any) -> None:
    """A denominator that is identically zero, though it does not look so, is bad input."""
    with pytest.raises(BadInput, match="identically zero"):
        Field.containing([expr], {}).element(expr)


@pytest.mark.parametrize(
    ("expr", "words"),
    [
        (sp.sin(a * b), "neither a rational multiple"),
        (sp.root(a, 3), "only square roots"),
        (sp.exp(a), "is not made of"),
        (sp.sqrt(a - b), "negative at the values"),
        (sp.sin(sp.atan(R(1, 2)) / 3), "divided by 3"),
    ],
)
def test_what_has_no_place_is_refused(expr: Any, words: str) -> None:
    """Expressions outside such fields are refused with the reason."""
    with pytest.raises(BadInput, match=words):
        Field.containing([expr], {"a": sp.Integer(1), "b": sp.Integer(2)})
