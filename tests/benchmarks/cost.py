"""Cost against size, beside a bare loop of pymunk: python tests/benchmarks/cost.py

Towers of 3 to 60 rods: the whole of a reading, and what a step of it costs beside a bare space.step.
Frames of 2 to 8 rods: ten seconds of collapse with all forces recorded, beside as many bare steps; in
processor time, which other work on the machine hardly touches. (OPENBLAS_NUM_THREADS=1, or idle threads of
the linear algebra are counted too.)
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time

sys.path.insert(0, str(Path(__file__).parent.parent))

from collapses import let_go_of
from small_frames import polygon, stepladder, tower

from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import masses
from simlab.simulation.release import release
from simlab.simulation.settle import STEP, settle
from simlab.simulation.stage import RATE, Stage
from simlab.simulation.world import World

PANELS = (1, 3, 10, 20)  # the points of small frames have one letter each
STEPS = 2000
SECONDS = 10.0  # of a collapse
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


def collapsing() -> dict[str, Frame]:
    """Classroom frames with a brace to take away."""
    scenes = Path(__file__).parent.parent.parent / "scenes"
    return {
        "trestle on a floor": stepladder(),
        "kite": read_scene(scenes / "kite_lantern.toml"),
        "lantern of five": read_scene(scenes / "five_cane_lantern.toml"),
        "octagon": let_go_of(polygon(8), next(iter(polygon(8).links))),
    }


def falls(of: Frame) -> tuple[float, float, int]:
    """Processor seconds for a release of ten seconds, for its engine steps alone, and how many those are.

    The bare steps start from the same cut and have as many sweeps; nothing is loaded, followed, looked at
    or recorded meanwhile, and the joints are not softened at a touch. The coming to rest before the cut,
    two seconds more, is part of the release alone.
    """
    release(of, duration=0.1, before=0.0)  # calibration is done once in a process
    ours, bare = [], []
    for _ in range(ROUNDS):
        start = process_time()
        release(of, duration=SECONDS, before=0.0)
        ours.append(process_time() - start)
        stage = Stage(of)
        stage.rest_under_load()
        stage.cut(of.brace or "")
        stage.step()
        space, steps = stage.world.space, round(SECONDS * RATE) * stage.parts
        start = process_time()
        for _ in range(steps):
            space.step(stage.part)
        bare.append(process_time() - start)
    return min(ours), min(bare), steps


def write_falls(write: Callable[[str], object]) -> None:
    """Print the table of collapses."""
    write("\n| frame | rods | ten seconds / s | times real time | engine steps | alone / s | times |\n")
    write("| --- | --- | --- | --- | --- | --- | --- |\n")
    for name, of in collapsing().items():
        ours, bare, steps = falls(of)
        row = (
            name,
            len(of.bodies),
            f"{ours:.2f}",
            f"{SECONDS / ours:.0f}",
            steps,
            f"{bare:.2f}",
            f"{SECONDS / bare:.0f}",
        )
        write(f"| {' | '.join(map(str, row))} |\n")


def main() -> None:
    """Print the tables."""
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
    write_falls(write)


if __name__ == "__main__":
    main()
