"""Trails: the paths that the joints of a frame leave behind once it moves."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from itertools import islice

import numpy as np

from simlab.frame.model import GROUND, Name, Place
from simlab.pictures.marks import Point, Points
from simlab.pictures.plan import Plan
from simlab.results import Instant

SHOWN = 240  # points: the last four seconds
KEPT = 8000  # points: as far back as a watcher can look


class Trails:
    """Paths of places.

    paths : the points left by each, newest last [m]; count : how many each has left in all
    """

    def __init__(self, places: Mapping[Name, Place]) -> None:
        self.places = places
        self.paths: dict[Name, deque[Point]] = {}
        self.count = 0

    def leave(self, plan: Plan, instant: Instant) -> None:
        """A point on every path, where the place is now."""
        self.count += 1
        for name, place in self.places.items():
            x, y = plan.at(place, instant)
            self.paths.setdefault(name, deque(maxlen=KEPT)).append((float(x), float(y)))

    def path(self, name: Name, count: int | None = None) -> Points:
        """The last points of a path when so many had been left, oldest first, shape (n, 2) [m]."""
        path = self.paths[name]
        end = len(path) - (0 if count is None else self.count - count)
        shown = islice(path, max(end - SHOWN, 0), max(end, 0))
        return np.array(list(shown), dtype=np.float64).reshape(-1, 2)


def traced(plan: Plan) -> dict[Name, Place]:
    """What leaves a path: the joints that can move; where there are none, the free ends of the rods."""
    joints = {
        joint.name: Place(joint.bodies[0], joint.point)
        for joint in plan.frame.joints.values()
        if joint.bodies and GROUND not in joint.bodies
    }
    if joints:
        return joints
    held = {joint.point for joint in plan.frame.joints.values()}
    ends = {}
    for body, points in plan.bodies.items():
        for name, point in points.items():
            is_end = any(np.allclose(point, end) for end in plan.outlines[body])
            if is_end and name not in held:
                ends[name] = Place(body, name)
    return ends
