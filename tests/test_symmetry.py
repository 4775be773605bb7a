"""Symmetry found in numbers, proved in letters, and true of solutions that do not use it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from small_frames import arch, frame, rhombus, stepladder, tower

from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.scene import read_scene
from simlab.frame.symmetry import mirror
from simlab.results.forces import Forces, Key
from simlab.results.symmetry import Symmetry
from simlab.statics.mirror import symmetry, used
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"


def portal() -> Frame:
    """Two legs and a beam between two fixed hinges, a rope between the legs."""
    points = {"A": (0.0, 0.0), "B": (1.0, 2.0), "C": (4.0, 2.0), "D": (5.0, 0.0)}
    rods = {"AB": ("AB", 4.0), "BC": ("BC", 6.0), "CD": ("CD", 4.0)}
    return frame(points, rods, {"AC": ("light rod", "AC"), "DB": ("light rod", "DB")}, hooks="AD")


def found(of: Frame) -> Symmetry:
    """What follows from its symmetry."""
    result = symmetry(of, of.shown)
    assert result is not None
    return result


@pytest.mark.parametrize("name", ["kite_lantern", "five_cane_lantern", "ring_lantern"])
def test_what_symmetry_says_of_the_lanterns_is_true(name: str) -> None:
    """Mirror images and level hinges, in the exact solution that does not use them."""
    scene = read_scene(SCENES / f"{name}.toml")
    assert used(found(scene), solve(scene))


@pytest.mark.parametrize(
    "make", [lambda: arch(1.0), lambda: rhombus(0.5), lambda: stepladder((10.0, 10.0)), portal]
)
def test_what_symmetry_says_of_small_frames_is_true(make: Callable[[], Frame]) -> None:
    """An arch, a rhombus, a stepladder, a portal braced twice (forces not all unique)."""
    of = make()
    assert found(of).reactions
    assert used(found(of), solve(of))


def test_a_crown_hinge_is_level() -> None:
    """By symmetry the crown hinge of an arch has no upward component (any textbook)."""
    says = found(arch(1.0))
    assert says.hinges == ("C",)
    assert "vertical through C" in says.sentences[0]
    assert (Key("A", "A", "ground"), Key("B", "B", "ground")) in says.reactions


def test_a_load_on_the_crown_pin_spoils_the_statement() -> None:
    """With a weight on its pin a hinge on the axis pushes upwards on both rods; the rest still holds."""
    of = frame(
        {"A": (0.0, 0.0), "C": (1.0, 1.0), "B": (2.0, 0.0)},
        {"AC": ("AC", 10.0), "CB": ("CB", 10.0)},
        hooks="AB",
        loads={"C": ("weight", (4.0,))},
    )
    assert found(of).hinges == ()
    assert used(found(of), solve(of))


@pytest.mark.parametrize("make", [lambda: stepladder((10.0, 20.0)), lambda: tower(2)])
def test_unequal_sides_have_no_mirror(make: Callable[[], Frame]) -> None:
    """Legs of different weights; a tower braced one way."""
    assert mirror(make()) is None


def test_equal_only_at_the_values_shown_is_no_symmetry() -> None:
    """Two weights W and P that happen to be shown equal are not the same in letters."""
    of = arch(1.0)
    letter = Quantity.symbol("P", FORCE)
    shown = read_scene(SCENES / "kite_lantern.toml").symbols
    symbol = replace(next(iter(shown.values())), name="P", shown=of.bodies["AC"].weight, found=False)
    of = replace(
        of, symbols={"P": symbol}, bodies={**of.bodies, "CB": replace(of.bodies["CB"], weight=letter)}
    )

    assert mirror(of) is not None
    assert symmetry(of, of.shown) is None


def test_without_weight_the_axis_may_slope() -> None:
    """A weightless bar pulled apart from both ends along a slope is the same about its middle."""
    of = frame(
        {"A": (0.0, 0.0), "B": (3.0, 1.0), "C": (1.0, 3.0)},
        {"AB": ("AB", 0.0), "AC": ("AC", 0.0)},
        {"tie": ("light rod", "BC")},
        hooks="A",
        loads={"B": ("force", (2.0, 1.0)), "C": ("force", (1.0, 2.0))},
    )
    says = found(of)
    assert says.mirror.points["B"] == "C"
    assert used(says, solve(of))


def test_a_solution_with_a_spoilt_force_is_told() -> None:
    """A reaction that is off by a thousandth of itself is not the image of its partner."""
    of = arch(1.0)
    solved = solve(of)
    key = Key("A", "A", "ground")
    reaction = solved.case.forces.reactions[key]
    force = reaction.force[0] * Quantity.of(1001) / Quantity.of(1000), reaction.force[1]
    spoilt = Forces({**solved.case.forces.reactions, key: replace(reaction, force=force)}, {})

    assert not used(found(of), replace(solved, case=replace(solved.case, forces=spoilt)))
