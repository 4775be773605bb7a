"""Supports in marks: hooks, fixed hinges, floors, walls, built-in ends, on quay masonry of our own.

Whatever does not move is stone: a heavy line on its face and two courses of blocks behind it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from simlab.frame.model import GROUND, Name, Support
from simlab.pictures.camera import Bounds
from simlab.pictures.marks import Mark, Point, Points, Stroke
from simlab.pictures.plan import Plan
from simlab.pictures.structure import ROD

# Sizes [page units]
COURSE, BLOCK = 15.0, 46.0  # height of a course and length of a block
STAND = 40.0  # from a fixed hinge to the stone it stands on
HOOK = 19.0  # radius of a hook: outside a rod's round end
HANG = 86.0  # from a hook's hinge to the beam above
PATCH = 78.0  # half length of the stone behind a single hinge
BEYOND = 0.16  # how far a floor goes on past the frame, as a share of the frame's size
MOSTLY_LEVEL = 2.0  # a hinge whose rods run out this much more than up or down is on a wall

Span = tuple[float, float]


@dataclass(frozen=True)
class Face:
    """A face of stone: a point on it [m], the unit vector out of it, and its reach along the face [m].

    The reach is measured from the point, to the left and the right of one who looks along `out`.
    """

    name: Name
    point: Point
    out: Point
    reach: Span


def supports(plan: Plan, grain: float, reach: Bounds | None = None) -> list[Mark]:
    """The marks of all supports [m]; they stay where they are whatever the frame does.

    Floors go on under all of the frame, or under all of `reach` [m], where a falling frame gets to.
    """
    marks: list[Mark] = []
    faces: list[Face] = []
    for support in plan.frame.supports.values():
        if support.kind in ("smooth floor", "smooth wall"):
            faces.append(_contact_face(plan, support, grain, reach or plan.bounds))
            continue
        for point_name in support.points:
            point = plan.points[point_name]
            out = facing(plan, support, point_name)
            label = f"{support.name} at {point_name}"
            face, held = _holder(support, label, point, out, grain)
            faces.append(_stretched(face, reach or plan.bounds) if support.faces is not None else face)
            marks += held
    for face in _merged(faces):
        marks += _stone(face, grain)
    return marks


def facing(plan: Plan, support: Support, point: Name) -> Point:
    """The unit vector out of the stone that holds a point: (0, -1) under a beam, (1, 0) on a wall.

    A question seldom says it, so: hooks hang from a beam, unless a wall is just above or below them;
    a hinge whose rods run out level is on a wall; other hinges stand under or over their rods.
    """
    if support.faces is not None:
        return (support.faces[0].number(plan.values), support.faces[1].number(plan.values))
    own = plan.points[point]
    if support.kind == "hook":
        for other in plan.frame.supports.values():
            if other.kind in ("fixed hinge", "built-in"):
                out = facing(plan, other, other.points[0])
                if out[1] == 0 and np.isclose(plan.points[other.points[0]][0], own[0]):
                    return out
        return (0.0, -1.0)
    dx, dy = _reach_of_rods(plan, point)
    if support.kind == "built-in" or abs(dx) > MOSTLY_LEVEL * abs(dy):
        return (float(np.sign(dx)) or 1.0, 0.0) if abs(dx) >= abs(dy) else (0.0, float(np.sign(dy)) or 1.0)
    return (0.0, float(np.sign(dy)) or 1.0)


def _reach_of_rods(plan: Plan, point: Name) -> Points:
    """Where the rods and members that meet at a point go, on the whole, shape (2,) [m]."""
    own = plan.points[point]
    joint = plan.frame.joints[point]
    ways = [plan.centres[body] - own for body in joint.bodies if body != GROUND]
    for link in plan.frame.links.values():
        first, second = (plan.points[end.point] for end in link.ends)
        if link.ends[0].point == point:
            ways.append(second - first)
        elif link.ends[1].point == point:
            ways.append(first - second)
    return np.sum(ways, axis=0) if ways else np.array([0.0, 1.0])


def _contact_face(plan: Plan, support: Support, grain: float, reach: Bounds) -> Face:
    """A floor or a wall: it passes half a rod's thickness beyond its points and goes on past the frame."""
    contacts = [plan.frame.contacts[name] for name in support.joints_or_contacts]
    normal = np.array([q.number(plan.values) for q in contacts[0].normal])
    out = normal / np.hypot(*normal)
    along = np.array([-out[1], out[0]])
    points = np.array([plan.points[name] for name in support.points])
    start = points[0] - out * ROD / 2 * grain
    left, bottom, right, top = reach
    beyond = BEYOND * max(right - left, top - bottom)
    across = (points - start) @ along
    corners = (np.array([[left, bottom], [left, top], [right, bottom], [right, top]]) - start) @ along
    if support.kind == "smooth floor":  # feet slide when the brace goes: leave them room
        low, high = float(corners.min()) - beyond, float(corners.max()) + beyond
    else:
        low, high = float(across.min()) - beyond, float(across.max()) + beyond
    x, y = start
    return Face(support.name, (float(x), float(y)), (float(out[0]), float(out[1])), (low, high))


