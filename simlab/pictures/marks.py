"""Marks: what a picture is made of, before anybody knows how large the page is.

A mark lives in one of two spaces: "frame" (metres, y upwards) or "page" (page units, y downwards,
from the top left corner; see `camera.Page`). Its role says how it is drawn (`palette.PENS`), its
name stays the same from picture to picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Name = str
Points = NDArray[np.float64]  # shape (n, 2)
Point = tuple[float, float]
Space = Literal["frame", "page"]
Measure = Literal["force", "length"]  # an arrow's vector: newtons, or the lengths of its space
Side = Literal["n", "ne", "e", "se", "s", "sw", "w", "nw"]
Align = Literal["left", "centre", "right"]
UNSEEN = 0.002  # opacity of a mark that is not drawn yet, but whose place labels keep free
SIDES: tuple[Side, ...] = ("ne", "se", "nw", "sw", "e", "w", "n", "s")


@dataclass(frozen=True, kw_only=True, eq=False)
class Mark:
    """Anything drawn: a name, a role, the space it lives in, and its opacity, 0 to 1."""

    name: Name
    role: str
    space: Space = "frame"
    opacity: float = 1.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Stroke(Mark):
    """A line through `points`, shape (n, 2); a row of NaN lifts the pen.

    With a `width` (in the lengths of its space) a line of two points is a bar: round-ended, outlined,
    of real thickness. `closed` joins the last point to the first; `filled` fills with the role's fill.

    >>> Stroke(name="KL", role="rod", points=np.array([[0, 0], [1, 2.0]]), width=0.02).closed
    False
    """

    points: Points
    closed: bool = False
    filled: bool = False
    width: float | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Ring(Mark):
    """A circle, filled where its role has a fill; `radius` in the lengths of its space."""

    centre: Point
    radius: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Arrow(Mark):
    """An arrow from `tail` along `vector`: newtons drawn to the camera's scale, or lengths."""

    tail: Point
    vector: Point
    measure: Measure = "force"


@dataclass(frozen=True, kw_only=True, eq=False)
class Label(Mark):
    """Words, with mathematics between dollar signs, at a place.

    With `sides` (in order of preference) the placing of labels finds a free seat around the anchor,
    `clearance` away [page units]; `vector` ([N], or lengths, as `measure` says) is the arrow that the
    label belongs to, and the seats then lie along it, from its tip back. Without `sides` the text
    stands exactly where it is told: first baseline at the anchor, left, centred or right. `stations` are
    the shares of the arrow at which there are seats; some are far off if the label may be `led` there by a
    thin line (`leaders`). One that `yields` is left out where it would stand on another, the highest first
    (`crowding`). `size` and `width` (of the lines of a paragraph) in page units.
    """

    anchor: Point
    text: str
    size: float
    sides: tuple[Side, ...] = ()
    vector: Point = (0.0, 0.0)
    measure: Measure = "force"
    stations: tuple[float, ...] = (1.0, 0.72, 0.45)
    led: bool = False
    yields: int = 0
    clearance: float = 10.0
    align: Align = "left"
    width: float | None = None
    bold: bool = False


def moved(marks: Iterable[Mark], by: Point) -> Iterator[Mark]:
    """The marks carried along in their spaces."""
    dx, dy = by
    for mark in marks:
        if isinstance(mark, Stroke):
            yield replace(mark, points=mark.points + np.array(by))
        elif isinstance(mark, Ring):
            yield replace(mark, centre=(mark.centre[0] + dx, mark.centre[1] + dy))
        elif isinstance(mark, Arrow):
            yield replace(mark, tail=(mark.tail[0] + dx, mark.tail[1] + dy))
        elif isinstance(mark, Label):
            yield replace(mark, anchor=(mark.anchor[0] + dx, mark.anchor[1] + dy))


def faded(marks: Iterable[Mark], opacity: float) -> list[Mark]:
    """The marks with their opacities multiplied by `opacity`, 0 to 1."""
    return [replace(mark, opacity=mark.opacity * opacity) for mark in marks]
