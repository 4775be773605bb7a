"""The storyboard: chapters in order, and every picture of the film."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.errors import SimlabFault
from simlab.film.captions import Caption
from simlab.film.chapter import Chapter
from simlab.film.chapters import Assembly, Closing, Gravity, Question
from simlab.film.explained import explained
from simlab.film.fall import Fall, Marked
from simlab.film.recorder import RATE, SIZE
from simlab.film.stage_set import StageSet
from simlab.film.story import Story
from simlab.pictures.camera import Page
from simlab.pictures.canvas import Canvas, Pixels
from simlab.pictures.placement import Placement, place

GLIDE = 0.25  # share of the way to its new place that a label moves in one picture


class Storyboard:
    """A film of a story, `size` [px] at `rate` pictures a second.

    chapters : (start [s], title); captions : the words under the pictures, with their times
    """

    def __init__(self, story: Story, size: tuple[int, int] = SIZE, rate: int = RATE) -> None:
        self.size = size
        self.rate = rate
        self.page = Page.of(*size)
        stage = StageSet(story, self.page, rate)
        self.parts: list[Chapter] = [Question(stage), Assembly(stage), Gravity(stage)]
        if story.working is not None:
            self.parts += explained(stage, story.working)
        if story.falling is not None:
            self.parts += [Marked(stage), Fall(stage)]
        self.parts.append(Closing(stage))
        self.counts = [max(1, round(part.seconds * rate)) for part in self.parts]
        starts = [sum(self.counts[:i]) / rate for i in range(len(self.parts))]
        titles = [story.spoken(part.title) for part in self.parts]
        self.chapters = list(zip(starts, titles, strict=True))
        self.captions = list(self._captions(story, starts))

    def __len__(self) -> int:
        return sum(self.counts)

    def _captions(self, story: Story, starts: list[float]) -> Iterator[Caption]:
        question = story.spoken(" ".join(story.frame.question.split()))
        yield Caption(0.0, self.counts[0] / self.rate, f"{story.frame.title}. {question}")
        for part, start, count in zip(self.parts[1:], starts[1:], self.counts[1:], strict=True):
            ends = [*(time for time, _ in part.lines[1:]), count / self.rate]
            for (time, words), end in zip(part.lines, ends, strict=True):
                yield Caption(start + time, start + end, story.spoken(part.plain.get(words, words)))

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
