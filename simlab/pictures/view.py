"""Views: the camera that shows all of a frame's marks in a rectangle of the page.

Most of what is drawn around a frame (arrows, lanterns, stone) has its size on the page, not in
metres, so it does not shrink with the frame; the view makes room for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from simlab.pictures.camera import Bounds, Camera, Rect
from simlab.pictures.marks import Arrow, Label, Mark, Points, Ring, Stroke
from simlab.pictures.obstacles import arrow_on_page
from simlab.pictures.plan import Plan
from simlab.pictures.seating import DIRECTION
from simlab.pictures.typeset import text_of

ROUNDS = 4  # of fitting: what sticks out depends a little on the scale; the rest is under a page unit
SPARE = 60.0  # [page units] of a label that the free edge of the page has room for
MEASURES = ("given name", "arm name")  # roles of labels that room is made for
LEAST_ROOM = 0.2  # of the rectangle that the frame itself keeps, however much sticks out


def fitted(
    plan: Plan,
    rect: Rect,
    marks: Callable[[Camera], Iterable[Mark]],
    per_newton: float = 0.0,
    bounds: Bounds | None = None,
    rounds: int = ROUNDS,
) -> Camera:
    """The camera that fits what `marks` draws of a plan into a rectangle of the page.

    `marks` is given a camera and draws for its scale; of words only those of lengths and angles
    count. `bounds` [m] are those of the frame, if not as drawn (`Plan.swept` gives those of a whole run);
    `rounds` is how often it is fitted anew.
    """
    bounds = bounds or plan.bounds
    camera = Camera.fit(bounds, rect, per_newton)
    for _ in range(rounds):
        left, top, right, bottom = _beyond(bounds, camera, marks(camera))
        x0, y0, x1, y1 = rect
        spare_x, spare_y = (1 - LEAST_ROOM) * (x1 - x0), (1 - LEAST_ROOM) * (y1 - y0)
        narrow = min(1.0, spare_x / max(left + right, 1e-9))
        low = min(1.0, spare_y / max(top + bottom, 1e-9))
        inner = (x0 + left * narrow, y0 + top * low, x1 - right * narrow, y1 - bottom * low)
        camera = Camera.fit(bounds, inner, per_newton)
    return camera


def _beyond(bounds: Bounds, camera: Camera, marks: Iterable[Mark]) -> Rect:
    """How far marks reach beyond the bare frame on the page: left, top, right, bottom [page units]."""
    left, bottom, right, top = bounds
    (x0, y1), (x1, y0) = camera.to_page(np.array([[left, bottom], [right, top]]))
    points = np.concatenate([points_of(mark, camera) for mark in marks])
    low, high = np.nanmin(points, axis=0), np.nanmax(points, axis=0)
    return (
        max(0.0, float(x0 - low[0])),
        max(0.0, float(y0 - low[1])),
        max(0.0, float(high[0] - x1)),
        max(0.0, float(high[1] - y1)),
    )


def points_of(mark: Mark, camera: Camera) -> Points:
    """Points of a mark on the page, shape (n, 2)."""
    if isinstance(mark, Arrow):
        return np.array(arrow_on_page(mark, camera))
    if isinstance(mark, Label):
        return _room(mark, camera) if mark.role in MEASURES else np.zeros((0, 2))
    if isinstance(mark, Ring):
        points = np.array(mark.centre) + np.array([[-mark.radius], [mark.radius]])
    elif isinstance(mark, Stroke):
        points = mark.points
    else:
        return np.zeros((0, 2))
    return camera.to_page(points) if mark.space == "frame" else points


def on_page(marks: Iterable[Mark], camera: Camera) -> list[Mark]:
    """Marks of a frame as marks of the page, where a camera shows them: so two views stand on one page."""
    return [_on_page(mark, camera) if mark.space == "frame" else mark for mark in marks]


def _on_page(mark: Mark, camera: Camera) -> Mark:
    if isinstance(mark, Stroke):
        width = None if mark.width is None else mark.width * camera.scale
        return replace(mark, space="page", points=camera.to_page(mark.points), width=width)
    if isinstance(mark, Ring):
        centre, radius = camera.point(mark.centre), mark.radius * camera.scale
        return replace(mark, space="page", centre=centre, radius=radius)
    if isinstance(mark, Arrow | Label):
        vector = (camera.arrow if mark.measure == "force" else camera.length)(mark.vector)
        if isinstance(mark, Arrow):
            tail = camera.point(mark.tail)
            return replace(mark, space="page", tail=tail, vector=vector, measure="length")
        anchor = camera.point(mark.anchor)
        return replace(mark, space="page", anchor=anchor, vector=vector, measure="length")
    return mark


def _room(label: Label, camera: Camera) -> Points:
    """The far corner of a label on the side it prefers, less what the edge of the page has room for."""
    text = text_of(label)
    x, y = camera.point(label.anchor)
    across, up = DIRECTION[label.sides[0]]
    reach = label.clearance - SPARE
    return np.array([[x + across * max(0.0, text.width + reach), y + up * max(0.0, text.height + reach)]])
