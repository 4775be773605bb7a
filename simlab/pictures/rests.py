"""What bodies rest on, in marks: floors, walls, pegs, cylinders, bowls, wires; and where bodies touch.

Smooth and rough differ in shape: a rough face is saw-toothed wherever a smooth one is a line.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.frame.model import Contact, Support
from simlab.pictures.bodies import face_depth, thickness
from simlab.pictures.camera import Bounds
from simlab.pictures.marks import Mark, Points, Ring, Stroke
from simlab.pictures.plan import Plan, circle
from simlab.pictures.stone import COURSE, Face, edge_line, toothed
from simlab.results.trace import Instant

# Sizes [page units]
PEG = 14.0  # radius
CYLINDER = 78.0  # radius, where the question names no centre
HATCH = 15.0  # between the lines of a cylinder's hatching
RING = 16.0  # radius of a ring on a wire: outside a rod's round end
WIRE_END = 90.0  # of a wire beyond the last ring on it
TOUCH = 30.0  # half length of the line where two bodies touch
BEYOND = 0.16  # how far a floor or a wall goes on past the frame, as a share of the frame's size
BOWL = (np.pi, 2 * np.pi)  # bearings between which a bowl always reaches: from rim to rim
ROUND = 73  # points of an arc


def contacts_of(plan: Plan, support: Support) -> list[Contact]:
    """The contacts of a support, in the order of its points."""
    names = support.joints_or_contacts
    return [plan.frame.contacts[name] for name in names if name in plan.frame.contacts]


def is_rough(plan: Plan, support: Support) -> bool:
    """Whether a support's face is rough."""
    return support.kind.startswith("rough") or any(c.rough for c in contacts_of(plan, support))


def contact_face(plan: Plan, support: Support, grain: float, reach: Bounds) -> Face:
    """A floor or a wall: it passes behind its points and goes on past them, a floor past the frame."""
    contacts = contacts_of(plan, support)
    out = plan.normal(contacts[0])
    points = np.array([plan.at(contact.on, None) for contact in contacts])
    x, y = points[0] - out * face_depth(plan, support.name) * grain
    left, bottom, right, top = reach
    beyond = BEYOND * max(right - left, top - bottom)
    along = np.array([-out[1], out[0]])
    across = (points - (x, y)) @ along
    held = (float(across.min()), float(across.max()))
    face = Face(
        support.name,
        (float(x), float(y)),
        (float(out[0]), float(out[1])),
        (held[0] - beyond, held[1] + beyond),
        held,
        is_rough(plan, support),
    )
    return face.stretched(reach, beyond) if plan.is_floor(support.name) else face


def pegs(plan: Plan, support: Support, grain: float) -> Iterator[Mark]:
    """Pegs seen end-on, each on its own side of what rests on it."""
    for contact in contacts_of(plan, support):
        point, normal = plan.at(contact.on, None), plan.normal(contact)
        if any(_is_rim(plan, bowl, point) for bowl in plan.frame.supports.values()):
            continue  # the edge of a bowl is drawn as the bowl
        depth = thickness(plan, contact.on.body)
        x, y = point - normal * (depth + PEG) * grain
        name = f"{support.name} at {contact.on.point}"
        if is_rough(plan, support):
            rim = toothed(_closed(circle(np.array([x, y]), PEG * grain))[::-1], grain / 2)
            yield Stroke(name=name, role="peg", points=rim, closed=True, filled=True)
        else:
            yield Ring(name=name, role="peg", centre=(float(x), float(y)), radius=PEG * grain)


def _closed(points: Points) -> Points:
    return np.concatenate([points, points[:1]])


def _centre(plan: Plan, support: Support, grain: float) -> tuple[Points, float]:
    """The centre of a cylinder, bowl or round wire, shape (2,), and its radius, > 0 [m]."""
    contact = contacts_of(plan, support)[0]
    point = plan.at(contact.on, None)
    if support.centre is None:
        return point - plan.normal(contact) * CYLINDER * grain, CYLINDER * grain
    centre = plan.points[support.centre]
    return centre, float(np.hypot(*(point - centre)))


def is_bowl(plan: Plan, support: Support) -> bool:
    """Whether a cylinder is hollow: it pushes towards its centre."""
    if not support.kind.endswith("cylinder") or support.centre is None:
        return False
    contact = contacts_of(plan, support)[0]
    return float((plan.points[support.centre] - plan.at(contact.on, None)) @ plan.normal(contact)) > 0


def _is_rim(plan: Plan, support: Support, point: Points) -> bool:
    """Whether a point is on the edge of a bowl."""
    if not is_bowl(plan, support):
        return False
    centre, radius = _centre(plan, support, 0.0)
    return bool(abs(np.hypot(*(point - centre)) - radius) < 1e-6 * radius)


