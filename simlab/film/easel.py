"""The easel: draws picture after picture of a film, every label staying where it was as long as it can."""

from __future__ import annotations

from collections.abc import Sequence

from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.canvas import Canvas, Pixels
from simlab.pictures.marks import Mark
from simlab.pictures.placement import Placement, place

GLIDE = 0.25  # share of the way to its new place that a label moves in one picture


class Easel:
    """A canvas that remembers where the labels of the picture before stood."""

    def __init__(self, size: tuple[int, int], page: Page) -> None:
        self.size, self.page = size, page
        self.canvas = Canvas(*size, page)
        self.placement: Placement | None = None

    def draw(self, marks: Sequence[Mark], camera: Camera, room: Rect | None) -> Pixels:
        """The next picture, its labels within `room`; the pixels change with the one after."""
        before = self.placement
        self.placement = place(marks, camera, before, page=self.page, within=room, glide=GLIDE)
        return self.canvas.draw(marks, camera, self.placement)

    def forget(self) -> None:
        """Begin anew: labels choose the best places there are."""
        self.placement = None

    def another(self) -> Easel:
        """An easel of its own that goes on from the same picture."""
        easel = Easel(self.size, self.page)
        easel.placement = self.placement
        return easel
