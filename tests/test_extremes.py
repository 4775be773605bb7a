"""For which values answers hold, and what they tend to at the ends; answers are published ones.

The published answers are those of tests/published/statics.json, named by their ids; their limits follow
by the usual limits of sin, cos and tan.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import sympy as sp

from simlab.exact.crossing import crossing, factors
from simlab.frame.model import Values
from simlab.frame.quantity import FORCE, LENGTH, Quantity
from simlab.frame.scene import parse_scene, read_scene
from simlab.results.statics import Condition
from simlab.statics.extremes import extremes
from simlab.statics.solution import solve
from simlab.statics.validity import solved, validity

W, U, L, H, h, w = sp.symbols("W U L H h w", positive=True)
phi, psi, theta, alpha = sp.symbols("phi psi theta alpha", positive=True)


def degrees(size: int) -> Quantity:
    return Quantity(sp.pi * sp.Rational(size, 180))


VALUES: Values = {
    "W": Quantity.of(2, FORCE),
    "U": Quantity.of(3, FORCE),
    "w": Quantity.of(1, FORCE),
    "L": Quantity.of(4, LENGTH),
    "H": Quantity.of(2, LENGTH),
    "h": Quantity.of(1, LENGTH),
    "phi": degrees(20),
    "psi": degrees(60),
    "theta": degrees(50),
    "alpha": degrees(35),
}

CONDITIONS = {
    "hexagon-hung-general-angles": (W * (sp.tan(psi) - 3 * sp.tan(phi)) / 2, "tan(psi) > 3*tan(phi)"),
    "light-rhombus-general-diagonal": (W * sp.tan(alpha), "always"),
    "a-ladder-bar-weight-part-way-up": (
        (U * L * sp.cos(theta) + w * H * sp.cot(theta)) / (2 * (L * sp.sin(theta) - h)),
        "sin(theta) > h/L",
    ),
    "ladder-man, more weight than": (U - W, "U > W"),
    "a tangent below a number": (W * (2 - sp.tan(alpha)), "tan(alpha) < 2"),
    "a fall-out for any angle": (-W * sp.tan(alpha), "never"),
}


def said(found) -> str:
    return found.relation if found.left is None else f"{found.left} {found.relation} {found.right}"


@pytest.mark.parametrize("name", CONDITIONS)
def test_a_condition_is_solved_for_one_letter(name):
    """A positive force, solved by hand for one tangent, sine or letter."""
    expr, words = CONDITIONS[name]

    found = solved(Condition(Quantity(expr, FORCE), "s", "the strut s pushes"), VALUES)

    assert said(found) in (words, {"U > W": "W < U", "sin(theta) > h/L": "h < L*sin(theta)"}.get(words))


def test_a_condition_that_fails_here_says_where_it_would_hold():
    """At psi = 60, phi = 50 degrees tan(psi) < 3 tan(phi): it falls out, and would hold for more."""
    expr, words = CONDITIONS["hexagon-hung-general-angles"]
    values = {**VALUES, "phi": degrees(50)}

    assert said(solved(Condition(Quantity(expr, FORCE), "s", "it pulls"), values)) == words


def test_what_is_not_simple_is_left_in_words():
    """Two factors that may both change sign are not solved."""
    expr = W * (sp.tan(psi) - 3 * sp.tan(phi)) * (1 - 2 * sp.sin(theta) ** 2)

    assert solved(Condition(Quantity(expr, FORCE), "s", "it pulls"), VALUES).relation is None


def test_crossings_hold():
    """left = right makes the factor 0, by sympy's numbers."""
    factor = factors(W * (sp.tan(psi) - 3 * sp.tan(phi)))[0][1]
    found = crossing(factor, psi)
    here = sp.atan(found.right.subs(phi, sp.pi / 9))

    assert abs(sp.N(factor.subs({phi: sp.pi / 9, psi: here}), 30)) < 1e-25


def limits(scene: str) -> dict[str, object]:
    statics = solve(parse_scene(scene))
    return {
        f"{one.left} -> {one.right}": "grows" + (", flat" if one.flat else "")
        if one.value is None
        else str(one.value)
        for one in extremes(statics)
    }


