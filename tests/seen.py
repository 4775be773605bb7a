"""What an eye would see of a picture: overlaps, by sampling points, not by the rules of placing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.camera import Camera, Page
from simlab.pictures.marks import Arrow, Label, Mark, Ring, Stroke
from simlab.pictures.palette import PENS
from simlab.pictures.placement import Placement
from simlab.pictures.typeset import text_of

SCENES = Path(__file__).parent.parent / "scenes"
Floats = NDArray[np.float64]
SAMPLES = 400  # points along each line: closer together than a letter is wide


def box_of(label: Label, placement: Placement) -> Floats:
    """Left, top, right, bottom of a label's letters on the page [page units]."""
    spot = placement[label.name]
    vertices = text_of(label).vertices + np.array([spot.x, spot.y])
    return np.concatenate([vertices.min(axis=0), vertices.max(axis=0)])


def lines_of(mark: Mark, camera: Camera) -> Iterator[Floats]:
    """Points all along a mark's lines on the page, shape (n, 2); arrows by their shaft from tail to tip."""

    def page(points: Floats) -> Floats:
        if mark.space == "page":
            return points
        (x0, y0), (u0, v0) = camera.focus, camera.middle
        return np.stack(
            [u0 + camera.scale * (points[:, 0] - x0), v0 - camera.scale * (points[:, 1] - y0)], axis=1
        )

    if isinstance(mark, Stroke):
        points = page(mark.points)
        if mark.closed:
            points = np.concatenate([points, points[:1]])
        for a, b in pairwise(points):
            if not np.isnan(a[0] + b[0]):
                yield a + np.linspace(0, 1, SAMPLES)[:, None] * (b - a)
    elif isinstance(mark, Ring):
        yield page(np.array([mark.centre]))
    elif isinstance(mark, Arrow):
        tail = page(np.array([mark.tail]))[0]
        dx, dy = mark.vector
        if mark.measure == "force":
            way = np.array([dx, -dy]) * camera.per_newton
        else:
            way = np.array([dx, -dy]) * camera.scale if mark.space == "frame" else np.array([dx, dy])
        yield tail + np.linspace(0, 1, SAMPLES)[:, None] * way


def clashes(marks: Sequence[Mark], camera: Camera, placement: Placement, page: Page) -> list[str]:
    """Every pair of a label and what it stands on (labels, rods, arrows ...), and labels off the page."""
    labels = [mark for mark in marks if isinstance(mark, Label) and len(text_of(mark).vertices)]
    boxes = {label.name: box_of(label, placement) for label in labels}
    found = [
        f"{name} is off the page"
        for name, (left, top, right, bottom) in boxes.items()
        if left < 0 or top < 0 or right > page.width or bottom > page.height
    ]
    for (one, a), (other, b) in combinations(boxes.items(), 2):
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            found.append(f"{one} on {other}")
    for mark in marks:
        if isinstance(mark, Label) or not PENS[mark.role].clear or mark.role == "band":
            continue
        for points in lines_of(mark, camera):
            found += [
                f"{name} on {mark.name}"
                for name, box in boxes.items()
                if distance(points, box) < reach(mark, camera)
            ]
    return sorted(set(found))


def distance(points: Floats, box: Floats) -> float:
    """The least distance of points from a box."""
    beyond = np.maximum(np.maximum(box[:2] - points, points - box[2:]), 0)
    return float(np.hypot(*beyond.T).min())


def reach(mark: Mark, camera: Camera) -> float:
    """How far a mark's ink reaches to either side of its line [page units]."""
    scale = camera.scale if mark.space == "frame" else 1.0
    own = mark.width or 0.0 if isinstance(mark, Stroke) else 0.0
    radius = mark.radius if isinstance(mark, Ring) else 0.0
    return PENS[mark.role].width / 2 + own * scale / 2 + radius * scale
