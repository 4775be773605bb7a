"""Equations, numbered steps, pictures and tables of a page in every medium (common practice, no source)."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
import sympy as sp
import ziamath
from markdown_it import MarkdownIt

from simlab.notation.mathml import mathml
from simlab.notation.page import (
    WIDTH,
    Break,
    Figure,
    Formula,
    Heading,
    Maths,
    Space,
    Table,
    html_document,
    latex_document,
    line,
    written,
)
from simlab.notation.signs import in_tex, tex_signs

W, Q, T, a, theta = sp.symbols("W Q T a theta")
MATHS = "{http://www.w3.org/1998/Math/MathML}"
HTML = "{http://www.w3.org/1999/xhtml}"
TIMES = " × "

MOMENTS = Formula(
    (Maths(Q), TIMES, Maths(4 * a * sp.sin(theta))),
    (Maths(W), TIMES, Maths(2 * a * sp.sin(theta)), " + ", Maths(T), TIMES, Maths(3 * a * sp.cos(theta))),
    label="1",
)
RESULT = Formula((Maths(T),), (Maths(sp.Integer(14)), " N"), note="as required")
PAGE = [
    Heading("A & B", 1),
    line("Moments about ", Maths(sp.Symbol("H")), ":", number=8, lead="HG alone."),
    MOMENTS,
    RESULT,
    line("positive, so the rope is taut.", indent=True),
    line("Next.", number=9),
    Figure("after", "HG with its forces"),
    Table(("force", "value"), ((("tension",), ("14.8 N",)),), right=(1,)),
    Space(2),
    Break(),
]


def test_a_terminal_aligns_equations_at_their_equals_signs():
    """The step's number hangs, its equations stand below one another."""
    assert list(written(PAGE, "text")) == [
        "A & B",
        "8.  HG alone. Moments about H:",
        "        Q × 4 a sin θ = W × 2 a sin θ + T × 3 a cos θ    (1)",
        "                    T = 14 N                             as required",
        "    positive, so the rope is taut.",
        "9.  Next.",
        "[diagram: HG with its forces]",
        "force     value",
        "tension  14.8 N",
        "",
        "",
        "",
    ]


def test_latex_aligns_equations_and_tags_them():
    """Multiplication is a sign of mathematics, words are upright, the number is the equation's tag."""
    text = "\n".join(written(PAGE, "latex"))

    assert r"Q\times 4a\sin\theta &= W\times 2a\sin\theta+T\times 3a\cos\theta \tag{1} \\" in text
    assert r"T &= 14\text{ N} && \text{as required}" in text
    assert r"\textbf{HG alone.} Moments about $H$:" in text


def test_markdown_has_its_equations_between_double_dollars():
    """What belongs to a step is indented as CommonMark has it for a list item; specials are escaped."""
    text = "\n".join(written([*PAGE, line("5 * 3_a <b>")], "markdown"))

    assert "8.  **HG alone.** Moments about $H$:\n\n    $$\n    \\begin{aligned}\n" in text
    assert r"    T &= 14\text{ N} \qquad \text{as required}" in text
    assert "![HG with its forces](after.svg)" in text
    assert "| force | value |\n| --- | ---: |\n| tension | 14.8 N |" in text
    assert r"5 \* 3\_a \<b\>" in text


def test_markdown_is_read_as_meant():
    """A CommonMark reader (markdown-it) sees lists that begin at 8 and 11, paragraphs in them, no code."""
    page = [
        *PAGE[:6],
        line("Outside."),
        line("Eleven.", number=11),
        MOMENTS,
        line("x", label="y"),
    ]
    html = MarkdownIt().render("\n".join(written(page, "markdown")))

    assert re.findall(r'<ol start="(\d+)">', html) == ["8", "11"]
    assert "<code>" not in html
    assert html.count("begin{aligned}") == 2
    assert "<p>positive, so the rope is taut.</p>\n</li>" in html


