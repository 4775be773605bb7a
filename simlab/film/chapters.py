"""The chapters of a film: each says how long it is, what is written under it, and draws any moment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, inf, pi

import numpy as np

from simlab.film.stage_set import StageSet
from simlab.film.story import CAUTION, exact_words
from simlab.pictures.arrows import force_arrows, given_weights
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.cards import (
    BAND,
    caption,
    closing_card,
    garland,
    gravity_bar,
    side_rects,
    title_card,
)
from simlab.pictures.dimensions import dimensions
from simlab.pictures.marks import Label, Mark, Point
from simlab.pictures.names import prose
from simlab.pictures.palette import CAPTION
from simlab.pictures.paths import fading_path
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.view import fitted
from simlab.results import Forces, Instant

Line = tuple[float, str]  # from this time of a chapter [s] these words stand under the picture
Drawn = tuple[list[Mark], Camera]
AIR = 12.0  # [page units] between labels and the edges of the page and of the caption band
NO_FORCES: Forces[float] = Forces({}, {})


def eased(share: float) -> float:
    """0 to 1, starting and arriving softly."""
    return (1 - cos(pi * min(max(share, 0.0), 1.0))) / 2


class Chapter:
    """A chapter: `seconds` long, its `lines` of words, and its marks at any time of it."""

    title = ""
    seconds = 0.0
    lines: Sequence[Line] = ()

    def __init__(self, stage: StageSet) -> None:
        self.stage = stage
        self.story = stage.story

    def draw(self, time: float) -> Drawn:
        """The marks and the camera at a time of the chapter [s]."""
        raise NotImplementedError

    def is_still(self, time: float) -> bool:
        """Whether the picture at a time is the one before, so that it need not be drawn again."""
        return time > self.moves_until

    moves_until = inf  # [s] after which nothing moves any more

    @property
    def room(self) -> Rect | None:
        """Where labels may stand: above the caption band, if there is one."""
        page = self.stage.page
        return (AIR, AIR, page.width - AIR, page.height - BAND - AIR) if self.lines else None

    def words(self, time: float) -> list[Mark]:
        """The caption band at a time."""
        spoken = [words for start, words in self.lines if start <= time]
        return caption(spoken[-1], self.stage.page) if spoken else []


class Question(Chapter):
    """Title, question and the frame with its given data."""

    title = "The question"

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        n_words = len(self.story.frame.question.split())
        self.seconds = min(max(n_words / 9.0, 6.0), 14.0)  # a class skims about nine words a second
        frame, plan = self.story.frame, stage.plan
        left, right = side_rects(stage.page)

        def marks(camera: Camera) -> list[Mark]:
            drawn = supports(plan, camera.grain) + structure(plan, camera.grain, centres=True)
            drawn += given_weights(plan, camera.grain)
            return [*drawn, *dimensions(frame, plan.values, camera.grain)]

        self.camera = fitted(plan, right, marks)
        question = prose(frame.question, frame.symbols, frame.points)
        self.marks = [
            *garland(stage.page),
            *title_card(frame.title, question, left, CAUTION),
            *marks(self.camera),
        ]

    def draw(self, time: float) -> Drawn:
        return self.marks, self.camera

    moves_until = 0.0


class Assembly(Chapter):
    """The rods come together; their weights appear at their centres."""

    title = "The rods are put together"
    seconds = 6.0
    TOGETHER = 3.4  # [s] from the first rod's start to the last one's arrival
    ONE = 1.8  # [s] that one rod takes
    REACH, TURN = 0.14, 0.3  # of the frame's size, and [rad]: from where a rod comes
    WEIGHTS = 4.2  # [s] when the weights appear

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        bodies = self.story.frame.bodies.values()
        uniform = all(body.gyration2 is not None for body in bodies)
        where = "the middle" if uniform else "the centre"
        self.lines = (
            (0.0, "The rods are put together with smooth hinges"),
            (self.WEIGHTS, f"Each weight acts at {where} of its rod"),
        )

    def draw(self, time: float) -> Drawn:
        plan, camera = self.stage.plan, self.stage.camera
        instant, done = self._spread(time), time >= self.TOGETHER
        absent = () if done else tuple(self.story.frame.links)
        marks = supports(plan, camera.grain, self.stage.reach)
        marks += structure(plan, camera.grain, instant, names=done, removed=absent)
        if time >= self.WEIGHTS:
            opacity = eased((time - self.WEIGHTS) / 0.6)
            marks += [replace(mark, opacity=opacity) for mark in given_weights(plan, camera.grain)]
        return marks + self.words(time), camera

    def is_still(self, time: float) -> bool:
        return self.TOGETHER < time < self.WEIGHTS or time > self.WEIGHTS + 0.7

    def _spread(self, time: float) -> Instant | None:
        """The rods on their way: each comes from farther out, a little turned, one after another."""
        if time >= self.TOGETHER:
            return None
        plan, n = self.stage.plan, len(self.story.frame.bodies)
        reach = self.REACH * self.stage.size
        poses = []
        for i, name in enumerate(self.story.frame.bodies):
            start = (self.TOGETHER - self.ONE) * i / max(n - 1, 1)
            left = 1 - eased((time - start) / self.ONE)
            x, y = plan.centres[name] + reach * left * plan.away(plan.centres[name])
            poses.append((x, y, self.TURN * left * (-1) ** i))
        return Instant(0.0, np.array(poses), NO_FORCES, (0.0, 0.0), 0.0, frozenset())


class Gravity(Chapter):
    """Gravity let on from nothing to the whole; the forces live from the engine; exact values at rest."""

    title = "Gravity is let on"
    EXACT = 0.8  # [s] after the whole weight is on, the exact values appear
    READ = 5.0  # [s] to read them

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        trace = self.story.hanging
        full = int(np.argmax(trace.load >= 1.0))
        self.full = float(trace.time[full])
        self.seconds = float(max(trace.time[-1], self.full + self.EXACT + self.READ))
        end = trace.instant(trace.time[-1])
        exact = self.story.exact
        self.rest_words = None if exact is None else exact_words(stage.plan, exact, end.forces)
        at_rest = "At rest: the simulated forces to scale, with their exact values"
        self.lines = (
            (0.0, "Gravity is let on, little by little: the weights grow, and every force with them"),
            (self.full, at_rest if exact is not None else "This frame cannot rest in this position"),
        )

    def draw(self, time: float) -> Drawn:
        plan, camera = self.stage.plan, self.stage.camera
        instant = self.story.hanging.instant(time)
        marks = supports(plan, camera.grain, self.stage.reach)
        marks += structure(plan, camera.grain, instant)
        words = self.rest_words if time >= self.full + self.EXACT else None
        marks += force_arrows(plan, None, camera, instant=instant, words=words)
        marks += [*self.stage.bar(), *gravity_bar(instant.load, self.stage.corner)]
        return marks + self.words(time), camera

    def is_still(self, time: float) -> bool:
        return time > max(self.full + self.EXACT, float(self.story.hanging.time[-1]))


class Marked(Chapter):
    """The brace glows: what happens without it?"""

    title = "What happens without it?"
    seconds = 3.5
    ZOOM = 1.2  # [s] for the camera to make room for the fall

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        self.lines = ((0.0, f"What happens without the {self.story.brace}?"),)

    def draw(self, time: float) -> Drawn:
        plan = self.stage.plan
        camera = self.stage.camera.towards(self.stage.wide, eased(time / self.ZOOM))
        marks = supports(plan, camera.grain, self.stage.reach)
        marks += structure(plan, camera.grain, marked=(self.story.frame.brace or "",))
        return marks + self.words(time), camera

    def is_still(self, time: float) -> bool:
        return time > self.ZOOM


class Fall(Chapter):
    """The brace is taken away: slow at the break, then the collapse with the paths of the joints."""

    title = "The brace is taken away"
    BEFORE = 0.5  # [s] with the brace in place
    SLOW = 8  # times slower at the break
    SLOW_SECONDS = 2.6
    SPEEDING = 1.6  # [s] from slow to real speed
    FADE = 0.06  # [s] of the fall in which the arrows fade

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        trace = self.story.falling
        if trace is None:
            raise ValueError("a film of a fall needs a fall")
        self.trace = trace
        self.times = self._times(float(trace.time[-1]))
        self.seconds = len(self.times) / stage.rate
        touched = [e.time for e in trace.events if e.kind in ("contact", "taut", "fallen")]
        self.last_arrows = min([self.SLOW_SECONDS / self.SLOW, *(t - self.FADE for t in touched if t > 0)])
        self.paths = stage.paths(trace)
        slow_end = self.BEFORE + self.SLOW_SECONDS
        brace = self.story.brace
        self.lines = (
            (0.0, f"With the {brace}, every force balances"),
            (self.BEFORE, f"The {brace} is taken away: the forces jump, and statics no longer applies"),
            (slow_end, "The frame falls: the paths of its joints"),
        )

    def _times(self, end: float) -> np.ndarray:
        """The time of the fall [s] at each picture."""
        step, times, now = 1 / self.stage.rate, [], -self.BEFORE
        while now < end:
            times.append(now)
            film = len(times) * step - self.BEFORE
            share = min(max((film - self.SLOW_SECONDS) / self.SPEEDING, 0.0), 1.0)
            speed = 1.0 if now < 0 else 1 / self.SLOW + (1 - 1 / self.SLOW) * share
            now += speed * step
        return np.array(times)

    def draw(self, time: float) -> Drawn:
        plan, camera = self.stage.plan, self.stage.wide
        i = min(round(time * self.stage.rate), len(self.times) - 1)
        instant = self.trace.instant(float(self.times[i]))
        marks = supports(plan, camera.grain, self.stage.reach)
        for name, path in self.paths.items():
            since = (self.trace.time >= 0) & (self.trace.time <= instant.time)
            marks += fading_path(name, path[since][:: self.stage.every])
        absent = instant.absent
        marks += structure(plan, camera.grain, instant, names=instant.time <= 0, removed=absent)
        marks += self._arrows(instant, camera)
        marks += self._speed(time)
        return marks + self.words(time), camera

    def _arrows(self, instant: Instant, camera: Camera) -> list[Mark]:
        opacity = min(max((self.last_arrows - instant.time) / self.FADE, 0.0), 1.0)
        if opacity == 0:
            return []
        marks = [*force_arrows(self.stage.plan, None, camera, instant=instant), *self.stage.bar()]
        return [replace(mark, opacity=opacity) for mark in marks]

    def _speed(self, time: float) -> list[Mark]:
        """How much slower than real the picture moves."""
        i = min(round(time * self.stage.rate), len(self.times) - 2)
        speed = float(self.times[i + 1] - self.times[i]) * self.stage.rate
        if speed > 0.95:
            return []
        x, y = self.stage.corner
        text = f"{round(1 / speed)} times slower" if speed < 0.6 else "nearly real speed"
        at: Point = (x, y + CAPTION / 3)
        return [Label(name="speed", role="text", space="page", anchor=at, text=text, size=CAPTION)]


class Closing(Chapter):
    """The closing card: exact and simulated answers side by side, how far they agree, the caution."""

    title = "The answer"
    seconds = 8.0

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        self.lines = ((0.0, CAUTION),)
        self.marks = [
            *garland(stage.page),
            *closing_card(self.story.answers, self.story.agreement, stage.page),
        ]

    def draw(self, time: float) -> Drawn:
        return self.marks + self.words(time), self.stage.camera

    moves_until = 0.0
