"""The two surfaces of a contact: each round (a point is a round of no size) or flat.

What touches decides how the point of contact wanders as the bodies move: over a peg the normal turns
with the rod that lies on it, over a floor it stands still, between two rounds it follows their centres.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from simlab.frame.model import GROUND, Contact, Name
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.masses import home

ALONG = 1e-9  # of a frame's size: points this near to an edge are on it


@dataclass(frozen=True)
class Round:
    """A circle about a drawn centre [m] of a body; `hollow` if the contact is with its inside."""

    body: Name
    centre: Pair
    radius: float
    hollow: bool = False


@dataclass(frozen=True)
class Flat:
    """A straight edge of a body through a drawn point [m], square to the contact's normal.

    span : how far it goes from the point along the tangent (the normal turned clockwise), there and back
    [m]; None if it has no end that is known: a floor, a wall, a straight wire.
    """

    body: Name
    point: Pair
    span: tuple[float, float] | None


Surface = Round | Flat


def surfaces(drawn: Drawn, contact: Contact) -> tuple[Surface, Surface]:
    """The surface of what rests, and of what it rests on."""
    frame = drawn.frame
    on, by = home(frame, contact.on), frame.under(contact)
    point = drawn.points[contact.on.point]
    edge = _span(drawn, contact, on)
    under = _round(drawn, contact, by, is_pointed=edge is not None) or Flat(
        by, point, _span(drawn, contact, by)
    )
    if on in drawn.radii:
        return Round(on, drawn.centres[on], drawn.radii[on]), under
    if edge is not None and isinstance(under, Round) and not under.hollow:
        return Flat(on, point, edge), under
    return Round(on, point, 0.0), under


def _round(drawn: Drawn, contact: Contact, by: Name, is_pointed: bool) -> Round | None:
    """What a contact rests on, if it is round: a disc, cylinder, bowl, round wire, a peg or a corner."""
    point, support = drawn.points[contact.on.point], drawn.frame.supports.get(contact.by)
    if by in drawn.radii:
        return Round(by, drawn.centres[by], drawn.radii[by])
    if support is not None and support.centre is not None:
        (cx, cy), (x, y), (nx, ny) = drawn.points[support.centre], point, drawn.normals[contact.name]
        inwards = (x - cx) * nx + (y - cy) * ny < 0
        return Round(by, (cx, cy), hypot(x - cx, y - cy), inwards)
    is_peg = support is not None and "peg" in support.kind
    is_corner = by != GROUND and _span(drawn, contact, by) is None
    meets_edge = is_pointed or home(drawn.frame, contact.on) in drawn.radii
    return Round(by, point, 0.0) if (is_peg or is_corner) and meets_edge else None


def _span(drawn: Drawn, contact: Contact, body: Name) -> tuple[float, float] | None:
    """How far a body's edge goes both ways from a contact within it; None if no edge of it lies there."""
    if not drawn.outlines.get(body):
        return None
    outline, (x, y) = drawn.outlines[body], drawn.points[contact.on.point]
    nx, ny = drawn.normals[contact.name]
    near = ALONG * drawn.size
    for (ax, ay), (bx, by) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if max(abs((px - x) * nx + (py - y) * ny) for px, py in ((ax, ay), (bx, by))) > near:
            continue
        along = sorted((px - x) * ny - (py - y) * nx for px, py in ((ax, ay), (bx, by)))
        if along[0] < 0 < along[1]:
            return along[0], along[1]
    return None
