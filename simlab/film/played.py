"""A chapter as it is played in a film: where it begins, and how long its last picture is held."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from simlab.film.captions import Caption
from simlab.film.chapter import Chapter
from simlab.film.story import FIXED
from simlab.frame.film_wishes import ChapterName


@dataclass(frozen=True)
class Played:
    """A chapter, by its `name` in the storyboard, from `begin` [s] on, at `rate` pictures a second.

    hold : how much longer it stands still where it may be held [s]; pace : how many seconds of its own pass
    in a second of the film
    """

    name: ChapterName
    chapter: Chapter
    begin: float
    rate: int
    hold: float = 0.0
    pace: float = 1.0

    @property
    def own(self) -> int:
        """How many pictures the chapter has without its hold."""
        return max(1, round(self.chapter.seconds * self.rate / self.pace))

    @property
    def held(self) -> int:
        """The picture that is held."""
        return min(round(self.chapter.held * self.rate / self.pace), self.own - 1)

    @property
    def stands(self) -> int:
        """For how many pictures more."""
        return round(self.hold * self.rate)

    @property
    def count(self) -> int:
        """How many pictures it takes."""
        return self.own + self.stands

    @property
    def seconds(self) -> float:
        """How long it takes [s]."""
        return self.count / self.rate

    def time(self, i: int) -> float:
        """The chapter's own time at its picture i [s]."""
        own = i if i <= self.held else max(self.held, i - self.stands)
        return own * self.pace / self.rate

    def seen(self, time: float) -> float:
        """When in the film a time of the chapter comes [s]."""
        since = time / self.pace
        return self.begin + since + (self.hold if since * self.rate > self.held else 0.0)

    def is_still(self, i: int) -> bool:
        """Whether picture i is the one before, so that it need not be drawn again."""
        return self.held < i <= self.held + self.stands or self.chapter.is_still(self.time(i))

    def captions(self) -> Iterator[Caption]:
        """The words of the captions' track, at their times of the film."""
        lines = [(self.seen(time), words) for time, words in self.chapter.track]
        ends = [*(time for time, _ in lines[1:]), self.begin + self.seconds]
        for (start, words), end in zip(lines, ends, strict=True):
            yield Caption(start, end, self.chapter.story.spoken(words).replace(FIXED, " "))