def cylinder(plan: Plan, support: Support, grain: float) -> Iterator[Mark]:
    """A fixed cylinder seen end-on, hatched, what rests on it just touching its drawn edge."""
    if is_bowl(plan, support):
        yield from _bowl(plan, support, grain)
        return
    centre, radius = _centre(plan, support, grain)
    radius = max(radius - face_depth(plan, support.name) * grain, radius / 2)
    rim = circle(centre, radius)
    name = support.name
    yield Stroke(name=f"stone of {name}", role="stone", points=rim, closed=True, filled=True)
    rows = []
    for level in np.arange(-radius, radius, HATCH * grain)[1:]:
        half = float(np.sqrt(radius * radius - level * level))
        for side in (half, -half):
            rows.append(centre + np.array([level + side, side - level]) * np.sqrt(0.5))
        rows.append(np.array([np.nan, np.nan]))
    yield Stroke(name=f"hatching of {name}", role="stone joint", points=np.array(rows[:-1]))
    yield edge_line(name, _closed(rim)[::-1], grain, is_rough(plan, support))


def _bowl(plan: Plan, support: Support, grain: float) -> Iterator[Mark]:
    """A bowl from rim to rim: a round face with two courses of stone outside it."""
    centre, radius = _centre(plan, support, grain)
    radius += face_depth(plan, support.name) * grain
    low, high = BOWL
    for contact in plan.frame.contacts.values():
        point = plan.at(contact.on, None)
        if contact.by != support.name and not _is_rim(plan, support, point):
            continue
        rim = point if contact.by == support.name else point - plan.normal(contact) * PEG * grain
        x, y = rim - centre
        bearing = float(np.arctan2(y, x)) % (2 * np.pi)
        if bearing > np.pi / 2:
            low = min(low, bearing)
        else:
            high = max(high, bearing + 2 * np.pi)
    bearings = np.linspace(low, high, ROUND)
    ring = np.stack([np.cos(bearings), np.sin(bearings)], axis=1)
    course = COURSE * grain
    name = support.name
    shell = np.concatenate([centre + radius * ring, (centre + (radius + 2 * course) * ring)[::-1]])
    yield Stroke(name=f"stone of {name}", role="stone", points=shell, closed=True, filled=True)
    rows = [*(centre + (radius + course) * ring), np.array([np.nan, np.nan])]
    for i in range(1, ROUND - 1):
        near = radius + (course if i % 4 == 1 else 0.0)
        if i % 2:
            rows += [centre + near * ring[i], centre + (near + course) * ring[i], np.array([np.nan] * 2)]
    yield Stroke(name=f"joints of {name}", role="stone joint", points=np.array(rows[:-1]))
    yield edge_line(name, (centre + radius * ring), grain, is_rough(plan, support))


def wire(plan: Plan, support: Support, grain: float) -> Iterator[Mark]:
    """A fixed wire, straight or round; the rings on it belong to what they carry."""
    contacts = contacts_of(plan, support)
    if support.centre is not None:
        centre, radius = _centre(plan, support, grain)
        path = _closed(circle(centre, radius))
    else:
        points = np.array([plan.at(contact.on, None) for contact in contacts])
        out = plan.normal(contacts[0])
        along = np.array([-out[1], out[0]])
        across = (points - points[0]) @ along
        left, bottom, right, top = plan.bounds
        beyond = max(BEYOND * max(right - left, top - bottom), WIRE_END * grain)
        path = points[0] + along * np.array([[across.min() - beyond], [across.max() + beyond]])
    yield Stroke(
        name=support.name, role="wire", points=toothed(path, grain) if is_rough(plan, support) else path
    )


def rings(plan: Plan, grain: float, instant: Instant | None = None) -> Iterator[Mark]:
    """The rings on wires, which go with what they carry."""
    for contact in plan.frame.contacts.values():
        support = plan.frame.supports.get(contact.by)
        if contact.two_sided or (support is not None and support.kind.endswith("wire")):
            x, y = plan.at(contact.on, instant)
            name = f"ring {contact.name}"
            yield Ring(name=name, role="ring", centre=(float(x), float(y)), radius=RING * grain)


def touches(plan: Plan, grain: float, instant: Instant | None = None) -> Iterator[Mark]:
    """Where a rod touches another, and where any two rough bodies touch: a short line, or saw-teeth."""
    for contact in plan.frame.contacts.values():
        if contact.by not in plan.bodies or contact.on.body not in plan.bodies:
            continue
        if not contact.rough and "disc" in _kinds(plan, contact):
            continue  # a line along a smooth disc would only hide that it touches in a point
        side_on = -thickness(plan, contact.on.body) if _lies_along(plan, contact) else 0.0
        depth = side_on if side_on else thickness(plan, contact.by)
        normal = plan.normal(contact)
        face = plan.at(contact.on, None) + normal * depth * grain
        along = np.array([normal[1], -normal[0]]) * TOUCH * grain
        path = np.array([face - along, face + along])
        if contact.rough:
            path = toothed(path, grain)
        poses = None if instant is None else instant.poses
        points = plan.moved(contact.by, path, poses)
        yield Stroke(name=f"touch of {contact.name}", role="touch", points=points)


def _kinds(plan: Plan, contact: Contact) -> tuple[str, str]:
    return (plan.frame.bodies[contact.on.body].kind, plan.frame.bodies[contact.by].kind)


def _lies_along(plan: Plan, contact: Contact) -> bool:
    """Whether a rod touches with its side, its end being elsewhere or the contact square to it."""
    body = plan.frame.bodies[contact.on.body]
    if body.kind != "rod":
        return False
    a, b = plan.outlines[body.name]
    along = (b - a) / np.hypot(*(b - a))
    return bool(abs(along @ plan.normal(contact)) < 1e-6)
