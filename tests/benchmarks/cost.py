"""Cost against size, beside a bare loop of pymunk: python tests/benchmarks/cost.py

Towers of 3 to 60 rods: the whole of a reading, and what a step of it costs beside a bare space.step.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parent.parent))

from small_frames import tower

from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import masses
from simlab.simulation.settle import STEP, settle
from simlab.simulation.world import World

PANELS = (1, 3, 10, 20)  # the points of small frames have one letter each
STEPS = 2000
ROUNDS = 5  # of each loop, by turns; the quickest counts


def loops(panels: int, sweeps: int) -> tuple[float, float]:
    """Seconds for 2000 steps of the settle loop, and of the engine alone."""
    of = tower(panels)
    world = World(Drawn(of, of.shown), 1e-3, masses(Drawn(of, of.shown), even=True), bars=False)
    world.space.iterations = sweeps
    ours, bare = [], []
    for _ in range(ROUNDS):
        start = perf_counter()
        for _ in range(STEPS):
            world.step(STEP)
        middle = perf_counter()
        for _ in range(STEPS):
            world.space.step(STEP)
        ours.append(middle - start)
        bare.append(perf_counter() - middle)
    return min(ours), min(bare)


def main() -> None:
    """Print the table."""
    write = sys.stdout.write
    write("| rods | verdict | a reading / s | sweeps | 2000 steps / s | bare / s | ratio |\n")
    write("| --- | --- | --- | --- | --- | --- | --- |\n")
    for panels in PANELS:
        of = tower(panels)
        start = perf_counter()
        reading = settle(of)
        whole = perf_counter() - start
        sweeps = max(reading.settings.iterations, 1)
        ours, bare = loops(panels, sweeps)
        row = (
            len(of.bodies),
            reading.verdict,
            f"{whole:.3f}",
            sweeps,
            f"{ours:.3f}",
            f"{bare:.3f}",
            f"{ours / bare:.2f}",
        )
        write(f"| {' | '.join(map(str, row))} |\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
