"""Linear programmes in balls, against scipy's linprog (HiGHS)."""

from __future__ import annotations

import flint
import numpy as np
import pytest
from scipy.optimize import linprog

from simlab.exact.programme import Conflict, Corner, Programme

CLOSE = 1e-7  # the tolerance of linprog


def in_balls(numbers: np.ndarray) -> list[list[flint.arb]]:
    return [[flint.arb(int(entry)) for entry in row] for row in numbers]


@pytest.mark.parametrize("seed", range(60))
def test_inequalities_hold_together_where_linprog_finds_a_point(seed: int) -> None:
    """Small whole numbers, so that many inequalities meet in one corner or repeat each other."""
    chance = np.random.default_rng(seed)
    rows = chance.integers(-2, 3, (int(chance.integers(2, 10)), int(chance.integers(1, 5))))
    constants = chance.integers(-3, 3, len(rows))
    programme = Programme(in_balls(rows), [flint.arb(int(c)) for c in constants])
    found = programme.decided()
    there = linprog(np.zeros(rows.shape[1]), -rows, constants, bounds=(None, None))

    assert isinstance(found, Corner) == (there.status == 0)
    if isinstance(found, Conflict):
        chosen = list(found.rows)
        alone = linprog(np.zeros(rows.shape[1]), -rows[chosen], constants[chosen], bounds=(None, None))
        assert alone.status == 2  # those few are contradictory already


@pytest.mark.parametrize("seed", range(60))
def test_the_least_of_a_sum_is_that_of_linprog(seed: int) -> None:
    """Its value, and whether there is any; the point 0 satisfies all inequalities."""
    chance = np.random.default_rng(1000 + seed)
    rows = chance.integers(-2, 3, (int(chance.integers(1, 10)), int(chance.integers(1, 5))))
    constants = chance.integers(0, 4, len(rows))
    cost = chance.integers(-2, 3, rows.shape[1])
    programme = Programme(in_balls(rows), [flint.arb(int(c)) for c in constants])
    start = programme.decided()
    assert isinstance(start, Corner)
    found = programme.least([flint.arb(int(c)) for c in cost], start)
    there = linprog(cost, -rows, constants, bounds=(None, None))

    assert (found is not None) == (there.status == 0)
    if found is not None:
        value = sum(float(cost[j]) * float(y) for j, y in zip(programme.columns, found.y, strict=True))
        assert value == pytest.approx(there.fun, abs=CLOSE)


def test_inequalities_in_force_throughout_are_those_without_any_room() -> None:
    """0 <= y_1 <= 0, y_2 >= 0, y_1 + y_2 <= 1: only the first two have no room (by hand)."""
    rows = np.array([[1, 0], [-1, 0], [0, 1], [-1, -1]])
    programme = Programme(in_balls(rows), [flint.arb(c) for c in (0, 0, 0, 1)])
    start = programme.decided()

    assert isinstance(start, Corner)
    assert programme.in_force(start) == {0, 1}
