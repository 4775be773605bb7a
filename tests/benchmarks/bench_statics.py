"""Speed of the exact road on braced arches whose shape has an angle and a length as letters, or surds.

python -m pytest tests/benchmarks/bench_statics.py
"""

from __future__ import annotations

from typing import Any

import pytest

from simlab.frame.model import Frame
from simlab.frame.scene import parse_scene
from simlab.statics.balance import balance
from simlab.statics.solution import solve

RODS = 60


ANGLE = ("{x}*a*cos(theta)", "{y}*a*sin(theta)")
SURDS = ("{x}*a*sqrt(2)", "{y}*a*sqrt(3)")


def arch(n: int, form: tuple[str, str] = ANGLE) -> Frame:
    """Rods P0P1, P1P2, ... on two fixed hinges, light rods over every other joint but one."""
    lines = [
        'title = "Arch"\nquestion = "Q"\nsource = "our own"\n[symbols]',
        'W = { meaning = "a weight", shown = "2 N" }',
        'a = { meaning = "a length", shown = "1 m" }',
        'theta = { meaning = "an angle", shown = "40 deg" }',
        "[points]",
    ]
    for i in range(n + 1):
        rise = f"({i * (n - i)}/{n} + {i * i % 7}/50)"  # a little uneven, so that nothing is special
        x, y = form[0].format(x=2 * i - n), form[1].format(y=rise)
        lines.append(f'P{i} = ["{x}", "{y}"]')
    lines += ["[rods]", *(f'R{i} = {{ ends = ["P{i}", "P{i + 1}"], weight = "W" }}' for i in range(n))]
    lines += ["[members]"]
    lines += [f'L{i} = {{ kind = "light rod", between = ["P{i}", "P{i + 2}"] }}' for i in range(n - 2)]
    lines += ["[supports]", f'hinges = {{ kind = "fixed hinge", at = ["P0", "P{n}"] }}']
    return parse_scene("\n".join(lines))


@pytest.fixture(scope="module")
def frame() -> Frame:
    """The arch, read once."""
    return arch(RODS)


def test_equations_solved(frame: Frame, benchmark: Any) -> None:
    """Assembly, elimination and the check of every equation: 302 unknowns."""
    found = benchmark.pedantic(lambda: balance(frame, frame.shown), rounds=3)

    assert len(found.equations.unknowns) == 5 * RODS + 2
    assert found.carried


def test_solved_and_written_as_a_textbook_does(frame: Frame, benchmark: Any) -> None:
    """All of it, with every force in textbook form."""
    found = benchmark.pedantic(lambda: solve(frame), rounds=3)

    assert found.verdict == "determined"


def test_surds(benchmark: Any) -> None:
    """60 rods with sqrt(2) and sqrt(3) in the shape, every force in textbook form: wanted under 1 s."""
    shape = arch(RODS, SURDS)
    found = benchmark.pedantic(lambda: solve(shape), rounds=3)

    assert found.verdict == "determined"


def test_24_rods_with_a_free_angle(benchmark: Any) -> None:
    """24 rods, one free angle, every force in textbook form: under five seconds is wanted."""
    shape = arch(24)
    found = benchmark.pedantic(lambda: solve(shape), rounds=3)

    assert found.verdict == "determined"
