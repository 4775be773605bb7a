"""All values of letters that make exact elements vanish; compared with scipy, numpy and mpmath."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

import mpmath  # type: ignore[import-untyped]
import numpy as np
import pytest
import sympy as sp
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, fsolve

from simlab.errors import BadInput
from simlab.exact.field import Field
from simlab.exact.solving import Solution, solutions

W, S, a, b, c, d, k, x, y, z = sp.symbols("W S a b c d k x y z", positive=True)
THETA, PHI, BETA = sp.symbols("theta phi beta", positive=True)
ZERO, PI, OO = sp.S.Zero, sp.pi, sp.oo
ACUTE = (ZERO, PI / 2)
FIGURES = 30


def solved(exprs: list[Any], found: Mapping[str, Any], **values: Any) -> tuple[Solution, ...]:
    """The solutions of expressions = 0 at values of the given letters."""
    field = Field.containing(exprs, {name: sp.sympify(value) for name, value in values.items()})
    return solutions([field.element(e) for e in exprs], found)


def number(solution: Solution, name: str) -> float:
    """A letter's value as a number."""
    return float((solution.low[name] + solution.high[name]) / 2)


def grid_roots(f: Any, low: float, high: float, steps: int = 4001) -> list[float]:
    """Roots at sign changes on a grid, by scipy."""
    at = np.linspace(low, high, steps)
    signs = [f(p) for p in at]
    return [
        float(brentq(f, p, q, xtol=1e-14))
        for p, q, u, v in zip(at, at[1:], signs, signs[1:], strict=False)
        if u * v < 0
    ]


@pytest.mark.parametrize(
    ("expr", "found", "values", "equation"),
    [
        (5 * W * sp.sin(THETA) - 2 * S * sp.cos(THETA), ACUTE, {}, (sp.tan(THETA), 2 * S / (5 * W))),
        (4 * sp.cos(THETA) - 1, ACUTE, {}, (sp.cos(THETA), sp.Rational(1, 4))),
        (3 * sp.sin(THETA) - sp.cos(THETA), ACUTE, {}, (sp.tan(THETA), sp.Rational(1, 3))),
        (a * sp.cos(THETA) ** 3 - c, ACUTE, {"a": 3, "c": 1}, (sp.cos(THETA) ** 3, c / a)),
        (5 * sp.sin(2 * THETA) - 3, (ZERO, PI / 6), {}, (sp.tan(THETA), sp.Rational(1, 3))),
    ],
)
def test_the_equation_is_the_one_that_a_textbook_writes(
    expr: Any, found: Any, values: Any, equation: tuple[Any, Any]
) -> None:
    """Solved by hand: tan, cos, cos^3, and sin 2u = 3/5, at tan u = 1/3 (3-4-5 triangle)."""
    (only,) = solved([expr], {"theta": found}, **values)
    assert only.equation["theta"] == equation


def test_a_plain_letter() -> None:
    """2 x = 3 W."""
    (only,) = solved([2 * x - 3 * W], {"x": (ZERO, OO)}, W=2)
    assert only.equation["x"] == (x, 3 * W / 2)
    assert only.low["x"] == only.high["x"] == 3


def test_the_figures_agree_to_thirty() -> None:
    """x^5 = x + 1, its root by mpmath to 40 figures."""
    (only,) = solved([x**5 - x - 1], {"x": (ZERO, OO)})
    with mpmath.workdps(50):
        root = mpmath.findroot(lambda p: p**5 - p - 1, 1.2)
        low, high = (mpmath.mpf(q.numerator) / q.denominator for q in (only.low["x"], only.high["x"]))
        assert abs(low - root) < root * mpmath.mpf(10) ** -FIGURES
        assert abs(high - root) < root * mpmath.mpf(10) ** -FIGURES
    assert only.low["x"] <= only.high["x"]
    assert only.exact["x"] is None
    assert only.equation["x"] == (x**5 - x - 1, 0)


