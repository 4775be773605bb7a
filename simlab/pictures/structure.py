"""The structure in marks: bodies, light members, hinges, hung weights, names of points.

Everything is in metres of the frame; `grain` [m/page unit] of the camera that first showed it turns
sizes on the page into metres, so that a camera which moves in later makes all of it larger.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from functools import lru_cache

import numpy as np

from simlab.frame.model import GROUND, Body, Joint, Name, Place
from simlab.pictures.bodies import body_marks
from simlab.pictures.marks import SIDES, Label, Mark, Points, Ring, Side
from simlab.pictures.members import ROD, member
from simlab.pictures.names import point_name
from simlab.pictures.palette import NAME
from simlab.pictures.plan import Plan
from simlab.pictures.rests import rings, touches
from simlab.pictures.spread import spread
from simlab.pictures.weights import hung
from simlab.results.trace import Instant

HINGE, KNOT = 7.5, 5.0  # [page units] radii of a hinge, and of a knot of strings
CENTRE = 8.0  # [page units] radius of the dot at a centre of weight
CLEARANCE = 0.85 * ROD  # [page units] from a point to its name
_DERIVED = re.compile(r"(middle|centre|end) of .*")  # points that no question names


def structure(
    plan: Plan,
    grain: float,
    instant: Instant | None = None,
    *,
    names: bool = True,
    centres: bool = False,
    removed: Collection[Name] = (),
    marked: Collection[Name] = (),
) -> list[Mark]:
    """The marks of a frame as drawn, or as it is at an instant.

    `names`: letters at the points; `centres`: dots at the rods' centres of weight; `removed`: members
    that were taken away; `marked`: members that glow (the brace before it goes).
    """
    marks: list[Mark] = []
    for body in _from_behind(plan):
        marks += body_marks(plan, body, grain, instant)
        if centres and not body.is_light:
            x, y = plan.centre(body.name, instant)
            marks.append(
                Ring(name=f"centre of {body.name}", role="centre", centre=(x, y), radius=CENTRE * grain)
            )
    for link in plan.frame.links.values():
        if link.name not in removed:
            marks += member(plan, link, grain, instant, link.name in marked)
    marks += _hinges(plan, grain, instant)
    marks += rings(plan, grain, instant)
    marks += touches(plan, grain, instant)
    for load in plan.frame.loads.values():
        if load.kind == "weight":
            marks += hung(plan, load, grain, instant)
        elif load.kind == "spread":
            marks += spread(plan, load, grain, instant)
    if names:
        marks += point_names(plan, instant)
    return marks


def _from_behind(plan: Plan) -> list[Body]:
    """The bodies, those that another one's end rests on last: they hide the very end."""
    under = {contact.by for contact in plan.frame.contacts.values()}
    return sorted(plan.frame.bodies.values(), key=lambda body: body.name in under)


def _hinges(plan: Plan, grain: float, instant: Instant | None) -> Iterator[Mark]:
    for joint in plan.frame.joints.values():
        if joint.kind == "pin":
            x, y = plan.joint(joint.name, instant)
            tied = _is_tied(plan, joint)
            role, radius = ("small hinge", KNOT) if tied else ("hinge", HINGE)
            yield Ring(name=f"hinge {joint.name}", role=role, centre=(x, y), radius=radius * grain)


def _is_tied(plan: Plan, joint: Joint) -> bool:
    """Whether a pin is only a knot in strings."""
    if joint.bodies:
        return False
    tied = [
        link.is_string
        for link in plan.frame.links.values()
        if any(place.body == joint.name for place in link.places)
    ]
    return bool(tied) and all(tied)


def point_names(plan: Plan, instant: Instant | None = None) -> Iterator[Mark]:
    """The letter of every point, outside the frame where there is room."""
    for name in plan.points:
        place = _place_of(plan, name)
        if place is None or not is_named(plan, name):
            continue
        x, y = plan.at(place, instant)
        yield Label(
            name=f"name {name}",
            role="name",
            anchor=(x, y),
            text=point_name(name),
            size=NAME,
            sides=sides_towards(plan.away(np.array(plan.points[name]))),
            clearance=CLEARANCE,
        )


def is_named(plan: Plan, point: Name) -> bool:
    """Whether a point's name is drawn: it is not derived from others, and something is there."""
    return not _DERIVED.fullmatch(point) and _place_of(plan, point) is not None


def _place_of(plan: Plan, point: Name) -> Place | None:
    """What a named point moves with, or None for a point of the construction only."""
    joint = next((j for j in plan.frame.joints.values() if j.point == point), None)
    if joint is not None:
        return Place(next((b for b in joint.bodies if b != GROUND), joint.name), point)
    body = next((name for name, points in plan.bodies.items() if point in points), None)
    if body is not None:
        return Place(body, point)
    ends = [end for link in plan.frame.links.values() for end in link.places if end.point == point]
    if ends:
        return ends[0]
    round_one = any(support.centre == point for support in plan.frame.supports.values())
    return Place(GROUND, point) if round_one else None


def sides_towards(direction: Points) -> tuple[Side, ...]:
    """The sides of a label in order of nearness to a direction of the frame (y upwards)."""
    x, y = (float(v) for v in direction)
    return _sides_towards(x, y)


@lru_cache(maxsize=1024)  # most labels look the same way in picture after picture
def _sides_towards(x: float, y: float) -> tuple[Side, ...]:
    bearing: dict[Side, tuple[float, float]] = {
        "e": (1, 0), "ne": (0.7, 0.7), "n": (0, 1), "nw": (-0.7, 0.7),
        "w": (-1, 0), "sw": (-0.7, -0.7), "s": (0, -1), "se": (0.7, -0.7),
    }  # fmt: skip
    return tuple(sorted(SIDES, key=lambda side: -round(bearing[side][0] * x + bearing[side][1] * y, 6)))
