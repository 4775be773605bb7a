"""The sign that a film is taken: a lit lantern in the corner of the window, and how long the film is.

It is laid over what is shown, and never seen in the film.
"""

from __future__ import annotations

import numpy as np

from simlab.pictures.camera import Camera, Page
from simlab.pictures.canvas import Canvas, Pixels
from simlab.pictures.marks import Label, Mark, Stroke
from simlab.pictures.palette import SMALL
from simlab.pictures.schemes import Scheme
from simlab.pictures.weights import lantern
from simlab.window.tags import rounded

WIDE, HIGH = 330.0, 92.0  # [page units]
EDGE = 12.0  # [page units] around the paper
LANTERN = 52.0, 0.9  # [page units] from the left to its middle; its size beside one on the frame
CORD = 8.0  # [page units] of the frame, that it hangs by
WORDS = 92.0, 0.62  # [page units] from the left; of the height, where they stand
CAMERA = Camera((0.0, 0.0), (LANTERN[0], 0.0), LANTERN[1])


class Sign:
    """The sign, drawn once a second; `ratio` pixels a page unit."""

    def __init__(self, ratio: float, scheme: Scheme) -> None:
        size = (round(WIDE * ratio), round(HIGH * ratio))
        self._canvas = Canvas(*size, Page(WIDE, HIGH), scheme)
        self._second = -1

    def pixels(self, seconds: float) -> Pixels:
        """The sign over a film of so many seconds so far."""
        if int(seconds) != self._second:
            self._second = int(seconds)
            paper = self._canvas.draw([_paper()], CAMERA).copy()
            self._drawn = self._canvas.draw(_marks(self._second), CAMERA, under=paper).copy()
        return self._drawn


def _paper() -> Mark:
    edge = (EDGE, -EDGE, WIDE - EDGE, HIGH - EDGE)
    return Stroke(name="paper", role="box", space="page", points=rounded(edge), closed=True, filled=True)


def _marks(seconds: int) -> list[Mark]:
    """A lantern that hangs from the edge of the window, and the words."""
    words = f"filming {seconds // 60}:{seconds % 60:02d}"
    at = (WORDS[0], WORDS[1] * HIGH)
    label = Label(name="words", role="text", space="page", anchor=at, text=words, size=SMALL, bold=True)
    return [*lantern("sign", np.zeros(2), 1.0, CORD), label]
