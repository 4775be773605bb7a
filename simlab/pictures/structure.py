"""The structure in marks: canes, light members, hinges, hung lanterns, names of points.

Everything is in metres of the frame; `grain` [m/page unit] of the camera that first showed it turns
sizes on the page into metres, so that a camera which moves in later makes all of it larger.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np

from simlab.frame.model import GROUND, Body, Link, Load, Name, Place
from simlab.pictures.marks import SIDES, Label, Mark, Points, Ring, Side, Stroke
from simlab.pictures.names import point_name
from simlab.pictures.palette import NAME
from simlab.pictures.plan import Plan
from simlab.results.trace import Instant

# Sizes [page units]
ROD, LIGHT = 24.0, 11.0  # thickness of a cane and of a light member
HINGE, SMALL_HINGE = 7.5, 4.5  # radii
KNOT = (34.0, 41.0)  # from a hinge to the two turns of twine around a cane
CENTRE = 8.0  # radius of the dot at a centre of weight
CORD, LONG_CORD = (
    44.0,
    128.0,
)  # from a point down to its lantern; longer where a weight acts at the same point
LANTERN = (21.0, 27.0)  # half width and half height of a lantern
SHOE = 15.0  # half length of a strut's shoe
GLOW = 16.0  # how far the glow of a marked member reaches
SAG_POINTS = 17  # of a slack string


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
    for body in plan.frame.bodies.values():
        marks += _body(plan, body, grain, instant)
        if centres and not body.is_light:
            x, y = plan.centre(body.name, instant)
            marks.append(
                Ring(name=f"centre of {body.name}", role="centre", centre=(x, y), radius=CENTRE * grain)
            )
    for link in plan.frame.links.values():
        if link.name not in removed:
            marks += _link(plan, link, grain, instant, link.name in marked)
    marks += _hinges(plan, grain, instant)
    for load in plan.frame.loads.values():
        if load.kind == "weight":
            cord = cord_of(plan, load, grain, instant)
            marks += lantern(load.name, plan.at(load.place, instant), grain, cord)
    if names:
        marks += point_names(plan, instant)
    return marks


def _body(plan: Plan, body: Body, grain: float, instant: Instant | None) -> Iterator[Mark]:
    outline = plan.outline(body.name, instant)
    if body.kind == "plate":
        yield Stroke(name=body.name, role="plate", points=outline, closed=True, filled=True)
        return
    if body.is_light:
        yield Stroke(name=body.name, role="light rod", points=outline, width=LIGHT * grain)
        return
    yield Stroke(name=body.name, role="rod", points=outline, width=ROD * grain)
    yield Stroke(name=f"twine of {body.name}", role="knot", points=_twine(outline, grain))


def _twine(ends: Points, grain: float) -> Points:
    """Two turns of twine near each end of a cane, as short lines across it."""
    along = ends[1] - ends[0]
    long = float(np.hypot(*along))
    unit = along / long
    across = np.array([-unit[1], unit[0]]) * ROD / 2 * grain
    turns = [d * grain for d in KNOT if d * grain < long / 3]
    rows = []
    for distance in (*turns, *(long - d for d in turns)):
        centre = ends[0] + unit * distance
        rows += [centre - across, centre + across, np.array([np.nan, np.nan])]
    return np.array(rows[:-1]) if rows else np.full((1, 2), np.nan)


def _link(plan: Plan, link: Link, grain: float, instant: Instant | None, is_marked: bool) -> Iterator[Mark]:
    a, b = (plan.at(end, instant) for end in link.ends)
    ends = np.array([a, b])
    absent = instant is not None and link.name in instant.absent
    if is_marked:
        yield Stroke(
            name=f"glow of {link.name}", role="glow", points=ends, width=(LIGHT + 2 * GLOW) * grain
        )
    if link.kind == "string":
        drawn = [plan.at(end, None) for end in link.ends]
        points = _sagging(a, b, float(np.hypot(*(drawn[1] - drawn[0])))) if absent else ends
        yield Stroke(name=link.name, role="string", points=points)
        yield Stroke(name=f"twist of {link.name}", role="string twist", points=points)
    elif absent:
        return
    elif link.kind == "strut":
        yield Stroke(name=link.name, role="strut", points=ends, width=LIGHT * grain)
        yield Stroke(
            name=f"shoes of {link.name}", role="hook", points=_shoes(plan, link, ends, grain, instant)
        )
    else:
        yield Stroke(name=link.name, role="light rod", points=ends, width=LIGHT * grain)
        for end, (x, y) in zip(link.ends, ends, strict=True):
            yield Ring(
                name=f"pin of {link.name} at {end.point}",
                role="small hinge",
                centre=(x, y),
                radius=SMALL_HINGE * grain,
            )


def _sagging(a: Points, b: Points, length: float) -> Points:
    """A string of the given length between two nearer points: a parabola, as nearly as the eye can tell.

    A shallow parabola of span d and sag h has length d + 8 h^2 / (3 d). Source: the usual series.
    """
    span = float(np.hypot(*(b - a)))
    spare = max(0.0, length - span)
    sag = min(float(np.sqrt(3 * spare * span / 8)) if span > 0 else length / 2, length / 2)
    s = np.linspace(0, 1, SAG_POINTS)[:, None]
    return np.asarray(a + s * (b - a) - np.array([0.0, 1.0]) * 4 * sag * s * (1 - s))


def _shoes(plan: Plan, link: Link, ends: Points, grain: float, instant: Instant | None) -> Points:
    """A short bar across each end of a strut, laid along the face of the rod that it presses on."""
    unit = ends[1] - ends[0]
    unit = unit / max(float(np.hypot(*unit)), 1e-12)
    rows = []
    for end, point, inward in zip(link.ends, ends, (unit, -unit), strict=True):
        along = _rod_direction(plan, end, instant)
        if along is None:
            continue
        normal = np.array([-along[1], along[0]])
        normal = normal if normal @ inward > 0 else -normal
        out = ROD / 2 * grain / max(0.3, float(normal @ inward))  # to the rod's face along the strut
        face = point + inward * (out + 2 * grain)
        rows += [face - along * SHOE * grain, face + along * SHOE * grain, np.array([np.nan, np.nan])]
    return np.array(rows[:-1]) if rows else np.full((1, 2), np.nan)


def _rod_direction(plan: Plan, end: Place, instant: Instant | None) -> Points | None:
    """The unit vector along the rod that a member's end is on, or None where that is no rod."""
    body = plan.frame.bodies.get(end.body)
    if body is None or body.kind != "rod":
        return None
    a, b = plan.outline(end.body, instant)
    return np.asarray((b - a) / np.hypot(*(b - a)))


