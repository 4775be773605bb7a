"""What is near a place of the picture: hinges, ends and bodies, where they are at a moment."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import dist
from typing import NamedTuple

import numpy as np

from simlab.frame.change import hanging_place
from simlab.frame.model import GROUND, Name, Place
from simlab.pictures.marks import Point, Points
from simlab.pictures.plan import Plan
from simlab.results import Instant


class Hold(NamedTuple):
    """Something to be held: the body on which a hand then acts, the named point if it is one, where [m]."""

    body: Name
    point: Name | None
    at: Point


def hold_near(
    plan: Plan, instant: Instant, at: Point, reach: float, first: Name | None = None
) -> Hold | None:
    """What a hand gets hold of within a reach [m]: a hinge or an end, else any place of a body.

    At a hinge it acts on the body `first`, if that is there, else on the one that was named first.
    """
    named = (
        Hold(_held_by(plan, place, first), place.point, _pair(plan.at(place, instant)))
        for place in _ends(plan)
    )
    near = nearest_of(named, at, reach)
    if near is not None:
        return near
    found = ((_pair(spot), body) for body, spot in _spots(plan, instant, at))
    best = min(((dist(spot, at), body, spot) for spot, body in found), default=None)
    if best is None or best[0] > reach or not _can_move(plan, best[1]):
        return None
    return Hold(best[1], None, best[2])


def nearest_of(holds: Iterable[Hold], at: Point, reach: float) -> Hold | None:
    """The nearest one within reach [m]; the first of those that are equally near."""
    near = min(holds, key=lambda hold: dist(hold.at, at), default=None)
    return near if near is not None and dist(near.at, at) <= reach else None


def point_near(plan: Plan, instant: Instant, among: Iterable[Name], at: Point, reach: float) -> Name | None:
    """Which of some points that weights can hang at is nearest, within reach [m]."""
    holds = []
    for point in among:
        place = hanging_place(plan.frame, point)
        if place is not None:
            holds.append(Hold(place.body, point, _pair(plan.at(place, instant))))
    near = nearest_of(holds, at, reach)
    return near.point if near else None


def body_near(plan: Plan, instant: Instant, at: Point, reach: float) -> Name | None:
    """The body that is nearest, within reach [m]; the one that `at` is in, if it is in one."""
    found = ((dist(_pair(spot), at), body) for body, spot in _spots(plan, instant, at))
    best = min(found, default=None)
    return best[1] if best is not None and best[0] <= reach else None


def _pair(point: Points) -> Point:
    return float(point[0]), float(point[1])


def _held_by(plan: Plan, place: Place, first: Name | None) -> Name:
    joint = plan.frame.joints.get(place.body)
    if joint is None or not joint.bodies:
        return place.body
    return first if first in joint.bodies else joint.bodies[0]


def _can_move(plan: Plan, body: Name) -> bool:
    """Not if it is built in."""
    joints = plan.frame.joints.values()
    return not any(joint.kind == "built-in" and body in joint.bodies for joint in joints)


def _ends(plan: Plan) -> Iterator[Place]:
    """Hinges that can move, and ends of bodies that are on no hinge."""
    frame = plan.frame
    hinged = {joint.point for joint in frame.joints.values()}
    for joint in frame.joints.values():
        if GROUND not in joint.bodies:
            yield Place(joint.name, joint.point)
    for name, body in frame.bodies.items():
        for point, at in body.points.items():
            if point not in hinged and at in body.outline and _can_move(plan, name):
                yield Place(name, point)


def _spots(plan: Plan, instant: Instant, at: Point) -> Iterator[tuple[Name, Points]]:
    """The place of each body that is nearest to `at`; `at` itself, if it is within a plate or disc."""
    place = np.array(at)
    for name, body in plan.frame.bodies.items():
        outline = plan.outline(name, instant)
        if body.kind != "rod":
            if _within(outline, place):
                yield name, place
                continue
            outline = np.concatenate([outline, outline[:1]])
        a, b = outline[:-1], outline[1:]
        along = b - a
        squared = np.maximum((along**2).sum(axis=1), np.finfo(float).tiny)
        share = np.clip(((place - a) * along).sum(axis=1) / squared, 0.0, 1.0)
        spots = a + share[:, None] * along
        yield name, spots[int(np.hypot(*(spots - place).T).argmin())]


def _within(outline: Points, place: Points) -> bool:
    """Whether a closed line goes round a place (crossings of a ray to the right)."""
    a, b = outline, np.roll(outline, -1, axis=0)
    crosses = (a[:, 1] > place[1]) != (b[:, 1] > place[1])
    rise = np.where(crosses, b[:, 1] - a[:, 1], 1.0)
    x = a[:, 0] + (place[1] - a[:, 1]) / rise * (b[:, 0] - a[:, 0])
    return bool(np.count_nonzero(crosses & (x > place[0])) % 2)
