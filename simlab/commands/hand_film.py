"""Films of what is done in the window: where they go, and how they are ended."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simlab.commands.film_output import RECORDINGS
from simlab.errors import BadInput

if TYPE_CHECKING:
    from simlab.frame.model import Frame
    from simlab.window.takes import Takes


def takes_of(frame: Frame) -> Takes:
    """The films that can be taken of a frame's window: recordings/SCENE_hand_1.mp4, _2 and so on."""
    from time import monotonic

    from simlab.window.takes import Takes

    return Takes(lambda size, rate: HandFilm(frame, size, rate), monotonic)


class HandFilm:
    """A film that grows while hands are at work, playable at any moment, and put in order by `close`."""

    def __init__(self, frame: Frame, size: tuple[int, int], rate: int) -> None:
        from simlab.film.recorder import Recorder
        from simlab.results.wording import CAUTION

        self.path = free_place(frame.name)
        title = {"title": f"{frame.title}, by hand", "comment": CAUTION}
        self._recorder = Recorder(self.path, size=size, rate=rate, metadata=title, growing=True)
        self._recorder.__enter__()

    def add(self, picture: Any) -> None:
        """Take the next picture."""
        self._recorder.add(picture)

    def close(self, chapters: Sequence[tuple[float, str]]) -> None:
        """Put the film in order."""
        self._recorder.chapters = tuple(chapters)
        self._recorder.__exit__(None, None, None)


def free_place(name: str) -> Path:
    """The first place for a film of a scene by hand that has none yet."""
    try:
        RECORDINGS.mkdir(exist_ok=True)
    except OSError as error:
        raise BadInput(f"{RECORDINGS}/ cannot be made here: {error.strerror}.") from None
    number = 1
    while (path := RECORDINGS / f"{name}_hand_{number}.mp4").exists():
        number += 1
    return path
