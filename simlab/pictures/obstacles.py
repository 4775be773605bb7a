"""What labels keep off: every mark as thick segments on the page."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from simlab.pictures.arrowheads import HEADS, head_sizes
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Mark, Point, Points, Ring, Stroke
from simlab.pictures.palette import PENS

Floats = NDArray[np.float64]
Boxes = NDArray[np.float64]  # shape (n, 4): left, top, right, bottom [page units]


class Segments(NamedTuple):
    """Thick segments on the page: ends a and b, shape (n, 2), half widths, shape (n,) [page units]."""

    a: Points
    b: Points
    half: Floats


def segments(marks: Iterable[Mark], camera: Camera) -> Segments:
    """The segments that labels keep off: of all marks whose role says so, if they can be seen at all."""
    gathered = {"frame": _Gathered(camera.scale), "page": _Gathered(1.0)}
    arrows: list[Arrow] = []
    for mark in marks:
        if not PENS[mark.role].clear or mark.opacity <= 0:
            continue
        if isinstance(mark, Stroke):
            gathered[mark.space].stroke(mark)
        elif isinstance(mark, Ring):
            gathered[mark.space].ring(mark)
        elif isinstance(mark, Arrow):
            arrows.append(mark)
    parts = [gathered["frame"].on_page(camera), gathered["page"].on_page(None), _of_arrows(arrows, camera)]
    return Segments(*(np.concatenate(column) for column in zip(*parts, strict=True)))


class _Gathered:
    """Segments of one space, gathered to be turned into page units all at once."""

    def __init__(self, unit: float) -> None:
        self.unit = unit  # page units in a length of the space
        self.a: list[Points] = [np.zeros((0, 2))]
        self.b: list[Points] = [np.zeros((0, 2))]
        self.half: list[Floats] = [np.zeros(0)]

    def stroke(self, mark: Stroke) -> None:
        """The chords of a stroke."""
        points = mark.points
        width = PENS[mark.role].width + (0.0 if mark.width is None else mark.width * self.unit)
        self.a.append(points if mark.closed else points[:-1])
        self.b.append(np.roll(points, -1, axis=0) if mark.closed else points[1:])
        self.half.append(np.full(len(self.a[-1]), width / 2))

    def ring(self, mark: Ring) -> None:
        """A circle: a point with its radius."""
        centre = np.array([mark.centre])
        self.a.append(centre)
        self.b.append(centre)
        self.half.append(np.array([mark.radius * self.unit + PENS[mark.role].width / 2]))

    def on_page(self, camera: Camera | None) -> Segments:
        """All of them on the page, without those that a lifted pen leaves out."""
        a, b, half = np.concatenate(self.a), np.concatenate(self.b), np.concatenate(self.half)
        drawn = ~np.isnan(a[:, 0] + b[:, 0])
        a, b = a[drawn], b[drawn]
        return Segments(*((camera.to_page(a), camera.to_page(b)) if camera else (a, b)), half[drawn])


def arrows_on_page(arrows: Iterable[Arrow], camera: Camera) -> tuple[Points, Points]:
    """Tails and tips of arrows on the page, shape (n, 2) each."""
    ends = np.array([arrow_on_page(arrow, camera) for arrow in arrows]).reshape(-1, 2, 2)
    return ends[:, 0], ends[:, 1]


def arrow_on_page(arrow: Arrow, camera: Camera) -> tuple[Point, Point]:
    """Tail and tip of an arrow on the page."""
    tail_x, tail_y = camera.point(arrow.tail) if arrow.space == "frame" else arrow.tail
    if arrow.measure == "force":
        x, y = camera.arrow(arrow.vector)
    else:
        x, y = camera.length(arrow.vector) if arrow.space == "frame" else arrow.vector
    return (tail_x, tail_y), (tail_x + x, tail_y + y)


def _of_arrows(arrows: list[Arrow], camera: Camera) -> Segments:
    """Each arrow as two segments: its shaft, and its head, which is wider."""
    tails, tips = arrows_on_page(arrows, camera)
    along = tips - tails
    length = np.maximum(np.hypot(along[:, 0], along[:, 1]), TINY)
    pens = [PENS[arrow.role] for arrow in arrows]
    full = np.array([HEADS[pen.head] for pen in pens]).reshape(-1, 2)
    head, half_head = head_sizes(full[:, 0], full[:, 1], length)
    necks = tips - along * np.minimum(1.0, head / length)[:, None]
    shafts = np.array([pen.width / 2 for pen in pens])
    return Segments(
        np.concatenate([tails, necks]), np.concatenate([necks, tips]), np.concatenate([shafts, half_head])
    )


TINY = 1e-9  # [page units] an arrow of no length is a point
PAIRS = 32768  # of a point and a segment, measured at once


def gaps(points: Points, segs: Segments) -> Floats:
    """How far each point of the page is from the nearest thick segment, shape (n,); inf without any."""
    if not len(segs.a):
        return np.full(len(points), np.inf)
    (x, y), (way_x, way_y) = segs.a.T, (segs.b - segs.a).T
    size2 = np.maximum(way_x * way_x + way_y * way_y, 1e-12)
    rows = max(1, PAIRS // len(x))
    found = []
    for some in (points[start : start + rows] for start in range(0, len(points), rows)):
        off_x, off_y = some[:, :1] - x, some[:, 1:] - y
        t = np.clip((off_x * way_x + off_y * way_y) / size2, 0, 1)
        found.append((np.hypot(off_x - t * way_x, off_y - t * way_y) - segs.half).min(axis=1))
    return np.concatenate(found)


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
