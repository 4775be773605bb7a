"""Poses of engine bodies, now and where the next step will look at them.

In each step the engine moves the bodies first and then looks at forces and joints: what is given to it from
outside (a load, the pull of a spring, a bar that is placed anew) is meant for the poses after the move.
"""

from __future__ import annotations

from math import cos, sin

import pymunk

from simlab.simulation import engine
from simlab.simulation.columns import N, cos_sin
from simlab.simulation.drawn import Pair

Pose = tuple[float, float, float]  # x, y [m], angle [rad]


def ahead(body: pymunk.Body, dt: float) -> Pose:
    """The pose of a body a time dt [s] from now, if nothing changes its velocity."""
    x, y, angle = engine.pose(body)
    if dt == 0.0:
        return x, y, angle
    vx, vy, turning = engine.speeds(body)
    return x + dt * vx, y + dt * vy, angle + dt * turning


def placed(pose: tuple[N, N, N], at: Pair) -> tuple[N, N]:
    """Where a point, given in a body's own coordinates, is at a pose of the body [m]."""
    x, y, angle = pose
    c, s = cos_sin(angle)
    return x + c * at[0] - s * at[1], y + s * at[0] + c * at[1]


def local(pose: Pose, at: Pair) -> Pair:
    """A place [m] in the coordinates of a body at a pose."""
    x, y, angle = pose
    c, s, dx, dy = cos(angle), sin(angle), at[0] - x, at[1] - y
    return c * dx + s * dy, c * dy - s * dx


def push(body: pymunk.Body, at: Pair, force: Pair, dt: float) -> None:
    """Let a force [N] act in the next step, of dt [s], at a point given in the body's own coordinates."""
    engine.add_force(body, *force)
    if at != (0.0, 0.0):
        pose = ahead(body, dt)
        x, y = placed(pose, at)
        engine.add_torque(body, (x - pose[0]) * force[1] - (y - pose[1]) * force[0])
