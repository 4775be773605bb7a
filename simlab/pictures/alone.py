"""A part alone on its page: what it is cut out of, its camera, how its arrows lie, its words placed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from simlab.frame.model import Frame, Values
from simlab.pictures.angles import Ray
from simlab.pictures.arcs import angle_arcs
from simlab.pictures.attitudes import Bundle, Lie, lies
from simlab.pictures.camera import PAPER, Bounds, Camera, Page, Rect
from simlab.pictures.drawing import OBLIQUE, Drawing
from simlab.pictures.leaders import box_of, leaders
from simlab.pictures.marks import Arrow, Label, Mark, Ring
from simlab.pictures.obstacles import boxes_hit, segments
from simlab.pictures.palette import SMALL
from simlab.pictures.part_forces import assumed, name_of, turning_marks
from simlab.pictures.picture import EDGE, MARGIN, Picture
from simlab.pictures.placement import place
from simlab.pictures.plan import Plan
from simlab.pictures.seating import meet
from simlab.pictures.structure import structure
from simlab.pictures.typeset import text_of
from simlab.pictures.view import fitted, points_of
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.working import Equation, Part

Laid = tuple[list[Bundle], list[Lie]]  # forces, and how their arrows lie
Drawn = Callable[[Camera], Sequence[Mark]]  # what is drawn under a camera
UPRIGHT, SQUARE, WIDE = Page.of(3, 4), Page.of(1, 1), PAPER  # pages of a picture: the narrowest that serves
NARROW, BROAD = 0.55, 1.3  # width over height of a part, between which it is drawn on a square page
LARGER = (1.0, 1.2, 1.44)  # times the size of a page, until its words find room
SHOWN = 20.0  # [page units] least distance of anything from the edge of the page
FITS = 3  # of what is drawn, in a row
ROUNDS = 4  # of placing words and the lines to them
RING = 24.0  # [page units] radius of the ring around a point about which moments are taken


def drawn_clear(
    page: Page, draw: Callable[[Page], tuple[Sequence[Mark], Camera]], title: str, description: str
) -> Picture:
    """What `draw` makes of a page, with all its words placed: on a larger one where they need more room."""
    tries: list[tuple[int, Picture]] = []
    for times in LARGER:
        larger = Page(page.width * times, page.height * times)
        marks, camera = draw(larger)
        led = [replace(m, led=True) if isinstance(m, Label) and m.role == "name" else m for m in marks]
        for of_try in (marks, led):  # names of points stand far off only if need be
            picture = _placed(of_try, camera, larger, title, description)
            tries.append((_crowded(picture), picture))
            if tries[-1][0] == 0:
                return picture
    return min(tries, key=lambda found: found[0])[1]


def _placed(marks: Sequence[Mark], camera: Camera, page: Page, title: str, description: str) -> Picture:
    """A picture with its labels placed, and thin lines to those that stand far off."""
    placement = place(marks, camera, page=page)
    for _ in range(ROUNDS):  # words may stand in the way of a line to others
        lines = list(leaders(marks, camera, placement))
        before, placement = placement, place([*marks, *lines], camera, placement, page=page)
        if before == placement:
            break
    lines = list(leaders(marks, camera, placement))
    return Picture([*marks, *lines], camera, page, title, placement, description)


def _crowded(picture: Picture) -> int:
    """How many labels stand on something."""
    labels = [m for m in picture.marks if isinstance(m, Label) and m.opacity > 0]
    boxes = np.array([box_of(label, picture.placement) for label in labels]).reshape(-1, 4)
    on_marks = boxes_hit(boxes, segments(picture.marks, picture.camera)).any(axis=1)
    on_words = meet(boxes, boxes).sum(axis=1) > 1
    left, top, right, bottom = boxes.T
    outside = (left < 0) | (top < 0) | (right > picture.page.width) | (bottom > picture.page.height)
    points = np.concatenate([points_of(mark, picture.camera) for mark in picture.marks])
    off = (np.nanmin(points, axis=0) < 0).any() or (
        np.nanmax(points, axis=0) > (picture.page.width, picture.page.height)
    ).any()
    return int(np.count_nonzero(on_marks | on_words | outside)) + int(off)


def drawing_of(frame: Frame, values: Values, part: Part, conventions: Conventions = HOUSE) -> Drawing:
    """A part cut out of its frame, ready to be drawn."""
    return Drawing.of(frame, values, part, conventions)


def page_for(drawing: Drawing) -> Page:
    """The narrowest page on which a part is drawn about as large as on any."""
    left, bottom, right, top = drawing.plan.bounds
    wide, high = right - left, top - bottom
    if wide < NARROW * high:
        return UPRIGHT
    return SQUARE if wide <= BROAD * high else WIDE


def remembered(draw: Callable[[Camera], Iterable[Mark]]) -> Drawn:
    """The same, drawn only once under the same camera: the one that fits is tried before it is used."""
    return lru_cache(maxsize=8)(lambda camera: tuple(draw(camera)))


def fit(
    drawing: Drawing,
    page: Page,
    marks: Drawn,
    per_newton: float = 0.0,
    bottom: float | None = None,
) -> Camera:
    """The camera that fits a part with its arrows on a page, above `bottom`."""
    room: Rect = (EDGE, EDGE, page.width - EDGE, bottom if bottom is not None else page.height - EDGE)
    return fit_all(drawing.plan, room, page, marks, per_newton, _seen(drawing.plan))


def fit_all(
    plan: Plan,
    room: Rect,
    page: Page,
    marks: Drawn,
    per_newton: float,
    bounds: Bounds,
) -> Camera:
    """A fitted camera that leaves nothing off the page: what is drawn may change with the scale."""
    camera = fitted(plan, room, marks, per_newton, bounds, FITS)
    for _ in range(ROUNDS):
        points = np.concatenate([points_of(mark, camera) for mark in marks(camera)])
        low, high = np.nanmin(points, axis=0), np.nanmax(points, axis=0)
        over = np.maximum(0.0, [*(SHOWN - low), *(high - (page.width - SHOWN, room[3] + SHOWN))])
        if not over.any():
            break
        left, top, right, bottom = (float(v) for v in over)
        room = (room[0] + left, room[1] + top, room[2] - right, room[3] - bottom)
        camera = fitted(plan, room, marks, per_newton, bounds, FITS)
    return camera


def _seen(plan: Plan) -> Bounds:
    """The bounds of a part; those of a single point are a metre wide, so that there is a scale."""
    left, bottom, right, top = plan.bounds
    if right - left > 0 or top - bottom > 0:
        return plan.bounds
    return (left - 0.5, bottom - 0.5, right + 0.5, top + 0.5)


def note(text: str, page: Page) -> Label:
    """A few quiet words at the bottom left of a page."""
    at = (MARGIN, page.height - MARGIN)
    return Label(name="note", role="quiet text", space="page", anchor=at, text=text, size=SMALL)


def top_of(marks: Iterable[Mark], page: Page) -> float:
    """The highest place on the page that a legend takes, with some air."""
    ys = [m.anchor[1] + text_of(m).box[1] for m in marks if isinstance(m, Label)]
    ys += [m.tail[1] for m in marks if isinstance(m, Arrow)]
    return min(ys, default=page.height - MARGIN) - EDGE


def lay(drawing: Drawing, camera: Camera) -> Laid:
    """The forces on a part in their assumed senses, and how their arrows lie."""
    bundles = assumed(drawing, camera.grain)
    return bundles, lies(bundles, segments(_obstacles(drawing, camera.grain), camera), camera)


def _obstacles(drawing: Drawing, grain: float) -> list[Mark]:
    """What arrows keep off: bodies and the arcs of angles."""
    return [
        *structure(drawing.plan, grain, names=False),
        *angle_arcs(drawing.plan, grain),
        *turning_marks(drawing, grain),
    ]


def rays_of(drawing: Drawing, laid: Laid) -> tuple[Ray, ...]:
    """The oblique forces on a part as directions in which an angle may be seen, each as its arrow lies."""
    pushed = {b.shafts[0].name for b, lie in zip(*laid, strict=True) if lie.attitude == "push"}
    rays = []
    for i, action in enumerate(drawing.part.actions):
        name = name_of(drawing, i)
        if action.turning or np.min(np.abs(drawing.metres(action.way))) < OBLIQUE:
            continue
        x, y = action.way
        way = (-x, -y) if name in pushed else (x, y)
        rays.append(Ray(name, action.at, way, action.point))
    return tuple(rays)


def rings(drawing: Drawing, equations: Iterable[Equation], grain: float) -> Iterator[Mark]:
    """A ring around each point about which moments are taken."""
    for equation in equations:
        if equation.point is not None:
            x, y = drawing.metres(equation.point)
            name = f"moments about {equation.about}"
            yield Ring(name=name, role="moment point", centre=(float(x), float(y)), radius=RING * grain)
