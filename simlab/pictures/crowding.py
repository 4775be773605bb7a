"""Crowding: where there is no room for all words, those that may be left out make way for the others."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import numpy as np

from simlab.pictures.marks import Label, Mark, Name
from simlab.pictures.obstacles import Boxes
from simlab.pictures.placement import Placement
from simlab.pictures.seating import meet
from simlab.pictures.typeset import text_of


def left_out(marks: Sequence[Mark], placement: Placement) -> frozenset[Name]:
    """The words that make way: of those that would stand on others the least ones, no more than need be.

    Only labels with `yields` do, the highest first, of two alike the one of the smaller force. Where a
    label goes counts, not where it is on its way.
    """
    labels = [mark for mark in marks if isinstance(mark, Label) and mark.opacity > 0]
    ranks = {i: (label.yields, -hypot(*label.vector)) for i, label in enumerate(labels) if label.yields}
    if not ranks:
        return frozenset()
    boxes = np.array([_goal(label, placement) for label in labels]).reshape(-1, 4)
    on = meet(boxes, boxes) & ~np.eye(len(labels), dtype=bool)
    out: set[Name] = set()
    while crowded := [i for i in ranks if on[i].any()]:
        least = max(crowded, key=lambda i: ranks[i])
        out.add(labels[least].name)
        on[least], on[:, least] = False, False
    return frozenset(out)


def _goal(label: Label, placement: Placement) -> Boxes:
    """Left, top, right, bottom of a label's letters where it will stand."""
    spot, (left, top, right, bottom) = placement[label.name], text_of(label).box
    x, y = spot.x - spot.still[0], spot.y - spot.still[1]
    return np.array([x + left, y + top, x + right, y + bottom])
