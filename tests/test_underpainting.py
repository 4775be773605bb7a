"""The underpainting saves drawing, and changes no pixel."""

from __future__ import annotations

import numpy as np
import pytest

from simlab.pictures.brush import Brush
from simlab.pictures.camera import Camera
from simlab.pictures.canvas import Canvas
from simlab.pictures.engraving import Ink
from simlab.pictures.marks import Mark, Ring, Stroke

CAMERA = Camera((0, 0), (240, 135), 100)
SIZE = (480, 270)


def picture(still: int, moving: float, opacity: float = 1.0) -> list[Mark]:
    """`still` rods that lie across each other, below a ring at `moving`."""
    rods = [
        Stroke(name=f"rod {i}", role="rod", points=np.array([[-1, 0.1 * i], [1, -0.1 * i]]), width=0.1)
        for i in range(still)
    ]
    return [*rods, Ring(name="ring", role="hinge", centre=(moving, 0), radius=0.2, opacity=opacity)]


def test_pictures_are_the_same_on_a_fresh_canvas_and_on_one_that_has_drawn_others() -> None:
    """What lies below may stay, grow, shrink, vanish and fade."""
    canvas = Canvas(*SIZE)
    for still in (9, 9, 16, 16, 16, 12, 12, 3, 3, 3, 0, 0, 9, 9):
        for moving in (0.0, 0.3):
            for opacity in (1.0, 0.5):
                marks = picture(still, moving, opacity)
                np.testing.assert_array_equal(canvas.draw(marks, CAMERA), Canvas(*SIZE).draw(marks, CAMERA))


def test_a_picture_drawn_on_another_in_between_leaves_no_trace() -> None:
    """`under` is for one picture only."""
    canvas, marks = Canvas(*SIZE), picture(9, 0.0)
    for _ in range(3):
        canvas.draw(marks, CAMERA)
    canvas.draw(picture(2, 0.5), CAMERA, under=np.full((270, 480, 4), 90, np.uint8))

    np.testing.assert_array_equal(canvas.draw(marks, CAMERA), Canvas(*SIZE).draw(marks, CAMERA))


def test_what_stays_below_is_drawn_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of nine rods and a ring that moves, only the ring is drawn from the sixth picture on."""
    drawn: list[str] = []
    draw = Brush.draw

    def counted(self: Brush, ink: Ink) -> None:
        drawn.append(ink.name)
        draw(self, ink)

    monkeypatch.setattr(Brush, "draw", counted)
    canvas = Canvas(*SIZE)
    for i in range(9):
        if i == 5:
            drawn.clear()
        canvas.draw(picture(9, 0.1 * i), CAMERA)

    assert drawn == ["ring"] * 4
