"""Speed of a film: drawing and encoding together, beside each of them alone, on the same pictures.

    python -m pytest tests/benchmarks/bench_film.py

prints each as a multiple of real time at 1920 x 1080, 60 pictures a second, and the processor time of
a picture, with the share of the machine that others took meanwhile: real time counts only where that
is small. Then how near the film is to what was drawn, its size, and the memory of long films.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from pathlib import Path

import av
import numpy as np
import pytest

from simlab.film.chapters import Gravity
from simlab.film.easel import Easel
from simlab.film.fall import Fall
from simlab.film.fingerprint import Fingerprint
from simlab.film.recorder import RATE, SIZE, Recorder, write_film
from simlab.film.story import Story
from simlab.film.storyboard import Storyboard
from simlab.film.tiles import Picture
from simlab.frame.scene import read_scene
from simlab.simulation.release import hang, release

COUNT = 20 * RATE  # pictures: 20 s
AT_ONCE = 60  # pictures kept ready for the encoder alone (half a gigabyte)
SLOWED = 10  # times slower than real is the fall: it has 600 samples a second, so none is seen twice
LOADING = 4 * RATE  # pictures of gravity let on, at real speed: it has 60 samples a second
CORES = os.cpu_count() or 1
SCENES = Path(__file__).parent.parent.parent / "scenes"

Say = Callable[[str], None]


class MovingPictures:
    """The kite lantern, where everything moves: gravity let on with every force live, and the fall."""

    def __init__(self, size: tuple[int, int] = SIZE) -> None:
        frame = read_scene(SCENES / "kite_lantern.toml")
        story = Story(
            frame, frame.shown, hang(frame), release(frame), "determined", "stable", "", None, (), ""
        )
        board = Storyboard(story, size, SLOWED * RATE)
        self.easel = Easel(size, board.page, SLOWED * RATE, board.scheme)
        self.gravity = next(part for part in board.parts if isinstance(part, Gravity))
        self.fall = next(part for part in board.parts if isinstance(part, Fall))

    def pictures(self, count: int = COUNT) -> Iterator[Picture]:
        """The end of the loading, then the fall from the cut on."""
        loading = min(LOADING, count // 2)
        self.easel.succession.forget()
        for i in range(count):
            if i < loading:
                part, time = self.gravity, self.gravity.full - (loading - i) / RATE
            else:
                part, time = self.fall, self.fall.before + (i - loading) / (SLOWED * RATE)
            yield self.easel.draw(*part.draw(time), part.room)


class Watch:
    """What passes between `go` and `stop`: real time, this process's time, and what others took."""

    def __init__(self) -> None:
        self.wall = self.own = self.busy = 0.0

    def go(self) -> None:
        self.wall -= time.perf_counter()
        self.own -= time.process_time()
        self.busy -= busy_seconds()

    def stop(self) -> None:
        self.wall += time.perf_counter()
        self.own += time.process_time()
        self.busy += busy_seconds()

    def told(self, count: int) -> str:
        others = max(0.0, self.busy - self.own) / (self.wall * CORES)
        return (
            f"{count / RATE / self.wall:.2f} x real time, {1000 * self.own / count:.1f} ms of processor a "
            f"picture; others took {others:.0%} of {CORES} cores"
        )


def repeats(pictures: Iterator[Picture]) -> int:
    """How many pictures are the one before."""
    before, count = None, 0
    for picture in pictures:
        count += before is not None and np.array_equal(picture, before)
        before = picture.copy()
    return count


def busy_seconds() -> float:
    """Processor time that the whole machine has spent since it was started, all cores [s] (proc(5))."""
    user, nice, system, _idle, _wait, irq, soft, *_ = (
        Path("/proc/stat").read_text().split("\n")[0].split()[1:]
    )
    return sum(map(int, (user, nice, system, irq, soft))) / os.sysconf("SC_CLK_TCK")


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Say:
    """Print past pytest."""

    def told(text: str) -> None:
        with capsys.disabled():
            print(f"\n{text}", end="")  # noqa: T201 (what this file is for)

    return told


