"""Stone: quay masonry of our own, for whatever does not move.

A face is a heavy line with two courses of blocks behind it; a rough face is a saw-toothed line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from simlab.pictures.camera import Bounds
from simlab.pictures.marks import Mark, Name, Point, Points, Stroke

# Sizes [page units]
COURSE, BLOCK = 15.0, 46.0  # height of a course and length of a block
LEAST_SLANT = 0.2  # a mitre is no longer than this allows, however sharp the corner
TOOTH = (9.0, 8.0)  # half length and depth of a tooth of a rough face

Span = tuple[float, float]


@dataclass(frozen=True)
class Face:
    """A face of stone: a point on it [m], the unit vector out of it, and its reach along the face [m].

    The reach is measured from the point, to the left and the right of one who looks along `out`;
    `held` is the part of it that something rests on or is fixed to. `mitre` is how much further the
    stone reaches at either end for each metre of depth, so that it fits the next face's.
    """

    name: Name
    point: Point
    out: Point
    reach: Span
    held: Span = (0.0, 0.0)
    rough: bool = False
    mitre: Span = (0.0, 0.0)

    @property
    def along(self) -> Points:
        """The unit vector along the face, shape (2,)."""
        return np.array([-self.out[1], self.out[0]])

    def stretched(self, bounds: Bounds, beyond: float = 0.0) -> Face:
        """The face behind or under all of what is inside the bounds, and `beyond` more [m]."""
        left, bottom, right, top = bounds
        corners = np.array([[left, bottom], [left, top], [right, bottom], [right, top]]) - self.point
        across = corners @ self.along
        low, high = self.reach
        reach = (min(low, float(across.min()) - beyond), max(high, float(across.max()) + beyond))
        return replace(self, reach=reach)


def merged(faces: list[Face]) -> list[Face]:
    """The faces, with those that lie in one plane and face the same way made into one."""
    made: list[Face] = []
    for face in faces:
        for i, other in enumerate(made):
            shift = _shift(other, face)
            if shift is not None:
                reach, held = (
                    (min(a[0], b[0] + shift), max(a[1], b[1] + shift))
                    for a, b in ((other.reach, face.reach), (other.held, face.held))
                )
                made[i] = replace(other, reach=reach, held=held, rough=other.rough or face.rough)
                break
        else:
            made.append(face)
    return made


def _shift(face: Face, other: Face) -> float | None:
    """How far along one face the other's point lies, if they are in one plane [m]."""
    out = np.array(face.out)
    offset = np.array(other.point) - face.point
    size = max(1e-12, face.reach[1] - face.reach[0])
    if not np.allclose(face.out, other.out) or abs(offset @ out) > 1e-3 * size:
        return None
    return float(offset @ face.along)


def trimmed(faces: list[Face]) -> list[Face]:
    """The faces, each cut off where it meets another, on the side where nothing rests on it."""
    return [_trimmed(face, [other for other in faces if other is not face]) for face in faces]


def _trimmed(face: Face, others: list[Face]) -> Face:
    (low, high), (first, last) = face.reach, face.mitre
    for other in others:
        steep = float(face.along @ np.array(other.out))
        if abs(steep) < 1e-9:  # parallel
            continue
        here = float((np.array(other.point) - face.point) @ np.array(other.out)) / steep
        meeting = np.array(face.point) + here * face.along
        there = float((meeting - other.point) @ other.along)
        if not other.reach[0] <= there <= other.reach[1]:
            continue
        slant = -steep / max(1 + float(np.array(face.out) @ np.array(other.out)), LEAST_SLANT)
        if low < here <= face.held[0]:
            low, first = here, slant
        elif face.held[1] <= here < high:
            high, last = here, slant
    return replace(face, reach=(low, high), mitre=(first, last))


def stone(face: Face, grain: float) -> Iterator[Mark]:
    """Two courses of blocks behind a face, and the line of the face."""
    out, along = np.array(face.out), face.along
    low, high = face.reach
    start = np.array(face.point)
    course = COURSE * grain

    def at(distance: float, depth: float) -> Points:
        slant = face.mitre[0] if distance == low else face.mitre[1] if distance == high else 0.0
        return np.asarray(start + along * (distance + slant * depth * course) - out * depth * course)

    lift = np.array([np.nan, np.nan])
    n_blocks = max(2, round((high - low) / (BLOCK * grain)))
    edges = np.linspace(low, high, n_blocks + 1)
    joints = [at(low, 1), at(high, 1), lift]
    for edge in edges[1:-1]:
        joints += [at(edge, 0), at(edge, 1), lift]
    for edge in (edges[:-1] + edges[1:]) / 2:
        joints += [at(edge, 1), at(edge, 2), lift]
    corners = np.array([at(low, 0), at(high, 0), at(high, 2), at(low, 2)])
    yield Stroke(name=f"stone of {face.name}", role="stone", points=corners, closed=True, filled=True)
    yield Stroke(name=f"joints of {face.name}", role="stone joint", points=np.array(joints[:-1]))
    yield edge_line(face.name, np.array([at(high, 0), at(low, 0)]), grain, face.rough)


def edge_line(name: Name, path: Points, grain: float, rough: bool) -> Stroke:
    """The line of a face along a path, the stone on the right of one who goes along it."""
    points = toothed(path, grain) if rough else path
    return Stroke(name=f"face of {name}", role="rough line" if rough else "ground line", points=points)


def toothed(path: Points, grain: float) -> Points:
    """A saw-toothed line along a path, its tips on the path, its notches to the right of it."""
    half, deep = (v * grain for v in TOOTH)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])
    teeth = max(1, round(gone[-1] / (2 * half)))
    s = np.linspace(0, gone[-1], 2 * teeth + 1)
    points = np.stack([np.interp(s, gone, path[:, i]) for i in (0, 1)], axis=1)
    along = np.gradient(points, axis=0)
    along /= np.maximum(np.hypot(*along.T), 1e-12)[:, None]
    right = np.stack([along[:, 1], -along[:, 0]], axis=1)
    return np.asarray(points + (np.arange(len(s)) % 2)[:, None] * deep * right)
