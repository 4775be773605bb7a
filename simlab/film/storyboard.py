"""The storyboard: chapters in order, and every picture of the film."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from simlab.errors import BadInput, SimlabFault
from simlab.film.chapter import Chapter
from simlab.film.chapters import Assembly, Closing, Gravity, Question
from simlab.film.compared import TwoValues, WithAndWithout
from simlab.film.cut import AtTheCut
from simlab.film.dissolve import Dissolve
from simlab.film.easel import Easel
from simlab.film.explained import explained
from simlab.film.fall import Fall, Marked
from simlab.film.played import Played
from simlab.film.push_or_pull import PushOrPull
from simlab.film.recorder import RATE, SIZE
from simlab.film.stage_set import StageSet
from simlab.film.story import Story
from simlab.frame.film_wishes import ALL, CHAPTER_NAMES, ChapterName, FilmWishes
from simlab.pictures.camera import Page
from simlab.pictures.canvas import Pixels
from simlab.pictures.schemes import LIGHT, Scheme


def _worked(stage: StageSet) -> Sequence[Chapter]:
    told = stage.story.working
    return explained(stage, told) if told is not None and stage.answers else []


def _if_it_falls(*kinds: type[Chapter]) -> Callable[[StageSet], Sequence[Chapter]]:
    return lambda stage: [kind(stage) for kind in kinds] if stage.story.falling is not None else []


# Every chapter by its name; the film has them in the order of CHAPTER_NAMES. An entry gives no chapter
# where the story has nothing for it, or where it would give an answer away that is not to be seen.
CHAPTERS: Mapping[ChapterName, Callable[[StageSet], Sequence[Chapter]]] = MappingProxyType(
    {
        "question": lambda stage: [Question(stage)],
        "assembly": lambda stage: [Assembly(stage)],
        "push-or-pull": lambda stage: [PushOrPull(stage)] if stage.story.prevented is not None else [],
        "gravity": lambda stage: [Gravity(stage)],
        "working": _worked,
        "what-now": _if_it_falls(Marked),
        "cut": lambda stage: _if_it_falls(AtTheCut)(stage) if stage.answers else [],
        "release": _if_it_falls(Fall),
        "with-and-without": _if_it_falls(WithAndWithout),
        "two-values": lambda stage: [TwoValues(stage)] if stage.story.twins is not None else [],
        "answer": lambda stage: [Closing(stage)] if stage.answers else [],
    }
)

MISSING: Mapping[ChapterName, str] = {
    "push-or-pull": "no brace alone prevents a motion",
    "working": "there is nothing to work, or no single answer",
    "what-now": "no brace is taken away from this frame",
    "cut": "no brace is taken away from this frame",
    "release": "no brace is taken away from this frame",
    "with-and-without": "no brace is taken away from this frame",
    "two-values": "no other value was given with --beside",
}  # why there may be no such chapter

POSTERS: Sequence[ChapterName] = ("gravity", "answer", "release")  # the first that is there
QUIET_POSTERS: Sequence[ChapterName] = ("question", "what-now", "assembly")  # of a film without answers

STANDING = 0.4  # of the time of drawing and encoding a picture, for one that is as it was (measured)


class Storyboard:
    """A film of a story, `size` [px] at `rate` pictures a second, as it is wished, on one board.

    parts : the chapters; played : the same, each with its place in time; chapters : (start [s], title);
    captions : the words under the pictures, with their times
    Raises BadInput where a chapter that is wished for is not there, or none is left.
    """

    def __init__(
        self,
        story: Story,
        size: tuple[int, int] = SIZE,
        rate: int = RATE,
        wishes: FilmWishes = ALL,
        scheme: Scheme = LIGHT,
    ) -> None:
        self.size, self.rate, self.wishes, self.scheme = size, rate, wishes, scheme
        self.page = self.page_of(size)
        self.played = list(self._played(StageSet(story, self.page, rate, wishes)))
        self.parts = [one.chapter for one in self.played]
        self.chapters = [(one.begin, story.spoken(one.chapter.title)) for one in self.played]
        self.captions = [caption for one in self.played for caption in one.captions()]

    @staticmethod
    def page_of(size: tuple[int, int]) -> Page:
        """The page that films of a size [px] are drawn on."""
        return Page.screen(*size)

    def __len__(self) -> int:
        return sum(one.count for one in self.played)

    def _played(self, stage: StageSet) -> Iterator[Played]:
        """The chapters that are wished for, one after another."""
        wishes, count = self.wishes, 0
        for name in CHAPTER_NAMES:
            parts = CHAPTERS[name](stage) if wishes.shows(name) else []
            if name in wishes.chapters and not parts and wishes.shows(name) and stage.answers:
                raise BadInput(
                    f'this film has no chapter "{name}": {MISSING.get(name, "it has no need of one")}.'
                )
            for part in parts:
                pause = wishes.pause if part.pauses and wishes.pause else 0.0
                hold = wishes.hold.get(name, pause) if part is parts[-1] else pause
                pace = 1.0 if part.is_clocked or wishes.pace is None else wishes.pace
                played = Played(name, part, count / self.rate, self.rate, hold, pace)
                count += played.count
                yield played
        if not count:
            raise BadInput("no chapter of the film is left. Leave out fewer.")

    def done(self, count: int) -> float:
        """The share of all work that is done after `count` pictures, 0 to 1: those that stand take less."""
        return float(self._work[count] / self._work[-1])

    @cached_property
    def _work(self) -> NDArray[np.float64]:
        """The work of the first 0, 1, 2 ... pictures."""
        each = [STANDING if one.is_still(i) else 1.0 for one in self.played for i in range(one.count)]
        return np.concatenate([[0.0], np.cumsum(each)])

    def still(self, time: float) -> Pixels:
        """The one picture at a time of the film [s]; at the ends, the first and the last.

        A moment between two chapters shows the second; labels on their way are where they are going.
        """
        i = min(max(round(time * self.rate), 0), len(self) - 1)
        for played in self.played:
            if i < played.count:
                return self.one(played.chapter, played.time(i))
            i -= played.count
        raise SimlabFault(f"no chapter has picture {i}")

    def poster(self) -> Pixels:
        """The picture that stands for the film; it tells no answer where the film tells none."""
        names = POSTERS if self.played[0].chapter.stage.answers else QUIET_POSTERS
        best = min(self.played, key=lambda one: names.index(one.name) if one.name in names else len(names))
        return self.one(best.chapter, best.chapter.telling)

    def one(self, part: Chapter, time: float) -> Pixels:
        """One picture of a chapter, at a time of its own [s]."""
        return Easel(self.size, self.page, self.rate, self.scheme).draw(*part.draw(time), part.room)

    def pictures(self) -> Iterator[Pixels]:
        """Every picture in turn; the same array object again, unchanged, where nothing moves."""
        easel = Easel(self.size, self.page, self.rate, self.scheme)
        dissolve: Dissolve | None = None
        for k, played in enumerate(self.played):
            pixels: Pixels | None = None
            still = 0
            for i in range(played.count):
                still = still + 1 if played.is_still(i) else 0
                passing = dissolve is not None and i <= dissolve.count  # and once more, when it is over
                moving = passing or easel.succession.moves or still <= played.chapter.settling
                if pixels is None or moving:
                    pixels = self._drawn(easel, played, i, dissolve)
                yield pixels
            if pixels is not None and k + 1 < len(self.played):
                dissolve = Dissolve(played, self.played[k + 1], pixels, easel)

    @staticmethod
    def _drawn(easel: Easel, played: Played, i: int, dissolve: Dissolve | None) -> Pixels:
        """Picture i of a chapter, while it takes over from the one before as their dissolve has it."""
        time = played.time(i)
        if dissolve is not None and i < dissolve.count:
            return dissolve.draw(time, i, easel)
        return easel.draw(*played.chapter.draw(time), played.chapter.room)
