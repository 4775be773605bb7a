"""Given data in marks: arcs of angles, found from the letters of the question, and given distances.

A frame only has points. Which angle is alpha is found by trying: a rod whose angle to the vertical
(or to the level) equals the letter at its demonstration value and at a value a little off it is the
rod that the letter is about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from simlab.frame.quantity import Quantity
from simlab.frame.question import Name, Symbol
from simlab.pictures.distances import distance_lines
from simlab.pictures.lengths import NEAR, OFF
from simlab.pictures.marks import Label, Mark, Point, Points, Stroke
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.structure import sides_towards

RADIUS = 92.0  # [page units] of an arc; clear of the hinge and of a cane's twine
REFERENCE = 140.0  # [page units] length of the line an angle is measured from
SIZE = FORCE  # of the letters


@dataclass(frozen=True)
class GivenAngle:
    """A letter stands for the angle between `reference` and `direction` (unit vectors) at a point [m]."""

    symbol: Name
    rod: Name
    point: Point
    reference: Point
    direction: Point


@lru_cache(maxsize=8)  # a film asks for the same plan's letters in every picture
def given_angles(plan: Plan) -> tuple[GivenAngle, ...]:
    """For each letter that is an angle, the first rod end at which it is seen."""
    angles = (_first_angle(plan, symbol) for symbol in plan.frame.symbols.values() if symbol.is_angle)
    return tuple(angle for angle in angles if angle is not None)


def _first_angle(plan: Plan, symbol: Symbol) -> GivenAngle | None:
    value = plan.values[symbol.name]
    other = Plan.of(plan.frame, {**plan.values, symbol.name: value * Quantity.of(OFF)})
    angle, angle_off = value.number(), (value * Quantity.of(OFF)).number()
    for body in plan.frame.bodies.values():
        if body.kind != "rod":
            continue
        for end in (0, 1):
            start, direction = _from_end(plan, body.name, end)
            direction_off = _from_end(other, body.name, end)[1]
            for reference in ((0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0)):
                here = _between(direction, reference)
                if abs(here - angle) < NEAR and abs(_between(direction_off, reference) - angle_off) < NEAR:
                    x, y = (float(v) for v in direction)
                    return GivenAngle(
                        symbol.name, body.name, (float(start[0]), float(start[1])), reference, (x, y)
                    )
    return None


def _from_end(plan: Plan, rod: Name, end: int) -> tuple[Points, Points]:
    """An end of a rod [m] and the unit vector from it along the rod."""
    a, b = plan.outlines[rod][end], plan.outlines[rod][1 - end]
    return a, (b - a) / np.hypot(*(b - a))


def _between(a: Points, b: Point) -> float:
    """The angle between two unit vectors [rad]."""
    return float(np.arctan2(abs(a[0] * b[1] - a[1] * b[0]), a @ np.array(b)))


def dimensions(plan: Plan, grain: float) -> Iterator[Mark]:
    """The marks of all given angles and lengths."""
    for angle in given_angles(plan):
        yield from angle_arc(
            f"angle {angle.symbol}",
            angle.point,
            angle.reference,
            angle.direction,
            Quantity.symbol(angle.symbol).tex,
            grain,
        )
    yield from distance_lines(plan, grain)


def angle_arc(
    name: Name, point: Point, reference: Point, direction: Point, tex: str, grain: float
) -> Iterator[Mark]:
    """An arc at a point from one direction to another, the line it is measured from, and its letter."""
    start = np.array(point)
    first = float(np.arctan2(reference[1], reference[0]))
    second = float(np.arctan2(direction[1], direction[0]))
    turn = (second - first + np.pi) % (2 * np.pi) - np.pi
    bearing = first + np.linspace(0, turn, 25)
    arc = start + RADIUS * grain * np.stack([np.cos(bearing), np.sin(bearing)], axis=1)
    line = np.array([start, start + REFERENCE * grain * np.array(reference)])
    yield Stroke(name=f"line of {name}", role="reference", points=line)
    yield Stroke(name=f"arc of {name}", role="given", points=arc)
    middle = first + turn / 2
    out = np.array([np.cos(middle), np.sin(middle)])
    x, y = start + (RADIUS + 4) * grain * out
    yield Label(
        name=name,
        role="given name",
        anchor=(float(x), float(y)),
        text=f"${tex}$",
        size=SIZE,
        sides=sides_towards(out),
        clearance=6.0,
    )
