"""Leaders: thin lines from words that had to stand far off to what they are the words of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from simlab.pictures.camera import Camera
from simlab.pictures.marks import Label, Mark, Points, Stroke
from simlab.pictures.obstacles import Boxes, Floats, Segments, boxes_hit
from simlab.pictures.placement import Placement
from simlab.pictures.seating import LED
from simlab.pictures.typeset import text_of

# Sizes [page units]
GAP = 9.0  # from the words to the line, and from the line to the arrow
SAMPLES = 9  # points along an arrow to which its words may be led


def leaders(marks: Sequence[Mark], camera: Camera, placement: Placement) -> Iterator[Stroke]:
    """The lines of all labels that stand far off, each the shortest that crosses no other words."""
    labels = [mark for mark in marks if isinstance(mark, Label) and mark.name in placement]
    boxes = np.array([box_of(label, placement) for label in labels]).reshape(-1, 4)
    for i, label in enumerate(labels):
        if not label.led:
            continue
        lines = _lines(boxes[i], _along(label, camera))
        long = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
        if long.min() <= LED:
            continue
        others = np.delete(boxes, i, axis=0)
        crossing = boxes_hit(others, Segments(lines[:, 0], lines[:, 1], np.full(len(lines), GAP)))
        best = int(np.argmin(long + CROSSED * crossing.sum(axis=0)))
        a, b = lines[best]
        gap = (b - a) / long[best] * GAP
        yield Stroke(
            name=f"line to {label.name}",
            role="callout line",
            space="page",
            points=np.array([a + gap, b - gap]),
        )


CROSSED = 1e4  # cost of a line across other words


def box_of(label: Label, placement: Placement) -> Floats:
    """Left, top, right, bottom of a label where it stands, shape (4,)."""
    spot, (left, top, right, bottom) = placement[label.name], text_of(label).box
    return np.array([spot.x + left, spot.y + top, spot.x + right, spot.y + bottom])


def _along(label: Label, camera: Camera) -> Points:
    """Points along what a label belongs to, on the page, shape (n, 2)."""
    tail = np.array(camera.point(label.anchor) if label.space == "frame" else label.anchor)
    if label.measure == "force":
        lead = camera.arrow(label.vector)
    else:
        lead = camera.length(label.vector) if label.space == "frame" else label.vector
    return np.asarray(tail + np.linspace(0.1, 1.0, SAMPLES)[:, None] * np.array(lead))


def _lines(box: Boxes, tips: Points) -> Points:
    """The line from a box to each of some points, shape (n, 2, 2)."""
    return np.stack([np.clip(tips, box[:2], box[2:]), tips], axis=1)
