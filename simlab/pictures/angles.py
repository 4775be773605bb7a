"""Given angles, found from the letters of the question and from the degrees that it mentions.

A frame only has points. Which angle is alpha is found by trying: a rod (or a string, or a slope) whose
angle to the vertical, to the level or to another one equals the letter at its demonstration value and
at a value a little off it is what the letter is about.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Vec
from simlab.frame.quantity import Quantity
from simlab.frame.question import Name, Symbol
from simlab.pictures.lengths import NEAR, OFF
from simlab.pictures.marks import Point, Points
from simlab.pictures.mentions import degrees_in, nearness
from simlab.pictures.plan import Plan

UPRIGHT: tuple[Point, ...] = ((0.0, -1.0), (0.0, 1.0))
LEVEL: tuple[Point, ...] = ((1.0, 0.0), (-1.0, 0.0))
AFTER = 30  # characters after an angle in which it is said what it is measured from


@dataclass(frozen=True)
class GivenAngle:
    """The angle between `reference` and `direction` (unit vectors) at a point [m], of a letter or a number.

    `rod` is the rod, member or slope that it is the angle of; `symbol` is empty for a number.
    """

    symbol: Name
    rod: Name
    point: Point
    reference: Point
    direction: Point
    text: str


@dataclass(frozen=True)
class Ray:
    """A direction that is drawn besides a frame's own: of a force at a point [m], whose name is `near`."""

    name: Name
    at: Vec
    way: Vec
    near: Name | None = None


@dataclass(frozen=True, eq=False)
class _Way:
    """A unit vector from an end of a rod or member along it, along a force, or up a slope."""

    name: Name
    start: Points
    along: Points
    points: tuple[Name, ...]


def _ways(plan: Plan, rays: tuple[Ray, ...]) -> Iterator[_Way]:
    named = {tuple(at): name for name, at in plan.points.items()}
    for body in plan.frame.bodies.values():
        if body.kind == "rod":
            a, b = plan.outlines[body.name]
            yield from _both(body.name, a, b, tuple(named[tuple(p)] for p in (a, b) if tuple(p) in named))
    for link in plan.frame.links.values():
        places = [plan.at(place, None) for place in link.places]
        points = tuple(place.point for place in link.places)
        yield from _both(link.name, places[0], places[1], points[:2])
        if link.over:
            yield from _both(link.name, places[-2], places[-1], points[-2:])
    for name, load in plan.frame.loads.items():
        force = np.array(plan.loads[name])
        if load.kind == "force" and np.hypot(*force):
            start = plan.at(load.place, None)
            yield _Way(name, start, force / np.hypot(*force), (load.place.point,))
    for contact in plan.frame.contacts.values():
        if plan.is_floor(contact.by):
            x, y = plan.normal(contact)
            up = np.array([y, -x]) if x < 0 else np.array([-y, x])
            yield _Way(contact.by, plan.at(contact.on, None), up, (contact.on.point,))
    for ray in rays:
        start, way = (np.array([part.number(plan.values) for part in v]) for v in (ray.at, ray.way))
        yield _Way(ray.name, start, way / np.hypot(*way), () if ray.near is None else (ray.near,))


def _both(name: Name, a: Points, b: Points, points: tuple[Name, ...]) -> Iterator[_Way]:
    long = float(np.hypot(*(b - a)))
    if long:
        yield _Way(name, a, (b - a) / long, points)
        yield _Way(name, b, (a - b) / long, points)


@lru_cache(maxsize=8)  # a film asks for the same plan's letters in every picture
def given_angles(plan: Plan, rays: tuple[Ray, ...] = ()) -> tuple[GivenAngle, ...]:
    """For each letter that is an angle, the first rod end at which it is seen; then the degrees given.

    `rays` come last: an angle is seen at one of them only where no rod shows it.
    """
    symbols = [symbol for symbol in plan.frame.symbols.values() if symbol.is_angle]
    letters = [_first_angle(plan, symbol, rays) for symbol in symbols]
    return (*(angle for angle in letters if angle is not None), *_numbers(plan, rays))


def _first_angle(plan: Plan, symbol: Symbol, rays: tuple[Ray, ...]) -> GivenAngle | None:
    value = plan.values[symbol.name]
    value_off = value * Quantity.of(OFF)
    try:
        other = Plan.of(plan.frame, {**plan.values, symbol.name: value_off})
    except BadInput:  # no such shape
        return None
    angle, angle_off = value.number(), value_off.number()
    ways, ways_off = list(_ways(plan, rays)), list(_ways(other, rays))
    text = f"${Quantity.symbol(symbol.name).tex}$"
    for way, off in zip(ways, ways_off, strict=True):
        for reference in (*UPRIGHT, *LEVEL):
            if _is(way.along, reference, angle) and _is(off.along, reference, angle_off):
                return _given(symbol.name, way, reference, text)
    for (way, off), (way2, off2) in combinations(list(zip(ways, ways_off, strict=True)), 2):
        if np.allclose(way.start, way2.start) and way.name != way2.name:
            for times in (1, 2):
                twice = text if times == 1 else f"$2{text[1:]}"
                here, there = _is(way.along, way2.along, times * angle), times * angle_off
                if here and _is(off.along, off2.along, there):
                    return _given(symbol.name, way, way2.along, twice)
    return None


def _numbers(plan: Plan, rays: tuple[Ray, ...]) -> Iterator[GivenAngle]:
    """The angles to the vertical or to the level that a question gives in degrees."""
    words = plan.frame.question.replace("\n", " ")
    ways = list(_ways(plan, rays))
    for degrees, at in degrees_in(plan.frame):
        after = words[at : at + AFTER]
        references = UPRIGHT if re.search("vertical|upright", after) else ()
        references += LEVEL if re.search("horizontal|level", after) else ()
        angle = float(np.radians(float(degrees)))
        fitting = [(way, r) for way in ways for r in references if _is(way.along, r, angle)]
        if fitting:
            way, reference = min(fitting, key=lambda pair: nearness(plan.frame, at, pair[0].points))
            yield _given("", way, reference, f"${float(degrees):g}^{{\\circ}}$")


def _given(symbol: Name, way: _Way, reference: Point | Points, text: str) -> GivenAngle:
    (x, y), (a, b), (u, v) = (way.start, way.along, reference)
    return GivenAngle(
        symbol, way.name, (float(x), float(y)), (float(u), float(v)), (float(a), float(b)), text
    )


def _is(a: Points, b: Point | Points, angle: float) -> bool:
    """Whether two unit vectors make an angle [rad]."""
    return bool(abs(np.arctan2(abs(a[0] * b[1] - a[1] * b[0]), a @ np.array(b)) - angle) < NEAR)
