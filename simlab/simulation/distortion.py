"""How far a world has come from its drawn shape, and what its forces would leave over there.

The engine balances its forces in the shape that it has come to, and that is never quite the drawn one. The
same forces in the drawn shape, hinge forces as they are and thrusts along the drawn bars, leave a little
over on each body. How much that can be in the forces, `Gaps.growth` tells: nothing in a stout frame, but
in one so flat that a member carries 6000 weights, it is thousands of times as much.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import hypot

import numpy as np
import pymunk

from simlab.frame.model import GROUND, Name
from simlab.results import Floats
from simlab.simulation.drawn import Pair, unit
from simlab.simulation.impulses import Impulse
from simlab.simulation.masses import home
from simlab.simulation.world import World

Acting = tuple[pymunk.Body, Pair, Pair]  # body, point in its own coordinates [m], force [N]


class Distortion:
    """A world as it was built, kept for comparison.

    joints : with the drawn way of each bar; pulls : of the members of known tension, as drawn
    """

    def __init__(self, world: World) -> None:
        self.world = world
        self.names = {body: name for name, body in world.bodies.items()}
        self.joints = [(Impulse(joint), _way(joint)) for joint in world.space.constraints]
        self.pulls: list[Acting] = []
        for member in world.known.values():
            for place, pull in zip(member.link.places, member.pulls(), strict=True):
                on = home(world.frame, place)
                if on != GROUND:
                    self.pulls.append((world.engine(on), world.local(on, place.point), pull))

    @property
    def angle(self) -> float:
        """The largest turn of any body of the frame, and of any bar [rad]."""
        turns = [abs(self.world.bodies[name].angle) for name in self.world.frame.bodies]
        for impulse, drawn in self.joints:
            if drawn is not None:
                x, y = _way(impulse.joint) or drawn
                turns.append(hypot(x - drawn[0], y - drawn[1]))
        return max(turns, default=0.0)

    def left_over(self, step: float) -> Mapping[Name, Floats]:
        """What the forces of the last step leave over on each body in the drawn shape, shape (3,).

        Forces [N] along x and y, and the moment [N m] about its centre of mass.
        """
        world = self.world
        left = {name: np.array([0.0, -mass.inert, 0.0]) for name, mass in world.masses.items()}
        for body, (x, y), (fx, fy) in (
            *world.lifts,
            *world.applied,
            *self.pulls,
            *self._in_joints(step),
        ):
            if body in self.names:
                left[self.names[body]] += (fx, fy, x * fy - y * fx)
        for body, moment in (*world.couples, *self._in_gears(step)):
            if body in self.names:
                left[self.names[body]][2] += moment
        return left

    def _in_joints(self, step: float) -> Iterator[Acting]:
        for impulse, drawn in self.joints:
            joint = impulse.joint
            if isinstance(joint, pymunk.GearJoint):
                continue
            x, y = impulse.read()
            if drawn is not None:
                x, y = x * drawn[0], x * drawn[1]
            yield joint.a, joint.anchor_a, (-x / step, -y / step)
            yield joint.b, joint.anchor_b, (x / step, y / step)

    def _in_gears(self, step: float) -> Iterator[tuple[pymunk.Body, float]]:
        for impulse, _ in self.joints:
            if isinstance(impulse.joint, pymunk.GearJoint):
                moment = impulse.read()[0] / step
                yield impulse.joint.a, -moment
                yield impulse.joint.b, moment


def _way(joint: pymunk.Constraint) -> Pair | None:
    """The unit vector along a bar, as it is now; None for a joint that is no bar."""
    if not isinstance(joint, pymunk.PinJoint):
        return None
    way = joint.b.local_to_world(joint.anchor_b) - joint.a.local_to_world(joint.anchor_a)
    return unit((way.x, way.y))
