"""Takes: films of what is done in the window, by the clock: what took a second to do takes one to watch.

Pictures are drawn whenever there is something new, films have a fixed rate: each picture shown is given to
the film as often as time has passed for, so a still window makes still pictures, and a picture that comes
before the next is due is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

import numpy as np

from simlab.pictures.canvas import Pixels

RATE = 30  # [pictures/s] of a film of the window: as quick as hands are, at half of the work
LONGEST_CHAPTER = 60  # letters of a title
BREATH = 1.0  # [s] between two chapters at least: players list them


class Film(Protocol):
    """A film that grows while it is taken, and is playable at any moment."""

    path: Path

    def add(self, picture: Pixels) -> None:
        """Take the next picture, shape (height, width, 4)."""

    def close(self, chapters: Sequence[tuple[float, str]]) -> None:
        """Put the film in order, with chapters (start [s], title), the first at 0."""


Opening = Callable[[tuple[int, int], int], Film]  # width and height [px], pictures a second -> a new film


class Takes:
    """The films that are taken of a window, one after the other.

    begin : opens a new film; clock : seconds, of any beginning; said : what became of the last film
    """

    def __init__(self, begin: Opening, clock: Callable[[], float]) -> None:
        self._begin, self._clock = begin, clock
        self._film: Film | None = None
        self._size = (0, 0)
        self._wanted = False
        self._chapters: list[tuple[float, str]] = []
        self._count = 0
        self._start = 0.0
        self.said = ""

    @property
    def is_on(self) -> bool:
        """Whether what is shown is recorded."""
        return self._wanted

    @property
    def seconds(self) -> float:
        """How long the film is by now [s]."""
        return self._count / RATE

    def start_or_stop(self) -> None:
        """Begin a film with the next picture shown, or end the one that is taken."""
        if self._wanted:
            self.stop()
        else:
            self._wanted, self.said = True, ""

    def show(self, picture: Pixels) -> None:
        """A picture is shown from now on; shape (height, width, 4), copied at once.

        A window of another size ends the film and begins another one. Raises BadInput where none can be
        written; nothing is recorded then.
        """
        if not self._wanted:
            return
        even = picture[: len(picture) // 2 * 2, : picture.shape[1] // 2 * 2]
        size = (even.shape[1], even.shape[0])
        if self._film is not None and size != self._size:
            self.stop()
            self._wanted = True
        if self._film is None:
            self._wanted = False  # until the film is there
            self._film, self._size, self._wanted = self._begin(size, RATE), size, True
            self._start, self._count, self._chapters = self._clock(), 0, []
        for _ in range(self._due()):
            self._film.add(np.ascontiguousarray(even))
            self._count += 1

    def _due(self) -> int:
        """How many pictures time has passed for."""
        return int((self._clock() - self._start) * RATE) + 1 - self._count

    def note(self, what: str) -> None:
        """Something was done: a chapter of the film begins."""
        if self._film is None:
            return
        at = self.seconds
        title = what[:1].upper() + what[1:LONGEST_CHAPTER]
        last = self._chapters[-1][0] if self._chapters else 0.0
        if at - last >= BREATH:
            self._chapters.append((at, title))

    def stop(self) -> None:
        """End the film and put it in order."""
        film, self._film, self._wanted = self._film, None, False
        if film is not None:
            film.close([(0.0, "Beginning"), *self._chapters] if self._chapters else [])
            self.said = f"Recorded: {film.path}, {self.seconds:.0f} s."
