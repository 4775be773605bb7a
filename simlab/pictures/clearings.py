"""Clearings: where beside a frame a thin line finds bare paper, and where along it its words do."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.arcs import angle_arcs
from simlab.pictures.camera import Camera
from simlab.pictures.given_loads import given_weights
from simlab.pictures.marks import Label, Mark, Points, Stroke
from simlab.pictures.obstacles import gaps, segments
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.seating import DIRECTION
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.typeset import setting, text_of

# Sizes [page units]
APART = 90.0  # from a rod to the line of a length beside it
SLANTED = 40.0  # further where the line is upright: a weight's words fit between
FURTHER = 31.0  # from one place for a line to the next, further out
LEVELS = 9  # places for a line on one side
BESIDE = 24.0  # bare paper around the words between two lines, both sides together
STEP = 9.0  # between samples along a line
AIR = 7.0  # of bare paper beside a line
# Costs, in samples that are not on bare paper
ONE_LEVEL, INWARDS, ON_LINE = 1.2, 5.0, 100.0


class Beside(NamedTuple):
    """A line beside two points: its cost, its ends, shape (2, 2) [m], the way out to it, and the share of
    it at which its words stand.
    """

    cost: float
    ends: Points
    across: Points
    share: float


class Clearings:
    """What is drawn of a plan, and the lines that were laid beside it so far; sizes on the page."""

    def __init__(self, marks: Iterable[Mark], grain: float) -> None:
        self.grain = grain
        self.camera = Camera((0.0, 0.0), (0.0, 0.0), 1 / grain)
        marks = list(marks)
        words = [_words(mark, grain) for mark in marks if isinstance(mark, Label)]
        self.taken = segments([*marks, *words], self.camera)
        self.lines: list[tuple[Points, float]] = []  # with the room for the words outside it [m]

    @classmethod
    def of(cls, plan: Plan, grain: float) -> Clearings:
        """The clearings around a frame with its weights and angles."""
        given = [*angle_arcs(plan, grain), *given_weights(plan, grain)]
        return cls([*supports(plan, grain), *structure(plan, grain, names=False), *given], grain)

    def best(self, ends: Points, out: Points) -> Beside:
        """The best line beside two points [m], rather on the side of `out`."""
        along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
        left = np.array([-along[1], along[0]])
        lines = []
        for level in range(LEVELS):
            for across in (left, -left):
                first = APART + SLANTED * abs(float(across[0]))
                moved = ends + across * (first + level * FURTHER) * self.grain
                free = self.is_free(moved)
                cost = float(np.count_nonzero(~free)) + ONE_LEVEL * level
                cost += INWARDS if (float(across @ out), -across[1], across[0]) < (0, 0, 0) else 0.0
                cost += ON_LINE * sum(self._meet(moved, *other) for other in self.lines)
                lines.append(Beside(cost, moved, across, _middle_of_longest(free)))
        return min(lines, key=lambda line: line.cost)

    def keep(self, line: Beside, text: str) -> None:
        """Keep a line with its words, so that others stay off it."""
        x, y = np.abs(line.across)
        words = setting(text, FORCE)
        room = float(x) * words.width + float(y) * words.height + BESIDE
        self.lines.append((line.ends, room * self.grain))

    def is_free(self, ends: Points) -> NDArray[np.bool_]:
        """Which samples along a line are on bare paper, shape (n,)."""
        page = self.camera.to_page(ends)
        long = float(np.hypot(*(page[1] - page[0])))
        share = np.linspace(0, 1, max(3, round(long / STEP)))[:, None]
        points = page[0] + share * (page[1] - page[0])
        return np.asarray(gaps(points, self.taken) > AIR)

    def _meet(self, ends: Points, other: Points, near: float) -> bool:
        """Whether two lines cross, or run beside one another so near that their words would not fit."""
        along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
        across = np.array([-along[1], along[0]])
        x, y = (other - ends[0]) @ along, (other - ends[0]) @ across
        long = float(np.hypot(*(ends[1] - ends[0])))
        if max(x) <= 1e-9 * long or min(x) >= long * (1 - 1e-9):
            return False
        return bool(min(abs(y)) < near if abs(y[1] - y[0]) < near else min(y) < near and max(y) > -near)


def _words(label: Label, grain: float) -> Stroke:
    """A bar where the words of a label would rather be [m]."""
    text = text_of(label)
    across, up = DIRECTION[label.sides[0]]
    lead = label.vector if label.measure == "length" else (0.0, 0.0)
    x = label.anchor[0] + lead[0] + across * (text.width / 2 + label.clearance) * grain
    y = label.anchor[1] + lead[1] - up * (text.height / 2 + label.clearance) * grain
    half = max(0.0, text.width - text.height) / 2 * grain
    ends = np.array([[x - half, y], [x + half, y]])
    return Stroke(name=f"place of {label.name}", role="given", points=ends, width=text.height * grain)


def _middle_of_longest(free: NDArray[np.bool_]) -> float:
    """The middle of the longest run of free samples, as a share of the line; the line's own if all are."""
    best, start = (0, 0.5), None
    for i, is_free in enumerate([*free, False]):
        if is_free and start is None:
            start = i
        elif not is_free and start is not None:
            if i - start > best[0]:
                best = (i - start, (start + i - 1) / 2 / max(1, len(free) - 1))
            start = None
    return best[1]
