"""What is measured of a fall, beside it: the clock, where the energy is, forces in the course of time."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import hypot

import numpy as np

from simlab.film.fall_set import FallSet
from simlab.pictures.arrows import kind_of
from simlab.pictures.cards import paragraph
from simlab.pictures.energy_bar import Shares, energy_bar, height
from simlab.pictures.marks import Label, Mark, Points
from simlab.pictures.palette import CAPTION, SMALL
from simlab.pictures.running_chart import Course, RunningChart
from simlab.pictures.typeset import LEADING, setting
from simlab.results import Instant, Key, Trace
from simlab.results.wording import NOTHING, capital

CLOCK, ENERGY = 64.0, 230.0  # [page units] height of the clock's row, and of the energy's place
TIME, SPEED = "$t$ = 0.00 s", "at 1/8 of real speed"  # as long as they get
WIDEST = 3.0  # times the largest force at the cut: what is larger leaves the chart
BEFORE = 0.12  # of the time shown: before the cut
LOST = 0.003  # of all energy: less lost is not worth words


class Gauges:
    """The clock, the energy bar and the chart of a fall, in a rectangle of the page."""

    def __init__(self, fall: FallSet, until: float) -> None:
        self.set, self.story = fall, fall.stage.story
        left, top, right, bottom = fall.halves.beside
        self.rect = fall.halves.beside
        trace = fall.trace
        shown = trace.time <= until
        self.least = float(trace.energy[shown, 1].min())
        self.total = float(trace.energy[fall.cut].sum())
        lost = 1 - float(trace.energy[shown].sum(axis=1)[-1] - self.least) / max(
            self.total - self.least, 1e-12
        )
        self.loses = lost > LOST
        beside = setting(TIME, CAPTION).width + CAPTION + setting(SPEED, SMALL).width
        self.below = beside > right - left  # the speed does not fit beside the time
        high = CLOCK + (LEADING * SMALL if self.below else 0.0)
        self.energy = (left, top + high + 1.6 * CAPTION, right, top + high + ENERGY)
        words = height(self.energy, self.loses, self.story.spoken)
        foot = max(self.energy[3], self.energy[1] + words)
        self.chart = self._chart((left, foot + CAPTION, right, bottom), until)

    def _chart(self, rect: tuple[float, float, float, float], until: float) -> RunningChart | None:
        """The force of the brace, and of those that are not gone with it the one that jumps most."""
        fall, trace = self.set, self.set.trace
        end = min(fall.touch, until)
        span = (-BEFORE * end, end)
        courses = [self._brace(span)]
        lasting = [jump for jump in fall.jumps if jump.after > NOTHING * jump.before]
        if lasting:
            jump = lasting[0]
            points = _sizes(trace, jump.key, span, fall.cut)
            sizes = (jump.before, jump.after)
            by_support = kind_of(fall.stage.plan, jump.key) == "supports"
            kind = "support force" if by_support else "hinge force"
            courses.append(Course(capital(jump.words), points, sizes, kind))
        at_cut = max(size for course in courses for size in course.jump)
        top = max(float(np.nanmax(course.points[:, 1])) for course in courses)
        if at_cut <= 0 or not fall.stage.answers:
            return None
        return RunningChart(courses, rect, span, min(1.05 * top, WIDEST * at_cut))

    def _brace(self, span: tuple[float, float]) -> Course:
        """The brace's force: level before the cut, nothing after it."""
        words, tension = self.set.brace
        size, lift = abs(tension), [np.nan, np.nan]
        points = np.array([[span[0], size], [0.0, size], lift, [0.0, 0.0], [span[1], 0.0]])
        return Course(words, points, (size, 0.0), "tension" if tension > 0 else "thrust")

    def marks(self, instant: Instant, speed: float) -> Iterator[Mark]:
        """Everything at an instant that is shown at a share of real speed."""
        yield from self._clock(instant.time, speed)
        left, top, _, _ = self.energy
        yield _words("energy heading", "Energy", (left, top - 0.5 * SMALL))
        shares = Shares.of(*instant.energy, self.least, self.total)
        yield from energy_bar(shares, self.energy, self.loses, self.story.spoken)
        if self.chart is not None:
            yield from self.chart.marks(instant.time)

    def _clock(self, time: float, speed: float) -> Iterator[Mark]:
        """The time of the fall, and how much slower than real it is shown."""
        left, top, right, _ = self.rect
        said = slower(speed, self.set.stage.slow) if time >= 0 else ""
        yield _words("clock", f"$t$ = {max(time, 0.0):.2f} s", (left, top + CAPTION), CAPTION)
        if said:
            words = paragraph("speed", said, (left, top, right, top + CLOCK), SMALL)
            y = top + CAPTION + LEADING * SMALL
            yield Label(
                name="speed",
                role="text",
                space="page",
                anchor=(left, y) if self.below else (right, top + CAPTION),
                text=said,
                size=words.size,
                align="left" if self.below else "right",
            )


SAID = 0.6  # of real speed: from there on nobody minds
SAME = 1e-6  # of real speed: what the times of pictures are off by
FIFTHS = 5  # nearer than these nobody sees, while it gets quicker


def slower(speed: float, slow: float) -> str:
    """How much slower than real a picture moves, as a share of real speed; nothing where nobody minds.

    slow : the speed at the break, which is said as it is

    >>> slower(0.4, 0.4), slower(0.13, 0.125), slower(0.37, 0.37)
    ('at 2/5 of real speed', 'at 1/8 of real speed', 'at 0.37 of real speed')
    """
    if speed > SAID:
        return ""
    share = Fraction(speed).limit_denominator(max(FIFTHS, round(1 / speed)))
    exact = abs(speed - slow) > SAME or abs(share - slow) < SAME
    return f"at {share if exact else f'{slow:.3g}'} of real speed"


def _sizes(trace: Trace, key: Key, span: tuple[float, float], cut: int) -> Points:
    """Time and size of one force in a span of time; the pen is lifted at the cut."""
    column = trace.keys.index(key)
    shown = (trace.time >= span[0]) & (trace.time <= span[1])
    sizes = np.array([hypot(x, y) for x, y in trace.forces[:, column, :2]])
    sizes = np.where(np.isnan(sizes), 0.0, sizes)
    points = np.stack([trace.time, sizes], axis=1)
    before, after = points[:cut][shown[:cut]], points[cut:][shown[cut:]]
    if len(before):
        before = np.concatenate([before, [[0.0, before[-1, 1]]]])
    return np.concatenate([before, np.full((1, 2), np.nan), after])


def _words(name: str, text: str, at: tuple[float, float], size: float = SMALL) -> Label:
    return Label(name=name, role="text", space="page", anchor=at, text=text, size=size)
