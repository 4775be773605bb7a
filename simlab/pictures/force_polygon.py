"""The force polygon of one body: all forces on it, tip to tail. It closes where the body is at rest.

In their order the weight comes first and then every force by its direction, going round anticlockwise from
straight down: so the polygon is convex, and when two forces change places they are parallel, and nothing
jumps. Forces that are all along one line are drawn side by side, upward ones on the right, so that each is
seen. What is left from its last tip back to its start is mass times acceleration.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from math import atan2, pi

import numpy as np

from simlab.frame.model import Name
from simlab.pictures.acting import Acting
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.legend import scale_bar
from simlab.pictures.marks import Arrow, Label, Mark, Point, Points, Ring, Stroke
from simlab.pictures.palette import FORCE
from simlab.pictures.structure import sides_towards
from simlab.results.wording import figures

CLOSED = 4.0  # [page units]: a gap that is less is not seen, and not drawn
SIDE_BY_SIDE = 26.0  # [page units] between sides along one line: their arrowheads just clear
START = 6.0  # [page units] radius of the dot where the polygon begins
LEFT_OVER = "mass × acceleration"
# Times the one scale of the picture: where the polygon does not fit, or is too small to be seen, it has the
# nearest of these.
FACTORS = (100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002)
SMALL_SHARE = 0.5  # of its room, in which it can be seen well
WORDS = (150.0, 70.0)  # [page units] kept free at its sides, and above and below it, for words
BAR_ROOM = 60.0  # [page units] at the bottom, for a scale bar

Words = Callable[[Acting], str]  # what stands beside a force


def by_name(one: Acting) -> str:
    """Who exerts a force: "hinge L"."""
    return one.by


def by_size(one: Acting) -> str:
    """Who exerts a force, and how large it is: "hinge L 7.42 N"."""
    return f"{one.by} {figures(one.size)} N"


def in_order(forces: Sequence[Acting]) -> list[Acting]:
    """Anticlockwise from straight down, the weight first."""
    return sorted(forces, key=lambda one: _turn(one.force))


def _turn(force: Point) -> float:
    """The direction of a force, anticlockwise from straight down, 0 to 2 pi."""
    return atan2(force[0], -force[1]) % (2 * pi)


def corners(forces: Sequence[Acting]) -> Points:
    """The corners of the polygon, from its start to its last tip, shape (n + 1, 2) [N]."""
    steps = np.array([one.force for one in in_order(forces)], dtype=np.float64).reshape(-1, 2)
    return np.concatenate([np.zeros((1, 2)), np.cumsum(steps, axis=0)])


def left_over(forces: Sequence[Acting]) -> Point:
    """What is left of all forces on a body: its mass times its acceleration [N]."""
    x, y = corners(forces)[-1]
    return float(x), float(y)


def factor_for(sizes: Sequence[Point], per_newton: float, before: float | None = None) -> float:
    """How many times the picture's one scale fits: that of `before` as long as it does, else 1 if it can.

    sizes : what is to be fitted [N], and its room [page units], across and up, by turns
    """
    across = [
        wide * per_newton / room
        for needed, rooms in zip(sizes[::2], sizes[1::2], strict=True)
        for wide, room in zip(needed, rooms, strict=True)
        if wide > 0
    ]
    full = max(across, default=0.0)
    if full == 0.0:
        return before or 1.0
    for factor in (before, 1.0):
        if factor is not None and SMALL_SHARE < factor * full <= 1.0:
            return factor
    return next((factor for factor in FACTORS if factor * full <= 1.0), FACTORS[-1])


def extent(forces: Sequence[Acting]) -> Point:
    """How wide and how high the polygon is [N]."""
    points = corners(forces)
    wide, high = points.max(axis=0) - points.min(axis=0)
    return float(wide), float(high)


def room_in(rect: Rect) -> Point:
    """How wide and how high a polygon may be in a rectangle [page units]."""
    left, top, right, bottom = rect
    across, up = WORDS
    return max(right - left - 2 * across, 1.0), max(bottom - top - 2 * up - BAR_ROOM, 1.0)


def polygon(
    forces: Sequence[Acting], rect: Rect, per_newton: float, factor: float, words: Words, *, sizes: bool
) -> list[Mark]:
    """The polygon of all forces on a body, on the page: arrows, words, the gap that is left.

    per_newton : the picture's one scale [page units/N], taken `factor` times: a scale of its own is said
    by a scale bar; sizes : whether the size of the gap stands beside it
    """
    forces = in_order(forces)
    points = _on_page(corners(forces), rect, per_newton * factor)
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    marks: list[Mark] = []
    for one, start, shift in zip(forces, points[:-1], _apart(points), strict=True):
        tail = start + shift
        end = tail + np.array(one.force) * (per_newton * factor, -per_newton * factor)
        marks += _edge(f"side {one.name}", one.role, tail, end, words(one), middle)
        if shift.any():
            marks += _ties(one.name, np.array([[start, tail], [end - shift, end]]))
    marks += _gap(points, middle, left_over(forces), sizes)
    if len(points) > 1:
        marks.append(_dot(points[0]))
    if factor != 1.0:
        marks += _bar(rect, per_newton * factor)
    return marks


def _on_page(corners_of: Points, rect: Rect, per_newton: float) -> Points:
    """Corners on the page, the middle of their box in the middle of the room for them."""
    left, top, right, bottom = rect
    points = corners_of * (per_newton, -per_newton)
    box = (points.min(axis=0) + points.max(axis=0)) / 2
    return np.asarray(points - box + ((left + right) / 2, (top + bottom - BAR_ROOM) / 2))


def _apart(points: Points) -> Points:
    """How far each side is moved so that a flat polygon is seen, shape (sides, 2) [page units].

    Those that go up (or, where all are level, to the right) are moved to where they would be if it were not
    flat: by what its width is short of SIDE_BY_SIDE.
    """
    sides = np.diff(points, axis=0)
    if not len(sides):
        return sides
    along = sides[int(np.hypot(*sides.T).argmax())]
    along = along / np.hypot(*along)
    if (-along[1], along[0]) < (0.0, 0.0):
        along = -along
    across = np.array([-along[1], along[0]])  # to the right of it, as y goes down the page
    wide = np.ptp(points @ across)
    missing = max(SIDE_BY_SIDE - float(wide), 0.0)
    return np.where((sides @ along > 0)[:, None], missing * across, 0.0)


def _ties(name: Name, ends: Points) -> Iterator[Mark]:
    """Thin lines from a side that was moved to its corners."""
    for i, points in enumerate(ends):
        yield Stroke(name=f"tie {i} of side {name}", role="tie", space="page", points=points)


def _edge(name: str, role: str, start: Points, end: Points, text: str, middle: Points) -> Iterator[Mark]:
    """An arrow from corner to corner, its words outside the polygon."""
    tail, (dx, dy) = (float(start[0]), float(start[1])), (float(v) for v in end - start)
    vector = (dx, dy)
    yield Arrow(name=name, role=role, space="page", tail=tail, vector=vector, measure="length")
    out = (start + end) / 2 - middle
    if text:
        yield Label(
            name=f"words of {name}",
            role=role,
            space="page",
            anchor=tail,
            vector=vector,
            measure="length",
            text=text,
            size=FORCE,
            sides=sides_towards(np.array([out[0], -out[1]])),
            stations=(0.5, 0.35, 0.65),
        )


def _gap(points: Points, middle: Points, left: Point, with_size: bool) -> Iterator[Mark]:
    """What is left, from the start to the last tip."""
    start, end = points[0], points[-1]
    if float(np.hypot(*(end - start))) < CLOSED:
        return
    text = f"{LEFT_OVER} {figures(float(np.hypot(*left)))} N" if with_size else LEFT_OVER
    yield from _edge("left over", "component", start, end, text, middle)


def _dot(start: Points) -> Ring:
    x, y = (float(v) for v in start)
    return Ring(name="start of polygon", role="small hinge", space="page", centre=(x, y), radius=START)


def _bar(rect: Rect, per_newton: float) -> Sequence[Mark]:
    left, _, _, bottom = rect
    bar = scale_bar(Camera((0.0, 0.0), (0.0, 0.0), 1.0, per_newton), (left, bottom))
    return [replace(mark, name=f"{mark.name} of polygon") for mark in bar]
