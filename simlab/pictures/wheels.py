"""Wheels: the small pegs or pulleys that a string runs over, and the way of the string around them.

A string bends at a point; its wheel lies in the bend and touches both parts of the string, so that
they keep their directions. Only in a very sharp bend the wheel stays near its point instead.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from simlab.pictures.marks import Points

WHEEL = 17.0  # [page units] radius
FARTHEST = 2.0  # [radii] from the point to its wheel's centre
ARC = 9  # points of the string around a wheel


def wheel_centres(points: Points, radius: float) -> Points:
    """The centres of the wheels at all but the first and the last of a string's points, shape (n, 2)."""
    centres = [
        at + _inwards(before - at, after - at) * radius
        for before, at, after in zip(points, points[1:], points[2:], strict=False)
    ]
    return np.array(centres).reshape(-1, 2)


def _inwards(one: Points, other: Points) -> Points:
    """From a bend to its wheel's centre, in radii; the parts of the string lead away along the vectors."""
    one = one / max(float(np.hypot(*one)), 1e-12)
    other = other / max(float(np.hypot(*other)), 1e-12)
    bisector = one + other
    long = float(np.hypot(*bisector))
    if long < 1e-6:  # a straight string lies on top of its wheel
        down = np.array([one[1], -one[0]])
        return np.asarray(down if down[1] <= 0 else -down)
    sine = float(np.sqrt(max(0.0, 1 - float(one @ other)) / 2))  # of half the angle of the bend
    return np.asarray(bisector / long * min(FARTHEST, 1 / max(sine, 1e-12)))


def wheels_in_motion(drawn: Points, points: Points, fixed: Sequence[bool], radius: float) -> Points:
    """The centres of wheels when a string has moved: those that are fixed stay as drawn, shape (n, 2)."""
    still = np.array(fixed, dtype=bool)[:, None]
    return np.where(still, wheel_centres(drawn, radius), wheel_centres(points, radius))


def bent(ends: Points, wheels: Points, drawn: Points, radius: float) -> Points:
    """The way of a string from one of its `ends` to the other around its wheels, shape (n, 2).

    wheels : their centres; drawn : the string as drawn, which says on which side of it each wheel is
    """
    points = drawn
    sided = np.concatenate([points[:1], wheel_centres(points, radius), points[-1:]])
    centres = np.concatenate([ends[:1], wheels, ends[-1:]])
    n = len(centres)
    sides = np.zeros(n)  # 1: the wheel is on the left of the string, -1: on the right
    for i in range(1, n - 1):
        before, after = points[i] - points[i - 1], points[i + 1] - points[i]
        turn = before[0] * after[1] - before[1] * after[0]
        offset = sided[i] - points[i]
        left = turn if turn else before[0] * offset[1] - before[1] * offset[0]
        sides[i] = 1.0 if left > 0 else -1.0
    rows = [ends[:1]]
    normals = [
        _normal(centres[i], centres[i + 1], radius * (sides[i + 1] - sides[i])) for i in range(n - 1)
    ]
    for i in range(1, n - 1):
        rows.append(_around(centres[i], radius, sides[i], normals[i - 1], normals[i]))
    rows.append(ends[-1:])
    return np.concatenate(rows)


def _normal(a: Points, b: Points, shift: float) -> Points:
    """The unit vector to the left of the line that passes a and b, b `shift` more to its left than a."""
    along = b - a
    bearing = np.arctan2(along[1], along[0]) + np.pi / 2
    bearing -= np.arcsin(np.clip(shift / max(float(np.hypot(*along)), 1e-12), -1, 1))
    return np.array([np.cos(bearing), np.sin(bearing)])


def _around(centre: Points, radius: float, side: float, first: Points, last: Points) -> Points:
    """The string's arc on a wheel, from where it comes on to where it leaves."""
    start, end = (np.arctan2(-side * n[1], -side * n[0]) for n in (first, last))
    turn = (side * (end - start)) % (2 * np.pi)
    bearing = start + side * np.linspace(0, turn, ARC)
    return np.asarray(centre + radius * np.stack([np.cos(bearing), np.sin(bearing)], axis=1))
