"""The pull of a hand: a spring from a place of a body to where the hand is, damped, of limited force.

    F = k (to - x) - c v        k = STIFF total weights over the frame's size,  c = 2 sqrt(k M) CLOSE

It is given for where the place will be after the step, with what it changes of the place's own velocity
counted in, so that no stiffness can make it swing up from step to step:

    (1 + K (c + k dt) dt) F = k (to - x - v dt) - c v      K : what a unit impulse there does to a free body

Joints only make the place heavier than that.
"""

from __future__ import annotations

from math import hypot, sqrt
from typing import TYPE_CHECKING

from simlab.frame.model import Name
from simlab.results.hand import Hand
from simlab.simulation.drawn import Pair
from simlab.simulation.poses import ahead, local, placed

if TYPE_CHECKING:
    from simlab.simulation.world import World

STIFF = 12.0  # total weights, for a pull as long as the frame: a tenth of it feels like the whole weight
CLOSE = 0.5  # of the damping at which the whole frame on the spring would not swing
MOST = 3.0  # total weights: a hand is no stronger, or rods would be flung about
# Share of velocity kept in a second while a hand holds a frame that is not at rest: it follows the hand,
# and does not whirl about it.
DAMPING = 0.05


class Pull:
    """A hand that holds a place of a body.

    place : in the body's own coordinates [m]; to : where the hand is [m]; force : in the last step [N]
    """

    def __init__(self, world: World, body: Name, at: Pair, total: float, point: Name | None = None) -> None:
        self.world, self.body, self.point = world, body, point
        self.place = local(ahead(world.engine(body), 0.0), at)
        self.to = at
        self.force: Pair = (0.0, 0.0)
        self.most = MOST * total
        self.stiffness = STIFF * total / world.drawn.size
        self.damping = 2 * CLOSE * sqrt(self.stiffness * total / world.drawn.gravity)

    def push(self, dt: float) -> None:
        """Let it act in the next step, of dt [s]."""
        body = self.world.engine(self.body)
        pose = ahead(body, dt)
        x, y = placed(pose, self.place)
        rx, ry = x - pose[0], y - pose[1]
        (vx, vy), turning = body.velocity, body.angular_velocity
        vx, vy = vx - turning * ry, vy + turning * rx
        k, c = self.stiffness, self.damping
        wanted = k * (self.to[0] - x) - c * vx, k * (self.to[1] - y) - c * vy
        fx, fy = self._softened(wanted, (rx, ry), (c + k * dt) * dt)
        size = hypot(fx, fy)
        if size > self.most:
            fx, fy = fx * self.most / size, fy * self.most / size
        self.force = fx, fy
        gx, gy = body.force
        body.force = gx + fx, gy + fy
        body.torque += rx * fy - ry * fx

    def _softened(self, wanted: Pair, arm: Pair, share: float) -> Pair:
        """The F of (1 + share K) F = wanted; K in the body's own way of turning, two by two."""
        body = self.world.engine(self.body)
        light, turns = 1 / body.mass, 1 / body.moment  # a point's moment of inertia is infinite
        rx, ry = arm
        a = 1 + share * (light + turns * ry * ry)
        b = -share * turns * rx * ry
        d = 1 + share * (light + turns * rx * rx)
        determinant = a * d - b * b
        return (d * wanted[0] - b * wanted[1]) / determinant, (a * wanted[1] - b * wanted[0]) / determinant

    def seen(self) -> Hand:
        """The hand as it is now."""
        at = placed(ahead(self.world.engine(self.body), 0.0), self.place)
        return Hand(self.body, self.point, at, self.to, self.force)
