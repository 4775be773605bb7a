"""The chapters of the fall: the brace marked, then taken away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import hypot

import numpy as np

from simlab.film.chapter import COMING, Chapter, Line, eased
from simlab.film.fall_set import FallSet, first_above, last_moment, newtons, times_of
from simlab.film.gauges import Gauges
from simlab.film.stage_set import StageSet
from simlab.frame.model import Name
from simlab.frame.quantity import FORCE as FORCE_DIM
from simlab.pictures.arrows import Kind, Words, force_arrows
from simlab.pictures.broken import breaks, shortened
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.cards import paragraph
from simlab.pictures.marks import Mark, faded
from simlab.pictures.palette import SMALL
from simlab.pictures.paths import fading_path
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.results import Event, Instant, Key
from simlab.results.wording import capital, in_motion


class Marked(Chapter):
    """The brace glows: what happens without it?"""

    title = "What happens without it?"
    pauses = True
    seconds = 3.5
    ZOOM = 1.2  # [s] for the camera to make room for the fall

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        self.lines = ((0.0, f"What happens without {self.story.brace}?"),)

    def camera_at(self, time: float) -> Camera:
        return self.stage.camera.towards(self.stage.beside, eased((time - COMING) / self.ZOOM))

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan = self.stage.plan
        marks = supports(plan, camera.grain, self.stage.seen(camera))
        marks += structure(plan, camera.grain, marked=(self.story.frame.brace or "",))
        return marks + self.words(time)

    def is_still(self, time: float) -> bool:
        return time > COMING + self.ZOOM


BEFORE = 0.5  # [s] with the brace in place, if the moment of the cut has not been shown
AFTER = 1.0  # [s] that a caption stands before the next one comes
LATE = 1.2  # [s]: what has lifted or slipped so long ago is not told any more
HOP = 0.3  # [s]: a foot that is down again so soon has not been seen to lift
DOWN = "It has come down"
LONGEST_LIVE = 330.0  # [page units]: a longer arrow is broken
READABLE = 0.25  # of real speed: slow enough to read a number beside an arrow
NUMBERED = 2  # arrows with numbers
TELLING = 0.6  # of the fall up to the first touch: the picture that stands for it
TICK = 0.5  # [s] that a number stands
STEADY = 0.12  # of a force: one that changes more while its number stands has none
OFF_SCALE = "A broken arrow is longer than it is drawn"


class Fall(Chapter):
    """The brace is taken away: slow at the break, then the collapse, with forces up to the first touch."""

    title = "The brace is taken away"
    is_clocked = True
    SLOW_SECONDS = 2.6
    FADE = 0.06  # [s] of the fall in which the arrows fade
    ZOOM = 2.0  # [s] for the camera to make room for all of the fall

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        self.set = FallSet(stage)
        self.before = 0.0 if stage.holds_cut else BEFORE
        self.trace = self.set.trace
        end = last_moment(self.trace, stage.ground)
        self.times = times_of(stage, self.before, end, self.SLOW_SECONDS)
        self.seconds = len(self.times) / stage.rate
        self.last_arrows = min(self.set.touch, end)
        self.gauges = Gauges(self.set, end)
        self.broken = first_above(self.trace, LONGEST_LIVE / stage.per_newton)
        self.paths = stage.paths(self.trace)
        self.digits = self.story.conventions.figures_of(FORCE_DIM)
        self.lines = self._lines()

    def _lines(self) -> list[Line]:
        """The words under the picture: the cut, the paths, and what happens on the way."""
        slow_end = self.before + self.SLOW_SECONDS
        brace = self.story.brace
        jump = f"{capital(brace)} is taken away: the forces jump, and statics no longer applies"
        lines = [(0.0, f"With {brace}, the forces balance"), (self.before, jump)]
        if self.stage.holds_cut:
            lines = [(0.0, f"Without {brace} it moves, and every force changes from moment to moment")]
        if self.paths:
            lines.append((slow_end, f"Without {brace}: the paths of the joints"))
        for event, what in self._events():
            if all(what != said for _, said in lines):
                seen = float(np.searchsorted(self.times, event.time)) / self.stage.rate
                shown = max(seen, lines[-1][0] + AFTER)
                if shown - seen < LATE or event.kind == "contact":
                    lines.append((shown, what))
        return [line for line in lines if line[0] < self.seconds]

    def _events(self) -> Iterator[tuple[Event, str]]:
        """What happens after the cut, and its words: no creep of what has come down, no hop of a foot."""
        events = [event for event in self.trace.events if event.time >= 0]
        down = min((e.time for e in events if e.kind == "contact"), default=np.inf)
        seen_by_none = hops(events)
        for event in events:
            if event in seen_by_none:
                what = DOWN if event is events[-1] else ""
            else:
                what = (
                    "" if event.kind == "slip" and event.time > down else in_motion(self.story.frame, event)
                )
            if what:
                yield event, what

    @property
    def telling(self) -> float:
        """Well into the fall, and before anything touches."""
        return float(np.searchsorted(self.times, TELLING * self.last_arrows)) / self.stage.rate

    def camera_at(self, time: float) -> Camera:
        return self.stage.beside.towards(self.stage.wide, eased((time - self.before) / self.ZOOM))

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan = self.stage.plan
        i = self._picture(time)
        instant = self.trace.instant(float(self.times[i]))
        marks = supports(plan, camera.grain, self.stage.within(camera, self.set.halves.drawing))
        since = (self.trace.time >= 0) & (self.trace.time <= instant.time)
        for name, path in self.paths.items():
            marks += fading_path(name, path[since][:: self.stage.every])
        gone = self.trace.gone(instant.time)
        marks += structure(plan, camera.grain, instant, names=instant.time <= 0, removed=gone)
        marks += self._arrows(i, instant, camera)
        marks += self.gauges.marks(instant, self._speed(i))
        return marks + self.words(time)

    @property
    def room(self) -> Rect:
        """Labels stay in the drawing's place."""
        return self.set.halves.room()

    def _picture(self, time: float) -> int:
        return min(round(time * self.stage.rate), len(self.times) - 1)

    def _speed(self, i: int) -> float:
        """The share of real speed at a picture."""
        i = min(i, len(self.times) - 2)
        return float(self.times[i + 1] - self.times[i]) * self.stage.rate

    # forces

    def _arrows(self, i: int, instant: Instant, camera: Camera) -> list[Mark]:
        """Every force to scale up to the first touch; after it the weights alone."""
        plan = self.stage.plan
        opacity = min(max((self.last_arrows - instant.time) / self.FADE, 0.0), 1.0)
        only: tuple[Kind, ...] = ("weights",)
        weights = force_arrows(plan, None, camera, kinds=only, instant=instant)
        if opacity == 0 or (instant.time < 0 and not self.stage.answers):
            return [*weights, *self.stage.legend(weights)]
        forces, broken = shortened(instant.forces, LONGEST_LIVE / camera.per_newton)
        words = self._numbers(i) if self.stage.answers and self._speed(i) <= READABLE else None
        kinds: tuple[Kind, ...] = ("supports", "members", "hinges")
        arrows = force_arrows(plan, forces, camera, kinds=kinds, instant=instant, words=words)
        arrows += breaks(arrows, broken, camera)
        note = self._note() if instant.time >= self.broken else []
        return [*weights, *faded([*arrows, *note], opacity), *self.stage.legend([*weights, *arrows])]

    def _numbers(self, i: int) -> Words:
        """The sizes of the largest forces, as long as they hardly change while one reads them."""
        n = max(1, round(TICK * self.stage.rate))
        first = i // n * n
        now, later = (
            self.trace.instant(float(self.times[min(k, len(self.times) - 1)])) for k in (first, first + n)
        )
        found: dict[Key | Name, str] = {}
        for jump in self.set.jumps[:NUMBERED]:
            sizes = [_size(at, jump.key) for at in (now, later)]
            if now.time > 0 and abs(sizes[1] - sizes[0]) < STEADY * sizes[0]:
                found[jump.key] = newtons(sizes[0], self.digits)
        return found

    def _note(self) -> list[Mark]:
        left, _, right, bottom = self.set.halves.drawing
        note = paragraph("broken", OFF_SCALE, (left, bottom - 1.3 * SMALL, right, bottom), SMALL)
        return [replace(note, anchor=(right, note.anchor[1]), align="right")]


def hops(events: Sequence[Event]) -> set[Event]:
    """Of what lifts off and is down again before anyone has seen it, both events."""
    pairs = [(e, f) for e in events for f in events if (e.kind, f.kind) == ("lifted", "contact")]
    return {one for e, f in pairs if e.about == f.about and 0 <= f.time - e.time < HOP for one in (e, f)}


def _size(instant: Instant, key: Key) -> float:
    reaction = instant.forces.reactions.get(key)
    return 0.0 if reaction is None else hypot(*reaction.force)