@pytest.mark.parametrize("seed", range(12))
def test_a_sine_and_a_cosine(seed: int) -> None:
    """A cos u + B sin u = C at atan2(B, A) +- acos(C/R), R = |(A, B)| (common practice, no source)."""
    chance = random.Random(seed)
    p, q, r = (chance.choice([-1, 1]) * chance.randint(1, 9) for _ in range(3))
    found = solved([p * sp.cos(THETA) + q * sp.sin(THETA) - r], {"theta": (-PI, PI)})
    size = np.hypot(p, q)
    expected = []
    if abs(r) < size:
        for side in (1, -1):
            u = np.arctan2(q, p) + side * np.arccos(r / size)
            expected.append((u + np.pi) % (2 * np.pi) - np.pi)
    elif abs(r) == size:
        expected = [float(np.arctan2(q, p))]
    numbers = [number(s, "theta") for s in found]
    if p == -r:  # half a turn, at both ends of the range
        expected = sorted([*(e for e in expected if abs(abs(e) - np.pi) > 1e-9), -np.pi, np.pi])
    assert numbers == pytest.approx(sorted(expected), abs=1e-12)
    for s in found:
        if s.exact["theta"] is not None:
            assert float(sp.N(s.exact["theta"], 20)) == pytest.approx(number(s, "theta"), abs=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_a_quartic_in_the_half_tangent(seed: int) -> None:
    """b cos u - a sin u = d cos 2u: as many roots, and the same, as scipy finds on a grid."""
    chance = random.Random(seed)
    values = {name: sp.Rational(chance.randint(1, 40), 7) for name in "abd"}
    p, q, r = (float(values[name]) for name in "abd")
    found = solved(
        [b * sp.cos(THETA) - a * sp.sin(THETA) - d * sp.cos(2 * THETA)],
        {"theta": (-PI, PI)},
        **values,
    )
    expected = grid_roots(lambda u: q * np.cos(u) - p * np.sin(u) - r * np.cos(2 * u), -np.pi, np.pi)
    assert [number(s, "theta") for s in found] == pytest.approx(expected, abs=1e-10)
    for s in found:
        left, right = s.equation["theta"]
        put = {**{sp.Symbol(n, positive=True): v for n, v in values.items()}, THETA: number(s, "theta")}
        assert float((left - right).subs(put)) == pytest.approx(0, abs=1e-9)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(st.integers(-9, 9), min_size=3, max_size=7))
def test_every_sign_change_on_a_grid_is_a_root_found(parts: list[int]) -> None:
    """A polynomial of whole coefficients: every sign change between grid points holds a root."""
    expr = sum((n * x**i for i, n in enumerate(parts)), ZERO)
    if not expr.free_symbols:
        return
    found = [number(s, "x") for s in solved([expr], {"x": (sp.Integer(-3), sp.Integer(3))})]
    assert len(set(found)) == len(found)
    for root in grid_roots(lambda p: float(np.polyval(parts[::-1], p)), -3.0001, 3.0002, 997):
        if abs(root) < 3 - 1e-9:
            assert min(abs(root - f) for f in found) < 1e-9
    for f in found:
        assert abs(np.polyval(parts[::-1], f)) < 1e-9 * (
            1 + sum(abs(n) * 3.0**i for i, n in enumerate(parts))
        )


def test_a_root_at_an_end_of_the_range_belongs_to_it() -> None:
    """sin u (2 cos u - 1) on [0, pi/3], and on [0, pi/3 - a little]."""
    expr = sp.sin(THETA) * (2 * sp.cos(THETA) - 1)
    whole = solved([expr], {"theta": (ZERO, PI / 3)})
    assert [s.exact["theta"] for s in whole] == [0, PI / 3]
    less = solved([expr], {"theta": (ZERO, PI / 3 - sp.Rational(1, 10**50))})
    assert [s.exact["theta"] for s in less] == [0]


def test_an_irrational_end() -> None:
    """x^2 = 2 on [sqrt(2), 5]; the range beyond it holds none."""
    assert len(solved([x**2 - 2], {"x": (sp.sqrt(2), sp.Integer(5))})) == 1
    assert solved([x**2 - 2], {"x": (sp.sqrt(2) + sp.Rational(1, 10**40), sp.Integer(5))}) == ()


def test_no_root_in_the_range() -> None:
    """cos u = 2; x + 1 = 0 for x >= 0."""
    assert solved([sp.cos(THETA) - 2], {"theta": (-PI, PI)}) == ()
    assert solved([x + 1], {"x": (ZERO, OO)}) == ()


def test_a_double_root_is_one_root() -> None:
    """(x - 1)^2, and x^2 - 2ax + b where a^2 = b only at the values."""
    assert [s.exact["x"] for s in solved([x**2 - 2 * x + 1], {"x": (ZERO, OO)})] == [1]
    (only,) = solved([x**2 - 2 * a * x + b], {"x": (ZERO, OO)}, a=3, b=9)
    assert number(only, "x") == 3


