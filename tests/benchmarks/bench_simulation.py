"""Speed of the simulated road, on the machine at hand.

    python -m pytest tests/benchmarks/bench_simulation.py

A classroom frame is to be read in under 0.05 s, a tower of 60 rods in under 3 s, and 10 s of a collapse
with every force recorded 600 times a second far faster than real time.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).parent.parent
sys.path[:0] = [str(TESTS), str(TESTS / "benchmarks")]

from cost import loops  # noqa: E402
from small_frames import polygon, row, tower  # noqa: E402

from simlab.frame.scene import read_scene  # noqa: E402
from simlab.simulation.release import hang, release  # noqa: E402
from simlab.simulation.settle import settle  # noqa: E402

KITE = TESTS.parent / "scenes" / "kite_lantern.toml"
CLASSROOM = 0.05  # [s] for a frame of up to 8 rods
SIXTY = 3.0  # [s] for a tower of 60
OVER = 1.10  # times the engine alone, for 2000 steps


@pytest.mark.parametrize(
    "of",
    [read_scene(KITE), polygon(8), row(8)],
    ids=["kite lantern, 4 rods", "octagon, 8 rods", "row of 8 rods"],
)
def test_settle(benchmark, of):
    """From a classroom frame to its reading."""
    settle(of)  # calibration is done once in a process
    reading = benchmark.pedantic(settle, (of,), rounds=20)

    assert reading.verdict == "settled"
    assert benchmark.stats.stats.min < CLASSROOM


def test_settle_a_tower_of_sixty_rods(benchmark):
    """The largest frame that is meant to be read at once."""
    reading = benchmark.pedantic(settle, (tower(20),), rounds=3)

    assert reading.verdict == "settled"
    assert benchmark.stats.stats.min < SIXTY


@pytest.mark.parametrize("of", [polygon(4), polygon(8), tower(5), tower(20)], ids=["4", "8", "15", "60"])
def test_the_loop_costs_hardly_more_than_the_engine(of):
    """2000 steps of settling beside 2000 of the bare engine, by turns in one run."""
    ours, bare = loops(of)

    assert ours < OVER * bare


def test_hang(benchmark):
    """Six seconds of gravity let on."""
    benchmark.pedantic(hang, (read_scene(KITE),), rounds=3)


def test_release(benchmark):
    """Ten seconds of collapse, recorded."""
    trace = benchmark.pedantic(release, (read_scene(KITE),), {"duration": 10.0}, rounds=3)

    assert len(trace.time) > 6000
