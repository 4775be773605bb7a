"""How a frame is to be filmed, as plain data: which chapters, how long they are, how slow the break."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from fractions import Fraction
from typing import Any, Literal, get_args

from simlab.errors import BadInput, nearest

ChapterName = Literal[
    "question",
    "assembly",
    "push-or-pull",
    "gravity",
    "working",
    "what-now",
    "cut",
    "release",
    "with-and-without",
    "two-values",
    "answer",
]
CHAPTER_NAMES: tuple[ChapterName, ...] = get_args(ChapterName)  # in the order of a lesson
LONGEST_HOLD = 600.0  # [s] ten minutes on one picture: more is a slip of the pen
PACES = (0.5, 4.0)  # of the pace at which a class reads along: beyond, nobody does
SLOWEST = Fraction(1, 100)  # of real speed: there a break already takes a minute


@dataclass(frozen=True)
class FilmWishes:
    """What is wished of a film; None or empty where nothing is said.

    chapters : these alone; without : all but these
    hold : how much longer the last picture of a chapter stands, by its name [s]; pause : the same for every
    chapter that asks a question or shows an answer [s]
    slow : how fast the frame moves at the break, as a share of real speed
    answers : False for an edition that gives nothing away
    pace : how quickly all is told, against the time that a class needs to read along; motion after the cut
    keeps its own time
    """

    chapters: tuple[ChapterName, ...] = ()
    without: tuple[ChapterName, ...] = ()
    hold: Mapping[ChapterName, float] = field(default_factory=dict)
    pause: float | None = None
    slow: float | None = None
    answers: bool | None = None
    pace: float | None = None

    def over(self, other: FilmWishes) -> FilmWishes:
        """These wishes, and where they say nothing another's; whoever names chapters gets those.

        >>> FilmWishes(pause=2.0).over(FilmWishes(pause=4.0, slow=0.25))
        FilmWishes(chapters=(), without=(), hold={}, pause=2.0, slow=0.25, answers=None, pace=None)
        """
        unheard = {"without"} if self.chapters else set()
        theirs = {name: wish for name, wish in other._said.items() if name not in unheard}
        return FilmWishes(**{**theirs, **self._said})

    def shows(self, name: ChapterName) -> bool:
        """Whether a chapter is wished for."""
        return name not in self.without and (not self.chapters or name in self.chapters)

    @property
    def told(self) -> dict[str, object]:
        """What is said, as plain data."""
        said = self._said
        lists = {name: list(wish) for name, wish in said.items() if isinstance(wish, tuple)}
        tables = {name: dict(wish) for name, wish in said.items() if isinstance(wish, Mapping)}
        return {**said, **lists, **tables}

    @property
    def _said(self) -> dict[str, Any]:
        """The wishes that are made, by name."""
        every = {one.name: getattr(self, one.name) for one in fields(self)}
        return {name: wish for name, wish in every.items() if wish is not None and wish not in ((), {})}

    @classmethod
    def of(cls, told: Mapping[str, Any]) -> FilmWishes:
        """The wishes that plain data tell; raises BadInput where they are none."""
        slow, pause, quick = told.get("slow"), told.get("pause"), told.get("pace")
        answers = told.get("answers")
        if answers is not None and not isinstance(answers, bool):
            raise BadInput(f'"answers" has to be true or false, not "{answers}".')
        try:
            return cls(
                chapter_names(told.get("chapters", ())),
                chapter_names(told.get("without", ())),
                {name: seconds(told["hold"][name]) for name in chapter_names(told.get("hold", {}))},
                None if pause is None else seconds(pause),
                None if slow is None else speed(slow),
                answers,
                None if quick is None else pace(quick),
            )
        except (TypeError, AttributeError, KeyError) as error:
            raise BadInput(f"{told} does not say how a film is to be.") from error


ALL = FilmWishes()  # the whole film, as it is


def chapter_names(names: Iterable[str]) -> tuple[ChapterName, ...]:
    """Names of chapters in the order of a lesson, whatever order they came in; raises BadInput for others.

    >>> chapter_names(["release", "gravity"])
    ('gravity', 'release')
    """
    wanted = [name.strip() for name in names]
    for name in wanted:
        if name not in CHAPTER_NAMES:
            known = ", ".join(CHAPTER_NAMES)
            raise BadInput(f'"{name}" is not a chapter. Chapters: {known}.{nearest(name, CHAPTER_NAMES)}')
    return tuple(name for name in CHAPTER_NAMES if name in wanted)


def decimal(number: object) -> str:
    """A number as it is written without a power of ten; anything else as it is.

    >>> decimal(1e-05), decimal("1/4")
    ('0.00001000000000000', '1/4')
    """
    return f"{number:.17f}" if isinstance(number, float) else str(number)


def seconds(text: str | float) -> float:
    """How long a picture is held [s], from "6", "6 s", "2.5 s"; raises BadInput for anything else.

    >>> seconds("2.5 s")
    2.5
    """
    found = re.fullmatch(r"\s*(\d{1,4}(?:\.\d{1,17})?)\s*(?:s|seconds?)?\s*", decimal(text))
    if found is None or float(found[1]) > LONGEST_HOLD:
        raise BadInput(f'"{text}" is no time. Write seconds, up to {LONGEST_HOLD:.0f}: "6 s" or "2.5 s".')
    return float(found[1])


def speed(text: str | float) -> float:
    """A share of real speed, from "0.25" or "1/4"; raises BadInput for anything else.

    >>> speed("1/4")
    0.25
    """
    found = re.fullmatch(r"\s*(\d{1,3}(?:\.\d{1,17})?|\d{1,3}\s*/\s*\d{1,3})\s*", decimal(text))
    try:
        share = Fraction(found[1].replace(" ", "")) if found else Fraction(0)
    except ZeroDivisionError:
        share = Fraction(0)
    if not SLOWEST <= share <= 1:
        raise BadInput(
            f'"{text}" is no share of real speed. Write one from {SLOWEST} to 1: "1/4" or "0.25".'
        )
    return float(share)


def pace(text: str | float) -> float:
    """How many times as quickly as a class reads, from "1.5"; raises BadInput for anything else.

    >>> pace("1.5")
    1.5
    """
    found = re.fullmatch(r"\s*(\d{1,2}(?:\.\d{1,17})?)\s*", decimal(text))
    if found is None or not PACES[0] <= float(found[1]) <= PACES[1]:
        low, high = PACES
        raise BadInput(
            f'"{text}" is no pace. Write a number from {low:g} to {high:g}: "1.5" is half as quick again.'
        )
    return float(found[1])
