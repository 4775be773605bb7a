"""Repainting saves drawing, and changes no pixel."""

from __future__ import annotations

import numpy as np
import pytest

from simlab.pictures.brush import Brush
from simlab.pictures.camera import Camera
from simlab.pictures.canvas import Canvas
from simlab.pictures.engraving import Ink
from simlab.pictures.marks import SIDES, Label, Mark, Ring, Stroke
from simlab.pictures.placement import place

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


def test_only_what_changes_and_what_lies_across_it_is_drawn_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A ring moves over one rod; a rod elsewhere, and a dot that only its box is near, are left alone."""
    drawn: list[str] = []
    draw = Brush.draw

    def counted(self: Brush, ink: Ink) -> None:
        drawn.append(ink.name)
        draw(self, ink)

    monkeypatch.setattr(Brush, "draw", counted)
    canvas = Canvas(*SIZE)
    for i in range(4):
        if i == 1:
            drawn.clear()
        below = Stroke(name="below", role="rod", points=np.array([[-1, 0], [1, 0]]), width=0.1)
        elsewhere = Stroke(name="elsewhere", role="rod", points=np.array([[-1, 1], [1, 1]]), width=0.1)
        ring = Ring(name="ring", role="hinge", centre=(0.1 * i, 0), radius=0.2)
        canvas.draw([below, elsewhere, ring], CAMERA)

    assert drawn == ["below", "ring"] * 3


def test_labels_among_what_moves_are_as_on_a_fresh_canvas() -> None:
    """Words that come, stay, glide and go above a rod that turns, with and without paper around them."""
    canvas = Canvas(*SIZE)
    for i in range(12):
        end = (np.cos(0.2 * i), np.sin(0.2 * i))
        marks: list[Mark] = [
            Stroke(name="rod", role="rod", points=np.array([[0, 0], end]), width=0.1),
            Stroke(name="nothing", role="stone joint", points=np.full((1, 2), np.nan)),
            Label(name="name A", role="name", anchor=(0.5, 0.5), text="A", size=60, sides=SIDES),
        ]
        if i % 4:
            at = (200.0 + 20 * i, 900.0)
            marks.append(
                Label(name="words", role="text", space="page", anchor=at, text=f"{i // 3} N", size=50)
            )
        placement = place(marks, CAMERA, page=canvas.page)
        fresh = Canvas(*SIZE).draw(marks, CAMERA, placement).astype(int)
        # a kept label stands at a sixteenth of a pixel, so that its edges may differ by a few levels
        assert np.abs(canvas.draw(marks, CAMERA, placement) - fresh).max() <= 24


def test_nobody_else_writes_on_a_canvas() -> None:
    """Its pixels cannot be changed from outside, or what was not drawn again would keep the change."""
    pixels = Canvas(*SIZE).draw(picture(3, 0.0), CAMERA)
    with pytest.raises(ValueError, match="read-only"):
        pixels[0, 0] = 0


def test_what_was_laid_over_a_picture_is_gone_with_the_next() -> None:
    """Rows laid over the lowest ones are seen until the next drawing, and then leave no trace."""
    canvas, foot = Canvas(*SIZE), np.full((100, 480, 4), 90, np.uint8)
    bare = canvas.draw(picture(9, 0.0), CAMERA).copy()
    covered = canvas.covered(foot).copy()

    np.testing.assert_array_equal(covered[-100:], foot)
    np.testing.assert_array_equal(covered[:-100], bare[:-100])
    np.testing.assert_array_equal(canvas.draw(picture(9, 0.0), CAMERA), bare)
