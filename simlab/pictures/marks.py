"""Marks: what a picture is made of, before anybody knows how large the page is.

A mark lives in one of two spaces: "frame" (metres, y upwards) or "page" (page units, y downwards,
from the top left corner; see `camera.Page`). Its role says how it is drawn (`palette.PENS`), its
name stays the same from picture to picture.
"""

from __future__ import annotations

from collections.abc import Iterable
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
    `clearance` away [page units]; `vector` [N] is the force arrow that the label belongs to, and the
    seats then lie along it, from its tip back. Without `sides` the text stands exactly where it is
    told: first baseline at the anchor, left, centred or right. `size` and `width` (of the lines of a
    paragraph) in page units.
    """

    anchor: Point
    text: str
    size: float
    sides: tuple[Side, ...] = ()
    vector: Point = (0.0, 0.0)
    clearance: float = 10.0
    align: Align = "left"
    width: float | None = None
    bold: bool = False


def faded(marks: Iterable[Mark], opacity: float) -> list[Mark]:
    """The marks with their opacities multiplied by `opacity`, 0 to 1."""
    return [replace(mark, opacity=mark.opacity * opacity) for mark in marks]
