"""Speed of a film: drawing and encoding together, beside each of them alone, on the same pictures.

    python -m pytest tests/benchmarks/bench_film.py

prints each as a multiple of real time at 1920 x 1080, 60 pictures a second, with the share of the
machine that others took meanwhile: only a run with a small share counts.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from simlab.film.chapters import Gravity
from simlab.film.fall import Fall
from simlab.film.recorder import RATE, SIZE, write_film
from simlab.film.story import Story
from simlab.film.storyboard import GLIDE, Storyboard
from simlab.film.tiles import Picture
from simlab.frame.scene import read_scene
from simlab.pictures.canvas import Canvas
from simlab.pictures.placement import place
from simlab.simulation.release import hang, release

COUNT = 240  # pictures: 4 s, long enough for two key pictures and a steady state
ROUNDS = 3
CORES = os.cpu_count() or 1
SCENES = Path(__file__).parent.parent.parent / "scenes"

Report = Callable[[str, Callable[[], object]], None]


class MovingPictures:
    """The kite lantern's film where everything moves: gravity let on with every force live, and the fall.

    The last 120 pictures of the loading and the first 120 of the fall, drawn as the film draws them.
    """

    def __init__(self) -> None:
        frame = read_scene(SCENES / "kite_lantern.toml")
        story = Story(
            frame, frame.shown, hang(frame), release(frame), "determined", "stable", "", None, (), ""
        )
        board = Storyboard(story, SIZE, RATE)
        self.page = board.page
        self.canvas = Canvas(*SIZE)
        self.gravity = next(part for part in board.parts if isinstance(part, Gravity))
        self.fall = next(part for part in board.parts if isinstance(part, Fall))

    def pictures(self) -> Iterator[Picture]:
        half = COUNT // 2
        before = None
        for i in range(COUNT):
            if i < half:
                part, time = self.gravity, self.gravity.full - (half - i) / RATE
            else:
                part, time = self.fall, self.fall.BEFORE + (i - half) / RATE
            marks, camera = part.draw(time)
            before = place(marks, camera, before, page=self.page, within=part.room, glide=GLIDE)
            yield self.canvas.draw(marks, camera, before)


def busy_seconds() -> float:
    """Processor time that the whole machine has spent since it was started, all cores [s] (proc(5))."""
    user, nice, system, _idle, _wait, irq, soft, *_ = (
        Path("/proc/stat").read_text().split("\n")[0].split()[1:]
    )
    return sum(map(int, (user, nice, system, irq, soft))) / os.sysconf("SC_CLK_TCK")


@pytest.fixture
def report(benchmark: Any, capsys: pytest.CaptureFixture[str]) -> Report:
    """Time a run, and print how many times faster than real time it was, in the middle and at best."""

    def timed(what: str, run: Callable[[], object]) -> None:
        others = []

        def watched() -> None:
            busy, own, wall = busy_seconds(), time.process_time(), time.perf_counter()
            run()
            busy, own, wall = busy_seconds() - busy, time.process_time() - own, time.perf_counter() - wall
            others.append(max(0.0, busy - own) / (wall * CORES))

        benchmark.pedantic(watched, rounds=ROUNDS, warmup_rounds=1)
        seconds = COUNT / RATE
        middle, best = seconds / benchmark.stats.stats.median, seconds / benchmark.stats.stats.min
        benchmark.extra_info.update(real_time=middle, others=max(others))
        with capsys.disabled():
            print(  # noqa: T201 (what this file is for)
                f"\n{what}: {middle:.2f} x real time (best {best:.2f}), {middle * RATE:.0f} pictures/s; "
                f"others took up to {max(others):.0%} of {CORES} cores"
            )

    return timed


@pytest.fixture(scope="module")
def scene() -> MovingPictures:
    """The film, with everything computed that is not drawing."""
    return MovingPictures()


def test_drawing_alone(report: Report, scene: MovingPictures) -> None:
    """How fast the pictures are drawn and thrown away."""
    report("drawing alone", lambda: [None for _ in scene.pictures()])


def test_encoder_alone(report: Report, scene: MovingPictures, tmp_path: Path) -> None:
    """How fast the same pictures, drawn beforehand, become a film."""
    drawn = [picture.copy() for picture in scene.pictures()]  # 2 GB
    report("encoder alone", lambda: write_film(tmp_path / "alone.mp4", drawn))


def test_drawing_and_encoding(report: Report, scene: MovingPictures, tmp_path: Path) -> None:
    """How fast a film is made from nothing: the number to compare with the encoder alone."""
    report("drawing and encoding", lambda: write_film(tmp_path / "all.mp4", scene.pictures()))
