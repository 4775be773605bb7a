"""Ten seconds of a collapse beside as many bare steps: python tests/benchmarks/cost_of_collapse.py

Frames of 2 to 8 rods, every force recorded 600 times a second. In processor time, which other work on the
machine hardly touches (OPENBLAS_NUM_THREADS=1, or idle threads of the linear algebra are counted too).
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parent.parent))

from collapses import let_go_of
from small_frames import polygon, stepladder

from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.simulation.release import release
from simlab.simulation.stage import RATE, Stage

SECONDS = 10.0
ROUNDS = 5  # the quickest counts


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


def main() -> None:
    """Print the table."""
    write = sys.stdout.write
    write("| frame | rods | ten seconds / s | times real time | engine steps | alone / s | times |\n")
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


if __name__ == "__main__":
    main()
