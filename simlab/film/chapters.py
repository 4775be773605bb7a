"""The chapters of a film that every frame has: question, assembly, gravity, answer."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from simlab.film.chapter import Chapter, Line, eased
from simlab.film.stage_set import StageSet
from simlab.pictures.arrows import force_arrows
from simlab.pictures.beside import exact_words
from simlab.pictures.camera import Camera
from simlab.pictures.cards import MARGIN, garland, gravity_bar, margin, side_rects, title_card
from simlab.pictures.closing_card import closing_card
from simlab.pictures.dimensions import dimensions
from simlab.pictures.given_loads import given_weights
from simlab.pictures.marks import UNSEEN, Mark, faded
from simlab.pictures.names import prose
from simlab.pictures.plan import Plan
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.view import fitted
from simlab.results import Forces, Instant
from simlab.results.wording import CAUTION

HEADINGS = {
    "not determined": "No single answer",
    "cannot rest": "It cannot rest",
    "falls out": "It does not hold",
}
NO_FORCES: Forces[float] = Forces({}, {})


class Question(Chapter):
    """Title, question and the frame with its given data."""

    title = "The question"
    pauses, roams = True, False

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        n_words = len(self.story.frame.question.split())
        self.seconds = min(max(n_words / 9.0, 6.0), 14.0)  # a class skims about nine words a second
        frame = self.story.question
        plan = Plan.of(frame, self.story.values)
        left, right = side_rects(stage.page)

        def marks(camera: Camera) -> list[Mark]:
            drawn = supports(plan, camera.grain) + structure(plan, camera.grain, centres=True)
            drawn += given_weights(plan, camera.grain)
            return [*drawn, *dimensions(plan, camera.grain)]

        self.beside = fitted(plan, right, marks)
        question = prose(self.story.spoken(frame.question), frame.symbols, frame.points)
        self.marks = [
            *garland(stage.page),
            *title_card(frame.title, question, left, self.story.spoken(CAUTION)),
            *marks(self.beside),
        ]

    @property
    def track(self) -> Sequence[Line]:
        question = self.story.spoken(" ".join(self.story.frame.question.split()))
        return [(0.0, f"{self.story.frame.title}. {question}")]

    def camera_at(self, time: float) -> Camera:
        return self.beside

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        return self.marks

    moves_until = 0.0


class Assembly(Chapter):
    """The rods come together; their weights appear at their centres."""

    seconds = 6.0
    TOGETHER = 3.4  # [s] from the first rod's start to the last one's arrival
    ONE = 1.8  # [s] that one rod takes
    REACH, TURN = 0.14, 0.3  # of the frame's size, and [rad]: from where a rod comes
    COMING = 0.3  # [s] in which light members and names appear
    WEIGHTS = 4.2  # [s] when the weights appear

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        bodies = self.story.frame.bodies.values()
        rods = all(body.kind == "rod" for body in bodies)
        uniform = rods and all(body.gyration2 is not None for body in bodies)
        hinged = any(len(joint.bodies) > 1 for joint in self.story.frame.joints.values())
        if len(bodies) > 1:
            self.title = f"{'The rods are' if rods else 'The frame is'} put together"
        else:
            self.title = f"{'The rod' if rods else 'Everything'} is put in its place"
        middle, any_centre = "rod's weight acts at its middle", "weight acts at a centre of mass"
        self.lines = (
            (0.0, f"{self.title} with smooth hinges" if hinged and len(bodies) > 1 else self.title),
            (self.WEIGHTS, f"Each {middle if uniform else any_centre}"),
        )

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan = self.stage.plan
        instant, done = self._spread(time), time >= self.TOGETHER
        marks = supports(plan, camera.grain, self.stage.reach)
        marks += structure(plan, camera.grain, instant, names=False, removed=tuple(self.story.frame.links))
        if done:
            there = {mark.name for mark in marks}
            coming = [m for m in structure(plan, camera.grain, instant) if m.name not in there]
            marks += faded(coming, max(UNSEEN, eased((time - self.TOGETHER) / self.COMING)))
            opacity = max(UNSEEN, eased((time - self.WEIGHTS) / 0.6))
            marks += faded(given_weights(plan, camera.grain), opacity)
            marks += self.stage.places(camera)
        return marks + self.words(time)

    def is_still(self, time: float) -> bool:
        return self.TOGETHER + self.COMING < time < self.WEIGHTS or time > self.WEIGHTS + 0.7

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
    pauses = True
    EXACT = 0.8  # [s] after the whole weight is on, the exact values appear
    READ = 5.0  # [s] to read them

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        trace = self.story.hanging
        full = int(np.argmax(trace.load >= 1.0))
        self.full = float(trace.time[full])
        self.seconds = float(max(trace.time[-1], self.full + self.EXACT + self.READ))
        end, exact = trace.instant(trace.time[-1]), self.story.exact if stage.answers else None
        own = self.story.conventions
        self.rest_words = None if exact is None else exact_words(stage.plan, exact, end.forces, own)
        said = self._told() if stage.answers else self._asked()
        self.lines = [(time, self.story.typeset(words)) for time, words in said]
        self.plain = {self.story.typeset(words): words for _, words in said}

    def _told(self) -> Sequence[Line]:
        when = " ".join(filter(None, ("At rest", self.story.at_values)))
        growing = "Gravity is let on, little by little: the weights grow, and every force with them"
        shown = f"{when}: the arrows are simulated, the values exact"
        return (
            (0.0, growing if self.story.is_plain else self.story.advice),
            (self.full, self.story.advice if self.story.exact is None else shown),
        )

    def _asked(self) -> Sequence[Line]:
        """The words of an edition without answers."""
        lines = [(0.0, "Gravity is let on, little by little: the weights grow")]
        if self.story.is_plain:
            lines.append((self.full, " ".join(filter(None, ("At rest", self.story.at_given)))))
        return lines

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan = self.stage.plan
        instant = self.story.hanging.instant(time)
        marks = supports(plan, camera.grain, self.stage.reach)
        marks += structure(plan, camera.grain, instant)
        words = self.rest_words if time >= self.full + self.EXACT else None
        marks += force_arrows(plan, None, camera, kinds=self.stage.kinds, instant=instant, words=words)
        marks += self.stage.places(camera)
        marks += [*self.stage.legend(marks), *gravity_bar(instant.load, self.stage.corner)]
        return marks + self.words(time)

    def is_still(self, time: float) -> bool:
        return time > max(self.full + self.EXACT, float(self.story.hanging.time[-1]))


class Closing(Chapter):
    """The closing card: exact and simulated answers side by side, how far they agree, the caution."""

    title = "The answer"
    seconds = 8.0
    pauses, roams = True, False

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        self.lines = ((0.0, CAUTION),)
        answers, words = self.story.answers, self.story.spoken(self.story.agreement)
        page = stage.page
        if answers:
            card = closing_card(answers, words, page)
        else:
            card = title_card(
                HEADINGS.get(self.story.verdict, "No agreement" if self.story.exact is None else "At rest"),
                words,
                (margin(page), 2 * MARGIN, page.width - margin(page), page.height),
            )
        self.marks = [*garland(page), *card]

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        return self.marks + self.words(time)

    moves_until = 0.0