def _holder(
    support: Support, label: Name, point: Points, out: Point, grain: float
) -> tuple[Face, list[Mark]]:
    """The stone behind a held point, and what ties the point to it."""
    o = np.array(out)
    along = np.array([-o[1], o[0]])
    if support.faces is not None:
        stand = ROD / 2  # a rod that falls back against the wall lies on it
    else:
        stand = {"hook": HANG if out[0] == 0 else STAND, "fixed hinge": STAND}.get(support.kind, 0.0)
    distance = stand * grain
    x, y = point - o * distance
    half = PATCH * grain
    face = Face(label, (float(x), float(y)), out, (-half, half))
    if support.kind == "hook":
        return face, [Stroke(name=label, role="hook", points=_hook(point, o, distance, grain))]
    if support.kind == "fixed hinge":
        return face, [
            Stroke(
                name=label,
                role="lug",
                points=_lug(point, o, along, distance, grain),
                closed=True,
                filled=True,
            )
        ]
    return face, []


def _stretched(face: Face, reach: Bounds) -> Face:
    """A wall behind all of what is in front of it."""
    left, bottom, right, top = reach
    along = np.array([-face.out[1], face.out[0]])
    corners = np.array([[left, bottom], [left, top], [right, bottom], [right, top]]) - face.point
    across = corners @ along
    low, high = face.reach
    return replace(face, reach=(min(low, float(across.min())), max(high, float(across.max()))))


def _hook(point: Points, out: Points, distance: float, grain: float) -> Points:
    """A hook: from its open tip around under the hinge and up the stem to the stone."""
    radius = HOOK * grain
    turn = np.linspace(np.radians(150), np.radians(450), 31)
    across = np.array([-out[1], out[0]])
    around = point + radius * (np.cos(turn)[:, None] * across - np.sin(turn)[:, None] * out)
    return np.concatenate([around, (point - out * distance)[None]])


def _lug(point: Points, out: Points, along: Points, distance: float, grain: float) -> Points:
    """A lug: a plate that widens from the hinge to the stone."""
    radius, foot = 17.0 * grain, 27.0 * grain
    turn = np.linspace(-np.pi / 2, np.pi / 2, 17)
    cap = point + radius * (np.sin(turn)[:, None] * along + np.cos(turn)[:, None] * out)
    base = point - out * distance
    return np.concatenate([cap, (base + along * foot)[None], (base - along * foot)[None]])


def _merged(faces: list[Face]) -> list[Face]:
    """The faces, with those that lie in one plane and face the same way made into one."""
    merged: list[Face] = []
    for face in faces:
        for i, other in enumerate(merged):
            shift = _shift(other, face)
            if shift is not None:
                low = min(other.reach[0], face.reach[0] + shift)
                high = max(other.reach[1], face.reach[1] + shift)
                merged[i] = Face(other.name, other.point, other.out, (low, high))
                break
        else:
            merged.append(face)
    return merged


def _shift(face: Face, other: Face) -> float | None:
    """How far along one face the other's point lies, if they are in one plane [m]."""
    out = np.array(face.out)
    offset = np.array(other.point) - face.point
    size = max(1e-12, face.reach[1] - face.reach[0])
    if not np.allclose(face.out, other.out) or abs(offset @ out) > 1e-3 * size:
        return None
    return float(offset @ np.array([-out[1], out[0]]))


def _stone(face: Face, grain: float) -> Iterator[Mark]:
    """Two courses of blocks behind a face, and the heavy line of the face."""
    out = np.array(face.out)
    along = np.array([-out[1], out[0]])
    low, high = face.reach
    start = np.array(face.point)
    course = COURSE * grain

    def at(distance: float, depth: float) -> Points:
        return np.asarray(start + along * distance - out * depth * course)

    lift = np.array([np.nan, np.nan])
    n_blocks = max(2, round((high - low) / (BLOCK * grain)))
    edges = np.linspace(low, high, n_blocks + 1)
    joints = [at(low, 1), at(high, 1), lift]
    for edge in edges[1:-1]:
        joints += [at(edge, 0), at(edge, 1), lift]
    for edge in (edges[:-1] + edges[1:]) / 2:
        joints += [at(edge, 1), at(edge, 2), lift]
    corners = np.array([at(low, 0), at(high, 0), at(high, 2), at(low, 2)])
    yield Stroke(name=f"stone of {face.name}", role="stone", points=corners, closed=True, filled=True)
    yield Stroke(name=f"joints of {face.name}", role="stone joint", points=np.array(joints[:-1]))
    yield Stroke(
        name=f"face of {face.name}", role="ground line", points=np.array([at(low, 0), at(high, 0)])
    )
