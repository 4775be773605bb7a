"""Given angles in marks: an arc at a point, the line that the angle is measured from, and its letter."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.pictures.angles import GivenAngle, Ray, given_angles
from simlab.pictures.marks import Label, Mark, Name, Point, Stroke
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.structure import sides_towards
from simlab.pictures.supports import faces_of

RADIUS = 92.0  # [page units] of an arc; clear of the hinge and of a cane's twine
REFERENCE = 140.0  # [page units] length of the line an angle is measured from
SIZE = FORCE  # of the letters


def angle_arcs(plan: Plan, grain: float, rays: tuple[Ray, ...] = ()) -> Iterator[Mark]:
    """The marks of all given angles, at the rays those that no rod shows."""
    drawn: set[str] = set()
    for angle in given_angles(plan, rays):
        name = f"angle {angle.symbol or angle.text.strip('$')} of {angle.rod}"
        if name not in drawn:
            drawn.add(name)
            point = _foot(plan, angle, grain)
            yield from angle_arc(name, point, angle.reference, angle.direction, angle.text, grain)


def _foot(plan: Plan, angle: GivenAngle, grain: float) -> Point:
    """Where an angle is drawn: at its point, or at the foot of its slope."""
    if angle.rod not in plan.frame.supports:
        return angle.point
    for face in faces_of(plan, grain):
        if np.allclose(np.abs(face.along @ np.array(angle.direction)), 1.0):
            ends = [face.point + reach * face.along for reach in face.reach]
            x, y = min(ends, key=lambda end: float(end[1]))
            return (float(x), float(y))
    return angle.point


def angle_arc(
    name: Name, point: Point, reference: Point, direction: Point, text: str, grain: float
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
        text=text,
        size=SIZE,
        sides=sides_towards(out),
        clearance=6.0,
    )
