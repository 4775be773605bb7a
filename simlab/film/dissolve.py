"""From one chapter to the next: the last picture fades into what follows, and the camera glides there."""

from __future__ import annotations

import numpy as np

from simlab.film.chapter import COMING, eased
from simlab.film.easel import Easel
from simlab.film.played import Played
from simlab.pictures.canvas import Pixels

TRAVEL = 0.8  # [s] in which the camera gets there, where both show the frame
STEPS = 256  # of opacity


class Dissolve:
    """Between two chapters: the second begins at once, under what is left of the first one's last picture.

    Where both show the same frame, soon seen otherwise, the camera glides, and that picture with it.
    """

    def __init__(self, last: Played, following: Played, pixels: Pixels, easel: Easel) -> None:
        self.before, self.now, self.rate = last.chapter, following.chapter, following.rate
        self.end = last.time(last.count - 1)
        self.over = pixels.copy()
        self.start = self.before.camera_at(self.end)
        same = self.before.roams and self.now.roams
        self.travels = same and self.start != self.now.camera_at(COMING)
        self.earlier = easel.another() if self.travels else None
        if same:
            easel.succession.cut()
        else:
            easel.succession.forget()
        self._sum, self._rest = (np.empty(pixels.shape, np.uint16) for _ in range(2))
        self._mixed = np.empty(pixels.shape, np.uint8)

    @property
    def count(self) -> int:
        """How many pictures of the second chapter it takes."""
        return round((TRAVEL if self.travels else COMING) * self.rate)

    def draw(self, time: float, i: int, easel: Easel) -> Pixels:
        """Picture i of the second chapter, at a time of it [s]."""
        camera = self.now.camera_at(time)
        if self.travels:
            camera = self.start.towards(camera, eased((i + 1) / (self.count + 1)))
        share = round(STEPS * eased((i + 1) / (COMING * self.rate + 1)))
        if self.earlier is not None and share < STEPS:
            marks = self.before.marks_at(self.end, camera)
            self.over = self.earlier.draw(marks, camera, self.before.room)
        pixels = easel.draw(self.now.marks_at(time, camera), camera, self.now.room)
        return self._blended(pixels, share) if share < STEPS else pixels

    def _blended(self, pixels: Pixels, share: int) -> Pixels:
        """A share (of STEPS) of some pixels, with those of the picture before."""
        np.multiply(pixels, np.uint16(share), out=self._sum)
        np.multiply(self.over, np.uint16(STEPS - share), out=self._rest)
        np.add(self._sum, self._rest, out=self._sum)
        np.right_shift(self._sum, 8, out=self._sum)
        np.copyto(self._mixed, self._sum, casting="unsafe")
        return self._mixed
