"""The motion that a member prevents, followed: not only its first instant, but shapes some way along it.

The velocities of the first instant come from virtual work. From there on every small step goes the way of
the last one, as nearly as the holds allow, and closes what gaps it opened: rods keep their lengths.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from simlab.frame.model import GROUND, Frame, Place, Values
from simlab.motion.points import Points, quarter, rotated
from simlab.motion.system import System
from simlab.results.displacement import Displacement
from simlab.results.trace import Floats
from simlab.results.virtual_work import VirtualWork

FAR = 0.16  # of the frame's size: so far the point that moves farthest goes
CHANGED = 0.45  # of the member's length: no more than that is it shortened or lengthened
STEP = 0.002  # of the frame's size, in one step
CLOSINGS = 2  # rounds in which the gaps of a step are closed, each squaring what is left


def displacement(frame: Frame, values: Values, work: VirtualWork) -> Displacement:
    """The frame moved along the motion that the member `work.of` prevents, the way that its loads push it.

    `work` has a force that is not nothing. Raises BadInput for what the equations of motion do not know.

    >>> from simlab.frame.scene import read_scene
    >>> from simlab.statics.virtual_work import by_virtual_work
    >>> frame = read_scene("scenes/kite_lantern.toml")
    >>> moved = displacement(frame, frame.shown, by_virtual_work(frame, frame.shown, "spreader"))
    >>> bool(moved.lengths[-1] < moved.lengths[0])  # it pushes, so the loads press its ends together
    True
    """
    system = System(frame, values, {work.of})
    size = float(np.ptp(list(system.points.drawn.values()), axis=0).max())
    n, places = len(frame.bodies), frame.links[work.of].places
    pins = [system.points.number[name] for name in frame.free_pins]
    shapes = [system.start]
    lengths = [_length(system.points, places, system.start)]
    q, v = system.start, _velocities(system.points, work)
    while len(shapes) * STEP < FAR and abs(lengths[-1] / lengths[0] - 1) < CHANGED:
        v = system.projected(q, v)[1]
        v = v * (STEP * size / np.hypot(v[:, 0], v[:, 1]).max())
        q = q + v
        for _ in range(CLOSINGS):
            q, v = system.projected(q, v)
        shapes.append(q)
        lengths.append(_length(system.points, places, q))
    poses = np.array(shapes)
    return Displacement(work.of, poses[:, :n], poses[:, pins, :2], np.array(lengths))


def _velocities(points: Points, work: VirtualWork) -> Floats:
    """The rates of all parts at the first instant, the way that the loads push; shape (parts, 3)."""
    values, frame = points.values, points.frame
    way = 1.0 if work.force is None or work.force.number(values) >= 0 else -1.0
    rates = np.zeros_like(points.start)
    for place, velocity in work.velocity.items():
        speed = np.array(points.pair(velocity))
        joint = frame.joints.get(place.body)
        for body in (place.body,) if joint is None else (place.body, *joint.bodies):
            part = points.part(body)
            if body == GROUND:
                continue
            turn = work.turn[body].number(values) if body in work.turn else 0.0
            arm = points.start[part, :2] - points.drawn[place.point]
            rates[part] = (*(speed + turn * quarter(arm[None])[0]), turn)
    return way * rates


def _length(points: Points, places: tuple[Place, ...], q: Floats) -> float:
    """The length of a member along its places [m]."""
    at = [_at(points, place, q) for place in places]
    return float(sum(np.hypot(*(b - a)) for a, b in pairwise(at)))


def _at(points: Points, place: Place, q: Floats) -> Floats:
    part, drawn = points.part(place.body), np.array(points.drawn[place.point])
    if part == points.ground:
        return drawn
    arm = drawn - points.start[part, :2]
    return np.asarray(q[part, :2] + rotated(arm[None], q[part, 2:3])[0])
