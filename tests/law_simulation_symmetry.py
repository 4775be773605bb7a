"""What every reading must obey: where the frame stands, how large it is, how heavy, which way round."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from small_frames import frame

from simlab.frame.model import Frame
from simlab.results import Forces, largest
from simlab.simulation.settle import settle

SAME = 1e-11  # of the largest force: both readings are right to 1e-12
Move = Callable[[float, float], tuple[float, float]]


def lean_to(move: Move, weight: float = 1.0) -> Frame:
    """A skew frame on a hinge and a smooth floor, a string, a hung weight and a push; all of it moved."""
    points = {"A": (0.0, 0.0), "B": (0.8, 1.1), "C": (2.1, 0.4), "M": (1.45, 0.75), "Z": (0.1, 1.9)}
    (x, y), (right, _) = move(0.0, 0.0), move(1.0, 0.0)
    way, size = move(3.0, 1.5), abs(right - x)
    push = (weight * (way[0] - x) / size, weight * (way[1] - y) / size)
    return frame(
        {name: move(*xy) for name, xy in points.items()},
        {"AB": ("AB", weight * 10.0), "BC": ("BCM", weight * 7.0)},
        {"stay": ("string", "MZ")},
        hooks="AZ",
        floors={"C": (0.0, 1.0)},
        loads={"B": ("weight", (weight * 4.0,)), "M": ("force", push)},
    )


def as_drawn(x: float, y: float) -> tuple[float, float]:
    """The frame where it is."""
    return x, y


def forces(of: Frame) -> Forces[float]:
    """The settled forces."""
    reading = settle(of)
    assert reading.verdict == "settled", reading.advice
    return reading.forces


def assert_same(found: Forces[float], wanted: Forces[float], x: float, y: float) -> None:
    """Every force of `wanted`, its components times x and y, is found."""
    scale = SAME * largest(found)
    assert set(found.reactions) == set(wanted.reactions)
    for key, reaction in wanted.reactions.items():
        left, right = reaction.force
        assert found.reactions[key].force == pytest.approx((x * left, y * right), abs=scale), key
    for name, tension in wanted.tensions.items():
        assert found.tensions[name] == pytest.approx(abs(y) * tension, abs=scale)


def test_forces_do_not_depend_on_the_origin():
    """The frame set down 7 m to the right and 3 m lower carries the same."""
    assert_same(forces(lean_to(lambda x, y: (x + 7.0, y - 3.0))), forces(lean_to(as_drawn)), 1.0, 1.0)


@pytest.mark.parametrize("size", [1e-3, 0.1, 40.0])
def test_forces_do_not_depend_on_the_size(size):
    """The frame drawn larger or smaller, with the same weights, carries the same."""
    assert_same(forces(lean_to(lambda x, y: (size * x, size * y))), forces(lean_to(as_drawn)), 1.0, 1.0)


@pytest.mark.parametrize("weight", [1e-6, 2.0, 1e6])
def test_forces_grow_with_the_loads(weight):
    """All weights and loads times a number, all forces times that number."""
    assert_same(forces(lean_to(as_drawn, weight)), forces(lean_to(as_drawn)), weight, weight)


def test_a_mirrored_frame_carries_mirrored_forces():
    """Left and right exchanged: x components change sign, y components and tensions stay."""
    assert_same(forces(lean_to(lambda x, y: (-x, y))), forces(lean_to(as_drawn)), -1.0, 1.0)


def test_two_loads_together_do_what_they_do_apart():
    """Weights alone, and all loads: the difference is what a doubled push would add again."""
    once = lean_to(as_drawn)
    (push,) = (load for load in once.loads.values() if load.kind == "force")
    none = {name: load for name, load in once.loads.items() if name != push.name}
    again = replace(push, name="again")
    without_it = forces(replace(once, loads=none))
    with_it = forces(once)
    with_two = forces(replace(once, loads={**once.loads, "again": again}))
    for key, reaction in with_it.reactions.items():
        for i in (0, 1):
            apart = with_two.reactions[key].force[i] + without_it.reactions[key].force[i]
            assert apart == pytest.approx(2 * reaction.force[i], abs=SAME * 2 * largest(with_two))
