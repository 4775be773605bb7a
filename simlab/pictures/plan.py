"""The plan: a frame in metres at given values, and where its parts are at an instant."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from simlab.frame.model import GROUND, Body, Contact, Frame, Name, Place, Values, Vec
from simlab.frame.quantity import Quantity
from simlab.pictures.camera import Bounds
from simlab.pictures.marks import Point, Points
from simlab.results.forces import Forces
from simlab.results.trace import Floats, Instant

CHORDS = 144  # of a drawn circle: an eighth of a page unit from the arc at a radius of 500


@dataclass(frozen=True, eq=False)
class Plan:
    """A frame's geometry in numbers: points of each body, centres, named points [m], as drawn.

    `order` gives each body's row in an instant's poses.
    """

    frame: Frame
    values: Values
    order: Mapping[Name, int]
    points: Mapping[Name, Points]  # every named point, shape (2,)
    bodies: Mapping[Name, Mapping[Name, Points]]  # the named points of each body, shape (2,)
    centres: Mapping[Name, Points]  # shape (2,)
    outlines: Mapping[Name, Points]  # shape (n, 2)
    weights: Mapping[Name, float]  # of each body that has one [N]
    loads: Mapping[Name, Point]  # the force of each load [N]

    @classmethod
    def of(
        cls, frame: Frame, values: Values | None = None, known: Mapping[Any, float] | None = None
    ) -> Plan:
        """Work out the plan of a frame; with its demonstration values, if no others are given.

        `known` numbers of expressions need not be worked out again.
        """
        values = {**frame.shown, **(values or {})}

        numbers = dict(known or {})  # rods share their points: work each coordinate out once

        def number(quantity: Quantity) -> float:
            if quantity.expr not in numbers:
                numbers[quantity.expr] = quantity.number(values)
            return numbers[quantity.expr]

        def metres(point: Vec) -> Points:
            return np.array([number(point[0]), number(point[1])])

        return cls(
            frame,
            values,
            {name: i for i, name in enumerate(frame.bodies)},
            {name: metres(point) for name, point in frame.points.items()},
            {name: {p: metres(at) for p, at in body.points.items()} for name, body in frame.bodies.items()},
            {name: metres(body.centre) for name, body in frame.bodies.items()},
            {name: _outline(body, metres, number) for name, body in frame.bodies.items()},
            {name: number(body.weight) for name, body in frame.bodies.items() if not body.is_light},
            {n: (number(load.force[0]), number(load.force[1])) for n, load in frame.loads.items()},
        )

    @cached_property
    def bounds(self) -> Bounds:
        """Left, bottom, right, top of everything that is drawn in the frame [m]."""
        every = np.concatenate([*self.outlines.values(), *(p[None] for p in self._held()), *self._round()])
        (left, bottom), (right, top) = every.min(axis=0), every.max(axis=0)
        return (float(left), float(bottom), float(right), float(top))

    def swept(self, poses: Floats) -> Bounds:
        """The bounds of everything that the bodies sweep in a run [m]; poses, shape (times, bodies, 3)."""
        left, bottom, right, top = self.bounds
        for body, outline in self.outlines.items():
            x, y, turn = (poses[:, self.order[body], i, None] for i in range(3))
            dx, dy = (outline - self.centres[body]).T
            across, up = (
                x + np.cos(turn) * dx - np.sin(turn) * dy,
                y + np.sin(turn) * dx + np.cos(turn) * dy,
            )
            left, right = min(left, float(across.min())), max(right, float(across.max()))
            bottom, top = min(bottom, float(up.min())), max(top, float(up.max()))
        return (left, bottom, right, top)

    def _held(self) -> list[Points]:
        ends = {end.point for link in self.frame.links.values() for end in link.places}
        ends |= {point for support in self.frame.supports.values() for point in support.points}
        ends |= {joint.point for joint in self.frame.joints.values() if not joint.bodies}
        return [self.points[name] for name in self.points if name in ends]

    def _round(self) -> list[Points]:
        """Points around bowls and round wires: all of a wire, but of a bowl only the lower half."""
        found = []
        for support in self.frame.supports.values():
            if support.centre is not None and support.points:
                centre = self.points[support.centre]
                rim = circle(centre, float(np.hypot(*(self.points[support.points[0]] - centre))))
                found.append(rim if support.kind.endswith("wire") else rim[CHORDS // 2 :])
        return found

    @property
    def floor(self) -> float:
        """The height of the highest level floor [m]; far below, if there is none."""
        levels = [
            float(self.points[contact.on.point][1])
            for contact in self.frame.contacts.values()
            if self.is_floor(contact.by) and self.normal(contact)[1] == 1.0
        ]
        return max(levels, default=-np.inf)

    def is_floor(self, support: Name) -> bool:
        """Whether a support is a floor, smooth or rough."""
        return support in self.frame.supports and self.frame.supports[support].kind.endswith("floor")

    def normal(self, contact: Contact) -> Points:
        """The unit vector along which a contact pushes, shape (2,)."""
        normal = np.array([part.number(self.values) for part in contact.normal])
        return np.asarray(normal / np.hypot(*normal))

    @cached_property
    def middle(self) -> Points:
        """The middle of the bounds, shape (2,) [m]: labels look away from it."""
        left, bottom, right, top = self.bounds
        return np.array([(left + right) / 2, (bottom + top) / 2])

    def moved(self, body: Name, points: Points, poses: Floats | None) -> Points:
        """Points of a body [m], shape (..., 2), carried from the drawn pose to that of an instant."""
        if poses is None:
            return points
        x, y, turn = poses[self.order[body]]
        cos, sin = np.cos(turn), np.sin(turn)
        return np.asarray((points - self.centres[body]) @ np.array([[cos, sin], [-sin, cos]]) + (x, y))

    def carried(self, body: Name, point: Points, poses: Floats) -> Points:
        """Where a point of a body is all through a run, shape (times, 2) [m]; poses, (times, bodies, 3)."""
        x, y, turn = poses[:, self.order[body]].T
        dx, dy = point - self.centres[body]
        cos, sin = np.cos(turn), np.sin(turn)
        return np.stack([x + dx * cos - dy * sin, y + dx * sin + dy * cos], axis=1)

    def at(self, place: Place, instant: Instant | None) -> Points:
        """Where a named point of a body, of a pin or of the ground is, shape (2,) [m]."""
        poses = None if instant is None else instant.poses
        if place.body in self.bodies:
            return self.moved(place.body, self.bodies[place.body][place.point], poses)
        joint = self.frame.joints.get(place.body)
        if place.body == GROUND or joint is None:
            return self.points[place.point]
        return self.joint(joint.name, instant)

    def joint(self, name: Name, instant: Instant | None = None) -> Points:
        """Where a pin or a built-in end is, shape (2,) [m]."""
        joint = self.frame.joints[name]
        bodies = [body for body in joint.bodies if body != GROUND]
        if instant is None or GROUND in joint.bodies:
            return self.points[joint.point]
        if bodies:
            return self.moved(bodies[0], self.bodies[bodies[0]][joint.point], instant.poses)
        if name in instant.pins:
            return np.array(instant.pins[name])
        return _point_of_pin(name, instant.forces, self.points[joint.point])

    def centre(self, body: Name, instant: Instant | None = None) -> Points:
        """Where the centre of weight of a body is, shape (2,) [m]."""
        return self.moved(body, self.centres[body], None if instant is None else instant.poses)

    def outline(self, body: Name, instant: Instant | None = None) -> Points:
        """The outline of a body, shape (n, 2) [m]; of a rod, its two ends; of a disc, many points."""
        return self.moved(body, self.outlines[body], None if instant is None else instant.poses)

    def away(self, point: Points) -> Points:
        """The unit vector from the middle of the frame to a point, shape (2,); up where they coincide."""
        along = point - self.middle
        long = float(np.hypot(*along))
        return along / long if long > 0 else np.array([0.0, 1.0])


def _outline(body: Body, metres: Callable[[Vec], Points], number: Callable[[Quantity], float]) -> Points:
    if body.radius is None:
        return np.array([metres(p) for p in body.outline])
    return circle(metres(body.centre), number(body.radius))


def circle(centre: Points, radius: float) -> Points:
    """Points all around a circle, anticlockwise from its right, shape (CHORDS, 2)."""
    turn = np.linspace(0, 2 * np.pi, CHORDS + 1)[:-1]
    return np.asarray(centre + radius * np.stack([np.cos(turn), np.sin(turn)], axis=1))


def _point_of_pin(name: Name, forces: Forces[float], drawn: Points) -> Points:
    """Where a pin without bodies is: the point at which forces act on it."""
    for key, reaction in forces.reactions.items():
        if key.on == name:
            return np.array(reaction.point)
    return drawn
