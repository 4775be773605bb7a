"""What bodies can run into in the showing: floors and walls, rounds that stand still, and each other.

Rods are thin in the question and thick to the eye: they meet each other as thick segments (`crowd`), but
floors and walls with the very points of the drawing, so that a foot lands where it is drawn. Contacts of
the question itself are no part of this: while they press they are guides (`pressing`), and they land by
themselves.
"""

from __future__ import annotations

from math import hypot

import pymunk

from simlab.frame.model import GROUND, Name
from simlab.simulation.crowd import Crowd
from simlab.simulation.drawn import Drawn, Pair, unit
from simlab.simulation.impulses import Lengths
from simlab.simulation.world import World

REACH = 20.0  # of floors and walls, in frame sizes: farther than anything falls
# A floor's surface stands this share of the frame's size above the drawn level: shapes that merely
# touch are no contact to the engine, and a foot would first fall.
OVERLAP = 1e-9
SLOP = 1e-7  # overlap the engine leaves alone, as a share of the frame's size
FLAT = 1e-7  # heights below this share of the frame's size are rounding
# The engine's 32 bits for who meets whom: floors, walls and rounds; feet; bodies (`crowd`).
MOST_STILL = 7  # what stands still beyond these is met by nobody
FEET = 1 << MOST_STILL
FIRST_BODY = MOST_STILL + 1


class Scenery:
    """Shapes and stops of a world.

    crowd : bodies among themselves; names : what a shape is of
    """

    def __init__(self, world: World) -> None:
        self.world = world
        self.drawn: Drawn = world.drawn
        self.names: dict[pymunk.Shape, Name] = {}
        self.planes: list[tuple[Pair, Pair]] = []  # a point and the normal of each
        self.rounds: list[tuple[Pair, float]] = []  # centre and radius of each
        self._met: list[tuple[float, tuple[pymunk.Shape, ...]]] = []
        world.space.on_collision(post_solve=self._note)
        world.space.collision_slop = SLOP * self.drawn.size
        self._add_planes()
        self._add_rounds()
        self._add_feet()
        self.crowd = Crowd(world, FIRST_BODY)
        self._folded = Lengths(self.crowd.limits)
        for name, shapes in self.crowd.shapes.items():
            still = self._still(name)
            for shape in shapes:
                mask = shape.filter.mask | still
                shape.filter = pymunk.ShapeFilter(categories=shape.filter.categories, mask=mask)
                self._add(shape, name)

    def _add(self, shape: pymunk.Shape, name: Name) -> None:
        self.names[shape] = name
        self.world.space.add(shape)

    def _add_planes(self) -> None:
        frame = self.drawn.frame
        for support in frame.supports.values():
            for point, name in zip(support.points, support.joints_or_contacts, strict=True):
                if name in frame.contacts and support.kind.endswith(("floor", "wall")):
                    normal = self.drawn.normals[name]
                elif support.faces is not None:
                    normal = unit(self.drawn.pair(support.faces))
                else:
                    continue
                where = self.drawn.points[point]
                # Two feet on one floor: one plane.
                if not any(n == normal and abs(self._height(where, (p, n))) < FLAT for p, n in self.planes):
                    self._add_plane(support.name, where, normal)

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
        plane.filter = self._bit(len(self.planes))
        self.planes.append((point, normal))
        self._add(plane, name)

    def _bit(self, n: int) -> pymunk.ShapeFilter:
        return pymunk.ShapeFilter(categories=1 << n if n < MOST_STILL else 0)

    def _add_rounds(self) -> None:
        """Cylinders, as bodies meet them that do not rest on them."""
        for support in self.drawn.frame.supports.values():
            if support.centre is None or not support.kind.endswith("cylinder"):
                continue
            contact = next(self.drawn.frame.contacts[c] for c in support.joints_or_contacts)
            (cx, cy), (x, y) = self.drawn.points[support.centre], self.drawn.points[contact.on.point]
            nx, ny = self.drawn.normals[contact.name]
            if (x - cx) * nx + (y - cy) * ny < 0:  # a bowl, in which they lie
                continue
            radius = hypot(x - cx, y - cy)
            circle = pymunk.Circle(self.world.ground, radius, (cx, cy))
            circle.filter = self._bit(len(self.planes) + len(self.rounds))
            self.rounds.append(((cx, cy), radius))
            self._add(circle, support.name)

    def _add_feet(self) -> None:
        """A point shape at each corner of a body that is not held by the ground.

        It meets the floors that it is drawn above: not those of higher steps, nor one that it stands on.
        """
        frame = self.drawn.frame
        held = {joint.point for joint in frame.joints.values() if GROUND in joint.bodies}
        for name, body in frame.bodies.items():
            for point, where in body.points.items():
                if point in held or self.drawn.pair(where) not in self.drawn.outlines[name]:
                    continue
                foot = pymunk.Circle(self.world.engine(name), 0.0, self.world.local(name, point))
                mask = self._planes_under(self.drawn.points[point], 0.0)
                foot.filter = pymunk.ShapeFilter(categories=FEET, mask=mask)
                self._add(foot, name)

    def _planes_under(self, point: Pair, reach: float) -> int:
        """The floors and walls that a point is above by more than a reach [m], as bits."""
        mask = 0
        for bit, plane in enumerate(self.planes[:MOST_STILL]):
            if self._height(point, plane) > reach / self.drawn.size + FLAT:
                mask |= 1 << bit
        return mask

    def _still(self, name: Name) -> int:
        """What stands still that a body meets with its whole bulk, as bits: rounds; a disc, planes too."""
        mask = 0
        for i, (centre, radius) in enumerate(self.rounds):
            bit = len(self.planes) + i
            if bit < MOST_STILL and self.crowd.apart(name, centre) > radius + 2.1 * self.crowd.radius:
                mask |= 1 << bit
        if name in self.drawn.radii:
            mask |= self._planes_under(self.drawn.centres[name], self.drawn.radii[name])
        return mask

    def touch(self, least: float) -> Name | None:
        """What touches: the hinge whose rods are folded up, or who met whom with an impulse of at least
        so much [N s]; None if nothing does."""
        if any(self._folded.read()):
            return next((hinge for limit, hinge in self.crowd.limits.items() if limit.impulse > 0), None)
        if not self._met:
            return None
        found = [
            ", ".join(self.names[shape] for shape in shapes)
            for impulse, shapes in self._met
            if impulse > least
        ]
        self._met.clear()
        return min(found, default=None)

    def watch_no_more(self) -> None:
        """From now on nobody asks what touches."""
        self.world.space.on_collision(post_solve=pymunk.empty_callback)
        self._met.clear()

    def _note(self, arbiter: pymunk.Arbiter, *_: object) -> None:
        """Told by the engine of every pair that met in a step: it asks nothing while nothing does."""
        self._met.append((arbiter.total_impulse.length, arbiter.shapes))
