"""Words and figures that a class reads: directions, amounts, pages, findings (common practice)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
import sympy as sp
import ziamath

from simlab.commands.findings import ranges, shape
from simlab.commands.shapes import in_shape
from simlab.commands.watch import texts_of
from simlab.frame.quantity import FORCE, LENGTH, NUMBER, Quantity
from simlab.frame.question import Asked
from simlab.frame.scene import parse_scene, read_scene
from simlab.lesson.amounts import amount, direction
from simlab.lesson.forces import entries
from simlab.notation.page import WIDTH, Heading, Maths, line, said, written
from simlab.results.statics import Findings, Range, Root
from simlab.results.wording import Sides, reads_well, sense, sides, unit_of
from simlab.statics.solution import solve
from simlab.statics.vectors import vector

W, theta, alpha, mu = sp.symbols("W theta alpha mu", positive=True)
VALUES = {
    "W": Quantity.of(2, FORCE),
    "theta": Quantity(sp.pi / 5),
    "alpha": Quantity(sp.pi / 9),
    "mu": Quantity.of(Fraction(1, 2)),
}


def text(pieces) -> str:
    return said(tuple(pieces), "text")


DIRECTIONS = {
    "at arctan(2/3) = 33.7° below the horizontal, towards the wall": (-3 * W, -2 * W),
    "at θ = 36.0° above the horizontal, away from the wall": (W * sp.cos(theta), W * sp.sin(theta)),
    "at θ = 36.0° to the vertical, downwards, away from the wall": (
        W * sp.sin(theta),
        -W * sp.cos(theta),
    ),
    "at 30° above the horizontal, towards the wall": (-sp.sqrt(3) * W, W),
    "towards the wall": (-W, 0),
    "straight downwards": (0, -W),
}


@pytest.mark.parametrize("words", DIRECTIONS)
def test_directions_are_in_words_with_their_exact_angle(words):
    """A named angle, to the horizontal or the vertical; sides by the wall; never a minus."""
    x, y = DIRECTIONS[words]
    found = vector((Quantity(sp.sympify(x), FORCE), Quantity(sp.sympify(y), FORCE)), VALUES)

    assert text(direction(found, VALUES, Sides("away from the wall", "towards the wall"))) == words


AMOUNTS = {
    "133 N (exactly 3185/24 N)": (sp.Rational(3185, 24), FORCE),
    "18.4 N (exactly 18.375 N)": (sp.Rational(147, 8), FORCE),
    "5/3 N = 1.67 N": (sp.Rational(5, 3), FORCE),
    "1200 N": (sp.Integer(1200), FORCE),
    "73.5 N": (sp.Rational(147, 2), FORCE),
    "3√73/2 N = 12.8 N": (3 * sp.sqrt(73) / 2, FORCE),
    "2 W tan θ = 2.91 N": (2 * W * sp.tan(theta), FORCE),
    "cot θ / 2 = 0.688": (sp.cot(theta) / 2, NUMBER),
    "1/3 m = 0.333 m": (sp.Rational(1, 3), LENGTH),
}


@pytest.mark.parametrize("words", AMOUNTS)
def test_amounts_are_exact_where_that_reads_well_and_in_figures(words):
    """Awkward fractions of a newton come after three figures; 3*sqrt(73)/2 N is a published hinge force."""
    expr, dim = AMOUNTS[words]

    assert text(amount(Quantity(expr, dim), VALUES)) == words


def test_units_and_what_reads_well():
    """Forces in newtons, moments in newton metres; ratios have no unit."""
    assert [" N", " N m", " m", ""] == [
        unit_of(Quantity.of(1, dim)) for dim in (FORCE, (1, 1, 0), LENGTH, NUMBER)
    ]
    assert not reads_well(Quantity.of(Fraction(637, 6)))


def test_senses_and_sides():
    """One or two words; a wall on the left makes left 'towards the wall'; none makes it left."""
    assert sense(-1, 1, Sides()) == "upwards and to the left"
    assert sides(read_scene("scenes/banner_bracket.toml")) == Sides(
        "away from the wall", "towards the wall"
    )
    assert sides(read_scene("scenes/kite_lantern.toml")) == Sides()


@pytest.mark.parametrize("name", ["kite_lantern", "ring_lantern", "five_cane_lantern"])
def test_action_and_reaction_are_told_once(name):
    """At a pin of two rods one force is given, the other is 'the opposite'; no minus stands first."""
    statics = solve(read_scene(f"scenes/{name}.toml"))
    lines = list(entries(statics))
    pins = [pin for pin, joint in statics.frame.joints.items() if len(joint.bodies) == 2]
    bare = [pin for pin in pins if statics.frame.is_bare(pin)]

    for pin in bare:
        told = [one for one in lines if one.label.startswith(f"at {pin},")]
        assert len(told) == 1
        assert "the opposite on" in " ".join(said(part, "text") for part in told[0].parts)
    assert not any(said(one.parts[0], "text").startswith("−") for one in lines)


def test_opposite_forces_have_opposite_forms():
    """Printed components of action and reaction add up to nothing as they stand."""
    statics = solve(read_scene("scenes/five_cane_lantern.toml"))
    by_pin: dict[str, list] = {}
    for key, reaction in statics.case.forces.reactions.items():
        if key.by == key.at and key.at in ("A", "B", "C", "D"):
            by_pin.setdefault(key.at, []).append(reaction.force)

    for one, other in by_pin.values():
        assert all((p.expr + q.expr).expand() == 0 for p, q in zip(one, other, strict=True))


def page():
    statics = solve(read_scene("scenes/kite_lantern.toml"))
    return [Heading("A & B < C: 50 % of α"), *entries(statics), line("θ → 90°, ", Maths(theta / 2, True))]


def test_lines_of_text_fit_a_page():
    """No line is longer than WIDTH, and every word of a line is still there."""
    lines = list(written(page(), "text"))

    assert all(len(one) <= WIDTH for one in lines)
    assert "the mirror image of the force at L on LB" in " ".join(" ".join(lines).split())


def test_latex_is_well_formed():
    """Braces and dollars balance, specials are escaped, and every formula can be typeset."""
    for one in written(page(), "latex"):
        bare = one.replace(r"\{", "").replace(r"\}", "").replace(r"\left(", "").replace(r"\$", "")
        assert bare.count("{") == bare.count("}")
        pieces = bare.split("$")
        assert len(pieces) % 2 == 1
        for formula in pieces[1::2]:
            assert ziamath.Latex(formula.replace(r"\right)", "")).getsize()[0] >= 0
    assert r"A \& B < C: 50 \% of $\alpha$" in next(iter(written(page(), "latex")))


def test_mathml_is_well_formed():
    """The fragment parses as XML, has mathematics in it, and the same sentences."""
    root = ElementTree.fromstring("".join(written(page(), "mathml")))

    assert root.tag == "article"
    assert len(list(root.iter("{http://www.w3.org/1998/Math/MathML}math"))) > len(page())
    assert root[0].text == "A & B < C: 50 % of α"


# What was found of a question

TWO_RODS = """
title = "Two rods"
question = "q"
source = "published entry two-rods-right-angle-string-AC: tan = 1/3"
asked = []
[symbols]
W = { meaning = "weight", shown = "2 N" }
theta = { meaning = "angle", shown = "20 deg" }
[points]
A = ["0", "0"]
B = { from = "A", length = "1 m", direction = "down", lean = "theta", to = "right" }
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[supports]
hinge = { kind = "built-in", at = "A" }
"""


def root(of: str, exact, equation, value: str) -> Root:
    number = Fraction(value)
    quantity = None if exact is None else Quantity(sp.sympify(exact))
    left, right = (Quantity(sp.sympify(side)) for side in equation)
    return Root(of, quantity, (left, right), number, number)


def test_a_shape_is_told_by_its_equation_and_how_it_rests():
    """tan(theta) = 1/3 gives 18.4 degrees; an exact angle is told as it is; a root by its equation only."""
    statics = solve(parse_scene(TWO_RODS))

    def told(found: Root) -> list[str]:
        heading, sentence = shape(
            Findings(statics.frame, (), {}, ""), replace(statics, found={found.of: found})
        )
        return [heading.words, *written([sentence], "text")]

    assert told(
        root("theta", sp.atan(sp.Rational(1, 3)), (sp.tan(theta), sp.Rational(1, 3)), "0.3217506")
    ) == [
        "In the shape with θ = 18.4°",
        "tan θ = 1/3, so θ = 18.4°: it stands firm.",
    ]
    assert told(root("theta", sp.pi / 6, (theta, sp.pi / 6), "0.5235988")) == [
        "In the shape with θ = 30°",
        "θ = 30°: it stands firm.",
    ]
    assert told(root("theta", None, (sp.cos(theta) ** 3, sp.Rational(1, 2)), "0.6537")) == [
        "In the shape with θ = 37.5°",
        "cos³ θ = 1/2, so θ = 37.5°: it stands firm.",
    ]
    assert shape(Findings(statics.frame, (), {}, ""), statics) is None


def test_ranges_are_told_with_what_limits_them():
    """Least mu = 1/(2 tan(theta)), published entry ladder-smooth-wall-least-mu; a pull from ... to ...."""
    frame = parse_scene(TWO_RODS)
    low = root("mu", sp.cot(theta) / 2, (mu, sp.cot(theta) / 2), "0.6881910")
    high = root("mu", 2, (mu, sp.Integer(2)), "2")

    def told(low, high, limiting, measure="range") -> str:
        asked = replace(frame, asked=(Asked(f"{measure} mu", measure, "mu"),))
        findings = Findings(asked, (), {"mu": (Range("mu", low, high, limiting),)}, "")
        return " ".join(" ".join(written(list(ranges(findings)), "text")).split())

    assert told(low, None, (("slipping at A",), ())) == (
        "μ is at least cot θ / 2 = 0.688 (on the point of slipping at A)"
    )
    assert told(low, high, (("slipping at A", "lifting off at B"), ("tension in r at its limit",))) == (
        "μ from cot θ / 2 = 0.688 (on the point of slipping at A and lifting off at B) "
        "to 2 (tension in r at its limit)"
    )
    assert told(low, high, (("slipping at A",), ("slipping at B",)), "greatest") == (
        "μ is at most 2 (on the point of slipping at B)"
    )
    assert told(None, None, ((), ())) == "μ may be anything in its range"


def test_the_window_tells_an_angle_in_degrees_and_a_force_in_newtons():
    """The awning: cos(theta) = 41/49 (by hand in test_regimes); the kite: 3 N (2 tan 20° + 5 tan 40°)."""
    scenes = Path(__file__).parent.parent / "scenes"
    awning, kite = (
        in_shape(read_scene(scenes / f"{name}.toml")) for name in ("awning_cord", "kite_lantern")
    )

    assert texts_of(solve(awning)).at_rest(awning.shown).endswith("33.2°.")
    assert texts_of(solve(kite)).at_rest(kite.shown).endswith("14.8\u00a0N.")
