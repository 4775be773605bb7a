"""Supports in marks: hooks, fixed hinges and built-in ends on quay masonry, and what bodies rest on."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from simlab.frame.model import GROUND, Name, Support
from simlab.pictures.camera import Bounds
from simlab.pictures.marks import Mark, Point, Points, Ring, Stroke
from simlab.pictures.members import ROD
from simlab.pictures.plan import Plan
from simlab.pictures.rests import contact_face, cylinder, pegs, wire
from simlab.pictures.stone import Face, merged, stone, trimmed

# Sizes [page units]
STAND = 40.0  # from a fixed hinge to the stone it stands on
HOOK = 19.0  # radius of a hook: outside a rod's round end
HANG = 86.0  # from a hook's hinge to the beam above
CENTRE = 3.5  # radius of the dot at a centre
PATCH = 78.0  # half length of the stone behind a single hinge
MOSTLY_LEVEL = 2.0  # a hinge whose rods run out this much more than up or down is on a wall


def supports(plan: Plan, grain: float, reach: Bounds | None = None) -> list[Mark]:
    """The marks of all supports [m]; they stay where they are whatever the frame does.

    Floors go on under all of the frame, or under all of `reach` [m], where a falling frame gets to.
    """
    return list(_supports(plan, grain, reach or plan.bounds))


@lru_cache(maxsize=16)  # a film asks for the same ones picture after picture
def _supports(plan: Plan, grain: float, reach: Bounds) -> tuple[Mark, ...]:
    marks, faces = _held(plan, grain, reach)
    for support in plan.frame.supports.values():
        kind = _kind(support)
        if kind == "peg":
            marks += pegs(plan, support, grain)
        elif kind == "cylinder":
            marks += cylinder(plan, support, grain)
        elif kind == "wire":
            marks += wire(plan, support, grain)
        if support.centre is not None:
            x, y = plan.points[support.centre]
            name = f"centre of {support.name}"
            marks.append(Ring(name=name, role="small hinge", centre=(x, y), radius=CENTRE * grain))
    for face in faces:
        marks += stone(face, grain)
    return tuple(marks)


def faces_of(plan: Plan, grain: float) -> list[Face]:
    """The faces of floors and walls as they are drawn."""
    return _held(plan, grain, plan.bounds)[1]


def _held(plan: Plan, grain: float, reach: Bounds) -> tuple[list[Mark], list[Face]]:
    """Hooks, hinges and built-in ends, and the faces of all stone, joined and cut off where they meet."""
    faces = [
        contact_face(plan, support, grain, reach)
        for support in plan.frame.supports.values()
        if _kind(support) in ("floor", "wall")
    ]
    if any(plan.is_floor(face.name) for face in faces):  # walls go down to it
        faces = [
            face if plan.is_floor(face.name) else face.stretched(reach, STAND * grain) for face in faces
        ]
    marks: list[Mark] = []
    for support in plan.frame.supports.values():
        if _kind(support) in ("hook", "hinge", "built-in"):
            for point in support.points:
                face, held = _holder(plan, support, point, grain, faces)
                faces.append(face.stretched(reach) if support.faces is not None else face)
                marks += held
    return marks, trimmed(merged(faces))


def _kind(support: Support) -> str:
    """A support's kind, smooth or rough: "floor", "wall", "peg", ..."""
    return support.kind.split()[-1]


def facing(plan: Plan, support: Support, point: Name) -> Point:
    """The unit vector out of the stone that holds a point: (0, -1) under a beam, (1, 0) on a wall.

    A question seldom says it, so: hooks hang from a beam, unless a wall is just above or below them, or
    what is tied to them goes up: then they are rings in the ground; a hinge whose rods run out level is on
    a wall; other hinges stand under or over their rods.
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
        dx, dy = _reach_of_rods(plan, point)
        return (0.0, 1.0) if dy > abs(dx) else (0.0, -1.0)
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


def _holder(
    plan: Plan, support: Support, held: Name, grain: float, faces: list[Face]
) -> tuple[Face, list[Mark]]:
    """The stone behind a held point, and what ties the point to it: on one of the faces, if near one."""
    point, out = plan.points[held], facing(plan, support, held)
    near = [face for face in faces if _is_near(face, point, grain)]
    if support.faces is None and support.kind != "built-in" and near:
        out = near[0].out
    label = f"{support.name} at {held}"
    o = np.array(out)
    along = np.array([-o[1], o[0]])
    if support.faces is not None:
        stand = ROD / 2  # a rod that falls back against the wall lies on it
    else:
        stand = {"hook": HANG if out[1] < 0 else STAND, "fixed hinge": STAND}.get(support.kind, 0.0)
    before = [float((point - face.point) @ o) for face in near if np.allclose(face.out, o)]
    distance = max(0.0, before[0]) if before else stand * grain
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


def _is_near(face: Face, point: Points, grain: float) -> bool:
    """Whether a point is before a face, no further than a hinge stands from its stone."""
    before = float((point - face.point) @ np.array(face.out))
    beside = float((point - face.point) @ face.along)
    return -1e-6 * STAND < before / grain < 1.01 * STAND and face.reach[0] <= beside <= face.reach[1]


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
