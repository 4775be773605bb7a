"""What labels keep off: every mark as segments with a half width, or as boxes, on the page."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.arrowheads import head_size
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Label, Mark, Points, Ring, Stroke
from simlab.pictures.palette import PENS

Boxes = NDArray[np.float64]  # shape (n, 4): left, top, right, bottom [page units]


class Segments(NamedTuple):
    """Thick segments on the page: ends a and b, shape (n, 2), half widths, shape (n,) [page units]."""

    a: Points
    b: Points
    half: NDArray[np.float64]


def segments(marks: Iterable[Mark], camera: Camera) -> Segments:
    """The segments that labels keep off."""
    starts: list[Points] = []
    ends: list[Points] = []
    halves: list[float] = []
    sizes: list[int] = []

    def add(a: Points, b: Points, half: float) -> None:
        starts.append(a)
        ends.append(b)
        halves.append(half)
        sizes.append(len(a))

    for mark in marks:
        pen = PENS[mark.role]
        if isinstance(mark, Label) or not pen.clear or mark.opacity <= 0:
            continue
        unit = camera.scale if mark.space == "frame" else 1.0  # page units in a length of its space
        if isinstance(mark, Stroke):
            points = camera.to_page(mark.points) if mark.space == "frame" else mark.points
            half = (mark.width * unit if mark.width is not None else pen.width) / 2
            following = np.roll(points, -1, axis=0) if mark.closed else points[1:]
            leading = points if mark.closed else points[:-1]
            whole = ~np.isnan(leading[:, 0] + following[:, 0])
            add(leading[whole], following[whole], half)
        elif isinstance(mark, Ring):
            centre = _on_page(mark.centre, mark, camera)
            add(centre, centre, mark.radius * unit)
        elif isinstance(mark, Arrow):
            _add_arrow(mark, camera, add)
    if not starts:
        return Segments(np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0))
    return Segments(np.concatenate(starts), np.concatenate(ends), np.repeat(halves, sizes))


def _on_page(point: tuple[float, float], mark: Mark, camera: Camera) -> Points:
    points = np.array([point])
    return camera.to_page(points) if mark.space == "frame" else points


def arrow_on_page(arrow: Arrow, camera: Camera) -> tuple[Points, Points]:
    """Tail and tip of an arrow on the page, shape (2,) each."""
    tail = _on_page(arrow.tail, arrow, camera)[0]
    if arrow.measure == "force":
        return tail, tail + camera.arrow(arrow.vector)
    if arrow.space == "frame":
        return tail, tail + (arrow.vector[0] * camera.scale, -arrow.vector[1] * camera.scale)
    return tail, tail + arrow.vector


def _add_arrow(arrow: Arrow, camera: Camera, add) -> None:  # type: ignore[no-untyped-def]
    tail, tip = arrow_on_page(arrow, camera)
    pen = PENS[arrow.role]
    long = float(np.hypot(*(tip - tail)))
    if long == 0:
        return
    head_length, head_half = head_size(pen, long)
    neck = tip - (tip - tail) * min(1.0, head_length / long)
    add(tail[None], neck[None], pen.width / 2)
    add(neck[None], tip[None], head_half)


def boxes_hit(boxes: Boxes, segs: Segments) -> NDArray[np.bool_]:
    """Which boxes meet which thick segments, shape (boxes, segments).

    Separating axes of an upright box and a segment (x, y and the segment's normal), the box grown by
    the segment's half width. Source: standard separating-axis test, no single source.
    """
    middle = (segs.a + segs.b) / 2
    along = (segs.b - segs.a) / 2
    centre = (boxes[:, :2] + boxes[:, 2:]) / 2
    size = (boxes[:, 2:] - boxes[:, :2]) / 2
    dx = centre[:, None, 0] - middle[None, :, 0]
    dy = centre[:, None, 1] - middle[None, :, 1]
    wide = size[:, None, 0] + segs.half
    high = size[:, None, 1] + segs.half
    across, up = np.abs(along[:, 0]), np.abs(along[:, 1])
    apart = (np.abs(dx) > wide + across) | (np.abs(dy) > high + up)
    apart |= np.abs(dx * along[:, 1] - dy * along[:, 0]) > wide * up + high * across
    return ~apart
