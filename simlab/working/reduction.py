"""Unknowns that symmetry makes equal, or nothing: each as a sign times the one it is the image of."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.frame.model import GROUND, Name, Place
from simlab.frame.symmetry import Mirror
from simlab.results.statics import Statics
from simlab.results.symmetry import Symmetry
from simlab.statics.mirror import symmetry, used
from simlab.statics.velocity import Exact
from simlab.working.interactions import Interaction, Interactions


@dataclass(frozen=True)
class Reduction:
    """`image[i]` = (r, sign): unknown i is sign times unknown r; None: it is nothing.

    `symmetry` is None where the frame has none, or it was not to be used.
    """

    image: tuple[tuple[int, int] | None, ...]
    symmetry: Symmetry | None = None

    @property
    def free(self) -> list[int]:
        """The unknowns that are left to be found."""
        return [i for i, image in enumerate(self.image) if image is not None and image[0] == i]


def reduction(frame: Interactions, statics: Statics, by_symmetry: bool = True) -> Reduction:
    """The unknowns left where a frame is its own mirror image; proved by the solution without symmetry."""
    plain = Reduction(tuple((i, 1) for i in range(len(frame.unknowns))))
    if not by_symmetry:
        return plain
    solved = symmetry(statics.frame, statics.values)
    if solved is None or not used(solved, statics):
        return plain
    found = symmetry(frame.frame, frame.values) if frame.by_length else solved  # with its letters, too
    if found is None:
        return plain
    axis = found.mirror.direction
    if not (axis[0].is_zero or axis[1].is_zero):
        return plain  # images of components across and upwards are mixtures of both there
    return Reduction(tuple(_images(frame, found.mirror)), found)


def _images(frame: Interactions, mirror: Mirror) -> list[tuple[int, int] | None]:
    """Union of the orbits: an orbit has at most two unknowns, and one that is minus itself is nothing."""
    image: list[tuple[int, int] | None] = [(i, 1) for i in range(len(frame.unknowns))]
    for one in frame.all:
        for unknown, partner, sign in _pairs(frame, mirror, one):
            if partner == unknown and sign < 0:
                image[unknown] = None
            elif partner > unknown:
                image[partner] = (unknown, sign)
    return image


def _pairs(frame: Interactions, mirror: Mirror, one: Interaction) -> list[tuple[int, int, int]]:
    """(unknown, the unknown of its image, sign) for each unknown of an interaction."""
    first, second = _place(mirror, one.first), _place(mirror, one.second)
    for other in frame.all:
        straight = (other.first, other.second) == (first, second)
        if straight or (other.second, other.first) == (first, second):
            side = 1 if straight else -1
            found = []
            for unknown, way in one.ways:
                for partner, along in other.ways:
                    sign = _sign(_turned(mirror, way), along)
                    if sign:
                        found.append((unknown, partner, sign * side))
            if one.turning is not None and other.turning is not None:
                found.append((one.turning, other.turning, -side))
            return found
    return []


def _place(mirror: Mirror, place: Place) -> Place:
    names: dict[Name, Name] = {**mirror.joints, **mirror.bodies, GROUND: GROUND}
    return Place(names[place.body], mirror.points[place.point])


def _turned(mirror: Mirror, way: Exact) -> Exact:
    """The image of a vector in an upright or a level line."""
    return (-way[0], way[1]) if mirror.is_upright else (way[0], -way[1])


def _sign(a: Exact, b: Exact) -> int:
    """1 if two unit vectors are equal, -1 if opposite, 0 otherwise."""
    if (a[0] - b[0]).is_zero and (a[1] - b[1]).is_zero:
        return 1
    return -1 if (a[0] + b[0]).is_zero and (a[1] + b[1]).is_zero else 0