def test_square_roots_are_positive() -> None:
    """sqrt(x) = -1 has no root; sqrt(x) = x - 1 has ((1 + sqrt 5)/2)^2 and not its conjugate."""
    assert solved([sp.sqrt(x) + 1], {"x": (ZERO, OO)}) == ()
    (only,) = solved([sp.sqrt(x) - x + 1], {"x": (ZERO, OO)})
    assert number(only, "x") == pytest.approx(((1 + 5**0.5) / 2) ** 2)


def test_a_rope_whose_length_is_a_root() -> None:
    """A nested root with an angle in it: sqrt(5 - 4 cos u) = 2, cos u = 1/4."""
    (only,) = solved([sp.sqrt(5 - 4 * sp.cos(THETA)) - 2], {"theta": ACUTE})
    assert only.equation["theta"] == (sp.cos(THETA), sp.Rational(1, 4))
    assert solved([sp.sqrt(5 - 4 * sp.cos(THETA)) + 2], {"theta": ACUTE}) == ()


def test_two_rods_pulled_aside() -> None:
    """tan phi = 3 tan theta, sin theta + sin phi = 3/2: against scipy's fsolve."""
    (only,) = solved(
        [sp.tan(PHI) - 3 * sp.tan(THETA), sp.sin(THETA) + sp.sin(PHI) - sp.Rational(3, 2)],
        {"theta": (ZERO, PI / 2), "phi": (ZERO, PI / 2)},
    )
    t, p = fsolve(
        lambda v: [np.tan(v[1]) - 3 * np.tan(v[0]), np.sin(v[0]) + np.sin(v[1]) - 1.5],
        [0.6, 1.1],
        xtol=1e-13,
    )
    assert (number(only, "theta"), number(only, "phi")) == pytest.approx((t, p), abs=1e-10)


def test_two_lengths_of_a_triangle() -> None:
    """p^2 + q^2 - 2pq cos u = 4a^2, p = 2q: q = 2a/sqrt(5 - 4 cos u), by hand."""
    (only,) = solved(
        [x**2 + y**2 - 2 * x * y * sp.cos(THETA) - 4 * a**2, x - 2 * y],
        {"x": (ZERO, OO), "y": (ZERO, OO)},
        a=3,
        theta=sp.Rational(7, 10),
    )
    assert sp.simplify(only.exact["y"] - 2 * a / sp.sqrt(5 - 4 * sp.cos(THETA))) == 0
    assert number(only, "x") == pytest.approx(12 / (5 - 4 * np.cos(0.7)) ** 0.5)


def test_more_equations_than_letters() -> None:
    """All of them must vanish: (x - 1)(x - 2) and (x - 2)(x - 3)."""
    found = solved([(x - 1) * (x - 2), (x - 2) * (x - 3)], {"x": (ZERO, OO)})
    assert [s.exact["x"] for s in found] == [2]
    assert solved([x - 1, x - 2], {"x": (ZERO, OO)}) == ()


def test_three_letters() -> None:
    """x + y + z = 6, xy + yz + zx = 11, xyz = 6: the six orders of 1, 2, 3 (Vieta)."""
    found = solved(
        [x + y + z - 6, x * y + y * z + z * x - 11, x * y * z - 6],
        {"x": (ZERO, OO), "y": (ZERO, OO), "z": (ZERO, OO)},
    )
    triples = [tuple(int(s.exact[n] or 0) for n in "xyz") for s in found]
    assert triples == sorted(triples)
    assert len(triples) == 6
    assert {tuple(sorted(t)) for t in triples} == {(1, 2, 3)}


@pytest.mark.parametrize(
    ("exprs", "found"),
    [
        ([x + y - 1], {"x": (ZERO, OO), "y": (ZERO, OO)}),
        ([x + y - 1, 2 * x + 2 * y - 2], {"x": (ZERO, OO), "y": (ZERO, OO)}),
        ([x - 1], {"x": (ZERO, OO), "q": (ZERO, OO)}),
        ([(a - b) * x], {"x": (ZERO, OO)}),
    ],
)
def test_a_free_letter_is_said(exprs: list[Any], found: Any) -> None:
    """Fewer independent equations than letters; also where they say nothing at the values only."""
    with pytest.raises(BadInput, match=r"free|any value"):
        solved(exprs, found, a=1, b=1)


