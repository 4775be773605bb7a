"""The chapters of the fall: the brace marked, then taken away."""

from __future__ import annotations

import numpy as np

from simlab.errors import SimlabFault
from simlab.film.chapter import Chapter, eased
from simlab.film.stage_set import StageSet
from simlab.pictures.arrows import force_arrows
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Label, Mark, Point, faded
from simlab.pictures.palette import CAPTION
from simlab.pictures.paths import fading_path
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.results import Instant, Trace
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
        return self.stage.camera.towards(self.stage.wide, eased(time / self.ZOOM))

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan = self.stage.plan
        marks = supports(plan, camera.grain, self.stage.ground)
        marks += structure(plan, camera.grain, marked=(self.story.frame.brace or "",))
        return marks + self.words(time)

    def is_still(self, time: float) -> bool:
        return time > self.ZOOM


GONE = 0.3  # [s] of an empty picture
FAST = 0.6  # of real speed: from there on nobody minds
AFTER = 1.0  # [s] that a caption stands before the next one comes


class Fall(Chapter):
    """The brace is taken away: slow at the break, then the collapse with the paths of the joints."""

    title = "The brace is taken away"
    BEFORE = 0.5  # [s] with the brace in place
    SLOW_SECONDS = 2.6
    SPEEDING = 1.6  # [s] from slow to real speed
    FADE = 0.06  # [s] of the fall in which the arrows fade

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        trace = self.story.falling
        if trace is None:
            raise SimlabFault("a film of a fall was begun without one")
        self.trace = trace
        self.times = self._times(self._end(trace))
        self.seconds = len(self.times) / stage.rate
        touched = [e.time for e in trace.events if e.kind in ("contact", "taut", "fallen")]
        self.last_arrows = min([self.SLOW_SECONDS * stage.slow, *(t - self.FADE for t in touched if t > 0)])
        self.paths = stage.paths(trace)
        slow_end = self.BEFORE + self.SLOW_SECONDS
        brace = self.story.brace
        gone = capital(brace)
        after = f"Without {brace}" + (": the paths of the joints" if self.paths else "")
        lines = [
            (0.0, f"With {brace}, the forces balance"),
            (self.BEFORE, f"{gone} is taken away: the forces jump, and statics no longer applies"),
            (slow_end, after),
        ]
        down = min((e.time for e in trace.events if e.kind == "contact"), default=float("inf"))
        for event in trace.events:
            # What has come down may creep a little: that is not worth words.
            told = event.time >= 0 and not (event.kind == "slip" and event.time > down)
            what = in_motion(self.story.frame, event) if told else ""
            if what and all(what != said for _, said in lines):
                seen = float(np.searchsorted(self.times, event.time)) / stage.rate
                lines.append((max(seen, lines[-1][0] + AFTER), what))
        self.lines = [line for line in lines if line[0] < self.seconds]

    def _end(self, trace: Trace) -> float:
        """The last moment [s]; where everything leaves the picture, a little after that."""
        left, bottom, right, top = self.stage.ground
        x, y = trace.poses[..., 0], trace.poses[..., 1]
        inside = np.asarray((left < x) & (x < right) & (bottom < y) & (y < top)).any(axis=1)
        last = float(trace.time[np.flatnonzero(inside)].max(initial=0.0))
        return min(last + GONE, float(trace.time[-1])) if trace.bodies else float(trace.time[-1])

    def _times(self, end: float) -> np.ndarray:
        """The time of the fall [s] at each picture."""
        step, slow, times, now = 1 / self.stage.rate, self.stage.slow, [], -self.BEFORE
        while now < end:
            times.append(now)
            film = len(times) * step - self.BEFORE
            share = min(max((film - self.SLOW_SECONDS) / self.SPEEDING, 0.0), 1.0)
            speed = 1.0 if now < 0 else slow + (1 - slow) * share
            now += speed * step
        return np.array(times)

    def camera_at(self, time: float) -> Camera:
        return self.stage.wide

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan = self.stage.plan
        i = min(round(time * self.stage.rate), len(self.times) - 1)
        instant = self.trace.instant(float(self.times[i]))
        marks = supports(plan, camera.grain, self.stage.ground)
        for name, path in self.paths.items():
            since = (self.trace.time >= 0) & (self.trace.time <= instant.time)
            marks += fading_path(name, path[since][:: self.stage.every])
        absent = [  # what is slack is still there
            e.about for e in self.trace.events if e.kind in ("cut", "fallen") and e.time <= instant.time
        ]
        marks += structure(plan, camera.grain, instant, names=instant.time <= 0, removed=absent)
        marks += self._arrows(instant, camera)
        marks += self._speed(time)
        return marks + self.words(time)

    def _arrows(self, instant: Instant, camera: Camera) -> list[Mark]:
        opacity = min(max((self.last_arrows - instant.time) / self.FADE, 0.0), 1.0)
        if opacity == 0:
            return []
        arrows = force_arrows(self.stage.plan, None, camera, instant=instant)
        return faded([*arrows, *self.stage.legend(arrows)], opacity)

    def _speed(self, time: float) -> list[Mark]:
        """How much slower than real the picture moves."""
        i = min(round(time * self.stage.rate), len(self.times) - 2)
        speed = float(self.times[i + 1] - self.times[i]) * self.stage.rate
        if speed > FAST:
            return []
        x, y = self.stage.corner
        text = f"at 1/{round(1 / speed)} of real speed"
        at: Point = (x, y + CAPTION / 3)
        return [Label(name="speed", role="text", space="page", anchor=at, text=text, size=CAPTION)]
