"""Frames with members to spare: refused; what two orders of their joints give differs by a self-stress."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from published.balance import Balance
from published_redundant import SQUARE, SQUARE_STRESS, share
from scipy.linalg import null_space
from small_frames import frame, polygon, rhombus, tower

from simlab.commands.redundancy import built_twice
from simlab.comparison import compare
from simlab.frame.change import without
from simlab.frame.model import Frame, Place
from simlab.results import Forces, largest
from simlab.simulation.redundancy import two_orders
from simlab.simulation.settle import settle
from simlab.statics.solution import solve

ROUNDING = 1e-12  # of the largest force: sums of a dozen doubles


def panel(*diagonals: str) -> Frame:
    """A square panel of three heavy rods on two hinges, with these light diagonals."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "C": (1.0, 1.0), "D": (0.0, 1.0)}
    rods = {name: (name, 10.0) for name in ("AD", "DC", "BC")}
    return frame(points, rods, {ends: ("light rod", ends) for ends in diagonals}, hooks="AB")


def with_braces(of: Frame, *ends: str) -> Frame:
    """The same with more light rods from pin to pin."""
    first = next(iter(of.links.values()))
    more = {e: replace(first, name=e, ends=(Place(e[0], e[0]), Place(e[1], e[1]))) for e in ends}
    return replace(of, links={**of.links, **more})


def vector(forces: Forces[float], dense: Balance) -> NDArray[np.float64]:
    """Forces in the order of the dense solve's unknowns."""
    return np.array(
        [
            forces.tensions[what] if isinstance(what, str) else forces.reactions[what].force[component]
            for what, component in dense.unknowns
        ]
    )


REDUNDANT = {
    "panel with two diagonals": panel("AC", "BD"),
    "hexagon with two spare braces": with_braces(polygon(6), "BD", "BE"),
    "tower with a second diagonal in one panel": with_braces(tower(3), "aB"),
    "square with both diagonals": SQUARE,
}


@pytest.mark.parametrize("of", REDUNDANT.values(), ids=REDUNDANT)
def test_two_orders_are_in_balance_and_differ_by_a_self_stress(of: Frame) -> None:
    """Each balances the loads to rounding (dense equations); the rest is in their null space (scipy)."""
    dense, found = Balance(of), two_orders(of)
    first, second = vector(found.first, dense), vector(found.second, dense)
    stress = null_space(dense.matrix)
    difference = first - second
    scale = largest(found.first)

    for forces in (first, second):
        assert np.abs(dense.matrix @ forces + dense.loads).max() < ROUNDING * scale
    assert np.abs(difference).max() > 0.01 * scale
    assert np.abs(difference - stress @ (stress.T @ difference)).max() < ROUNDING * scale
    assert found.apart[1] == pytest.approx(
        max(
            abs(first[i] - second[i]) for i, (what, _) in enumerate(dense.unknowns) if isinstance(what, str)
        )
    )


def test_the_self_stress_of_a_square_is_the_classical_one() -> None:
    """Sides 1, diagonals -sqrt(2) (published_redundant.py): so the two orders differ, whatever the size."""
    found = two_orders(SQUARE)
    apart = np.array([found.first.tensions[name] - found.second.tensions[name] for name in SQUARE_STRESS])
    classical = np.array([share(written).number() for written in SQUARE_STRESS.values()])

    assert apart / apart[0] == pytest.approx(classical / classical[0], abs=1e-9)


@pytest.mark.parametrize("of", REDUNDANT.values(), ids=REDUNDANT)
def test_no_agreement_is_ever_told(of: Frame) -> None:
    """Settling refuses, with the reason; there are no forces to compare with statics."""
    reading = settle(of)

    assert reading.verdict == "refused"
    assert reading.forces is None
    assert "the order of its joints" in reading.advice
    assert "not comparable" == compare(solve(of), reading).agreement


def test_a_panel_says_what_two_orders_gave() -> None:
    """Both numbers, each with its sense; by symmetry both diagonals carry the same thrust in each order."""
    of = panel("AC", "BD")
    found = two_orders(of)
    words = built_twice(of, of.shown)

    for forces in (found.first, found.second):
        assert forces.tensions["AC"] == pytest.approx(forces.tensions["BD"], abs=1e-12)
        assert f"a thrust of {-forces.tensions['AC']:.2f} N" in words
    assert "self-stress" in words
    assert "agree" not in words


@pytest.mark.parametrize("of", [panel("AC"), rhombus(0.6), polygon(6)], ids=["panel", "rhombus", "hexagon"])
def test_a_frame_that_its_balance_decides_shows_nothing(of: Frame) -> None:
    """There are no two orders to tell of; in another order its reading is the same, to rounding."""
    other = replace(of, joints=dict(reversed(of.joints.items())), links=dict(reversed(of.links.items())))
    one, two = settle(of).forces, settle(other).forces

    assert two_orders(of) is None
    assert built_twice(of, of.shown) == ""
    for key, reaction in one.reactions.items():
        assert two.reactions[key].force == pytest.approx(reaction.force, abs=ROUNDING * largest(one))


def test_what_cannot_rest_anyway_shows_nothing() -> None:
    """A panel without a diagonal; two rods in line between two hinges, which need endless forces."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "C": (2.0, 0.0)}
    straight = frame(points, {"AB": ("AB", 10.0), "BC": ("BC", 10.0)}, hooks="AC")

    assert two_orders(without(panel("AC"), "AC")) is None
    assert settle(straight).verdict == "refused"
    assert two_orders(straight) is None