@pytest.mark.parametrize(
    ("expr", "expected"),
    [
        (2 * sp.sin(THETA) - 1, [PI / 6, 5 * PI / 6]),
        (sp.cos(THETA) - sp.cos(BETA / 2), [BETA / 2]),
        (sp.sin(THETA) - sp.cos(BETA), [PI / 2 - BETA, PI / 2 + BETA]),
        (8 * sp.cos(THETA) ** 3 - 6 * sp.cos(THETA) - 1, [PI / 9, 5 * PI / 9, 7 * PI / 9]),
        (4 * sp.cos(THETA) ** 2 - 2 * sp.cos(THETA) - 1, [PI / 5, 3 * PI / 5]),
        (sp.sin(THETA) * (1 + sp.cos(THETA)), [0, PI]),
    ],
)
def test_known_angles(expr: Any, expected: list[Any]) -> None:
    """30, 150, 36, 108 degrees, cos 3u = 1/2, multiples of a given angle (from memory); 0 and pi."""
    found = solved([expr], {"theta": (ZERO, PI)}, beta=sp.Rational(1, 2))
    assert [sp.simplify(s.exact["theta"] - e) for s, e in zip(found, expected, strict=True)] == [0] * len(
        expected
    )


def test_branches_of_inverse_functions() -> None:
    """tan u = -2/7 and cos u = -2/7 over two turns, against numpy."""
    tangents = solved([7 * sp.sin(THETA) + 2 * sp.cos(THETA)], {"theta": (-PI, 2 * PI)})
    expected = sorted(-np.arctan(2 / 7) + n * np.pi for n in range(3))
    assert [number(s, "theta") for s in tangents] == pytest.approx(expected)
    cosines = solved([7 * sp.cos(THETA) + 2], {"theta": (-PI, 2 * PI)})
    u = np.arccos(-2 / 7)
    assert [number(s, "theta") for s in cosines] == pytest.approx(sorted([-u, u, 2 * np.pi - u]))
    for s in (*tangents, *cosines):
        assert float(sp.N(s.exact["theta"], 20)) == pytest.approx(number(s, "theta"))


def test_halves_of_the_sought_angle() -> None:
    """sin(u/2) = 1/3 among quarter-angle tangents, against numpy."""
    (only,) = solved([3 * sp.sin(THETA / 2) - 1], {"theta": (ZERO, PI)})
    assert number(only, "theta") == pytest.approx(2 * np.arcsin(1 / 3))
    assert float(sp.N(only.exact["theta"])) == pytest.approx(2 * np.arcsin(1 / 3))


def test_the_assumption_says_when_the_root_exists() -> None:
    """lam*(4a cos u - l) = W*l has an acute root only for lam > W*l/(4a - l)."""
    lam, l = sp.symbols("lam l", positive=True)
    (only,) = solved([lam * (4 * a * sp.cos(THETA) - l) - W * l], {"theta": ACUTE}, a=1, l=2, lam=4, W=1)
    (held,) = only.assumptions
    ratio = sp.simplify(held.expr() / (lam * (4 * a - l) - W * l))
    assert ratio.is_positive


def test_special_values_of_given_letters() -> None:
    """a x^2 + b x + c at a = 0 is linear: the root at infinity is dropped."""
    field = Field.containing(
        [k * x**2 + b * x - c], {"k": sp.Integer(0), "b": sp.Integer(2), "c": sp.Integer(3)}
    )
    (only,) = solutions([field.element(k * x**2 + b * x - c)], {"x": (-OO, OO)})
    assert number(only, "x") == pytest.approx(1.5)


def test_an_angle_as_end_must_be_finite() -> None:
    """An angle without an end of its range has no end of roots."""
    with pytest.raises(BadInput, match="two ends"):
        solved([sp.sin(THETA)], {"theta": (ZERO, OO)})


def test_an_end_reached_at_the_values_only_keeps_its_expression() -> None:
    """x = a - b is the end 0 of its range where a = b, and stays a - b."""
    (only,) = solved([x - a + b], {"x": (ZERO, OO)}, a=2, b=2)
    assert only.low["x"] == only.high["x"] == 0
    assert only.exact["x"] == a - b


def test_a_root_that_is_zero_at_irrational_values() -> None:
    """x = sqrt(2)*a - b is 0 at a = sqrt(2), b = 2: also a difference that no ball can tell from 0."""
    expr = x - sp.sqrt(2) * a + b
    (only,) = solved([expr], {"x": (-OO, OO)}, a=sp.sqrt(2), b=2)
    assert only.low["x"] == only.high["x"] == 0
    (only,) = solved([sp.sqrt(1 + x) - 1 - sp.sqrt(2) * a + b], {"x": (-sp.S.One, OO)}, a=sp.sqrt(2), b=2)
    assert only.low["x"] == only.high["x"] == 0
