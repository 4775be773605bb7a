"""What every chapter of a film is: how long, with which words under it, and its marks at any time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, inf, pi
from types import MappingProxyType

from simlab.film.halves import labels_room
from simlab.film.stage_set import StageSet
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.cards import band, caption
from simlab.pictures.marks import Mark

Line = tuple[float, str]  # from this time of a chapter [s] these words stand under the picture
Drawn = tuple[list[Mark], Camera]
COMING = 0.4  # [s] in which a chapter comes up over the one before


def eased(share: float) -> float:
    """0 to 1, starting and arriving softly."""
    return (1 - cos(pi * min(max(share, 0.0), 1.0))) / 2


class Chapter:
    """A chapter: `seconds` long, its `lines` of words, and its marks at any time of it.

    `plain` gives the words of lines that have mathematics in them as plain text, for the captions' track.
    `settling`: pictures that are drawn yet when nothing moves any more, until labels have glided home.
    `pauses`: whether it asks a question or shows an answer, so that a teacher may want to pause at its end.
    `roams`: whether it shows the whole frame under any camera, so that a film can glide to it and from it.
    `is_clocked`: whether it shows motion by the clock, which no pace of the telling may change.
    """

    title = ""
    seconds = 0.0
    lines: Sequence[Line] = ()
    plain: Mapping[str, str] = MappingProxyType({})
    settling = 30
    pauses = False
    roams = True
    is_clocked = False

    def __init__(self, stage: StageSet) -> None:
        self.stage = stage
        self.story = stage.story

    def camera_at(self, time: float) -> Camera:
        """How the frame is seen at a time of the chapter [s]."""
        return self.stage.camera

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        """The marks at a time of the chapter [s], for a camera: its own, or one that glides there."""
        raise NotImplementedError

    def draw(self, time: float) -> Drawn:
        """The marks and the camera at a time of the chapter [s]."""
        camera = self.camera_at(time)
        return self.marks_at(time, camera), camera

    @property
    def telling(self) -> float:
        """When its most telling picture is seen [s]."""
        return self.seconds

    @property
    def held(self) -> float:
        """When it stands still, if it is to be held [s]."""
        return self.seconds

    def is_still(self, time: float) -> bool:
        """Whether the picture at a time is the one before, so that it need not be drawn again."""
        return time > self.moves_until

    moves_until = inf  # [s] after which nothing moves any more

    @property
    def room(self) -> Rect | None:
        """Where labels may stand: above the caption band, if there is one."""
        return labels_room(self.stage.page) if self.lines else None

    @property
    def track(self) -> Sequence[Line]:
        """The words of the captions' track: those under the picture, as plain text."""
        return [(time, self.plain.get(words, words)) for time, words in self.lines]

    def words(self, time: float) -> list[Mark]:
        """The caption band at a time."""
        spoken = [words for start, words in self.lines if start <= time]
        page, note = self.stage.page, self.story.spoken(self.stage.footnote)
        return (
            caption(self.story.spoken(spoken[-1]), page, high=band(page), footnote=note) if spoken else []
        )
