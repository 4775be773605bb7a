"""Placing of labels: never on one another, on a rod or an arrow, or off the page.

Each label has seats around its anchor (and along its arrow), the preferred ones first. A label keeps
the seat of the picture before as long as nothing is in the way; otherwise it takes the cheapest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot, inf
from typing import NamedTuple

import numpy as np

from simlab.pictures.camera import SCREEN, Camera, Page, Rect
from simlab.pictures.marks import UNSEEN, Label, Mark, Name
from simlab.pictures.obstacles import segments
from simlab.pictures.seating import AIR, Seating
from simlab.pictures.typeset import Setting, text_of

MARGIN = 14.0  # [page units] from the edge of the page
FAINT = 0.4  # opacity below which a mark may lie behind a label, if there is no better place
ARRIVED = 0.5  # [page units] a gliding label this near its seat is there


class Spot(NamedTuple):
    """Where a label stands: its origin [page units] and the seat it took (-1: it had no choice).

    `still` [page units] is how far it is yet from that seat, when it glides there; `free` says that
    there is bare paper around it, so that it needs no halo.
    """

    x: float
    y: float
    seat: int
    still: tuple[float, float] = (0.0, 0.0)
    free: bool = False


Placement = Mapping[Name, Spot]


def place(
    marks: Sequence[Mark],
    camera: Camera,
    before: Placement | None = None,
    *,
    page: Page = SCREEN,
    within: Rect | None = None,
    glide: float = 1.0,
    fastest: float = inf,
) -> Placement:
    """Find a place for every label, by name.

    `before` is the placement of the picture before: seats are kept where they are still free.
    `within` bounds the labels that may choose (the page less a margin, if not given). `glide` is the
    share of the way to a new place that a label moves in one picture (1 at once), `fastest` the most that
    it then moves [page units].
    """
    labels = [mark for mark in marks if isinstance(mark, Label)]
    free = [label for label in labels if label.sides and label.opacity > 0]
    spots = {label.name: _fixed(label, camera) for label in labels if not label.sides}
    taken = np.array([_box(text_of(label), spots[label.name]) for label in labels if not label.sides])
    if not free:
        return spots
    room = within or (MARGIN, MARGIN, page.width - MARGIN, page.height - MARGIN)
    old = [before[label.name].seat if before and label.name in before else -1 for label in free]
    faint = [mark for mark in marks if UNSEEN < mark.opacity < FAINT]
    others = [mark for mark in marks if not UNSEEN < mark.opacity < FAINT]
    in_the_way, behind = segments(others, camera), segments(faint, camera)
    table = Seating(free, camera, room, in_the_way, behind, taken.reshape(-1, 4), old)
    for label, seat, box, is_free in zip(free, table.choose(), table.taken(), table.free, strict=True):
        left, top = (float(edge) + AIR for edge in box[:2])
        text = text_of(label).box
        spot = Spot(left - text[0], top - text[1], seat, free=is_free)
        spots[label.name] = _glided(spot, label.name, before, glide, fastest)
    return spots


def _glided(spot: Spot, name: Name, before: Placement | None, glide: float, fastest: float) -> Spot:
    """A label on its way to a new seat."""
    old = (before or {}).get(name)
    if old is None or glide >= 1:
        return spot
    way = old.still if old.seat == spot.seat else (old.x - spot.x, old.y - spot.y)
    far = hypot(*way)
    if far < ARRIVED:
        return spot
    left = max(1 - glide, 1 - fastest / far)
    dx, dy = way[0] * left, way[1] * left
    return Spot(spot.x + dx, spot.y + dy, spot.seat, (dx, dy))


def _fixed(label: Label, camera: Camera) -> Spot:
    point = np.array(label.anchor)
    x, y = camera.to_page(point) if label.space == "frame" else point
    return Spot(float(x), float(y), -1)


def _box(text: Setting, spot: Spot) -> Rect:
    left, top, right, bottom = text.box
    return (left + spot.x, top + spot.y, right + spot.x, bottom + spot.y)