STAY = """
title = "Stay"
question = "q"
source = "published entry horizontal-rod-wall-hinge-and-stay: T = (W/2 + P)/sin(alpha)"
asked = ["tension in stay"]
[symbols]
W = { meaning = "weight", shown = "2 N" }
P = { meaning = "load", shown = "3 N" }
a = { meaning = "length", shown = "1 m" }
alpha = { meaning = "angle", shown = "30 deg" }
[points]
A = ["0", "0"]
B = ["a", "0"]
C = ["0", "a*tan(alpha)"]
[rods]
AB = { ends = ["A", "B"], weight = "W" }
[members]
stay = { kind = "string", between = ["B", "C"] }
[loads]
load = { weight = "P", at = "B" }
[supports]
hinge = { kind = "fixed hinge", at = "A" }
hook = { kind = "hook", at = "C" }
"""


def test_a_stay_that_comes_down_to_the_rod_pulls_without_limit():
    """(W/2 + P)/sin(alpha): without limit as alpha -> 0, W/2 + P as alpha -> 90 degrees."""
    found = limits(STAY)

    assert found["alpha -> 0"].startswith("grows")
    assert sp.sympify(found["alpha -> pi/2"]) - sp.sympify("W/2 + P") == 0


def test_a_frame_that_locks_flat_is_said_to():
    """The kite's thrust 3 W (2 tan(alpha) + 5 tan(theta))/2 has no bound where its rods come into line."""
    statics = solve(read_scene("scenes/kite_lantern.toml"))
    thrust = [one for one in extremes(statics) if one.asked == "thrust in spreader"]

    assert {(str(one.left), str(one.right)) for one in thrust if one.flat} == {
        ("theta", "pi/2"),
        ("alpha", "pi/2"),
    }
    # Limits of the closed form by sympy itself.
    answer = statics.answers["thrust in spreader"].expr
    for one in thrust:
        limit = sp.limit(answer, one.left.expr, one.right.expr, "-" if one.flat else "+")
        if one.flat:
            assert limit.is_infinite or limit.has(sp.oo)
        else:
            assert sp.simplify(limit - one.value.expr) == 0


def test_a_pole_on_the_way_is_found_and_the_end_beyond_it_is_not_told():
    """Two rods a on hinges 2b apart lock flat where b = a; nothing is said of b beyond."""
    found = limits(
        """
title = "Arch"
question = "q"
source = "by hand: horizontal W b / (2 sqrt(a^2 - b^2))"
asked = ["force at C on AC"]
[symbols]
a = { meaning = "l", shown = "2 m" }
b = { meaning = "l", shown = "1 m" }
W = { meaning = "w", shown = "5 N" }
[points]
A = ["0", "0"]
B = ["2*b", "0"]
C = ["b", "sqrt(a^2 - b^2)"]
[rods]
AC = { ends = ["A", "C"], weight = "W" }
BC = { ends = ["B", "C"], weight = "W" }
[supports]
quay = { kind = "fixed hinge", at = ["A", "B"] }
"""
    )

    assert found["b -> a"] == "grows, flat"
    assert not any(end.endswith("None") for end in found)


def test_an_end_that_the_frame_cannot_reach_is_not_told():
    """The ring's tie goes slack at tan(gamma) = 4 tan(beta): nothing is said of gamma -> 90 degrees."""
    statics = solve(read_scene("scenes/ring_lantern.toml"))
    ends = {(str(one.left), str(one.right)) for one in extremes(statics)}
    words = {said(one) for one in validity(statics) if one.about == "tie"}

    assert ("gamma", "pi/2") not in ends
    # W (4 tan(beta) - tan(gamma))/2 > 0, by hand; B stays left of E for (3a/4) sin(beta) < a/sqrt(2).
    assert words == {"tan(gamma) < 4*tan(beta)", "sin(beta) < 2*sqrt(2)/3"}


def test_nothing_is_told_of_answers_at_the_values_only():
    """Where values were put for the letters there is no letter left to vary."""
    statics = solve(read_scene("scenes/kite_lantern.toml"))

    assert extremes(replace(statics, only_here=True)) == ()
