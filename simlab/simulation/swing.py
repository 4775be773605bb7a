"""The period of a mode as the simulation swings: a small push along it, and the time between zeros.

The frame stands loaded at rest. It is given the velocities of the mode, small enough that all sines are as
good as angles, and let swing undamped; the period is twice the mean time between zeros of

    s = sum over bodies of  m u.v + I theta w       (u, theta: how far moved;  v, w: the mode)
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from simlab.frame.model import Frame, Name, Values
from simlab.simulation.stage import RATE, Stage

SMALL = 1e-3  # [rad], or of the frame's size: the amplitude; the period is off by its square over 16
TURNS = 4  # half periods measured

Velocities = Mapping[Name, tuple[float, float, float]]  # of bodies, and of pins that no body turns on


def period(frame: Frame, values: Values, velocity: Velocities, expected: float) -> float | None:
    """The period [s] of a mode; None if the frame has not swung in four times the expected period.

    velocity : of each body's centre [m/s], with its angular velocity [rad/s], in any one scale
    expected : about how long it takes [s], by which the size of the push is chosen
    """
    stage = Stage(frame, values)
    stage.rest_under_load()
    reach = max(max(abs(x), abs(y)) / stage.drawn.size + abs(turn) for x, y, turn in velocity.values())
    scale = SMALL * 2 * np.pi / (expected * reach)
    stage.push({name: (x * scale, y * scale, w * scale) for name, (x, y, w) in velocity.items()})
    along = _Along(stage, velocity)
    zeros: list[float] = []
    before = along.size()
    for _ in range(round(TURNS * expected * RATE)):
        stage.step()
        now = along.size()
        if before * now < 0:
            zeros.append(stage.time - now / (now - before) / RATE)
            if len(zeros) == TURNS + 1:
                return 2 * (zeros[-1] - zeros[0]) / TURNS
        before = now
    return None


class _Along:
    """How far a stage has moved along a mode."""

    def __init__(self, stage: Stage, velocity: Velocities) -> None:
        self.world = stage.world
        self.start = {name: (body.position, body.angle) for name, body in self.world.bodies.items()}
        moving = [name for name in velocity if name in self.world.bodies]
        self.ways = {name: stage.world.engine_velocity(name, velocity[name]) for name in moving}

    def size(self) -> float:
        """The sum s, in any one scale."""
        total = 0.0
        for name, (vx, vy, turn) in self.ways.items():
            body = self.world.bodies[name]
            place, angle = self.start[name]
            moved = body.position - place
            total += body.mass * (moved.x * vx + moved.y * vy)
            if turn:  # a point's moment of inertia is no number
                total += body.moment * (body.angle - angle) * turn
        return total
