"""A frame with its parts moved apart at the hinges: opposite forces stand on separate rods."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from simlab.frame.model import Frame, Name, Values
from simlab.pictures.alone import drawing_of, drawn_clear, fit_all, note, remembered, top_of
from simlab.pictures.attitudes import Bundle, lies
from simlab.pictures.camera import PAPER, Bounds, Camera, Page, Rect
from simlab.pictures.drawing import Drawing
from simlab.pictures.isolated import FOOT, NOT_TO_SCALE, scale_of
from simlab.pictures.legend import legend
from simlab.pictures.marks import Mark, Points, Stroke
from simlab.pictures.obstacles import segments
from simlab.pictures.part_forces import arrow_marks, assumed, solved, turning_marks
from simlab.pictures.picture import EDGE, MARGIN, Picture
from simlab.pictures.spreading import shifts
from simlab.pictures.structure import structure
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.part_words import in_words
from simlab.results.working import Letter, Part

GAP = 215.0  # [page units] between two parts that are hinged together
SHARE = 0.72  # of the usual length of an arrow: there are many
NOWHERE = np.zeros(2)


def separated(
    frame: Frame,
    values: Values,
    parts: Sequence[Part],
    letters: Mapping[Name, Letter] | None = None,
    scale: float | None = None,
    *,
    page: Page = PAPER,
    description: str = "",
    conventions: Conventions = HOUSE,
) -> Picture:
    """The parts of a frame, each body and pin by itself, moved apart, with the forces between them.

    Without `letters` all forces are in their assumed senses, unknowns of one length; with them as they came
    out, to `scale` [page units/N], hinge forces as a whole.
    """
    drawings = [drawing_of(frame, values, part, conventions) for part in parts]
    words = description or " ".join(in_words(frame, values, part, letters, conventions) for part in parts)
    per_newton = 0.0
    if letters is not None:
        per_newton = SHARE * scale_of(values, parts, letters) if scale is None else scale
    marks = remembered(lambda camera: _marks(drawings, camera, letters))

    def draw(page: Page) -> tuple[list[Mark], Camera]:
        key: list[Mark] = [note(NOT_TO_SCALE, page)]
        bottom = page.height - FOOT
        if letters is not None:
            still = Camera((0.0, 0.0), (0.0, 0.0), 1.0, per_newton)
            key = legend([], still, (MARGIN, 0.0, page.width - MARGIN, page.height - MARGIN))
            bottom = top_of(key, page)
        room: Rect = (EDGE, EDGE, page.width - EDGE, bottom)
        whole = drawings[0].whole
        bounds = _bounds(drawings)
        camera = fit_all(whole, room, page, marks, per_newton, bounds)
        return [*key, *marks(camera)], camera

    return drawn_clear(page, draw, f"{frame.title}: its parts", words)


def _marks(
    drawings: Sequence[Drawing], camera: Camera, letters: Mapping[Name, Letter] | None
) -> Iterator[Mark]:
    grain = camera.grain
    apart = moved_apart(drawings, GAP * grain)
    yield from _ties(apart)
    bodies, bundles, turning = [], list[list[Bundle]](), []
    for drawing in apart:
        bodies += list(structure(drawing.plan, grain, names=False))
        turning += list(turning_marks(drawing, grain, letters))
        yield from _named(structure(drawing.plan, grain, centres=True), drawing)
        if letters is None:
            bundles.append([_shorter(bundle) for bundle in assumed(drawing, grain)])
        else:
            bundles.append(solved(drawing, letters, camera.per_newton, grain, in_parts=False))
    every = [bundle for of_one in bundles for bundle in of_one]
    lying = iter(lies(every, segments([*bodies, *turning], camera), camera))
    for drawing, of_one in zip(apart, bundles, strict=True):
        yield from _named(turning_marks(drawing, grain, letters), drawing)
        yield from _named(arrow_marks(drawing, of_one, [next(lying) for _ in of_one], camera), drawing)


def moved_apart(drawings: Sequence[Drawing], gap: float) -> list[Drawing]:
    """The parts moved apart, by a gap [m] at each hinge between two of them."""
    outlines = [_outline(drawing) for drawing in drawings]
    middles = [(points.min(axis=0) + points.max(axis=0)) / 2 for points in outlines]
    hinged = {
        (i, j)
        for i, j in combinations(range(len(drawings)), 2)
        if set(_hinges(drawings[i])) & set(_hinges(drawings[j]))
    }
    found = shifts(outlines, middles, hinged, gap)
    return [drawing.moved(shift) for drawing, shift in zip(drawings, found, strict=True)]


def _hinges(drawing: Drawing) -> list[Name]:
    """The joints at which a part is cut from its neighbours, and its contacts with other bodies."""
    frame, part = drawing.frame, drawing.part
    joints = [name for name in drawing.plan.frame.joints if name in frame.joints]
    touching = [
        name
        for name, contact in frame.contacts.items()
        if (contact.on.body in part.bodies or contact.by in part.bodies) and contact.by in frame.bodies
    ]
    return [*joints, *touching]


def _outline(drawing: Drawing) -> Points:
    """Every corner of a part, shape (n, 2) [m]."""
    plan = drawing.plan
    corners = [plan.outlines[body] for body in drawing.part.bodies]
    return np.concatenate([*corners, *(plan.joint(pin)[None] for pin in drawing.part.pins)])


def _ties(apart: Sequence[Drawing]) -> Iterator[Mark]:
    """A faint dotted line between the places at which one hinge is drawn."""
    for joint in dict.fromkeys(name for drawing in apart for name in drawing.plan.frame.joints):
        places = [drawing.plan.joint(joint) for drawing in apart if joint in drawing.plan.frame.joints]
        for i, place in enumerate(places[1:], 1):
            points = np.array([places[0], place])
            yield Stroke(name=f"tie {i} of {joint}", role="tie", points=points)


def _shorter(bundle: Bundle) -> Bundle:
    return replace(bundle, shafts=tuple(replace(s, long=SHARE * s.long) for s in bundle.shafts))


def _named(marks: Iterator[Mark] | Sequence[Mark], drawing: Drawing) -> Iterator[Mark]:
    """The marks of one part by names of their own: a point is drawn on each of the bodies that it is on."""
    for mark in marks:
        yield replace(mark, name=f"{mark.name} ({drawing.part.words})")


def _bounds(drawings: Sequence[Drawing]) -> Bounds:
    """Left, bottom, right, top of all parts in their places in the frame [m]."""
    every = np.concatenate([_outline(drawing) for drawing in drawings])
    (left, bottom), (right, top) = every.min(axis=0), every.max(axis=0)
    return (float(left), float(bottom), float(right), float(top))
