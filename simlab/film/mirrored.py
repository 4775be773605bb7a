"""The axis of a frame that is the same on both sides of it."""

from __future__ import annotations

import numpy as np

from simlab.film.stage_set import StageSet
from simlab.frame.model import Frame
from simlab.frame.symmetry import mirror
from simlab.pictures.marks import Mark, Stroke

BEYOND = 0.12  # of the frame's size that the axis goes on beyond it


def axis(frame: Frame, stage: StageSet) -> list[Mark]:
    """The axis of a frame as a dashed line [m], if it has one."""
    found = mirror(frame)
    if found is None:
        return []
    point = np.array([part.number(stage.story.values) for part in found.point])
    way = np.array([part.number(stage.story.values) for part in found.direction])
    way /= np.hypot(*way)
    left, bottom, right, top = stage.plan.bounds
    corners = np.array([[left, bottom], [left, top], [right, bottom], [right, top]])
    along = (corners - point) @ way
    reach = BEYOND * stage.size
    ends = point + np.array([[along.min() - reach], [along.max() + reach]]) * way
    return [Stroke(name="axis of the frame", role="axis of symmetry", points=ends)]
