"""Speed of a film: drawing and encoding together, beside each of them alone, on the same pictures.

    python -m pytest tests/benchmarks/bench_film.py

prints each as a multiple of real time at 1920 x 1080, 60 pictures a second, with the share of the
machine that others took meanwhile: only a run with a small share counts.
"""

from __future__ import annotations

import math
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.path import Path as Curve
from matplotlib.textpath import TextPath
from matplotlib.transforms import Affine2D, IdentityTransform

from simlab.film.encoder import Picture
from simlab.film.recorder import RATE, SIZE, write_film

COUNT = 240  # pictures: 4 s, long enough for two key pictures and a steady state
ROUNDS = 3
CORES = os.cpu_count() or 1
WIDTH, HEIGHT = SIZE
INK, CANE, VERMILION, WHITE = (0.1, 0.1, 0.1), (0.9, 0.8, 0.6), (0.84, 0.37, 0.0), (1.0, 1.0, 1.0)

Point = tuple[float, float]
Report = Callable[[str, Callable[[], object]], None]


class MovingScene:
    """A plain stand-in for a frame that falls: 8 outlined rods, 10 hinges, 20 arrows, 20 labels, a grid.

    Everything but the grid moves in every picture. Drawn as the canvas draws: matplotlib's Agg, in
    sub-pixel positions, on one array.
    """

    def __init__(self) -> None:
        self.agg = RendererAgg(WIDTH, HEIGHT, 72.0)
        self.pixels: Picture = np.asarray(self.agg.buffer_rgba())
        self.labels = [TextPath((0, 0), rf"$T_{{{k}}}=\frac{{{k + 2}}}{{3}}W$", size=32) for k in range(20)]
        self.agg.clear()
        self.pixels[:] = 255
        for x in range(0, WIDTH, 40):
            self.line((x, 0), (x, HEIGHT), 1, (0.85, 0.85, 0.85))
        for y in range(0, HEIGHT, 40):
            self.line((0, y), (WIDTH, y), 1, (0.85, 0.85, 0.85))
        self.ground = self.pixels.copy()

    def line(self, a: Point, b: Point, width: float, ink: tuple[float, ...]) -> None:
        self.outline(Curve([a, b]), width, ink)

    def outline(
        self,
        curve: Curve,
        width: float,
        ink: tuple[float, ...],
        fill: tuple[float, ...] | None = None,
        place: Affine2D | None = None,
    ) -> None:
        context = self.agg.new_gc()
        context.set_snap(False)
        context.set_capstyle("round")
        context.set_linewidth(width)
        context.set_foreground(ink)
        self.agg.draw_path(context, curve, place or IdentityTransform(), fill)

    def picture(self, i: int) -> Picture:
        t = i / RATE
        self.pixels[:] = self.ground
        for k in range(8):
            x, y, a = 220 + 210 * k, 540 + 120 * math.sin(t + k), (0.5 + 0.2 * k) * t + k
            dx, dy = 140 * math.cos(a), 140 * math.sin(a)
            self.line((x - dx, y - dy), (x + dx, y + dy), 16, INK)
            self.line((x - dx, y - dy), (x + dx, y + dy), 12, CANE)
        for k in range(10):
            at = (150 + 180 * k + 30 * math.cos(2 * t + k), 540 + 250 * math.sin(t + 2 * k))
            self.outline(Curve.circle(at, 10), 2, INK, WHITE)
        for k in range(20):
            a, size = t + 0.7 * k, 70 + 30 * math.sin(2 * t + k)
            tail = np.array((80 + 93 * k, 260 + 260 * (k % 3) + 50 * math.sin(t + k)))
            along = np.array((math.cos(a), math.sin(a)))
            across = np.array((-along[1], along[0]))
            tip = tail + size * along
            self.line(tuple(tail), tuple(tip), 4, VERMILION)
            head = Curve(
                [tip + 10 * across, tip + 24 * along, tip - 10 * across, tip + 10 * across], closed=True
            )
            self.outline(head, 0, VERMILION, VERMILION)
            place = Affine2D().translate(tail[0] + 12, tail[1] + 16)
            self.outline(self.labels[k], 6, WHITE, WHITE, place)
            self.outline(self.labels[k], 0, INK, INK, place)
        return self.pixels

    def pictures(self) -> Iterator[Picture]:
        return (self.picture(i) for i in range(COUNT))


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
def scene() -> MovingScene:
    """The scene, with everything loaded."""
    return MovingScene()


def test_drawing_alone(report: Report, scene: MovingScene) -> None:
    """How fast the pictures are drawn and thrown away."""
    report("drawing alone", lambda: [None for _ in scene.pictures()])


def test_encoder_alone(report: Report, scene: MovingScene, tmp_path: Path) -> None:
    """How fast the same pictures, drawn beforehand, become a film."""
    drawn = [picture.copy() for picture in scene.pictures()]  # 2 GB
    report("encoder alone", lambda: write_film(tmp_path / "alone.mp4", drawn))


def test_drawing_and_encoding(report: Report, scene: MovingScene, tmp_path: Path) -> None:
    """How fast a film is made from nothing: the number to compare with the encoder alone."""
    report("drawing and encoding", lambda: write_film(tmp_path / "all.mp4", scene.pictures()))
