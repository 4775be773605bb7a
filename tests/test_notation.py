"""Expressions on the page: plain text and LaTeX, by common practice of textbooks (no source)."""

from __future__ import annotations

import pytest
import sympy as sp
import ziamath

from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.notation.latex import latex
from simlab.notation.plain import plain

W, P, U, V, w, a, b, h, p = sp.symbols("W P U V w a b h p", positive=True)
alpha, beta, theta = sp.symbols("alpha beta theta")
tension, mu, first = sp.symbols("T_AB mu theta1")
sin, cos, tan, cot = sp.sin, sp.cos, sp.tan, sp.cot
R = sp.Rational

SAMPLES = [
    (2 * W * tan(alpha), "2 W tan α", r"2W\tan\alpha"),
    (5 * sp.sqrt(3) * W / 2, "5√3 W/2", r"\frac{5\sqrt{3}\,W}{2}"),
    ((4 * W + 3 * w) * tan(theta) / 6, "(4W + 3w) tan θ / 6", r"\frac{\left(4W + 3w\right)\tan\theta}{6}"),
    (W * cot(sp.pi / 10, evaluate=False), "W cot 18°", r"W\cot 18^{\circ}"),
    (W * sin(sp.pi / 8, evaluate=False), "W sin 22.5°", r"W\sin 22.5^{\circ}"),
    (W * tan(sp.pi / 7), "W tan(π/7)", r"W\tan\frac{\pi}{7}"),
    (W / (2 * sin(alpha)), "W/(2 sin α)", r"\frac{W}{2\sin\alpha}"),
    (
        W * sp.sqrt(9 * tan(theta) ** 2 + 4) / 2,
        "W√(9 tan² θ + 4)/2",
        r"\frac{W\sqrt{9\tan^{2}\theta + 4}}{2}",
    ),
    ((6 + sp.sqrt(2)) * W, "(6 + √2)W", r"\left(6 + \sqrt{2}\right)W"),
    ((2 - sp.sqrt(2)) * W, "(2 − √2)W", r"\left(2 - \sqrt{2}\right)W"),
    (sp.Mul(4, sp.sqrt(2) - 1, W), "4(√2 − 1)W", r"4\left(\sqrt{2} - 1\right)W"),
    (W * (tan(beta) * 2 - tan(alpha)) / 2, "W(2 tan β − tan α)/2", None),
    (P * sp.sqrt(p**2 + h**2) / (2 * h), "P√(h² + p²)/(2h)", r"\frac{P\sqrt{h^{2} + p^{2}}}{2h}"),
    (W * a / (2 * h), "W a/(2h)", r"\frac{Wa}{2h}"),
    (sp.Mul(R(1, 2), U + V, evaluate=False), "(U + V)/2", r"\frac{U + V}{2}"),
    (-3 * W / 2, "−3W/2", r"-\frac{3W}{2}"),
    (R(-7, 2), "−7/2", r"-\frac{7}{2}"),
    (sp.Integer(0), "0", "0"),
    (W * cos(2 * theta) / (2 * cos(theta)), "W cos 2θ / (2 cos θ)", r"\frac{W\cos 2\theta}{2\cos\theta}"),
    (W * tan(theta / 2), "W tan(θ/2)", r"W\tan\frac{\theta}{2}"),
    (W * sin(alpha - beta), "W sin(α − β)", r"W\sin\left(\alpha - \beta\right)"),
    (W * sin(alpha) ** 2 * cos(beta), "W sin² α cos β", r"W\sin^{2}\alpha\,\cos\beta"),
    (2 * tension * a, "2T_AB a", r"2T_{AB}\,a"),
    (mu * W * tan(first), "μ W tan θ₁", r"\mu W\tan\theta_{1}"),
    (W * sp.sqrt(a / b), "W√(a/b)", r"W\sqrt{\frac{a}{b}}"),
    (P - a * (W + 2 * P) / (2 * h), "P − a(2P + W)/(2h)", r"P - \frac{a\left(2P + W\right)}{2h}"),
    (sp.atan(R(2, 3)), "arctan(2/3)", r"\arctan\frac{2}{3}"),
    (sp.atan(tan(theta) + 1), "arctan(tan θ + 1)", r"\arctan\left(\tan\theta + 1\right)"),
]


@pytest.mark.parametrize(("expr", "text", "tex"), SAMPLES, ids=[text for _, text, _ in SAMPLES])
def test_an_expression_is_written_as_on_paper(expr, text, tex):
    """Products, fractions, roots, powers, functions, degrees, indices; a minus never first if avoidable."""
    assert plain(expr) == text
    assert tex is None or latex(expr) == tex


@pytest.mark.parametrize(
    ("expr", "text", "tex"),
    [
        (sp.pi / 6, "30°", r"30^{\circ}"),
        (sp.pi / 2 - theta, "90° − θ", r"90^{\circ} - \theta"),
        (sp.pi / 4 - theta / 2, "45° − θ/2", r"45^{\circ} - \frac{\theta}{2}"),
        (sp.pi / 7, "π/7", r"\frac{\pi}{7}"),
    ],
)
def test_an_angle_is_written_in_degrees(expr, text, tex):
    """A direction reads 90° − θ; what is no half degree stays a part of pi."""
    assert plain(expr, angle=True) == text
    assert latex(expr, angle=True) == tex


def test_a_number_is_not_an_angle():
    """The perimeter pi*a is no 180 degrees."""
    assert plain(sp.pi * a) == "π a"


@pytest.mark.parametrize("expr", [expr for expr, _, _ in SAMPLES], ids=[text for _, text, _ in SAMPLES])
def test_every_sample_can_be_typeset(expr):
    """ziamath sets the LaTeX of each sample to some width."""
    assert ziamath.Latex(latex(expr)).getsize()[0] > 0


def test_what_is_printed_can_be_typed_back():
    """str of a textbook form is read by sympy's parser as the same element."""
    expr = W * (3 * tan(alpha) + 5 * tan(theta)) / 2 + P * sp.sqrt(3) / cos(sp.pi / 10)
    field = Field.containing([expr], {})

    back = sp.sympify(str(textbook(field.element(expr))), locals={str(s): s for s in expr.free_symbols})

    assert field.element(back) == field.element(expr)
