"""Words in fixed places: found once by the placing of labels, and kept while the picture grows."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.leaders import leaders
from simlab.pictures.marks import Label, Mark, Name, Point, Stroke
from simlab.pictures.placement import place

ROUNDS = 3  # of placing words and the lines to them
Spots = Mapping[Name, Point]  # the origin of each label on the page [page units]


def spots_of(
    marks: Sequence[Mark], camera: Camera, page: Page, within: Rect
) -> tuple[Spots, Mapping[Name, Stroke]]:
    """Where the words among the marks stand best, inside a rectangle; the lines to those far off."""
    placement = place(marks, camera, page=page, within=within)
    lines = list(leaders(marks, camera, placement))
    for _ in range(ROUNDS if lines else 0):  # words may stand in the way of a line to others
        placement = place([*marks, *lines], camera, placement, page=page, within=within)
        lines = list(leaders(marks, camera, placement))
    leads = {line.name.removeprefix("line to "): line for line in lines}
    return {name: (spot.x, spot.y) for name, spot in placement.items()}, leads


def at_spots(marks: Iterable[Mark], spots: Spots) -> list[Mark]:
    """The marks, their words fixed where they stand."""
    return [
        _fixed(mark, spots[mark.name]) if isinstance(mark, Label) and mark.name in spots else mark
        for mark in marks
    ]


def between(before: Spots, after: Spots, share: float) -> Spots:
    """Places on the way from one layout to another; words that are new are there at once."""

    def way(name: Name) -> Point:
        (x0, y0), (x1, y1) = before.get(name, after[name]), after[name]
        return (x0 + share * (x1 - x0), y0 + share * (y1 - y0))

    return {name: way(name) for name in after}


def _fixed(label: Label, spot: Point) -> Label:
    return replace(label, space="page", anchor=spot, sides=(), vector=(0.0, 0.0))
