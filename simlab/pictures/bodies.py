"""Bodies in marks: canes, light rods, bent rods, plates, discs.

A disc is a cask seen from its head. It is drawn so that it touches the drawn faces of what it touches:
canes have a thickness on the page, which the mechanics leaves out of account.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.frame.model import Body, Name
from simlab.pictures.marks import Mark, Points, Stroke
from simlab.pictures.members import LIGHT, ROD
from simlab.pictures.plan import Plan, circle
from simlab.pictures.sheets import parts_of
from simlab.results.trace import Instant

# Sizes [page units]
KNOT = (34.0, 41.0)  # from a hinge to the two turns of twine around a cane
RIM = 13.0  # width of a cask's rim
OUTLINE = 3.5  # width of a cane's outline
STAVES = (-0.5, 0.0, 0.5)  # joints of a cask's head, in its radius


def body_marks(plan: Plan, body: Body, grain: float, instant: Instant | None = None) -> Iterator[Mark]:
    """The marks of a body as drawn, or as it is at an instant."""
    outline = plan.outline(body.name, instant)
    if body.kind == "disc":
        yield from _cask(plan, body, grain, instant)
    elif body.kind == "plate":
        yield from _plate(plan, body, outline, grain)
    elif body.is_light:
        yield Stroke(name=body.name, role="light rod", points=outline, width=LIGHT * grain)
    else:
        yield Stroke(name=body.name, role="rod", points=outline, width=ROD * grain)
        yield Stroke(name=f"twine of {body.name}", role="knot", points=_twine(outline, grain))


def _plate(plan: Plan, body: Body, outline: Points, grain: float) -> Iterator[Mark]:
    """A plate: its sheets, its holes in the paper's colour, and its wires as canes."""
    drawn = plan.outlines[body.name]
    sheets, holes, wires = parts_of(drawn)
    name = body.name
    for i, corners in enumerate(sheets):
        points = outline[corners]
        yield Stroke(
            name=f"{name}.{i}" if i else name, role="plate", points=points, closed=True, filled=True
        )
    for i, corners in enumerate(holes):
        points = outline[corners]
        yield Stroke(name=f"hole {i} of {name}", role="hole", points=points, closed=True, filled=True)
    role, thick = ("light rod", LIGHT) if body.is_light else ("rod", ROD)
    for i, ends in enumerate(wires):  # all outlines first, then all straw, so that the parts are one
        part = name if i == 0 and not sheets else f"wire {i} of {name}"
        yield Stroke(name=part, role=role, points=outline[ends], width=thick * grain)
    for i, ends in enumerate(wires):
        core = f"core of wire {i} of {name}"
        yield Stroke(name=core, role=f"{role} core", points=outline[ends], width=(thick - OUTLINE) * grain)


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


def _cask(plan: Plan, body: Body, grain: float, instant: Instant | None) -> Iterator[Mark]:
    """A disc as the head of a cask: its rim, and the staves within it, which show how it turns."""
    shift, radius = _fitted_disc(plan, body.name, grain)
    poses = None if instant is None else instant.poses
    centre = plan.centres[body.name] + shift

    def moved(points: Points) -> Points:
        return plan.moved(body.name, points, poses)

    yield Stroke(
        name=body.name, role="disc", points=moved(circle(centre, radius)), closed=True, filled=True
    )
    inner = max(radius - RIM * grain, radius / 2)
    x, y = centre
    lift = (np.nan, np.nan)
    rows = [*circle(centre, inner), (x + inner, y), lift]
    for level in STAVES:
        across = inner * float(np.sqrt(1 - level * level))
        up = level * inner
        rows += [(x - across, y + up), (x + across, y + up), lift]
    yield Stroke(name=f"staves of {body.name}", role="stave", points=moved(np.array(rows[:-1])))


def _fitted_disc(plan: Plan, disc: Name, grain: float) -> tuple[Points, float]:
    """How far a disc is drawn from its centre, shape (2,), and its drawn radius [m].

    The least change (in the sense of least squares) that lets the drawn circle touch, at each contact
    with unit normal n towards the disc, a face that stands out by t:  shift . n - change = t.
    """
    centre = plan.centres[disc]
    radius = float(np.hypot(*(plan.outlines[disc][0] - centre)))
    rows, out = [], []
    for contact in plan.frame.contacts.values():
        if disc not in (contact.on.body, contact.by):
            continue
        normal = plan.normal(contact) * (1 if contact.on.body == disc else -1)
        other = contact.by if contact.on.body == disc else contact.on.body
        rows.append([normal[0], normal[1], -1.0])
        out.append(thickness(plan, other) if other in plan.bodies else -face_depth(plan, other))
    if not rows:
        return np.zeros(2), radius
    x, y, change = np.linalg.lstsq(np.array(rows), np.array(out) * grain, rcond=None)[0]
    return np.array([x, y]), max(radius + float(change), radius / 2)


def thickness(plan: Plan, body: Name) -> float:
    """How far a body is drawn beyond its own line [page units]: half a cane's thickness, else nothing."""
    kind = plan.frame.bodies.get(body)
    if kind is None:
        return 0.0
    if kind.kind == "rod" or (kind.kind == "plate" and not parts_of(plan.outlines[body])[0]):
        return (LIGHT if kind.is_light else ROD) / 2
    return 0.0


def face_depth(plan: Plan, support: Name) -> float:
    """How far behind its points a support's face is drawn [page units]: that of the thickest body."""
    on = [contact.on.body for contact in plan.frame.contacts.values() if contact.by == support]
    return max(
        (thickness(plan, body) if body in plan.frame.bodies else ROD / 2 for body in on), default=0.0
    )
