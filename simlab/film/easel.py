"""The easel: draws picture after picture of a film, every label staying where it was as long as it can."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy

from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.canvas import Canvas, Pixels
from simlab.pictures.marks import Mark
from simlab.pictures.schemes import Scheme
from simlab.pictures.succession import Succession


class Easel:
    """A canvas, and the succession of its pictures, `rate` a second."""

    def __init__(self, size: tuple[int, int], page: Page, rate: float, scheme: Scheme) -> None:
        self.size, self.scheme = size, scheme
        self.canvas = Canvas(*size, page, scheme)
        self.succession = Succession(page, rate)

    def draw(self, marks: Sequence[Mark], camera: Camera, room: Rect | None) -> Pixels:
        """The next picture, its labels within `room`; the pixels change with the one after."""
        marks, placement = self.succession.follow(marks, camera, room)
        return self.canvas.draw(marks, camera, placement)

    def another(self) -> Easel:
        """An easel of its own that goes on from the same picture."""
        easel = Easel(self.size, self.succession.page, self.succession.rate, self.scheme)
        easel.succession = copy(self.succession)
        return easel