def _hinges(plan: Plan, grain: float, instant: Instant | None) -> Iterator[Mark]:
    for joint in plan.frame.joints.values():
        if joint.kind == "pin":
            x, y = plan.joint(joint.name, instant)
            yield Ring(name=f"hinge {joint.name}", role="hinge", centre=(x, y), radius=HINGE * grain)


def cord_of(plan: Plan, load: Load, grain: float, instant: Instant | None) -> float:
    """The length of a lantern's cord [page units]: long, if a rod's own weight is drawn from its point.

    Where a floor is nearer, the lantern comes to stand on it, its cord slack (a length below zero).
    """
    point = plan.points[load.place.point]
    shared = any(np.allclose(plan.centres[body], point) for body in plan.weights)
    long = LONG_CORD if shared else CORD
    height = float(plan.at(load.place, instant)[1]) - plan.floor + ROD / 2 * grain
    return long if height > (long + 2.1 * LANTERN[1]) * grain else height / grain - 2.1 * LANTERN[1]


def lantern(name: Name, point: Points, grain: float, cord: float = CORD) -> Iterator[Mark]:
    """A paper lantern hung by a cord [page units] from a point [m]."""
    half_wide, half_high = (v * grain for v in LANTERN)
    middle = point - np.array([0.0, cord * grain + half_high])
    angle = np.linspace(0, 2 * np.pi, 33)[:-1]
    round_shape = np.stack([np.cos(angle) * half_wide, np.sin(angle) * half_high], axis=1)
    levels = np.array([-0.45, 0.0, 0.45]) * half_high
    ribs = []
    for level in levels:
        reach = half_wide * float(np.sqrt(1 - (level / half_high) ** 2))
        ends = np.array([[-reach, level], [reach, level]])
        ribs += [*(middle + ends), np.array([np.nan, np.nan])]
    cap = np.array([[-0.42, 0.86], [0.42, 0.86], [0.42, 1.1], [-0.42, 1.1]]) * (half_wide, half_high)
    foot = cap * (0.8, -1.0)
    yield Stroke(name=f"cord of {name}", role="cord", points=np.array([point, middle]))
    yield Stroke(name=name, role="lantern", points=middle + round_shape, closed=True, filled=True)
    yield Stroke(name=f"ribs of {name}", role="lantern rib", points=np.array(ribs[:-1]))
    yield Stroke(name=f"cap of {name}", role="lantern cap", points=middle + cap, closed=True, filled=True)
    yield Stroke(name=f"foot of {name}", role="lantern cap", points=middle + foot, closed=True, filled=True)


def lantern_foot(load: Load, plan: Plan, grain: float, instant: Instant | None) -> Points:
    """The lowest point of a hung lantern, shape (2,) [m], from which its weight is drawn."""
    long = cord_of(plan, load, grain, instant) + 2.1 * LANTERN[1]
    return plan.at(load.place, instant) - np.array([0.0, long * grain])


def point_names(plan: Plan, instant: Instant | None = None) -> Iterator[Mark]:
    """The letter of every point, outside the frame where there is room."""
    for name in plan.points:
        place = _place_of(plan, name)
        if place is None:
            continue
        x, y = plan.at(place, instant)
        yield Label(
            name=f"name {name}",
            role="name",
            anchor=(x, y),
            text=point_name(name),
            size=NAME,
            sides=sides_towards(plan.away(np.array(plan.points[name]))),
            clearance=ROD * 0.85,
        )


def _place_of(plan: Plan, point: Name) -> Place | None:
    """What a named point moves with, or None for a point of the construction only."""
    joint = next((j for j in plan.frame.joints.values() if j.point == point), None)
    if joint is not None:
        return Place(next((b for b in joint.bodies if b != GROUND), joint.name), point)
    body = next((name for name, points in plan.bodies.items() if point in points), None)
    if body is not None:
        return Place(body, point)
    ends = [end for link in plan.frame.links.values() for end in link.ends if end.point == point]
    return ends[0] if ends else None


def sides_towards(direction: Points) -> tuple[Side, ...]:
    """The sides of a label in order of nearness to a direction of the frame (y upwards)."""
    bearing: dict[Side, tuple[float, float]] = {
        "e": (1, 0), "ne": (0.7, 0.7), "n": (0, 1), "nw": (-0.7, 0.7),
        "w": (-1, 0), "sw": (-0.7, -0.7), "s": (0, -1), "se": (0.7, -0.7),
    }  # fmt: skip
    x, y = (float(v) for v in direction)
    return tuple(sorted(SIDES, key=lambda side: -round(bearing[side][0] * x + bearing[side][1] * y, 6)))
