"""How a frame is to be filmed, as plain data: which chapters, how long they are, how slow the break."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Literal, get_args

ChapterName = Literal[
    "question",
    "assembly",
    "push-or-pull",
    "gravity",
    "working",
    "what-now",
    "release",
    "answer",
]
CHAPTER_NAMES: tuple[ChapterName, ...] = get_args(ChapterName)  # in the order of a lesson


@dataclass(frozen=True)
class FilmWishes:
    """What is wished of a film; None or empty where nothing is said.

    chapters : these alone; without : all but these
    hold : how much longer the last picture of a chapter stands, by its name [s]; pause : the same for every
    chapter that asks a question or shows an answer [s]
    slow : how fast the frame moves at the break, as a share of real speed
    answers : False for an edition that gives nothing away
    """

    chapters: tuple[ChapterName, ...] = ()
    without: tuple[ChapterName, ...] = ()
    hold: Mapping[ChapterName, float] = field(default_factory=dict)
    pause: float | None = None
    slow: float | None = None
    answers: bool | None = None

    def over(self, other: FilmWishes) -> FilmWishes:
        """These wishes, and where they say nothing another's.

        >>> FilmWishes(pause=2.0).over(FilmWishes(pause=4.0, slow=0.25))
        FilmWishes(chapters=(), without=(), hold={}, pause=2.0, slow=0.25, answers=None)
        """
        chosen = {one.name: getattr(self, one.name) for one in fields(self)}
        unsaid = {name for name, value in chosen.items() if value is None or value in ((), {})}
        return FilmWishes(**{**chosen, **{name: getattr(other, name) for name in unsaid}})

    def shows(self, name: ChapterName) -> bool:
        """Whether a chapter is wished for."""
        return name not in self.without and (not self.chapters or name in self.chapters)


ALL = FilmWishes()  # the whole film, as it is
