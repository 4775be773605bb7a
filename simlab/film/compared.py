"""Side by side, at one clock: with the brace and without it; the same frame at two values of a letter."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from simlab.errors import SimlabFault
from simlab.film.chapter import Chapter
from simlab.film.fall_set import last_moment, newtons, times_of
from simlab.film.gauges import slower
from simlab.film.stage_set import StageSet
from simlab.film.twin import Twin
from simlab.film.twins import Twins, centred
from simlab.frame.quantity import FORCE as FORCE_DIM
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.cards import band
from simlab.pictures.marks import Mark, Stroke
from simlab.pictures.palette import CAPTION
from simlab.results.wording import capital, member_force

BEFORE = 3.0  # [s] to look at both, before either falls
SLOW_SECONDS = 2.0
SEEN = 3.0  # [s] of a fall at the most: then all has been seen
FREE = (-np.inf, -np.inf, np.inf, np.inf)


class _Compared(Chapter):
    """Two frames and one clock."""

    pauses = True
    roams = False
    is_clocked = True
    settling = 0  # words do not glide

    def __init__(self, stage: StageSet, twins: tuple[Twin, Twin]) -> None:
        super().__init__(stage)
        self.twins = Twins(twins, stage.page, stage.answers)
        end = max(min(last_moment(twin.fall, FREE), SEEN) for twin in twins)
        self.times = times_of(stage, BEFORE, end, SLOW_SECONDS)
        self.seconds = len(self.times) / stage.rate

    def camera_at(self, time: float) -> Camera:
        return self.twins.cameras[0]

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        i = min(round(time * self.stage.rate), len(self.times) - 2)
        now, speed = float(self.times[i]), float(self.times[i + 1] - self.times[i]) * self.stage.rate
        return [*self.twins.marks(now), self._divide(), self._clock(now, speed), *self.words(time)]

    def _clock(self, now: float, speed: float) -> Mark:
        """One time for both, and how much slower than real it goes."""
        page = self.stage.page
        text = ", ".join(
            filter(
                None, (f"$t$ = {max(now, 0.0):.2f} s", slower(speed, self.stage.slow) if now >= 0 else "")
            )
        )
        at = (page.width / 2, page.height - band(page) - 0.5 * CAPTION)
        return centred("clock", text, at, CAPTION, page.width)

    def _divide(self) -> Stroke:
        """A line between the two."""
        (x0, y0, x1, y1), (u0, v0, _, _) = self.twins.halves
        x, y = (x1 + u0) / 2, (y1 + v0) / 2
        across = u0 > x1
        ends = [[x, y0], [x, y1 - CAPTION]] if across else [[x0, y], [x1, y]]
        return Stroke(name="divide", role="rule", space="page", points=np.array(ends))

    @property
    def room(self) -> Rect | None:
        """All words have their places."""
        return None

    @property
    def telling(self) -> float:
        """When one falls."""
        return min(BEFORE + 0.75 * SLOW_SECONDS, self.seconds)

    def is_still(self, time: float) -> bool:
        return time < BEFORE


class WithAndWithout(_Compared):
    """Left the frame with its brace, as it stays; right without it, as it falls."""

    title = "With and without"

    def __init__(self, stage: StageSet) -> None:
        story = stage.story
        if story.falling is None:
            raise SimlabFault("a film of a fall was begun without one")
        frame, fall, brace = story.frame, story.falling, story.brace
        tension = fall.instant(-1.0).forces.tensions.get(frame.brace or "", 0.0)
        digits = story.conventions.figures_of(FORCE_DIM)
        carried = capital(member_force(frame, frame.brace or "", tension, abs(tension)))
        words = story.spoken(f"{carried}: {newtons(abs(tension), digits)}") if stage.answers else ""
        left = Twin(frame, story.values, fall, f"With {brace}", words, stays=True)
        right = Twin(frame, story.values, fall, f"Without {brace}")
        super().__init__(stage, (left, right))
        self.lines = (
            (0.0, f"The same frame twice, one clock: from one of them {brace} is taken away"),
            (BEFORE, f"With {brace} the forces balance and nothing moves; without it they do not balance"),
        )


class TwoValues(_Compared):
    """The same frame at two values of a letter: both without their brace, one clock, one scale."""

    title = "Two values"

    def __init__(self, stage: StageSet) -> None:
        twins = stage.story.twins
        if twins is None:
            raise SimlabFault("a film of two values was begun with one")
        one, other = (twin if stage.answers else replace(twin, words="") for twin in twins)
        super().__init__(stage, (one, other))
        self.lines = (
            (0.0, f"{one.heading}, and {other.heading}: the same lengths, the same clock"),
            (BEFORE, f"{capital(stage.story.brace)} is taken away from both at once"),
        )
