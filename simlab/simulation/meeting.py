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

from math import atan2, cos, hypot, remainder, sin, tau

import pymunk

from simlab.frame.model import Contact
from simlab.simulation.drawn import Pair
from simlab.simulation.poses import Pose, ahead, placed
from simlab.simulation.surfaces import Flat, Round, surfaces
from simlab.simulation.world import World


class Meeting:
    """The meeting of the two surfaces of a contact, looked at anew by `look`.

    point [m]; normal, a unit vector; gap [m], negative where they overlap; slid [m] along the tangent;
    along: how far along a flat of known span the point is from the drawn one [m]
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
        self.drawn_normal = self.normal = world.drawn.normals[contact.name]
        self._angle = atan2(self.normal[1], self.normal[0])
        self.point, self.gap, self.slid, self.along = (0.0, 0.0), 0.0, 0.0, 0.0
        self.poses: tuple[Pose, Pose] = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
        self.look(0.0)

    @property
    def tangent(self) -> Pair:
        """The normal turned clockwise."""
        return self.normal[1], -self.normal[0]

    @property
    def span(self) -> tuple[float, float] | None:
        """How far the flat goes, if it has ends."""
        return next((side.span for side in (self.on, self.by) if isinstance(side, Flat)), None)

    def look(self, dt: float) -> None:
        """Look at where the bodies will be a time dt from now, if nothing changes their velocities."""
        on, by = (ahead(body, dt) for body in self.bodies)
        self.poses = on, by
        (ax, ay), (bx, y) = (placed(pose, at) for pose, at in zip((on, by), self._at, strict=True))
        if isinstance(self.by, Flat):
            r = self.on.radius if isinstance(self.on, Round) else 0.0
            nx, ny = self._turned(by[2])
            self.gap = (ax - bx) * nx + (ay - y) * ny - r
            self.point = ax - r * nx, ay - r * ny
            self.along = self._along(bx, y)
            self.slid = self.along + r * (on[2] - by[2])
        elif isinstance(self.on, Flat):
            r = self.by.radius
            nx, ny = self._turned(on[2])
            self.gap = (ax - bx) * nx + (ay - y) * ny - r
            self.point = bx + r * nx, y + r * ny
            self.along = self._along(ax, ay)
            self.slid = r * (by[2] - on[2]) - self.along
        else:
            self._look_at_rounds(self.on, self.by, (ax - bx, ay - y), (bx, y))

    def _turned(self, angle: float) -> Pair:
        (x, y), c, s = self.drawn_normal, cos(angle), sin(angle)
        self.normal = nx, ny = c * x - s * y, s * x + c * y
        return nx, ny

    def _along(self, x: float, y: float) -> float:
        nx, ny = self.normal
        return (self.point[0] - x) * ny - (self.point[1] - y) * nx

    def _look_at_rounds(self, on: Round, by: Round, between: Pair, centre: Pair) -> None:
        apart, side = hypot(*between), -1.0 if by.hollow else 1.0
        self.normal = nx, ny = side * between[0] / apart, side * between[1] / apart
        self.gap = side * (apart - by.radius) - on.radius
        self.point = centre[0] + side * by.radius * nx, centre[1] + side * by.radius * ny
        self._angle += remainder(atan2(ny, nx) - self._angle, tau)
        turned, (of_on, of_by) = self._angle, self.poses
        self.slid = -side * by.radius * (turned - of_by[2]) - on.radius * (turned - of_on[2])
