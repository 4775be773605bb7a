"""The first instant after a cut, exactly: textbook answers in letters, and the numerical road beside it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import sympy as sp
from lettered import Sketch, quantity
from scenes_at_rest import each_shown

from simlab.errors import BadInput
from simlab.exact.field import Field
from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, LENGTH, NUMBER, Quantity, distance2
from simlab.frame.scene import read_scene
from simlab.motion.first_instant import first_instant, jumps
from simlab.motion.reactions import Reactions
from simlab.motion.system import System
from simlab.results import Key, in_numbers, largest
from simlab.results.first_instant import FirstInstant
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"
BRACED = ["kite_lantern", "ring_lantern", "stall_trestle", "five_cane_lantern", "banner_bracket"]


def uniform(sketch: Sketch, brace: str | None = None) -> Frame:
    """The sketch with the inertia of uniform rods."""
    of = sketch.frame()
    bodies = {
        name: replace(body, gyration2=distance2(*body.outline) / Quantity.of(12))
        for name, body in of.bodies.items()
    }
    return replace(of, bodies=bodies, brace=brace)


def is_(found: Quantity, expected: str, first: FirstInstant) -> bool:
    """Equality in the exact field."""
    exprs = [found.expr, quantity(expected).expr]
    field = Field.containing(exprs, {name: value.expr for name, value in first.values.items()})
    return field.element(exprs[0]) == field.element(exprs[1])


def test_rod_on_two_strings_one_cut():
    """W/4 in the other, half of what it was (published/motion.json: rod-two-vertical-strings-one-cut)."""
    points = {"A": ("-a", 0), "B": ("a", 0), "P": ("-a", "s"), "Q": ("a", "s")}
    sketch = Sketch(points, W=(20, FORCE), a=(2, LENGTH), s=(1, LENGTH))
    sketch.rod("AB", "AB", "W")
    sketch.link("left", "string", ("AB", "A"), ("ground", "P"))
    sketch.link("right", "string", ("AB", "B"), ("ground", "Q"))
    of = uniform(sketch, "right")
    first = first_instant(of)
    assert str(first.forces.tensions["left"]) == "W/4"
    assert is_(first.accelerations["AB"][2], "-3*g/(4*a)", first)
    jump = jumps(solve(of).case.forces, first)["left"]
    assert (str(jump.before[0]), str(jump.change[0])) == ("W/2", "-W/4")


def test_rod_on_two_slanting_strings_one_cut():
    """W sin/(1 + 3 sin^2) (published/motion.json: rod-two-inclined-strings-one-cut)."""
    points = {"A": ("-a", 0), "B": ("a", 0), "O": (0, "a*tan(alpha)")}
    sketch = Sketch(points, W=(20, FORCE), a=(2, LENGTH), alpha=("pi/5", NUMBER))
    sketch.rod("AB", "AB", "W")
    for end in "AB":
        sketch.link(f"O{end}", "string", ("AB", end), ("ground", "O"))
    first = first_instant(uniform(sketch, "OB"))
    assert is_(first.forces.tensions["OA"], "W*sin(alpha)/(1 + 3*sin(alpha)**2)", first)


def test_two_jointed_rods_from_level():
    """9g/(14a) and 3g/(14a), 2W/7 and W/14 (motion.json: two-jointed-rods-released-horizontal)."""
    sketch = Sketch({"A": (0, 0), "B": ("2*a", 0), "C": ("4*a", 0)}, W=(20, FORCE), a=(2, LENGTH))
    sketch.rod("AB", "AB", "W")
    sketch.rod("BC", "BC", "W")
    sketch.pin("A", "ground", "AB")
    sketch.pin("B", "AB", "BC")
    first = first_instant(uniform(sketch))
    assert [str(first.accelerations[rod][2]) for rod in ("AB", "BC")] == ["-9*g/(14*a)", "3*g/(14*a)"]
    assert str(first.forces.reactions[Key("AB", "A", "A")].force[1]) == "2*W/7"
    assert str(first.forces.reactions[Key("BC", "B", "B")].force[1]) == "-W/14"


def test_rhombus_without_its_brace():
    """The lowest corner starts with 6g sin^2/(1 + 3 sin^2) (motion.json: rhombus-frame-brace-cut)."""
    x, y = "2*a*sin(theta)", "-2*a*cos(theta)"
    points = {"A": (0, 0), "B": (x, y), "C": (0, "-4*a*cos(theta)"), "D": (f"-{x}", y)}
    sketch = Sketch(points, W=(20, FORCE), a=(2, LENGTH), theta=("pi/5", NUMBER))
    for rod in ("AB", "BC", "CD", "DA"):
        sketch.rod(rod, rod, "W")
    sketch.pin("A", "ground", "AB", "DA")
    for pin, rods in {"B": ("AB", "BC"), "C": ("BC", "CD"), "D": ("CD", "DA")}.items():
        sketch.pin(pin, *rods)
    sketch.link("BD", "light rod", ("B", "B"), ("D", "D"))
    first = first_instant(uniform(sketch, "BD"))
    # The middle of BC moves down by three quarters of what C does (A rests, B is half-way).
    assert is_(first.accelerations["BC"][1], "-9*g*sin(theta)**2/(2*(1 + 3*sin(theta)**2))", first)


def test_leaning_rod_on_a_smooth_floor():
    """W/(1 + 3 sin^2 theta) (published/motion.json: inclined-rod-released-on-smooth-floor)."""
    points = {"A": (0, 0), "B": ("2*a*sin(theta)", "2*a*cos(theta)")}
    sketch = Sketch(points, W=(20, FORCE), a=(2, LENGTH), theta=("pi/5", NUMBER))
    sketch.rod("AB", "AB", "W")
    name = sketch.contact(("AB", "A"), "floor", (0, 1))
    first = first_instant(uniform(sketch))
    force = first.forces.reactions[Key("AB", name, "floor")].force
    assert force[0].is_zero
    assert is_(force[1], "W/(1 + 3*sin(theta)**2)", first)


@pytest.mark.parametrize("name", BRACED)
def test_exact_and_numerical_first_instants_are_the_same(name):
    """Two assemblies, one in a field and one in doubles: every acceleration and force to 1e-12."""
    of = read_scene(SCENES / f"{name}.toml")
    first = first_instant(of)
    system = System(of, None, {*first.taken, *first.gone})
    at_rest = np.zeros_like(system.start)
    reactions = Reactions(system)
    numbers, exact = (
        reactions.table(reactions.at(system.start, at_rest)),
        in_numbers(first.forces, first.values),
    )
    scale = largest(numbers)
    assert numbers.reactions.keys() == exact.reactions.keys()
    for key, reaction in numbers.reactions.items():
        assert exact.reactions[key].force == pytest.approx(reaction.force, abs=1e-12 * scale)
    assert exact.tensions == pytest.approx(numbers.tensions, abs=1e-12 * scale)
    a, _ = system.solve(system.start, at_rest)
    for i, body in enumerate(of.bodies):
        found = [part.number(first.values) for part in first.accelerations[body]]
        assert found == pytest.approx(list(a[i]), abs=1e-11 * float(np.abs(a).max()))


@each_shown
def test_with_all_members_in_place_nothing_starts_and_forces_are_those_of_statics(of):
    """At rest the equations of motion are the balance equations: no acceleration, the same forces."""
    try:
        first = first_instant(of, without=())
    except BadInput as refused:
        pytest.skip(str(refused))
    solved = solve(of)
    if solved.verdict != "determined":
        pytest.skip(solved.verdict)
    assert all(part.is_zero for parts in first.accelerations.values() for part in parts)
    still, resting = in_numbers(first.forces, first.values), in_numbers(solved.case.forces, first.values)
    for key, reaction in still.reactions.items():
        assert reaction.force == pytest.approx(resting.reactions[key].force, abs=1e-12 * largest(resting))


def test_more_members_than_needed_are_named():
    """Two equal ties side by side: their shares are open, the motion is not."""
    points = {"A": (0, 0), "B": ("a", 0), "Q": ("a", "a")}
    sketch = Sketch(points, W=(20, FORCE), a=(2, LENGTH))
    sketch.rod("AB", "AB", "W")
    sketch.pin("A", "ground", "AB")
    for tie in ("one", "two"):
        sketch.link(tie, "string", ("AB", "B"), ("ground", "Q"))
    first = first_instant(uniform(sketch), without=())
    assert {"one", "two"} <= first.undetermined
    assert "one" not in first.forces.tensions
    assert all(sp.sympify(part.expr) == 0 for part in first.accelerations["AB"])
