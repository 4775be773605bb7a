"""The energy bar: height, motion, and what was lost, as one bar that stays as long as it is.

Told apart by their patterns and their words, not by colours alone: height is plain, motion is hatched, what
is lost is bare.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from simlab.pictures.camera import Rect
from simlab.pictures.marks import Label, Mark, Point, Points, Stroke
from simlab.pictures.palette import SMALL
from simlab.pictures.typeset import setting

HIGH = 62.0  # [page units] of the bar
HATCH = 16.0  # [page units] between two lines of the hatching
SWATCH = 34.0  # [page units] side of a sample
GAP, ROW = 12.0, 50.0  # [page units] sample to words; row to row of the words
NEXT = 34.0  # [page units] words to the next sample
ROLES = ("energy of height", "energy of motion", "energy lost")
WORDS = ("height", "motion", "lost in impacts and friction")


class Shares(NamedTuple):
    """What energy has become of, as shares of all of it: 1 together."""

    height: float
    motion: float
    lost: float

    @classmethod
    def of(cls, kinetic: float, potential: float, least: float, total: float) -> Shares:
        """Of energies [J]: the least potential there will be, and the total at the start.

        >>> Shares.of(2.0, 5.0, 1.0, 11.0)
        Shares(height=0.4, motion=0.2, lost=0.4)
        """
        whole = total - least
        if whole <= 0:
            return cls(1.0, 0.0, 0.0)
        height = min(max((potential - least) / whole, 0.0), 1.0)
        motion = min(max(kinetic / whole, 0.0), 1.0 - height)
        return cls(height, motion, 1.0 - height - motion)


def energy_bar(
    shares: Shares, rect: Rect, lost: bool, spoken: Callable[[str], str] = str
) -> Iterator[Mark]:
    """The bar at the top of a rectangle of the page, its words below; `lost`: whether any ever is."""
    left, top, right, _ = rect
    x = left
    for role, share in zip(ROLES, shares, strict=True):
        end = x + share * (right - left)
        yield from _patch(role, (x, top, end, top + HIGH))
        x = end
    yield _box("energy", "energy outline", (left, top, right, top + HIGH), False)
    for role, text, (x, y) in _words(rect, lost, spoken):
        room = right - x - SWATCH - GAP
        yield from _patch(role, (x, y - SWATCH + 6, x + SWATCH, y + 6), "sample of ")
        yield Label(
            name=f"words of {role}",
            role="text",
            space="page",
            anchor=(x + SWATCH + GAP, y),
            text=text,
            size=SMALL,
            width=room if setting(text, SMALL).width > room else None,
        )


def height(rect: Rect, lost: bool, spoken: Callable[[str], str] = str) -> float:
    """How high the bar is with its words [page units], in the width of a rectangle."""
    *_, (_, text, (x, y)) = _words(rect, lost, spoken)
    return y + setting(text, SMALL, rect[2] - x - SWATCH - GAP).box[3] - rect[1]


def _words(rect: Rect, lost: bool, spoken: Callable[[str], str]) -> Iterator[tuple[str, str, Point]]:
    """What each kind of energy is called, and where its sample and its words begin."""
    left, top, right, _ = rect
    y, x = top + HIGH + ROW, left
    for role, word in zip(ROLES, WORDS[: 3 if lost else 2], strict=False):
        text = spoken(word)
        if x > left and x + SWATCH + GAP + setting(text, SMALL).width > right:
            x, y = left, y + ROW
        yield role, text, (x, y)
        x += SWATCH + GAP + setting(text, SMALL).width + NEXT


def _patch(role: str, rect: Rect, name: str = "") -> Iterator[Mark]:
    """A rectangle with its pattern."""
    yield _box(f"{name}{role}", role, rect, True)
    if role == ROLES[1] and rect[2] > rect[0]:
        yield Stroke(name=f"{name}hatching", role="hatching", space="page", points=_hatching(rect))


def _box(name: str, role: str, rect: Rect, filled: bool) -> Stroke:
    left, top, right, bottom = rect
    corners = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
    return Stroke(name=name, role=role, space="page", points=corners, closed=True, filled=filled)


def _hatching(rect: Rect) -> Points:
    """Slanting lines that fill a rectangle, fixed to the page: the pattern stands still as it grows."""
    left, top, right, bottom = rect
    lines: list[list[float]] = []
    high = bottom - top
    for start in np.arange(np.floor((left - high) / HATCH) * HATCH, right, HATCH):
        x0, x1 = max(start, left), min(start + high, right)
        if x1 > x0:
            lines += [[x0, bottom - (x0 - start)], [x1, bottom - (x1 - start)], [np.nan, np.nan]]
    return np.array(lines[:-1]) if lines else np.full((1, 2), np.nan)
