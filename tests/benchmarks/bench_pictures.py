"""Speed of one picture: placing 20 labels, and drawing 8 rods, 20 arrows and 20 labels at 1920 x 1080.

    python -m pytest tests/benchmarks/bench_pictures.py

Everything moves: one turn of the ring in 12 s. "live" labels are numbers that change in every picture.
"""

from __future__ import annotations

from itertools import cycle

import numpy as np
import pytest

from simlab.pictures.camera import Camera
from simlab.pictures.canvas import Canvas
from simlab.pictures.marks import Arrow, Label, Mark, Ring, Stroke
from simlab.pictures.placement import Placement, place

CAMERA = Camera((0.0, 0.0), (960.0, 540.0), 330.0, 30.0)
RODS, ARROWS, COUNT = 8, 20, 240
ROLES = ("weight", "thrust", "tension", "hinge force", "support force")


def moving(time: float, live: bool) -> list[Mark]:
    """The marks at a time [s]."""
    corners = time * np.pi / 6 + 2 * np.pi * np.arange(RODS + 1) / RODS
    ends = np.stack([np.cos(corners), np.sin(corners)], axis=1)
    marks: list[Mark] = []
    for i in range(RODS):
        marks.append(Stroke(name=f"rod {i}", role="rod", points=ends[i : i + 2], width=0.07))
        marks.append(Ring(name=f"hinge {i}", role="hinge", centre=(ends[i, 0], ends[i, 1]), radius=0.025))
    for i in range(ARROWS):
        angle = time * np.pi / 6 + 2 * np.pi * i / ARROWS + 0.1
        tail = (float(np.cos(angle)), float(np.sin(angle)))
        force = (3 * float(np.cos(2 * angle + i)), 3 * float(np.sin(3 * angle)))
        text = f"{10 + i + 3 * np.sin(time + i):.1f} N" if live else f"$\\frac{{{i}}}{{3}}W$"
        marks.append(Arrow(name=f"force {i}", role=ROLES[i % 5], tail=tail, vector=force))
        marks.append(
            Label(
                name=f"words {i}",
                role=ROLES[i % 5],
                anchor=tail,
                vector=force,
                text=text,
                size=40.0,
                sides=("n", "e"),
            )
        )
    return marks


@pytest.fixture(params=[False, True], ids=["mathematics", "live numbers"])
def film(request):
    """Marks and placements of 4 s of film."""
    pictures: list[tuple[list[Mark], Placement]] = []
    before: Placement = {}
    for k in range(COUNT):
        marks = moving(k / 60, request.param)
        before = place(marks, CAMERA, before)
        pictures.append((marks, before))
    return pictures


def test_placing(benchmark, film):
    """Each picture after the one before it."""
    order = cycle(range(1, COUNT))

    def one() -> Placement:
        k = next(order)
        return place(film[k][0], CAMERA, film[k - 1][1])

    benchmark.pedantic(one, rounds=COUNT, warmup_rounds=20)


def test_drawing(benchmark, film):
    """Each picture once, after a first run through that fills the stores of labels."""
    canvas = Canvas(1920, 1080)
    order = cycle(film)

    def one() -> None:
        marks, placement = next(order)
        canvas.draw(marks, CAMERA, placement)

    benchmark.pedantic(one, rounds=COUNT, warmup_rounds=COUNT)
