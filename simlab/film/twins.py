"""Two frames side by side, at one clock and one scale: what the chapters that compare them draw."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from simlab.film.fall_set import first_above, first_touch
from simlab.film.halves import GUTTER, Halves
from simlab.film.stage_set import joint_paths, reached
from simlab.film.twin import Twin
from simlab.pictures.arrows import force_arrows, largest, scale_for
from simlab.pictures.broken import breaks, shortened
from simlab.pictures.camera import Bounds, Camera, Page
from simlab.pictures.cards import balanced
from simlab.pictures.marks import Label, Mark
from simlab.pictures.palette import CAPTION, LEAST, SMALL
from simlab.pictures.paths import fading_path
from simlab.pictures.plan import Plan
from simlab.pictures.rests import BEYOND
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.typeset import LEADING, setting
from simlab.pictures.view import fitted, on_page
from simlab.results import Instant, Trace

HEAD = 160.0  # [page units] for the heading and the words below it
FOOT = 40.0  # [page units] below both, for the clock
EVERY = 10  # samples of a fall between two points of a path
FIRST = 120.0  # [page units] of the largest arrow at rest, at the most
SHARE = 0.45  # of the frame's size: a longer one would hide it
LONGEST = 1.25  # times the largest force at rest: the arrow of a larger one is broken
ROUNDS = 3  # of shorter arrows and a larger frame


class Twins:
    """Two frames on a page; `told`: whether their forces may be seen."""

    def __init__(self, twins: tuple[Twin, Twin], page: Page, told: bool = True) -> None:
        self.twins, self.told = twins, told
        self.halves = Halves.twins(page)
        self.plans = [Plan.of(twin.frame, twin.values) for twin in twins]
        self.rests = [twin.fall.instant(float(twin.fall.time[0])) for twin in twins]
        top = max(largest(plan, rest.forces) for plan, rest in zip(self.plans, self.rests, strict=True))
        self.paths = [joint_paths(plan, twin.fall) for plan, twin in zip(self.plans, twins, strict=True)]
        self.touches = [first_touch(twin.fall) for twin in twins]
        self.most = LONGEST * top
        self.broken = [first_above(twin.fall, self.most) for twin in twins]
        longest = FIRST
        for _ in range(ROUNDS):
            self.per_newton = scale_for(top, longest)
            self.cameras = self._cameras()
            longest = min(longest, SHARE * self._size() * self.cameras[0].scale)

    def _size(self) -> float:
        """The larger side of the larger frame [m]."""
        bounds = np.array([plan.bounds for plan in self.plans])
        return float((bounds[:, 2:] - bounds[:, :2]).max())

    def _cameras(self) -> list[Camera]:
        """Both at one scale, with room for both falls, each in its half."""
        each = zip(self.plans, self.twins, strict=True)
        bounds = np.array([reached(plan, twin.fall, EVERY) for plan, twin in each])
        (x0, y0), (x1, y1) = bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)
        both: Bounds = (float(x0), float(y0), float(x1), float(y1))
        lowest = [self._lowest(twin.fall, both[1]) for twin in self.twins]
        cameras = []
        for i, (left, top, right, bottom) in enumerate(self.halves):

            def marks(camera: Camera, i: int = i) -> list[Mark]:
                plan = self.plans[i]
                drawn = [*supports(plan, camera.grain), *structure(plan, camera.grain)]
                drawn += structure(plan, camera.grain, lowest[i])  # with all that hangs from it
                return [*drawn, *force_arrows(plan, self.rests[i].forces, camera)]

            place = (left, top + HEAD, right, bottom - FOOT)
            cameras.append(fitted(self.plans[i], place, marks, self.per_newton, both))
        scale = min(camera.scale for camera in cameras)
        return [replace(camera, scale=scale) for camera in cameras]

    @staticmethod
    def _lowest(fall: Trace, bottom: float) -> Instant:
        """When the lowest of the bodies is lowest, above the bottom of what is seen [m]."""
        heights = np.where(fall.poses[..., 1] > bottom, fall.poses[..., 1], np.inf).min(axis=1)
        return fall.instant(float(fall.time[np.argmin(heights)]))

    def marks(self, time: float) -> Iterator[Mark]:
        """Both frames at a time of their falls [s]."""
        for i, twin in enumerate(self.twins):
            instant = twin.fall.instant(-1.0 if twin.stays else time)
            drawn = on_page(list(self._frame(i, twin, instant)), self.cameras[i])
            yield from (replace(mark, name=f"{mark.name} of twin {i}") for mark in drawn)
            yield from self._heading(i, twin)

    def _frame(self, i: int, twin: Twin, instant: Instant) -> Iterator[Mark]:
        plan, camera = self.plans[i], self.cameras[i]
        yield from supports(plan, camera.grain, self._ground(i))
        now = instant.time
        if now > 0:
            since = (twin.fall.time >= 0) & (twin.fall.time <= now)
            for name, path in self.paths[i].items():
                yield from fading_path(name, path[since][::EVERY])
        yield from structure(plan, camera.grain, instant, names=False, removed=twin.fall.gone(now))
        if self.told and now < self.touches[i]:
            forces, broken = shortened(instant.forces, self.most)
            arrows = force_arrows(plan, forces, camera, instant=instant)
            yield from [*arrows, *breaks(arrows, broken, camera)]
            yield from self._note(i) if now >= self.broken[i] else ()

    def _note(self, i: int) -> Iterator[Mark]:
        """What a gap in an arrow means."""
        left, top, right, _ = self.halves[i]
        words = self.twins[i].words
        below = setting(words, CAPTION).box[3] + CAPTION if words else 0.0
        at = ((left + right) / 2, top + CAPTION + LEADING * CAPTION + below)
        yield centred("broken", "a broken arrow is longer than it is drawn", at, SMALL, right - left)

    def _ground(self, i: int) -> Bounds:
        """How far floors and walls may go: to the middle between the halves."""
        left, top, right, bottom = self.halves[i]
        corners = np.array([[left - GUTTER / 2, bottom], [right + GUTTER / 2, top + HEAD]])
        (x0, y0), (x1, y1) = self.cameras[i].to_frame(corners)
        over = BEYOND * float(max(x1 - x0, y1 - y0)) / (1 + 2 * BEYOND)
        return (float(x0) + over, float(y0) + over, float(x1) - over, float(y1) - over)

    def _heading(self, i: int, twin: Twin) -> Iterator[Mark]:
        left, top, right, _ = self.halves[i]
        middle, y = (left + right) / 2, top + CAPTION
        yield centred(f"heading {i}", twin.heading, (middle, y), CAPTION, right - left, bold=True)
        if twin.words:
            yield centred(f"words {i}", twin.words, (middle, y + LEADING * CAPTION), CAPTION, right - left)


def centred(
    name: str, text: str, at: tuple[float, float], size: float, width: float, bold: bool = False
) -> Label:
    """Words about the middle of a line, in type that fits a width, broken if they have to be."""
    while size > LEAST and setting(text, size, bold=bold).width > width:
        size -= 1
    fits = setting(text, size, bold=bold).width <= width
    wide = None if fits else balanced(text, size, width)
    return Label(
        name=name,
        role="text",
        space="page",
        anchor=at,
        text=text,
        size=size,
        align="centre",
        width=wide,
        bold=bold,
    )
