"""Engraving: marks as inked outlines on the page, in the order in which they are laid down.

What comes out is the same for screen, film and paper; `canvas` and `paper` only differ in the
renderer they hand it to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from simlab.errors import SimlabFault
from simlab.pictures.arrowheads import arrow_outline, thickness
from simlab.pictures.camera import Camera
from simlab.pictures.glyphs import Codes
from simlab.pictures.marks import UNSEEN, Arrow, Label, Mark, Points, Ring, Stroke
from simlab.pictures.obstacles import arrow_on_page
from simlab.pictures.palette import PENS, Colour, Pen
from simlab.pictures.placement import Placement
from simlab.pictures.schemes import LIGHT, Scheme
from simlab.pictures.typeset import text_of

WORDS = 70  # the layer of all labels
HALF_TURN = 16  # chords of a round end: 0.05 page units from the true arc at a rod's thickness
CIRCLE = 48  # chords of a circle
GRADES = 100  # an arrow's length is kept to 1/100 page unit, so that equal arrows share an outline
MOVE, LINE, CLOSE = 1, 2, 79  # matplotlib's path codes


class Ink(NamedTuple):
    """One outline on the page: vertices (n, 2) about `origin` [page units], codes (n,), fill and line.

    `key` names outlines that look the same wherever they stand (labels), so that a canvas may keep
    them; `halo` is the width of paper around them.
    """

    name: str
    vertices: Points
    codes: Codes
    origin: tuple[float, float] = (0.0, 0.0)
    fill: Colour | None = None
    line: Colour | None = None
    width: float = 0.0
    dash: tuple[float, ...] = ()
    round_ends: bool = True
    opacity: float = 1.0
    halo: float = 0.0
    key: tuple[object, ...] | None = None
    rim: tuple[Points, Codes] | None = None  # a plainer outline for the halo


def engrave(
    marks: Sequence[Mark], camera: Camera, placement: Placement, scheme: Scheme = LIGHT
) -> Iterator[Ink]:
    """The marks as inked outlines, lowest layer first; marks of one layer in the order given."""
    for mark in sorted(marks, key=_layer):
        if mark.opacity <= UNSEEN:
            continue
        pen = scheme.pens[mark.role]
        if isinstance(mark, Stroke):
            yield _stroke(mark, camera, pen)
        elif isinstance(mark, Ring):
            yield _ring(mark, camera, pen)
        elif isinstance(mark, Arrow):
            yield from _arrow(mark, camera, pen)
        elif isinstance(mark, Label):
            yield from _label(mark, placement, pen)
        else:
            raise SimlabFault(f"no way to draw the mark {mark.name} ({type(mark).__name__})")


def _layer(mark: Mark) -> int:
    return WORDS if isinstance(mark, Label) else PENS[mark.role].layer


def _on_page(points: Points, mark: Mark, camera: Camera) -> Points:
    return camera.to_page(points) if mark.space == "frame" else points


def _stroke(mark: Stroke, camera: Camera, pen: Pen) -> Ink:
    points = _on_page(mark.points, mark, camera)
    if mark.width is not None:
        width = mark.width * camera.scale if mark.space == "frame" else mark.width
        vertices, codes = _bar(points, width)
        return Ink(
            mark.name, vertices, codes, fill=pen.fill, line=pen.ink, width=pen.width, opacity=mark.opacity
        )
    vertices, codes = _polyline(points, mark.closed)
    fill = pen.fill if mark.filled else None
    return Ink(
        mark.name,
        vertices,
        codes,
        fill=fill,
        line=pen.ink,
        width=pen.width,
        dash=pen.dash,
        round_ends=pen.round_ends,
        opacity=mark.opacity,
        halo=pen.halo and pen.halo + pen.width / 2,
    )


def _polyline(points: Points, closed: bool) -> tuple[Points, Codes]:
    """A line through the points, lifted at rows of NaN; closed as a polygon."""
    lifted = np.isnan(points[:, 0])
    codes = np.full(len(points), LINE, np.uint8)
    codes[0] = MOVE
    if lifted.any():
        codes[1:][lifted[:-1]] = MOVE
        points, codes = points[~lifted], codes[~lifted]
    if closed:
        points = np.concatenate([points, points[:1]])
        codes = np.append(codes, np.uint8(CLOSE))
    return points, codes


@lru_cache(maxsize=8)
def _round_ends() -> tuple[Points, Codes]:
    """A half circle of radius 1 about the origin, from (0, -1) by (1, 0) to (0, 1), and a bar's codes."""
    angle = np.linspace(-np.pi / 2, np.pi / 2, HALF_TURN + 1)
    codes = np.full(2 * (HALF_TURN + 1) + 1, LINE, np.uint8)
    codes[0], codes[-1] = MOVE, CLOSE
    return np.stack([np.cos(angle), np.sin(angle)], axis=1), codes


