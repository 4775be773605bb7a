"""The pull of a hand: a spring from a place of a body to where the hand is, damped, of limited force.

    F = k (to - x) - c v        k = STIFF total weights over the frame's size,  c = 2 sqrt(k M) CLOSE

x is where the place will be after the step. Both are kept so small that a free body, with nothing else to
hold it, would not overshoot within a step: with K the most that a unit impulse at the place changes its
velocity,

    K c dt <= CALM,     K k dt^2 <= CALM

which bites for bodies almost without mass only. Joints make the place heavier than that.
"""

from __future__ import annotations

from math import hypot, sqrt
from typing import TYPE_CHECKING

from simlab.frame.model import Name
from simlab.results.hand import Hand
from simlab.simulation.drawn import Pair
from simlab.simulation.engine import speeds
from simlab.simulation.poses import ahead, local, placed, push

if TYPE_CHECKING:
    from simlab.simulation.world import World

STIFF = 12.0  # total weights at a pull as long as the frame: the whole weight at a twelfth of it
CALM = 0.5  # of what would stop a free body, or bring it to the hand, within a step
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
        held = world.engine(body)
        self.place = px, py = local(ahead(held, 0.0), at)
        self.to = at
        self.force: Pair = (0.0, 0.0)
        self.most = MOST * total
        self.stiffness = STIFF * total / world.drawn.size
        self.damping = 2 * CLOSE * sqrt(self.stiffness * total / world.drawn.gravity)
        self.lightness = 1 / held.mass + (px * px + py * py) / held.moment  # K; a point never turns

    def push(self, dt: float) -> None:
        """Let it act in the next step, of dt [s]."""
        body = self.world.engine(self.body)
        pose = ahead(body, dt)
        x, y = placed(pose, self.place)
        rx, ry = x - pose[0], y - pose[1]
        vx, vy, turning = speeds(body)
        k = min(self.stiffness, CALM / (self.lightness * dt * dt))
        c = min(self.damping, CALM / (self.lightness * dt))
        fx = k * (self.to[0] - x) - c * (vx - turning * ry)
        fy = k * (self.to[1] - y) - c * (vy + turning * rx)
        share = min(1.0, self.most / max(hypot(fx, fy), self.most))
        self.force = share * fx, share * fy
        push(body, self.place, self.force, dt)

    def seen(self) -> Hand:
        """The hand as it is now."""
        at = placed(ahead(self.world.engine(self.body), 0.0), self.place)
        return Hand(self.body, self.point, at, self.to, self.force)
