"""Light members in marks: rods, struts, strings (over wheels, too), elastic strings, springs.

light rod        a white bar with a small pin at each end
strut            a white bar between two shoes
string           a twisted cord
elastic string   a thin line in small waves
spring           a thin line in large sharp zigzags
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np

from simlab.frame.model import GROUND, Link, Place
from simlab.pictures.marks import Mark, Points, Ring, Stroke
from simlab.pictures.plan import Plan
from simlab.pictures.wheels import WHEEL, bent, wheels_in_motion
from simlab.results.trace import Instant

# Sizes [page units]
LIGHT = 11.0  # thickness of a light member
ROD = 24.0  # thickness of a cane
SMALL_HINGE = 4.5  # radius
HUB = 4.0  # radius of a wheel's axle
SHOE = 15.0  # half length of a strut's shoe
GLOW = 16.0  # how far the glow of a marked member reaches
SAG_POINTS = 17  # of a slack string
COIL = (19.0, 24.0)  # half width and length of a turn of a spring
WAVE = (5.5, 26.0)  # half width and length of a wave of an elastic string
LEAD = 0.12  # share of a spring that is straight at either end
FEWEST, MOST = 4, 14  # turns of a spring
PER_WAVE = 12  # points


def member(
    plan: Plan, link: Link, grain: float, instant: Instant | None = None, is_marked: bool = False
) -> Iterator[Mark]:
    """The marks of a light member; it glows where it is `is_marked`."""
    points = np.array([plan.at(place, instant) for place in link.places])
    absent = instant is not None and link.name in instant.absent
    for i, ends in enumerate(itertools.pairwise(points) if is_marked else ()):
        name = f"glow of {link.name}.{i}" if i else f"glow of {link.name}"
        yield Stroke(name=name, role="glow", points=np.array(ends), width=(LIGHT + 2 * GLOW) * grain)
    if link.is_string:
        yield from _string(plan, link, points, grain, absent)
    elif absent:
        return
    elif link.kind == "spring":
        turns = min(MOST, max(FEWEST, round(_drawn_length(plan, link) / (COIL[1] * grain))))
        yield Stroke(name=link.name, role="spring", points=_coil(points, COIL[0] * grain, turns))
        yield from _pins(link, points, grain)
    elif link.kind == "strut":
        yield Stroke(name=link.name, role="strut", points=points, width=LIGHT * grain)
        shoes = _shoes(plan, link, points, grain, instant)
        yield Stroke(name=f"shoes of {link.name}", role="hook", points=shoes)
    else:
        yield Stroke(name=link.name, role="light rod", points=points, width=LIGHT * grain)
        yield from _pins(link, points, grain)


def _pins(link: Link, ends: Points, grain: float) -> Iterator[Mark]:
    for end, (x, y) in zip(link.ends, ends, strict=True):
        name = f"pin of {link.name} at {end.point}"
        yield Ring(name=name, role="small hinge", centre=(x, y), radius=SMALL_HINGE * grain)


def _drawn_length(plan: Plan, link: Link) -> float:
    """The length of a member as drawn, along its way [m]."""
    points = np.array([plan.at(place, None) for place in link.places])
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def _string(plan: Plan, link: Link, points: Points, grain: float, absent: bool) -> Iterator[Mark]:
    radius = WHEEL * grain
    drawn = np.array([plan.at(place, None) for place in link.places])
    fixed = [place.body == GROUND for place in link.over]
    wheels = wheels_in_motion(drawn, points, fixed, radius)
    if absent and not link.over:
        path = _sagging(points[0], points[-1], _drawn_length(plan, link))
    else:
        path = bent(points[[0, -1]], wheels, drawn, radius)
    if link.kind == "elastic string":
        yield Stroke(name=link.name, role="elastic string", points=_waved(path, grain))
    else:
        yield Stroke(name=link.name, role="string", points=path)
        yield Stroke(name=f"twist of {link.name}", role="string twist", points=path)
    for place, (x, y) in zip(link.over, wheels, strict=True):
        name = f"wheel of {link.name} at {place.point}"
        yield Ring(name=name, role="wheel", centre=(x, y), radius=radius)
        yield Ring(name=f"axle of the {name}", role="small hinge", centre=(x, y), radius=HUB * grain)


def _coil(ends: Points, half: float, turns: int) -> Points:
    """A zigzag of a number of turns between two points, straight near both."""
    a, b = ends
    along = b - a
    across = np.array([-along[1], along[0]]) / max(float(np.hypot(*along)), 1e-12)
    share = LEAD + (1 - 2 * LEAD) * np.arange(2 * turns + 1) / (2 * turns)
    side = np.where(np.arange(2 * turns + 1) % 2, 1.0, -1.0)
    side[[0, -1]] = 0.0
    zigzag = a + share[:, None] * along + side[:, None] * half * across
    return np.concatenate([a[None], zigzag, b[None]])


def _waved(path: Points, grain: float) -> Points:
    """A line in small waves along a path, shape (n, 2)."""
    half, long = (v * grain for v in WAVE)
    steps = np.hypot(*np.diff(path, axis=0).T)
    gone = np.concatenate([[0.0], np.cumsum(steps)])
    waves = max(1, round(gone[-1] / long))
    s = np.linspace(0, gone[-1], waves * PER_WAVE + 1)
    middle = np.stack([np.interp(s, gone, path[:, i]) for i in (0, 1)], axis=1)
    along = np.gradient(middle, axis=0)
    along /= np.maximum(np.hypot(*along.T), 1e-12)[:, None]
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    return np.asarray(middle + half * np.sin(2 * np.pi * waves * s / gone[-1])[:, None] * across)


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
