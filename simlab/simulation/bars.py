"""Light bars: what a smooth contact is as long as it presses, what a peg is to a string, what holds are."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pymunk

from simlab.frame.model import GROUND, Name
from simlab.simulation.drawn import Pair
from simlab.simulation.impulses import Impulse

if TYPE_CHECKING:
    from simlab.simulation.world import World


class Bar:
    """A light bar of length `reach` from the ground, or from the body `by`, that pushes a drawn point of
    a body along a direction.

    As long as the point moves little beside the length, that is a smooth contact; but one that may
    pull as well. Whoever uses it looks at the sign of its thrust. The line of the push passes through the
    point, so that its reaction on `by` acts as if it were at the point too.
    """

    def __init__(
        self, world: World, body: Name, point: Pair, direction: Pair, reach: float, by: Name = GROUND
    ) -> None:
        (x, y), (dx, dy) = point, direction
        self.world = world
        self.body = body
        start = world.at(by, (x - reach * dx, y - reach * dy))
        self.joint = pymunk.PinJoint(world.engine(by), world.engine(body), start, world.at(body, point))
        world.space.add(self.joint)
        self.impulse = Impulse(self.joint)

    def thrust(self, dt: float) -> float:
        """The thrust in the last step [N]; negative, if it pulls."""
        return self.impulse.read()[0] / dt

    def push(self, dt: float) -> tuple[Name, Pair, Pair]:
        """Body, present point [m], and the force on the body in the last step [N]."""
        point = self.joint.b.local_to_world(self.joint.anchor_b)
        way = (point - self.joint.a.local_to_world(self.joint.anchor_a)).normalized()
        thrust = self.thrust(dt)
        return self.body, (point.x, point.y), (thrust * way.x, thrust * way.y)

    def remove(self) -> None:
        """Take the bar away."""
        self.world.space.remove(self.joint)
