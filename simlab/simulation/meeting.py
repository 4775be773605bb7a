"""Where two surfaces meet as their bodies move: the point, the normal, the gap, and how far one has slid.

With C the centre and r the radius of a round, B a point of a flat, n the normal towards what rests and t
the same turned clockwise,

    round on flat      n turns with the flat      gap = n.(C - B) - r
    flat on round      n turns with the flat      gap = n.(B - C) - r
    round on round     n along the centres        gap = |C C'| - r - r', or r' - r - |C C'| in a bowl

What slides is the difference of the ways that the point of contact X has gone along the two surfaces: along
a flat t.(X - B), along a round r times the angle between n and the body. Rolling is sliding by nothing.
"""

from __future__ import annotations

from math import atan2, remainder, tau

import pymunk

from simlab.frame.model import Contact
from simlab.simulation.columns import N, cos_sin, size
from simlab.simulation.drawn import Pair
from simlab.simulation.poses import Pose, ahead, placed
from simlab.simulation.surfaces import Flat, Round, surfaces
from simlab.simulation.world import World


class Meeting:
    """The meeting of the two surfaces of a contact, looked at anew by `look`.

    point [m]; normal, a unit vector; gap [m], negative where they overlap; slid [m] along the tangent;
    span, along: how far the flat goes, if it has ends, and where on it the point is [m from the drawn one]
    """

    def __init__(self, world: World, contact: Contact) -> None:
        self.on, self.by = surfaces(world.drawn, contact)
        self.bodies: tuple[pymunk.Body, pymunk.Body] = (
            world.engine(self.on.body),
            world.engine(self.by.body),
        )
        self._at = tuple(
            world.at(side.body, side.centre if isinstance(side, Round) else side.point)
            for side in (self.on, self.by)
        )
        self.span = next((side.span for side in (self.on, self.by) if isinstance(side, Flat)), None)
        self.drawn_normal = self.normal = world.drawn.normals[contact.name]
        self._angle = atan2(self.normal[1], self.normal[0])
        self.point, self.gap, self.slid, self.along = (0.0, 0.0), 0.0, 0.0, 0.0
        self.poses: tuple[Pose, Pose] = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
        self.look(0.0)

    @property
    def tangent(self) -> Pair:
        """The normal turned clockwise."""
        return self.normal[1], -self.normal[0]

    def look(self, dt: float) -> None:
        """Look at where the bodies will be a time dt from now, if nothing changes their velocities."""
        on, by = (ahead(body, dt) for body in self.bodies)
        self.poses = on, by
        self.normal, self.gap, self.point, base = self.meet(on, by)
        if isinstance(self.by, Flat):
            self.along = self._along(base)
            r = self.on.radius if isinstance(self.on, Round) else 0.0
            self.slid = self.along + r * (on[2] - by[2])
        elif isinstance(self.on, Flat):
            self.along = self._along(base)
            self.slid = self.by.radius * (by[2] - on[2]) - self.along
        else:
            nx, ny = self.normal
            self._angle += remainder(atan2(ny, nx) - self._angle, tau)
            of_by, of_on = self._angle - by[2], self._angle - on[2]
            self.slid = -(-1.0 if self.by.hollow else 1.0) * self.by.radius * of_by - self.on.radius * of_on

    def meet(
        self, on: tuple[N, N, N], by: tuple[N, N, N]
    ) -> tuple[tuple[N, N], N, tuple[N, N], tuple[N, N]]:
        """Normal, gap and point of contact at poses of the two bodies; and the point of a flat."""
        (ax, ay), (bx, b_y) = placed(on, self._at[0]), placed(by, self._at[1])
        if isinstance(self.by, Flat):
            nx, ny = self._turned(by[2])
            r = self.on.radius if isinstance(self.on, Round) else 0.0
            gap = (ax - bx) * nx + (ay - b_y) * ny - r
            return (nx, ny), gap, (ax - r * nx, ay - r * ny), (bx, b_y)
        r = self.by.radius
        if isinstance(self.on, Flat):
            nx, ny = self._turned(on[2])
            gap = (ax - bx) * nx + (ay - b_y) * ny - r
            return (nx, ny), gap, (bx + r * nx, b_y + r * ny), (ax, ay)
        side, apart = -1.0 if self.by.hollow else 1.0, size(ax - bx, ay - b_y)
        nx, ny = side * (ax - bx) / apart, side * (ay - b_y) / apart
        gap = side * (apart - r) - self.on.radius
        return (nx, ny), gap, (bx + side * r * nx, b_y + side * r * ny), (bx, b_y)

    def _turned(self, angle: N) -> tuple[N, N]:
        """The drawn normal, turned with a body."""
        (x, y), (c, s) = self.drawn_normal, cos_sin(angle)
        return c * x - s * y, s * x + c * y

    def _along(self, base: Pair) -> float:
        nx, ny = self.normal
        return (self.point[0] - base[0]) * ny - (self.point[1] - base[1]) * nx
