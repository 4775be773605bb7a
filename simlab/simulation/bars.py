"""Light bars from the ground: what a smooth contact is as long as it presses, and what holds are."""

from __future__ import annotations

import pymunk

from simlab.frame.model import Name
from simlab.simulation.drawn import Pair
from simlab.simulation.impulses import Impulse
from simlab.simulation.world import World


class Bar:
    """A light bar of length `reach` that pushes a drawn point of a body along a direction.

    As long as the point moves little beside the length, that is a smooth contact; but one that may
    pull as well. Whoever uses it looks at the sign of its thrust.
    """

    def __init__(self, world: World, body: Name, point: Pair, direction: Pair, reach: float) -> None:
        (x, y), (dx, dy), (cx, cy) = point, direction, world.masses[body].centre
        self.world = world
        self.body = body
        self.joint = pymunk.PinJoint(
            world.ground, world.engine(body), (x - reach * dx, y - reach * dy), (x - cx, y - cy)
        )
        world.space.add(self.joint)
        self.impulse = Impulse(self.joint)

    def thrust(self, dt: float) -> float:
        """The thrust in the last step [N]; negative, if it pulls."""
        return self.impulse.read()[0] / dt

    def push(self, dt: float) -> tuple[Name, Pair, Pair]:
        """Body, present point [m], and the force on the body in the last step [N]."""
        point = self.joint.b.local_to_world(self.joint.anchor_b)
        way = (point - self.joint.anchor_a).normalized()
        thrust = self.thrust(dt)
        return self.body, (point.x, point.y), (thrust * way.x, thrust * way.y)

    def remove(self) -> None:
        """Take the bar away."""
        self.world.space.remove(self.joint)
