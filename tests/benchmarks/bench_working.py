"""Speed of the search for a working: all equations of a frame, and the best ways to one force.

python -m pytest tests/benchmarks/bench_working.py

An arch of 12 rods with 10 light rods over every other joint is as many as the search is meant for (2 s);
the scenes show what a class has.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from bench_statics import ANGLE, arch

from simlab.frame.question import Asked
from simlab.frame.scene import read_scene
from simlab.statics.solution import solve
from simlab.working.solution import Workings

SCENES = Path(__file__).parent.parent.parent / "scenes"
WHOLE = ("{x}*a", "{y}*a")


@pytest.mark.parametrize("member", ["L0", "L4", "L9"])
@pytest.mark.parametrize("form", [ANGLE, WHOLE], ids=["angle", "whole numbers"])
def test_ways_of_an_arch_of_twelve_rods(benchmark: Any, form: tuple[str, str], member: str) -> None:
    """The equations and the ways, from a solved frame."""
    state = solve(arch(12, form))
    asked = Asked(f"thrust in {member}", "thrust", member)

    ways = benchmark.pedantic(lambda: Workings(state).chains(asked), rounds=3)

    assert ways


@pytest.mark.parametrize("name", ["kite_lantern", "ring_lantern", "five_cane_lantern", "stall_trestle"])
def test_ways_of_a_scene(benchmark: Any, name: str) -> None:
    """The same of a scene's first question."""
    state = solve(read_scene(SCENES / f"{name}.toml"))

    ways = benchmark.pedantic(lambda: Workings(state).chains(state.frame.asked[0]), rounds=3)

    assert ways


@pytest.mark.parametrize("name", ["kite_lantern", "ring_lantern", "five_cane_lantern", "stall_trestle"])
def test_a_whole_working(benchmark: Any, name: str) -> None:
    """Every line of a scene's whole question, other forces and check, exactly."""
    state = solve(read_scene(SCENES / f"{name}.toml"))

    working = benchmark.pedantic(lambda: Workings(state).question(), rounds=1)

    assert working
