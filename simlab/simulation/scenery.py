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
STOUTEST = 0.07  # most thickness, as a share of the shortest rod: rods of a long frame stay slender
REACH = 20.0  # of floors and walls, in frame sizes: farther than anything falls
# A floor's surface stands this share of the frame's size above the drawn level: shapes that merely
# touch are no contact to the engine, and a foot would first fall.
OVERLAP = 1e-9
SLOP = 1e-7  # overlap the engine leaves alone, as a share of the frame's size
FLAT = 1e-7  # heights below this share of the frame's size are rounding
ARM = 0.15  # of a rod: where folding neighbours touch, measured from their hinge
CLEARANCE = 0.5  # most of a drawn opening that a stop takes: every hinge is free to turn at first
# The engine's 32 bits for who meets whom: floors and walls, feet, rods.
MOST_PLANES = 7  # floors beyond these are met by nobody
FEET = 1 << MOST_PLANES
FIRST_ROD = MOST_PLANES + 1
MOST_RODS = 32 - FIRST_ROD  # in larger frames rods pass in front of one another


class Scenery:
    """Shapes and stops of a world.

    feet : shape by contact of the frame, idle until it is let on (while the contact presses, it is a
    bar); limits : stops between neighbours, with the name of their hinge; names : what a shape is of
    """

    def __init__(self, world: World) -> None:
        self.world = world
        self.drawn: Drawn = world.drawn
        shortest = min(
            (_length(outline) for outline in self.drawn.outlines.values()), default=self.drawn.size
        )
        self.radius = min(THICKNESS * self.drawn.size, STOUTEST * shortest) / 2
        self.feet: dict[Name, pymunk.Shape] = {}
        self.limits: dict[pymunk.RotaryLimitJoint, Name] = {}
        self.names: dict[pymunk.Shape, Name] = {}
        self.planes: list[tuple[Pair, Pair]] = []  # a point and the normal of each
        world.space.collision_slop = SLOP * self.drawn.size
        self._add_planes()
        self._add_feet()
        self._add_rods()

    def _add_planes(self) -> None:
        frame = self.drawn.frame
        for support in frame.supports.values():
            for point, name in zip(support.points, support.joints_or_contacts, strict=True):
                if name in frame.contacts:
                    if self._is_peg(name):
                        continue
                    normal = self.drawn.normals[name]
                elif support.faces is not None:
                    normal = unit(self.drawn.pair(support.faces))
                else:
                    continue
                where = self.drawn.points[point]
                # Two feet on one floor: one plane.
                if not any(n == normal and abs(self._height(where, (p, n))) < FLAT for p, n in self.planes):
                    self._add_plane(support.name, where, normal)

    def _is_peg(self, contact: Name) -> bool:
        """Whether a contact is at an inner point of a rod: then there is no floor, and it cannot land."""
        on = self.drawn.frame.contacts[contact].on
        body = home(self.drawn.frame, on)
        return body in self.drawn.outlines and self.drawn.points[on.point] not in self.drawn.outlines[body]

    def _height(self, point: Pair, plane: tuple[Pair, Pair]) -> float:
        """How high a point is above a plane, in frame sizes."""
        (px, py), (nx, ny) = plane
        return ((point[0] - px) * nx + (point[1] - py) * ny) / self.drawn.size

    def _add_plane(self, name: Name, point: Pair, normal: Pair) -> None:
        (x, y), (nx, ny), size = point, normal, self.drawn.size
        depth = REACH * size
        x, y = x - nx * (depth - OVERLAP * size), y - ny * (depth - OVERLAP * size)
        ends = (x + depth * ny, y - depth * nx), (x - depth * ny, y + depth * nx)
        plane = pymunk.Segment(self.world.ground, *ends, depth)
        bit = len(self.planes)
        plane.filter = pymunk.ShapeFilter(categories=1 << bit if bit < MOST_PLANES else 0)
        self.planes.append((point, normal))
        self._add(plane, name)

    def _add(self, shape: pymunk.Shape, name: Name) -> None:
        self.names[shape] = name
        self.world.space.add(shape)

    def _add_feet(self) -> None:
        """A point shape at each contact, and at each rod end that is not held by the ground."""
        frame = self.drawn.frame
        contacts = {
            (home(frame, c.on), c.on.point): name
            for name, c in frame.contacts.items()
            if not self._is_peg(name)
        }
        held = {joint.point for joint in frame.joints.values() if GROUND in joint.bodies}
        ends = [
            (name, point)
            for name, body in frame.bodies.items()
            for point, where in body.points.items()
            if point not in held and self.drawn.pair(where) in self.drawn.outlines[name]
        ]
        for name, point in dict.fromkeys([*contacts, *ends]):
            foot = pymunk.Circle(self.world.engine(name), 0.0, self.world.local(name, point))
            if (name, point) in contacts:
                self.feet[contacts[name, point]] = foot
                foot.filter = pymunk.ShapeFilter(categories=FEET, mask=0)
            else:
                self._let_on(foot, point, FLAT)
            self._add(foot, name)

    def let_on(self, contact: Name) -> None:
        """From now on the engine looks for this contact itself: it may lift off and land."""
        self._let_on(self.feet[contact], self.drawn.frame.contacts[contact].on.point, -FLAT)

    def _let_on(self, foot: pymunk.Shape, point: Name, least: float) -> None:
        """A foot meets the floors that it is drawn above, by at least so much.

        Not those of higher steps; and not one that it is level with, if it is no contact of the frame.
        """
        where, mask = self.drawn.points[point], 0
        for bit, plane in enumerate(self.planes[:MOST_PLANES]):
            if self._height(where, plane) > least:
                mask |= 1 << bit
        foot.filter = pymunk.ShapeFilter(categories=FEET, mask=mask)

    def _add_rods(self) -> None:
        names = list(self.drawn.frame.bodies)
        apart = {name: 0 for name in names}  # bits of the rods that a rod never meets
        for (i, a), (j, b) in combinations(enumerate(names), 2):
            if len(names) > MOST_RODS or self._meet(a, b):
                apart[a] |= 1 << (FIRST_ROD + j)
                apart[b] |= 1 << (FIRST_ROD + i)
            for limit, hinge in self._stops(a, b):
                self.world.space.add(limit)
                self.limits[limit] = hinge
        if len(names) > MOST_RODS:
            return
        for i, name in enumerate(names):
            (ax, ay), (bx, by) = self.drawn.outlines[name][:2]
            cx, cy = self.world.masses[name].centre
            rod = pymunk.Segment(
                self.world.engine(name), (ax - cx, ay - cy), (bx - cx, by - cy), self.radius
            )
            rods = (1 << len(names)) - 1 << FIRST_ROD
            rod.filter = pymunk.ShapeFilter(categories=1 << (FIRST_ROD + i), mask=rods & ~apart[name])
            self._add(rod, name)

    def _meet(self, a: Name, b: Name) -> bool:
        """Whether two rods share a point or touch as drawn: such never collide."""
        bodies = self.drawn.frame.bodies
        if set(bodies[a].points) & set(bodies[b].points):
            return True
        first, second = self.drawn.outlines[a][:2], self.drawn.outlines[b][:2]
        gap = min(*(_distance(p, second) for p in first), *(_distance(p, first) for p in second))
        return gap < 2.1 * self.radius or _cross(first, second)

    def _stops(self, a: Name, b: Name) -> Iterator[tuple[pymunk.RotaryLimitJoint, Name]]:
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
            touching = 2 * asin(min(self.radius / (ARM * shorter), 1.0))
            closed = min(touching, CLEARANCE * opening, CLEARANCE * (tau - opening))
            limit = pymunk.RotaryLimitJoint(
                self.world.engine(a), self.world.engine(b), closed - opening, tau - closed - opening
            )
            yield limit, joint.name

    def touch(self, least: float) -> Name | None:
        """What touches: the hinge whose rods are folded up, or who met whom with an impulse of at least
        so much [N s]; None if nothing does."""
        for limit, hinge in self.limits.items():
            if limit.impulse > 0:
                return hinge
        found: list[Name] = []

        def note(arbiter: pymunk.Arbiter) -> None:
            if arbiter.total_impulse.length > least:
                found.append(", ".join(self.names[shape] for shape in arbiter.shapes))

        for body in self.world.bodies.values():
            body.each_arbiter(note)
        return min(found, default=None)

    def _way_from(self, name: Name, hinge: Pair) -> Pair | None:
        """From a hinge at one end of a rod to its other end; None if the hinge is not at an end."""
        outline = self.drawn.outlines[name]
        if len(outline) != 2 or hinge not in outline:
            return None
        other = outline[1] if outline[0] == hinge else outline[0]
        return other[0] - hinge[0], other[1] - hinge[1]


def _length(outline: list[Pair]) -> float:
    """From the first corner of an outline to the second: the length of a rod."""
    (ax, ay), (bx, by) = outline[:2]
    return hypot(bx - ax, by - ay)


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
