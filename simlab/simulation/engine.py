"""The engine's own calls, for what is looked at and set in every step.

pymunk's properties come to these very calls, with twice as much again around each: a vector of a class of
its own is made of what is read, and every attribute that is set passes through a Python method.
"""

from __future__ import annotations

import pymunk
from pymunk import _chipmunk_cffi

from simlab.simulation.drawn import Pair

_lib = _chipmunk_cffi.lib
_position, _set_position = _lib.cpBodyGetPosition, _lib.cpBodySetPosition
_velocity, _angle, _turning = _lib.cpBodyGetVelocity, _lib.cpBodyGetAngle, _lib.cpBodyGetAngularVelocity
_force, _set_force = _lib.cpBodyGetForce, _lib.cpBodySetForce
_torque, _set_torque = _lib.cpBodyGetTorque, _lib.cpBodySetTorque
_start, _end, _length = _lib.cpPinJointSetAnchorA, _lib.cpPinJointSetAnchorB, _lib.cpPinJointSetDist


def pose(body: pymunk.Body) -> tuple[float, float, float]:
    """x, y of a body's centre of mass [m] and its angle [rad]."""
    at = _position(body._body)
    return at.x, at.y, _angle(body._body)


def speeds(body: pymunk.Body) -> tuple[float, float, float]:
    """v_x, v_y of a body's centre of mass [m/s] and its angular velocity [rad/s]."""
    velocity = _velocity(body._body)
    return velocity.x, velocity.y, _turning(body._body)


def velocity(body: pymunk.Body) -> Pair:
    """v_x, v_y of a body's centre of mass [m/s]."""
    velocity = _velocity(body._body)
    return velocity.x, velocity.y


def put(body: pymunk.Body, at: Pair) -> None:
    """Put a body's centre of mass at a place [m]."""
    _set_position(body._body, at)


def add_force(body: pymunk.Body, fx: float, fy: float) -> None:
    """Let a force [N] act at a body's centre of mass in the next step too."""
    force = _force(body._body)
    _set_force(body._body, (force.x + fx, force.y + fy))


def add_torque(body: pymunk.Body, torque: float) -> None:
    """Let a moment [N m] act on a body in the next step too."""
    _set_torque(body._body, _torque(body._body) + torque)


def set_start(bar: pymunk.Constraint, at: Pair) -> None:
    """Tie the first end of a bar to a point given in its body's own coordinates."""
    _start(bar._constraint, at)


def set_end(bar: pymunk.Constraint, at: Pair) -> None:
    """Tie the second end of a bar to a point given in its body's own coordinates."""
    _end(bar._constraint, at)


def set_length(bar: pymunk.Constraint, length: float) -> None:
    """Let a bar be so long [m]."""
    _length(bar._constraint, length)
