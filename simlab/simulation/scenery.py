"""What bodies can run into in the showing: floors, walls, each other, and their own neighbours.

Rods are thin in the question and thick to the eye. Rods that share no point collide as thick
segments; rods hinged end to end fold as far as thick rods can, by a stop at their hinge; rods meet
floors and walls with the very points of the drawing, so that a foot presses where it is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import asin, atan2, hypot, tau

import pymunk

from simlab.frame.model import GROUND, Name
from simlab.simulation.drawn import Drawn, Pair, unit
from simlab.simulation.masses import home
from simlab.simulation.world import World

THICKNESS = 0.02  # of a rod, as a share of the frame's size; pictures draw about as much
REACH = 20.0  # of floors and walls, in frame sizes: farther than anything falls
# A floor's surface stands this share of the frame's size above the drawn level: shapes that merely
# touch are no contact to the engine, and a foot would first fall.
OVERLAP = 1e-9
SLOP = 1e-7  # overlap the engine leaves alone, as a share of the frame's size
ARM = 0.15  # of a rod: where folding neighbours touch, measured from their hinge
FLOOR = 1 << 0
FEET = 1 << 1
FIRST_ROD = 2  # bits below are taken
MOST_RODS = 30  # bits of a filter; in larger frames rods pass in front of one another


class Scenery:
    """Shapes and stops of a world.

    feet : shape by contact of the frame; limits : stops between neighbours
    """

    def __init__(self, world: World) -> None:
        self.world = world
        self.drawn: Drawn = world.drawn
        self.radius = THICKNESS / 2 * self.drawn.size
        self.feet: dict[Name, pymunk.Shape] = {}
        self.limits: list[pymunk.RotaryLimitJoint] = []
        world.space.collision_slop = SLOP * self.drawn.size
        self._add_planes()
        self._add_feet()
        self._add_rods()

    def _add_planes(self) -> None:
        frame, seen = self.drawn.frame, set()
        for support in frame.supports.values():
            for point, name in zip(support.points, support.joints_or_contacts, strict=True):
                if name in frame.contacts:
                    normal = self.drawn.normals[name]
                elif support.faces is not None:
                    normal = unit(self.drawn.pair(support.faces))
                else:
                    continue
                x, y = self.drawn.points[point]
                plane = (normal, round((x * normal[0] + y * normal[1]) / self.drawn.size, 9))
                if plane not in seen:  # two feet on one floor
                    seen.add(plane)
                    self._add_plane((x, y), normal)

    def _add_plane(self, point: Pair, normal: Pair) -> None:
        (x, y), (nx, ny), size = point, normal, self.drawn.size
        depth = REACH * size
        x, y = x - nx * (depth - OVERLAP * size), y - ny * (depth - OVERLAP * size)
        ends = (x + depth * ny, y - depth * nx), (x - depth * ny, y + depth * nx)
        plane = pymunk.Segment(self.world.ground, *ends, depth)
        plane.filter = pymunk.ShapeFilter(categories=FLOOR)
        self.world.space.add(plane)

    def _add_feet(self) -> None:
        """A point shape at each contact, and at each rod end that is not held by the ground."""
        frame = self.drawn.frame
        contacts = {(home(frame, c.on), c.on.point): name for name, c in frame.contacts.items()}
        held = {joint.point for joint in frame.joints.values() if GROUND in joint.bodies}
        ends = [
            (name, point)
            for name, body in frame.bodies.items()
            for point, where in body.points.items()
            if point not in held and self.drawn.pair(where) in self.drawn.outlines[name]
        ]
        for name, point in dict.fromkeys([*contacts, *ends]):
            foot = pymunk.Circle(self.world.engine(name), 0.0, self.world.local(name, point))
            foot.filter = pymunk.ShapeFilter(categories=FEET, mask=FLOOR)
            self.world.space.add(foot)
            if (name, point) in contacts:
                self.feet[contacts[name, point]] = foot

    def _add_rods(self) -> None:
        names = list(self.drawn.frame.bodies)
        apart = {name: 0 for name in names}  # bits of the rods that a rod never meets
        for (i, a), (j, b) in combinations(enumerate(names), 2):
            if len(names) > MOST_RODS or self._meet(a, b):
                apart[a] |= 1 << (FIRST_ROD + j)
                apart[b] |= 1 << (FIRST_ROD + i)
            for limit in self._stops(a, b):
                self.world.space.add(limit)
                self.limits.append(limit)
        if len(names) > MOST_RODS:
            return
        for i, name in enumerate(names):
            (ax, ay), (bx, by) = self.drawn.outlines[name][:2]
            cx, cy = self.world.masses[name].centre
            rod = pymunk.Segment(
                self.world.engine(name), (ax - cx, ay - cy), (bx - cx, by - cy), self.radius
            )
            others = pymunk.ShapeFilter.ALL_MASKS() ^ (FLOOR | FEET | apart[name])
            rod.filter = pymunk.ShapeFilter(categories=1 << (FIRST_ROD + i), mask=others)
            self.world.space.add(rod)

    def _meet(self, a: Name, b: Name) -> bool:
        """Whether two rods share a point or touch as drawn: such never collide."""
        bodies = self.drawn.frame.bodies
        if set(bodies[a].points) & set(bodies[b].points):
            return True
        first, second = self.drawn.outlines[a][:2], self.drawn.outlines[b][:2]
        gap = min(*(_distance(p, second) for p in first), *(_distance(p, first) for p in second))
        return gap < 2.1 * self.radius or _cross(first, second)

    def _stops(self, a: Name, b: Name) -> Iterator[pymunk.RotaryLimitJoint]:
        """The stop between two rods hinged end to end: they fold until their sides touch."""
        frame = self.drawn.frame
        for joint in frame.joints.values():
            if joint.kind != "pin" or a not in joint.bodies or b not in joint.bodies:
                continue
            hinge = self.drawn.points[joint.point]
            ways = [self._way_from(name, hinge) for name in (a, b)]
            if None in ways:
                continue
            (ax, ay), (bx, by) = ways  # type: ignore[misc]
            opening = atan2(ax * by - ay * bx, ax * bx + ay * by) % tau
            shorter = min(hypot(ax, ay), hypot(bx, by))
            closed = min(2 * asin(min(self.radius / (ARM * shorter), 1.0)), opening, tau - opening)
            yield pymunk.RotaryLimitJoint(
                self.world.engine(a), self.world.engine(b), closed - opening, tau - closed - opening
            )

    def _way_from(self, name: Name, hinge: Pair) -> Pair | None:
        """From a hinge at one end of a rod to its other end; None if the hinge is not at an end."""
        outline = self.drawn.outlines[name]
        if len(outline) != 2 or hinge not in outline:
            return None
        other = outline[1] if outline[0] == hinge else outline[0]
        return other[0] - hinge[0], other[1] - hinge[1]


def _distance(p: Pair, segment: list[Pair]) -> float:
    (ax, ay), (bx, by) = segment
    wx, wy = bx - ax, by - ay
    t = min(max(((p[0] - ax) * wx + (p[1] - ay) * wy) / (wx * wx + wy * wy), 0.0), 1.0)
    return hypot(p[0] - ax - t * wx, p[1] - ay - t * wy)


def _cross(first: list[Pair], second: list[Pair]) -> bool:
    def side(a: Pair, b: Pair, p: Pair) -> float:
        return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])

    (a, b), (c, d) = first, second
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
