"""Cost against size, beside a bare loop of pymunk: python tests/benchmarks/cost.py

Rings, towers, and rows of rods on hangers, of 4 to 400 rods: the whole of a reading, what of it goes into
looking at the drawn shape, and what 2000 steps of its loop cost beside as many bare `space.step`. All is
repeated and the quickest counts, for other programs only ever add to it.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parent.parent))

from settled_by_hand import settling
from small_frames import polygon, row, tower

from simlab.frame.model import Frame
from simlab.simulation.settle import settle
from simlab.simulation.settling import STEP

FRAMES: Mapping[str, Frame] = {
    "ring of 4": polygon(4),
    "ring of 8": polygon(8),
    "row of 8": row(8),
    "tower of 15": tower(5),
    "tower of 30": tower(10),
    "tower of 60": tower(20),
    "row of 60": row(60),
    "tower of 90": tower(30),
    "row of 200": row(200),
    "row of 400": row(400),
    "tower of 399": tower(133),
}
SWEEPS = 20
STEPS = 2000
ROUNDS = 5  # of what is compared at least, of what is only timed at most
ENOUGH = 4.0  # [s] of repeating one thing


def quickest(do: Callable[[], object]) -> float:
    """Seconds that something takes, at least."""
    taken: list[float] = []
    while len(taken) < ROUNDS and sum(taken) < ENOUGH:
        start = perf_counter()
        do()
        taken.append(perf_counter() - start)
    return min(taken)


def loops(of: Frame) -> tuple[float, float]:
    """Seconds for 2000 steps of the settle loop, and of the engine alone, in the same world, by turns."""
    one = settling(of)
    one.tune(SWEEPS, 6)
    step = one.world.space.step

    def bare() -> None:
        for _ in range(STEPS):
            step(STEP)

    pairs: list[tuple[float, float]] = []
    while len(pairs) < ROUNDS or sum(map(sum, pairs)) < ENOUGH:
        start = perf_counter()
        one.steps(STEPS)
        middle = perf_counter()
        bare()
        pairs.append((middle - start, perf_counter() - middle))
    ours, alone = zip(*pairs, strict=True)
    return min(ours), min(alone)


def main() -> None:
    """Print the table."""
    write = sys.stdout.write
    write("| frame | verdict | a reading / s | of it the drawn shape / s | steps x sweeps |")
    write(" 2000 steps / s | bare / s | ratio |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n")
    settle(polygon(4))  # calibration is done once in a process
    for name, of in FRAMES.items():
        reading = settle(of)
        whole = quickest(lambda of=of: settle(of))  # type: ignore[misc]
        drawn = quickest(lambda of=of: settling(of))  # type: ignore[misc]
        ours, bare = loops(of)
        cells = (
            name,
            reading.verdict,
            f"{whole:.3f}",
            f"{drawn:.3f}",
            f"{reading.settings.steps} x {reading.settings.iterations}",
            f"{ours:.4f}",
            f"{bare:.4f}",
            f"{ours / bare:.2f}",
        )
        write(f"| {' | '.join(cells)} |\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
