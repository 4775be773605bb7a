"""The storyboard: chapters in order, and every picture of the film."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType

from simlab.errors import BadInput, SimlabFault
from simlab.film.captions import Caption
from simlab.film.chapter import Chapter
from simlab.film.chapters import Assembly, Closing, Gravity, Question
from simlab.film.explained import explained
from simlab.film.fall import Fall, Marked
from simlab.film.push_or_pull import PushOrPull
from simlab.film.recorder import RATE, SIZE
from simlab.film.stage_set import StageSet
from simlab.film.story import Story
from simlab.frame.film_wishes import ALL, CHAPTER_NAMES, ChapterName, FilmWishes
from simlab.pictures.camera import Page
from simlab.pictures.canvas import Canvas, Pixels
from simlab.pictures.placement import Placement, place

GLIDE = 0.25  # share of the way to its new place that a label moves in one picture


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
        "release": _if_it_falls(Fall),
        "answer": lambda stage: [Closing(stage)] if stage.answers else [],
    }
)


class Storyboard:
    """A film of a story, `size` [px] at `rate` pictures a second, as it is wished.

    names : of the parts, as in the table of chapters; chapters : (start [s], title); captions : the words
    under the pictures, with their times
    Raises BadInput where no chapter is left.
    """

    def __init__(
        self,
        story: Story,
        size: tuple[int, int] = SIZE,
        rate: int = RATE,
        wishes: FilmWishes = ALL,
    ) -> None:
        self.size = size
        self.rate = rate
        self.page = Page.of(*size)
        self.wishes = wishes
        stage = StageSet(story, self.page, rate, wishes)
        chosen = {name: CHAPTERS[name](stage) for name in CHAPTER_NAMES if wishes.shows(name)}
        self.parts = [part for parts in chosen.values() for part in parts]
        self.names = [name for name, parts in chosen.items() for _ in parts]
        if not self.parts:
            raise BadInput("no chapter of the film is left. Leave out fewer.")
        self.counts = [max(1, round(part.seconds * rate)) for part in self.parts]
        starts = [sum(self.counts[:i]) / rate for i in range(len(self.parts))]
        titles = [story.spoken(part.title) for part in self.parts]
        self.chapters = list(zip(starts, titles, strict=True))
        self.captions = list(self._captions(story, starts))

    def __len__(self) -> int:
        return sum(self.counts)

    def _captions(self, story: Story, starts: list[float]) -> Iterator[Caption]:
        for part, start, count in zip(self.parts, starts, self.counts, strict=True):
            ends = [*(time for time, _ in part.track[1:]), count / self.rate]
            for (time, words), end in zip(part.track, ends, strict=True):
                yield Caption(start + time, start + end, story.spoken(words))

    def still(self, time: float) -> Pixels:
        """The one picture at a time of the film [s]; at the ends, the first and the last.

        A moment in which labels are on their way shows them where they are going.
        """
        i = min(max(round(time * self.rate), 0), len(self) - 1)
        for part, count in zip(self.parts, self.counts, strict=True):
            if i < count:
                marks, camera = part.draw(i / self.rate)
                placement = place(marks, camera, page=self.page, within=part.room)
                return Canvas(*self.size).draw(marks, camera, placement)
            i -= count
        raise SimlabFault(f"no chapter has picture {i}")

    def pictures(self) -> Iterator[Pixels]:
        """Every picture in turn; the same array object again, unchanged, where nothing moves."""
        canvas = Canvas(*self.size)
        for part, count in zip(self.parts, self.counts, strict=True):
            before: Placement | None = None
            pixels: Pixels | None = None
            still = 0
            for i in range(count):
                time = i / self.rate
                still = still + 1 if part.is_still(time) else 0
                if pixels is not None and still > part.settling:
                    yield pixels
                    continue
                marks, camera = part.draw(time)
                before = place(marks, camera, before, page=self.page, within=part.room, glide=GLIDE)
                pixels = canvas.draw(marks, camera, before)
                yield pixels
