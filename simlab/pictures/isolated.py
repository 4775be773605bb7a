"""One part of a frame alone: before it is solved, blank for a pupil to fill in, and to scale afterwards.

*Before*: every force in its assumed sense, unknowns of one length, the given angles and lengths.
*After*: the same part, every force to the one scale of the whole solution, in its true sense.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np

from simlab.frame.model import Frame, Name, Values
from simlab.pictures.alone import drawing_of as drawing_of
from simlab.pictures.alone import drawn_clear, fit, note, page_for, remembered, top_of
from simlab.pictures.alone import lay as lay
from simlab.pictures.alone import rays_of as rays_of
from simlab.pictures.alone import rings as rings
from simlab.pictures.arcs import angle_arcs
from simlab.pictures.arrows import scale_for
from simlab.pictures.attitudes import lies
from simlab.pictures.camera import Camera, Page
from simlab.pictures.clearings import Clearings
from simlab.pictures.distances import lines_among
from simlab.pictures.drawing import Drawing
from simlab.pictures.legend import legend
from simlab.pictures.marks import Label, Mark, Stroke
from simlab.pictures.obstacles import segments
from simlab.pictures.part_forces import (
    arrow_marks,
    forces_of,
    name_of,
    solved,
    turning_marks,
    value_of,
)
from simlab.pictures.picture import MARGIN, Picture
from simlab.pictures.structure import structure
from simlab.pictures.typeset import text_of
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.part_words import in_words
from simlab.results.wording import capital
from simlab.results.working import Equation, Letter, Part

LARGEST = 220.0  # [page units] of the largest force of a solution
NOT_TO_SCALE = "arrows not to scale"
FOOT = 120.0  # [page units] at the bottom of a page, where that is written


def before(
    frame: Frame,
    values: Values,
    part: Part,
    equations: Sequence[Equation] = (),
    *,
    page: Page | None = None,
    description: str = "",
    conventions: Conventions = HOUSE,
) -> Picture:
    """The part alone with all forces in their assumed senses, unknowns of one length, and what is given.

    The points about which moments are taken in the `equations` are ringed.
    """
    drawing = Drawing.of(frame, values, part, conventions, with_ends=True)
    words = description or in_words(frame, values, part, conventions=conventions)

    marks = remembered(lambda camera: _before(drawing, camera, equations))

    def draw(page: Page) -> tuple[list[Mark], Camera]:
        camera = fit(drawing, page, marks, bottom=page.height - FOOT)
        return [note(NOT_TO_SCALE, page), *marks(camera)], camera

    return drawn_clear(page or page_for(drawing), draw, capital(part.words), words)


def blank(
    frame: Frame,
    values: Values,
    part: Part,
    *,
    boxes: bool = False,
    page: Page | None = None,
    description: str = "",
    conventions: Conventions = HOUSE,
) -> Picture:
    """The same part in the same place without any force, with room to draw them.

    `boxes`: a dotted box for the letter or size of each force, where it stands in the picture before.
    """
    full = before(frame, values, part, page=page, conventions=conventions)
    drawing = drawing_of(frame, values, part, conventions)
    forces = {name_of(drawing, i) for i in range(len(part.actions))}
    gone = {name for force in forces for name in (force, f"words of {force}", f"arc of {force}")}
    gone |= {f"line to {name}" for name in gone} | {"note"}
    kept = [mark for mark in full.marks if mark.name not in gone]
    if boxes:
        letters = (m for m in full.marks if isinstance(m, Label) and m.name in gone and m.name != "note")
        kept += [_box(label, full) for label in letters]
    spots = {m.name: full.placement[m.name] for m in kept if isinstance(m, Label)}
    words = description or f"{full.title} alone, without the forces on it"
    return Picture(kept, full.camera, full.page, full.title, spots, words)


def after(
    frame: Frame,
    values: Values,
    part: Part,
    letters: Mapping[Name, Letter],
    scale: float,
    *,
    page: Page | None = None,
    description: str = "",
    conventions: Conventions = HOUSE,
) -> Picture:
    """The part alone with every force as it came out: true senses, to scale [page units/N], values beside.

    A hinge's force is drawn whole, its parts dashed beside it. `scale_of` gives the one scale.
    """
    drawing = drawing_of(frame, values, part, conventions)
    still = Camera((0.0, 0.0), (0.0, 0.0), 1.0, scale)
    dashed = [mark for mark in _after(drawing, still, letters) if mark.role == "hinge component"]
    words = description or in_words(frame, values, part, letters, conventions)
    marks = remembered(lambda camera: _after(drawing, camera, letters))

    def draw(page: Page) -> tuple[list[Mark], Camera]:
        key = legend(dashed, still, (MARGIN, 0.0, page.width - MARGIN, page.height - MARGIN))
        camera = fit(drawing, page, marks, scale, top_of(key, page))
        return [*marks(camera), *key], camera

    return drawn_clear(page or page_for(drawing), draw, capital(part.words), words)


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


def _before(drawing: Drawing, camera: Camera, equations: Sequence[Equation]) -> Iterator[Mark]:
    grain = camera.grain
    laid = lay(drawing, camera)
    forces = [*turning_marks(drawing, grain), *arrow_marks(drawing, *laid, camera)]
    drawn = [
        *structure(drawing.plan, grain, centres=True),
        *angle_arcs(drawing.plan, grain, rays_of(drawing, laid)),
    ]
    for i, ends in enumerate(drawing.far_ends):
        drawn.append(Stroke(name=f"way of {i}", role="line of action", points=np.array(ends)))
    yield from drawn
    bare = [mark for mark in drawn if not (isinstance(mark, Label) and mark.role == "name")]
    yield from lines_among(drawing.plan, Clearings([*bare, *forces], grain))
    yield from forces
    yield from rings(drawing, equations, grain)


def _after(drawing: Drawing, camera: Camera, letters: Mapping[Name, Letter]) -> Iterator[Mark]:
    grain = camera.grain
    yield from structure(drawing.plan, grain, centres=True)
    turning = list(turning_marks(drawing, grain, letters))
    yield from turning
    bundles = solved(drawing, letters, camera.per_newton, grain)
    bare = [*structure(drawing.plan, grain, names=False), *turning]
    yield from arrow_marks(drawing, bundles, lies(bundles, segments(bare, camera), camera), camera)


BOX = 8.0  # [page units] from a letter to the dotted box in its place


def _box(label: Label, picture: Picture) -> Stroke:
    """A dotted box where a label stands in a picture."""
    spot, (left, top, right, bottom) = picture.placement[label.name], text_of(label).box
    x0, y0, x1, y1 = spot.x + left - BOX, spot.y + top - BOX, spot.x + right + BOX, spot.y + bottom + BOX
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    name = f"box for {label.name.removeprefix('words of ')}"
    return Stroke(name=name, role="blank", space="page", points=corners, closed=True)