def _bar(ends: Points, width: float) -> tuple[Points, Codes]:
    """The round-ended bar around a segment."""
    arc, codes = _round_ends()
    along = ends[1] - ends[0]
    length = float(np.hypot(along[0], along[1]))
    ux, uy = (along / length) if length > 0 else (1.0, 0.0)
    turned = arc @ np.array([[ux, uy], [-uy, ux]]) * (width / 2)
    vertices = np.concatenate([ends[1] + turned, ends[0] - turned, ends[1:] + turned[:1]])
    return vertices, codes


@lru_cache(maxsize=8)
def _unit_circle() -> tuple[Points, Codes]:
    angle = np.linspace(0, 2 * np.pi, CIRCLE + 1)
    codes = np.full(CIRCLE + 1, LINE, np.uint8)
    codes[0], codes[-1] = MOVE, CLOSE
    return np.stack([np.cos(angle), np.sin(angle)], axis=1), codes


def _ring(mark: Ring, camera: Camera, pen: Pen) -> Ink:
    circle, codes = _unit_circle()
    centre = camera.point(mark.centre) if mark.space == "frame" else mark.centre
    radius = mark.radius * camera.scale if mark.space == "frame" else mark.radius
    return Ink(
        mark.name,
        circle * radius + centre,
        codes,
        fill=pen.fill,
        line=pen.ink,
        width=pen.width,
        opacity=mark.opacity,
        halo=pen.halo and pen.halo + pen.width / 2,
    )


def _arrow(mark: Arrow, camera: Camera, pen: Pen) -> Iterator[Ink]:
    (x, y), (tip_x, tip_y) = arrow_on_page(mark, camera)
    dx, dy = tip_x - x, tip_y - y
    length = float(np.hypot(dx, dy))
    if length == 0:
        return
    outline, codes = arrow_outline(pen, round(length * GRADES) / GRADES)
    cos, sin = dx / length, dy / length
    turn = np.array([[cos, sin], [-sin, cos]])
    vertices = outline @ turn + (x, y)
    rim = None
    if pen.dash:  # the halo of a dashed arrow is that of a whole one: nothing shows through its gaps
        whole, whole_codes = arrow_outline(pen.whole, round(length * GRADES) / GRADES)
        rim = (whole @ turn + (x, y), whole_codes)
    halo = round(pen.halo * thickness(length), 2)
    yield Ink(mark.name, vertices, codes, fill=pen.ink, opacity=mark.opacity, halo=halo, rim=rim)


def _label(mark: Label, placement: Placement, pen: Pen) -> Iterator[Ink]:
    text = text_of(mark)
    if not len(text.vertices):
        return
    spot = placement[mark.name]
    halo = LABEL_HALO if mark.sides and not spot.free else 0.0
    yield Ink(
        mark.name,
        text.vertices,
        text.codes,
        origin=(spot.x, spot.y),
        fill=pen.ink,
        opacity=mark.opacity,
        halo=halo,
        key=(mark.text, mark.size, mark.width, mark.align, mark.bold, pen.ink, halo),
        rim=text.rim if halo else None,
    )


LABEL_HALO = 5.0  # [page units] of paper around a label that stands among the marks