def test_html_has_steps_equations_pictures_and_tables():
    """A document is well-formed XML: an ordered list with its numbers, MathML, an alternative text."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg"/>'
    root = ElementTree.fromstring(html_document(PAGE, "A & B", pictures={"after": svg}))
    steps = list(root.iter(f"{HTML}li"))
    picture = next(root.iter(f"{HTML}img"))

    assert root.attrib["lang"] == "en"
    assert [step.attrib["value"] for step in steps] == ["8", "9"]
    assert len(list(steps[0].iter(f"{HTML}tr"))) == len((MOMENTS, RESULT))
    assert "×" in [sign.text for sign in steps[0].iter(f"{MATHS}mo")]
    assert picture.attrib["alt"] == "HG with its forces"
    assert picture.attrib["src"].startswith("data:image/svg+xml;base64,")
    assert [head.text for head in root.iter(f"{HTML}th")] == ["force", "value"]


def test_a_long_equation_goes_on_before_a_sign():
    """No line of a terminal is wider than it may be, and every term is still there."""
    long = Formula(
        (Maths(Q),), tuple(piece for k in range(9) for piece in (" + ", Maths(W), f"{TIMES}12345"))
    )
    lines = list(written([long], "text"))

    assert len(lines) > 1
    assert all(len(one) <= WIDTH for one in lines)
    assert "".join(lines).count("12345") == 9
    assert all(one.strip().startswith("+") for one in lines[1:])


def test_a_long_left_side_has_a_line_of_its_own():
    """It begins where the next line's equals sign stands, apart from equations that are aligned."""
    left = tuple(piece for k in range(6) for piece in (" + ", Maths(W), f"{TIMES}123456"))
    page = [RESULT, Formula(left, (Maths(T), TIMES, Maths(Q))), RESULT]
    latex = [
        row.partition("&")[0].strip() for row in "\n".join(written(page, "latex")).split("\n") if "&" in row
    ]
    texts = list(written(page, "text"))

    assert latex == ["T", "", "", "T"]
    assert "".join(written(page, "latex")).count("begin{align*}") == len(page)
    assert "".join(written(page, "mathml")).count("<table") == len(page)
    assert [text.strip()[:3] for text in texts] == ["T =", "+ W", "= T", "T ="]


def test_a_factor_that_is_a_sum_is_put_in_brackets():
    """Q × (a + 1), W × (−2), but W × 3."""
    factors = (
        Maths(a + 1, factor=True),
        Maths(sp.Integer(-2), factor=True),
        Maths(sp.Integer(3), factor=True),
    )
    texts = [in_tex((Maths(W), TIMES, factor)) for factor in factors]

    assert texts == [
        r"W\times \left(a + 1\right)",
        r"W\times \left(-2\right)",
        r"W\times 3",
    ]


@pytest.mark.parametrize("text", [" × ", " + ", " N", "so ", " ≤ ", "✓", "36.9° below", "5 % & more", "θ"])
def test_every_text_of_an_equation_can_be_typeset(text):
    """ziamath sets it to some width; braces balance."""
    tex = tex_signs(text).replace(r"\checkmark", r"\surd")  # ziamath has no check mark

    assert ziamath.Latex(tex).getsize()[0] > 0
    assert tex.count("{") == tex.count("}")


def test_a_latex_document_is_whole():
    """It loads what the fragment needs, and looks for a picture before it asks for it."""
    text = latex_document(PAGE)

    assert text.startswith(r"\documentclass")
    assert text.rstrip().endswith(r"\end{document}")
    assert "amsmath" in text
    assert r"\IfFileExists{after.pdf}" in text
    assert re.search(r"\\section\*\{A \\& B\}", text)


def test_mathml_is_what_a_browser_sets_well():
    """A function stands apart from its angle, a minus is an operator, a Greek letter is one."""
    found = mathml(2 * W * sp.tan(theta) ** 2 - a)
    root = ElementTree.fromstring(f"<m>{found}</m>")

    assert "".join(root.itertext()) == "2Wtan2θ − a"
    assert [sign.text for sign in root.iter("mo")] == ["−"]
    assert [name.text for name in root.iter("mi")] == ["W", "tan", "θ", "a"]
    assert len(list(root.iter("mspace"))) == len(("before tan", "after tan"))
