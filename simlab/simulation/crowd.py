"""Bodies among themselves in the showing: they collide, and hinged neighbours fold as thick rods can.

Rods that share no point collide as thick segments, plates as their thick edges, discs as they are; rods
hinged end to end stop where their sides touch. What touches as drawn never collides: a contact of the
question is a guide.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import asin, atan2, hypot, tau

import pymunk

from simlab.frame.model import Name
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.world import World

THICKNESS = 0.02  # of a rod, as a share of the frame's size; pictures draw about as much
STOUTEST = 0.07  # most thickness, as a share of the shortest rod: rods of a long frame stay slender
ARM = 0.15  # of a rod: where folding neighbours touch, measured from their hinge
CLEARANCE = 0.5  # most of a drawn opening that a stop takes: every hinge is free to turn at first
ALL_BITS = 32

Segment = tuple[Pair, Pair]


class Crowd:
    """Shapes of bodies, not yet in the space, and the stops between neighbours, which are.

    shapes : by body; limits : stops, with the name of their hinge; radius : half a rod's thickness [m]
    In a frame of more bodies than the engine has bits for, bodies pass in front of one another.
    """

    def __init__(self, world: World, first_bit: int) -> None:
        self.world = world
        self.drawn: Drawn = world.drawn
        lengths = [_length(edges[0]) for name in self.drawn.outlines if (edges := self._edges(name))]
        shortest = min([*lengths, *(2 * r for r in self.drawn.radii.values())], default=self.drawn.size)
        self.radius = min(THICKNESS * self.drawn.size, STOUTEST * shortest) / 2
        self.shapes: dict[Name, list[pymunk.Shape]] = {}
        self.limits: dict[pymunk.RotaryLimitJoint, Name] = {}
        names = list(self.drawn.frame.bodies)
        fits = len(names) <= ALL_BITS - first_bit
        mates = {name: 0 for name in names}  # bits of the bodies that it meets
        for (i, a), (j, b) in combinations(enumerate(names), 2):
            if fits and not self._touch(a, b):
                mates[a] |= 1 << (first_bit + j)
                mates[b] |= 1 << (first_bit + i)
            for limit, hinge in self._stops(a, b):
                world.space.add(limit)
                self.limits[limit] = hinge
        for i, name in enumerate(names if fits else []):
            self.shapes[name] = list(self._shapes(name))
            for shape in self.shapes[name]:
                shape.filter = pymunk.ShapeFilter(categories=1 << (first_bit + i), mask=mates[name])

    def _edges(self, name: Name) -> list[Segment]:
        """The straight edges of a body as drawn: one for a rod, all for a plate, none for a disc."""
        outline = self.drawn.outlines[name]
        if len(outline) < 3:
            return [(outline[0], outline[1])] if len(outline) == 2 else []
        closed = zip(outline, [*outline[1:], outline[0]], strict=True)
        return [(a, b) for a, b in closed if a != b]

    def _shapes(self, name: Name) -> Iterator[pymunk.Shape]:
        body = self.world.engine(name)
        for a, b in self._edges(name):
            yield pymunk.Segment(body, self.world.at(name, a), self.world.at(name, b), self.radius)
        if name in self.drawn.radii:
            centre = self.world.at(name, self.drawn.centres[name])
            yield pymunk.Circle(body, self.drawn.radii[name], centre)

    def _touch(self, a: Name, b: Name) -> bool:
        """Whether two bodies share a point or touch as drawn: such never collide."""
        bodies = self.drawn.frame.bodies
        if set(bodies[a].points) & set(bodies[b].points):
            return True
        gap = 2.1 * self.radius
        if a in self.drawn.radii or b in self.drawn.radii:
            disc, other = (a, b) if a in self.drawn.radii else (b, a)
            return self.apart(other, self.drawn.centres[disc]) < self.drawn.radii[disc] + gap
        return any(_apart(one, other) < gap for one in self._edges(a) for other in self._edges(b))

    def apart(self, name: Name, place: Pair) -> float:
        """How far a place is from a body's edge as drawn [m]; less than 0 within a disc."""
        if name in self.drawn.radii:
            (x, y), (cx, cy) = place, self.drawn.centres[name]
            return hypot(x - cx, y - cy) - self.drawn.radii[name]
        return min(_distance(place, edge) for edge in self._edges(name))

    def _stops(self, a: Name, b: Name) -> Iterator[tuple[pymunk.RotaryLimitJoint, Name]]:
        """The stop between two rods hinged end to end: they fold until their sides touch."""
        frame = self.drawn.frame
        for joint in frame.joints.values():
            if joint.kind != "pin" or a not in joint.bodies or b not in joint.bodies:
                continue
            hinge = self.drawn.points[joint.point]
            first, second = (self._way_from(name, hinge) for name in (a, b))
            if first is None or second is None:
                continue
            (ax, ay), (bx, by) = first, second
            opening = atan2(ax * by - ay * bx, ax * bx + ay * by) % tau
            shorter = min(hypot(ax, ay), hypot(bx, by))
            touching = 2 * asin(min(self.radius / (ARM * shorter), 1.0))
            closed = min(touching, CLEARANCE * opening, CLEARANCE * (tau - opening))
            limit = pymunk.RotaryLimitJoint(
                self.world.engine(a), self.world.engine(b), closed - opening, tau - closed - opening
            )
            yield limit, joint.name

    def _way_from(self, name: Name, hinge: Pair) -> Pair | None:
        """From a hinge at one end of a rod to its other end; None if the hinge is not at an end."""
        outline = self.drawn.outlines[name]
        if len(outline) != 2 or hinge not in outline:
            return None
        other = outline[1] if outline[0] == hinge else outline[0]
        return other[0] - hinge[0], other[1] - hinge[1]


def _length(segment: Segment) -> float:
    (ax, ay), (bx, by) = segment
    return hypot(bx - ax, by - ay)


def _apart(first: Segment, second: Segment) -> float:
    """The distance of two segments [m]; 0 where they cross."""
    if _cross(first, second):
        return 0.0
    return min(*(_distance(p, second) for p in first), *(_distance(p, first) for p in second))


def _distance(p: Pair, segment: Segment) -> float:
    (ax, ay), (bx, by) = segment
    wx, wy = bx - ax, by - ay
    t = min(max(((p[0] - ax) * wx + (p[1] - ay) * wy) / (wx * wx + wy * wy), 0.0), 1.0)
    return hypot(p[0] - ax - t * wx, p[1] - ay - t * wy)


def _cross(first: Segment, second: Segment) -> bool:
    def side(a: Pair, b: Pair, p: Pair) -> float:
        return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])

    (a, b), (c, d) = first, second
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