def test_20_seconds_without_a_repeat(say: Say, tmp_path: Path) -> None:
    """Drawing alone, the encoder alone, and a film made from nothing: all on the same pictures."""
    scene, film = MovingPictures(), tmp_path / "film.mp4"
    drawing, encoding, both = Watch(), Watch(), Watch()
    for _ in scene.pictures(AT_ONCE):  # what is computed once
        pass

    drawing.go()
    assert sum(1 for _ in scene.pictures()) == COUNT
    drawing.stop()
    assert repeats(scene.pictures()) == 0

    pictures, samples = scene.pictures(), []
    with Recorder(film) as recorder:
        while ready := [picture.copy() for picture in islice(pictures, AT_ONCE)]:
            samples.append(ready[0])
            encoding.go()
            for picture in ready:
                recorder.add(picture)
            while not recorder._drawn.empty():
                time.sleep(0.001)
            encoding.stop()
        encoding.go()
    encoding.stop()
    near, size = nearness(film, samples, AT_ONCE), film.stat().st_size / 1e6

    both.go()
    write_film(film, scene.pictures(), fingerprint=Fingerprint())  # as the command does
    both.stop()

    say(f"drawing alone: {drawing.told(COUNT)}")
    say(f"encoder alone: {encoding.told(COUNT)}")
    say(f"drawing and encoding: {both.told(COUNT)}")
    say(f"both together reach {encoding.wall / both.wall:.2f} of what the encoder alone does")
    say(f"PSNR {near:.1f} dB, {size:.2f} MB")


def test_3840_by_2160(say: Say, tmp_path: Path) -> None:
    """Two seconds of the largest size."""
    scene, both, count = MovingPictures((3840, 2160)), Watch(), 2 * RATE
    for _ in scene.pictures(AT_ONCE):
        pass
    both.go()
    write_film(tmp_path / "film.mp4", scene.pictures(count), size=(3840, 2160))
    both.stop()
    say(f"3840 x 2160: {both.told(count)}; {(tmp_path / 'film.mp4').stat().st_size / 1e6:.2f} MB for 2 s")


@pytest.mark.parametrize("kind", ["webm", "gif"])
def test_other_kinds(say: Say, tmp_path: Path, kind: str) -> None:
    """Ten seconds as WebM at 1080p60, as GIF at 640 x 360 and 15 pictures a second."""
    watch, film = Watch(), tmp_path / f"film.{kind}"
    size, rate = ((640, 360), 15) if kind == "gif" else (SIZE, RATE)
    scene = MovingPictures(size)
    drawn = [p.copy() for i, p in enumerate(scene.pictures()) if i % (SLOWED * RATE // rate) == 0]
    watch.go()
    write_film(film, drawn[: 10 * rate])
    watch.stop()
    say(
        f"{kind}: {1000 * watch.own / 10 / rate:.1f} ms of processor a ready picture, "
        f"PSNR {nearness(film, drawn[::10], 10):.1f} dB, {film.stat().st_size / 1e6:.2f} MB for 10 s"
    )


@pytest.mark.parametrize("seconds", [5, 20])
def test_memory(say: Say, tmp_path: Path, seconds: int) -> None:
    """The most memory that a process took which drew and recorded a film of so many seconds."""
    code = (
        "import bench_film as b\n"
        f"b.write_film({str(tmp_path / 'film.mp4')!r}, b.MovingPictures().pictures({seconds} * b.RATE))\n"
        "print(open('/proc/self/status').read().partition('VmHWM:')[2].split()[0])\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=Path(__file__).parent, check=True, capture_output=True, text=True
    )
    say(f"memory for {seconds} s at 1080p60: {int(run.stdout) / 1024:.0f} MB")


def nearness(film: Path, samples: Sequence[Picture], every: int) -> float:
    """The PSNR of a film against every so-manieth picture drawn [dB], over red, green and blue."""
    errors = []
    with av.open(str(film)) as file:
        for frame, drawn in zip(islice(file.decode(video=0), 0, None, every), samples, strict=False):
            shown = frame.to_ndarray(format="rgb24").astype(np.float32)
            errors.append(float(np.mean((shown - drawn[..., :3]) ** 2)))
    return float(10 * np.log10(255**2 / np.mean(errors)))
