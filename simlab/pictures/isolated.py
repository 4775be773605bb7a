"""One part of a frame alone: before it is solved, blank for a pupil to fill in, and to scale afterwards.

*Before*: every force in its assumed sense, unknowns of one length, the given angles and lengths.
*After*: the same part, every force to the one scale of the whole solution, in its true sense.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

import numpy as np

from simlab.frame.model import Frame, Name, Values
from simlab.pictures.angles import Ray
from simlab.pictures.arcs import angle_arcs
from simlab.pictures.arrows import scale_for
from simlab.pictures.attitudes import Bundle, Lie, lies
from simlab.pictures.camera import PAPER, Bounds, Camera, Page, Rect
from simlab.pictures.clearings import Clearings
from simlab.pictures.cut import cut_out
from simlab.pictures.distances import lines_among
from simlab.pictures.leaders import leaders
from simlab.pictures.legend import legend
from simlab.pictures.marks import Arrow, Label, Mark, Ring, Stroke
from simlab.pictures.obstacles import segments
from simlab.pictures.palette import SMALL
from simlab.pictures.part_forces import (
    Drawing,
    arrow_marks,
    assumed,
    forces_of,
    name_of,
    solved,
    turning_marks,
    value_of,
)
from simlab.pictures.picture import EDGE, MARGIN, Picture
from simlab.pictures.placement import place
from simlab.pictures.plan import Plan
from simlab.pictures.structure import structure
from simlab.pictures.typeset import text_of
from simlab.pictures.view import fitted
from simlab.results.wording import capital
from simlab.results.working import Equation, Letter, Part

Laid = tuple[list[Bundle], list[Lie]]  # forces, and how their arrows lie
UPRIGHT, SQUARE, WIDE = Page.of(3, 4), Page.of(1, 1), PAPER  # pages of a picture: the narrowest that serves
NARROW, BROAD = 0.55, 1.3  # width over height of a part, between which it is drawn on a square page
LARGEST = 220.0  # [page units] of the largest force of a solution
NOT_TO_SCALE = "arrows not to scale"
ROUNDS = 3  # of placing words and the lines to them
FOOT = 120.0  # [page units] at the bottom of a page, where that is written
RING = 24.0  # [page units] radius of the ring around a point about which moments are taken
OBLIQUE = 1e-6  # sine and cosine of an oblique direction are at least that


def before(
    frame: Frame,
    values: Values,
    part: Part,
    equations: Sequence[Equation] = (),
    *,
    page: Page | None = None,
    description: str = "",
) -> Picture:
    """The part alone with all forces in their assumed senses, unknowns of one length, and what is given.

    The points about which moments are taken in the `equations` are ringed.
    """
    drawing = drawing_of(frame, values, part)
    page = page or page_for(drawing)
    camera = fit(drawing, page, lambda c: _before(drawing, c, equations), bottom=page.height - FOOT)
    marks = [note(NOT_TO_SCALE, page), *_before(drawing, camera, equations)]
    return finished(marks, camera, page, capital(part.words), description)


def blank(
    frame: Frame,
    values: Values,
    part: Part,
    *,
    boxes: bool = False,
    page: Page | None = None,
    description: str = "",
) -> Picture:
    """The same part in the same place without any force, with room to draw them.

    `boxes`: a dotted box for the letter or size of each force, where it stands in the picture before.
    """
    full = before(frame, values, part, page=page)
    drawing = drawing_of(frame, values, part)
    forces = {name_of(drawing, i) for i in range(len(part.actions))}
    words = [m for m in full.marks if isinstance(m, Label) and m.name.removeprefix("words of ") in forces]
    kept = [m for m in full.marks if m.name not in forces and m not in words and m.name != "note"]
    kept = [
        m for m in kept if not m.name.startswith("arc of ") or m.name.removeprefix("arc of ") not in forces
    ]
    if boxes:
        kept += [_box(label, full) for label in words]
    spots = {m.name: full.placement[m.name] for m in kept if isinstance(m, Label)}
    return Picture(kept, full.camera, full.page, full.title, spots, description)


def after(
    frame: Frame,
    values: Values,
    part: Part,
    letters: Mapping[Name, Letter],
    scale: float,
    *,
    page: Page | None = None,
    description: str = "",
) -> Picture:
    """The part alone with every force as it came out: true senses, to scale [page units/N], values beside.

    A hinge's force is drawn whole, its parts dashed beside it. `scale_of` gives the one scale.
    """
    drawing = drawing_of(frame, values, part)
    page = page or page_for(drawing)
    rect = (MARGIN, 0.0, page.width - MARGIN, page.height - MARGIN)
    still = Camera((0.0, 0.0), (0.0, 0.0), 1.0, scale)
    key = legend([m for m in _after(drawing, still, letters) if m.role == "hinge component"], still, rect)
    camera = fit(drawing, page, lambda c: _after(drawing, c, letters), scale, _top(key, page))
    marks = [*_after(drawing, camera, letters), *key]
    return finished(marks, camera, page, capital(part.words), description)


def scale_of(values: Values, parts: Iterable[Part], letters: Mapping[Name, Letter]) -> float:
    """The one scale [page units/N] for all parts of a solution: the largest force is a fifth of a page.

    A hinge's force counts as a whole.
    """
    largest = 0.0
    for part in parts:
        for group in forces_of(part, letters):
            force = np.zeros(2)
            for action in (part.actions[i] for i in group):
                way = np.array([v.number(values) for v in action.way])
                force += way * value_of(action, letters).number(values)
            largest = max(largest, float(np.hypot(*force)))
    return scale_for(largest, LARGEST)


# what a part is drawn as


def finished(marks: Sequence[Mark], camera: Camera, page: Page, title: str, description: str) -> Picture:
    """A picture with its labels placed, and thin lines to those that stand far off."""
    placement, lines = place(marks, camera, page=page), list[Stroke]()
    for _ in range(ROUNDS):  # words may stand in the way of a line to others
        lines = list(leaders(marks, camera, placement))
        if not lines:
            break
        placement = place([*marks, *lines], camera, placement, page=page)
    lines = list(leaders(marks, camera, placement))
    return Picture([*marks, *lines], camera, page, title, placement, description)


def drawing_of(frame: Frame, values: Values, part: Part) -> Drawing:
    """A part cut out of its frame, ready to be drawn."""
    return Drawing(part, Plan.of(cut_out(frame, part), values), Plan.of(frame, values))


def page_for(drawing: Drawing) -> Page:
    """The narrowest page on which a part is drawn about as large as on any."""
    left, bottom, right, top = drawing.plan.bounds
    wide, high = right - left, top - bottom
    if wide < NARROW * high:
        return UPRIGHT
    return SQUARE if wide <= BROAD * high else WIDE


def fit(
    drawing: Drawing,
    page: Page,
    marks: Callable[[Camera], Iterable[Mark]],
    per_newton: float = 0.0,
    bottom: float | None = None,
) -> Camera:
    """The camera that fits a part with its arrows on a page, above `bottom`."""
    room: Rect = (EDGE, EDGE, page.width - EDGE, bottom if bottom is not None else page.height - EDGE)
    return fitted(drawing.plan, room, marks, per_newton, _seen(drawing.plan))


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


def _top(marks: Iterable[Mark], page: Page) -> float:
    """The highest place on the page that a legend takes, with some air."""
    ys = [m.anchor[1] + text_of(m).box[1] for m in marks if isinstance(m, Label)]
    ys += [m.tail[1] for m in marks if isinstance(m, Arrow)]
    return min(ys, default=page.height - MARGIN) - EDGE


def _before(drawing: Drawing, camera: Camera, equations: Sequence[Equation]) -> Iterator[Mark]:
    grain = camera.grain
    laid = lay(drawing, camera)
    forces = [*turning_marks(drawing, grain), *arrow_marks(drawing, *laid, camera)]
    drawn = [
        *structure(drawing.plan, grain, centres=True),
        *angle_arcs(drawing.plan, grain, rays_of(drawing, laid)),
    ]
    yield from drawn
    bare = [mark for mark in drawn if not (isinstance(mark, Label) and mark.role == "name")]
    yield from lines_among(drawing.plan, Clearings([*bare, *forces], grain))
    yield from forces
    yield from rings(drawing, equations, grain)


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


def _after(drawing: Drawing, camera: Camera, letters: Mapping[Name, Letter]) -> Iterator[Mark]:
    grain = camera.grain
    yield from structure(drawing.plan, grain, centres=True)
    turning = list(turning_marks(drawing, grain, letters))
    yield from turning
    bundles = solved(drawing, letters, camera.per_newton, grain)
    bare = [*structure(drawing.plan, grain, names=False), *turning]
    yield from arrow_marks(drawing, bundles, lies(bundles, segments(bare, camera), camera), camera)


def rings(drawing: Drawing, equations: Iterable[Equation], grain: float) -> Iterator[Mark]:
    """A ring around each point about which moments are taken."""
    for equation in equations:
        if equation.point is not None:
            x, y = drawing.metres(equation.point)
            name = f"moments about {equation.about}"
            yield Ring(name=name, role="moment point", centre=(float(x), float(y)), radius=RING * grain)


BOX = 8.0  # [page units] from a letter to the dotted box in its place


def _box(label: Label, picture: Picture) -> Stroke:
    """A dotted box where a label stands in a picture."""
    spot, (left, top, right, bottom) = picture.placement[label.name], text_of(label).box
    x0, y0, x1, y1 = spot.x + left - BOX, spot.y + top - BOX, spot.x + right + BOX, spot.y + bottom + BOX
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    name = f"box for {label.name.removeprefix('words of ')}"
    return Stroke(name=name, role="blank", space="page", points=corners, closed=True)
