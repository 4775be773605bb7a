"""The exact elimination beside sympy's solvers, on the same equations of a braced ring of 12 rods.

    python -m pytest -s tests/benchmarks/bench_solvers.py

The ring's top rod is held at both ends and nine light rods brace it, so that every force is settled. The
same rows and columns are handed to all: to `eliminate` as field elements, to sympy as expressions.
"""

from __future__ import annotations

import signal
import time
from typing import Any

import pytest
import sympy as sp

from simlab.exact.elimination import Elimination, eliminate
from simlab.frame.model import Frame
from simlab.frame.scene import parse_scene
from simlab.statics.equations import Equations

RODS = 12
ROUNDS = 5  # of the elimination; sympy runs once
SHAPES = {
    # the ring: regular (its coordinates have sqrt(3) in them), uneven with one free angle, or uneven
    # with whole numbers: there sympy is at its best
    "regular": "",
    "one angle": ('"{x}*a*cos(theta)"', '"{y}*a*sin(theta)"'),
    "whole numbers": ('"{x}*a"', '"{y}*a"'),
}
CORNERS = [
    (4, 0),
    (7, 0),
    (9, -2),
    (11, -5),
    (11, -8),
    (9, -11),
    (6, -13),
    (4, -13),
    (2, -11),
    (0, -8),
    (0, -5),
    (2, -2),
]
OVER = {"solve": 50, "linsolve": 20}  # how many times faster it is to be
PATIENCE = (
    60  # [s] after which one of sympy's solvers is stopped: it is slower than that, and no more is said
)


def ring(shape: str) -> Frame:
    """The ring, with its shape in numbers or in one free angle."""
    corners = [
        [form.format(x=x, y=y) for form in SHAPES[shape]]
        if SHAPES[shape]
        else [f'"a*cos({75 + 30 * k} deg)"', f'"a*sin({75 + 30 * k} deg)"']
        for k, (x, y) in enumerate(CORNERS)
    ]
    lines = ['title = "Ring"\nquestion = "Q"\nsource = "our own"\n[symbols]']
    lines += ['W = { meaning = "a weight", shown = "2 N" }', 'a = { meaning = "a length", shown = "1 m" }']
    if shape == "one angle":
        lines += ['theta = { meaning = "an angle", shown = "40 deg" }']
    lines += ["[points]"]
    lines += [f"P{k} = [{x}, {y}]" for k, (x, y) in enumerate(corners)]
    lines += ["[rods]"]
    lines += [f'R{k} = {{ ends = ["P{k}", "P{(k + 1) % RODS}"], weight = "W" }}' for k in range(RODS)]
    lines += ["[members]"]
    lines += [
        f'L{k} = {{ kind = "light rod", between = ["P{k}", "P{k + 2}"] }}' for k in range(1, RODS - 2)
    ]
    lines += [
        '[supports]\nhinge = { kind = "fixed hinge", at = "P0" }',
        'quay = { kind = "smooth floor", at = "P1" }',
    ]
    return parse_scene("\n".join(lines))


@pytest.mark.parametrize("shape", SHAPES)
def test_elimination_beside_sympy(shape: str) -> None:
    """Times of the three in one run, and that all give the same forces."""
    frame = ring(shape)
    equations = Equations(frame, frame.shown)
    n = len(equations.unknowns)
    (column,) = equations.columns
    right = [{i: -load for i, load in column.items()}]
    ours = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        found = eliminate(equations.field, equations.rows, n, right)
        ours.append(time.perf_counter() - start)
    unknowns = sp.symbols(f"x0:{n}")
    system = [
        sp.Add(*(entry.expr() * unknowns[j] for j, entry in row.items()))
        - right[0].get(i, equations.field.zero).expr()
        for i, row in enumerate(equations.rows)
    ]
    times = {name: timed(name, system, unknowns, equations, found) for name in OVER}
    best = min(ours)
    print(  # noqa: T201 (what this file is for)
        f"\n{shape}: {n} unknowns, elimination {1000 * best:.2f} ms, "
        + ", ".join(f"{name} {1000 * t:.0f} ms ({t / best:.0f} times)" for name, t in times.items())
    )
    if shape != "whole numbers":
        for name, ratio in OVER.items():
            assert times[name] > ratio * best


def timed(name: str, system: list[Any], unknowns: Any, equations: Equations, found: Elimination) -> float:
    """The time of one of sympy's solvers [s], its answer compared with the one found; PATIENCE at most."""

    def give_up(*_: Any) -> None:
        raise TimeoutError

    signal.signal(signal.SIGALRM, give_up)
    signal.alarm(PATIENCE)
    start = time.perf_counter()
    try:
        solved = getattr(sp, name)(system, unknowns)
    except TimeoutError:
        return PATIENCE
    finally:
        signal.alarm(0)
    taken = time.perf_counter() - start
    values = list(next(iter(solved))) if name == "linsolve" else [solved[x] for x in unknowns]
    for j, value in enumerate(values):
        assert equations.field.element(value) == found.solutions[0].get(j, equations.field.zero)
    return taken
