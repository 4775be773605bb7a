"""What holds a frame together, as gaps that stay as they are: pins, light members, built-in ends.

Every kind has `gaps(moving)`: how far it is from what it should be [m or rad]; `rows(out, moving)`:
the rates of the gaps, J in d(gap)/dt = J v; and `bias(moving)`: what is left of d2(gap)/dt2 when no part
accelerates. J^T times the multipliers are the forces, so a multiplier is a force [N] or a moment [N m].
"""

from __future__ import annotations

from collections.abc import Collection
from itertools import pairwise

import numpy as np

from simlab.frame.model import GROUND, Frame, Link, Name, Place
from simlab.motion.points import Moving, Points, dots
from simlab.results.forces import Key
from simlab.results.trace import Floats


class Pins:
    """Bodies on pins, pins on the ground, built-in ends: points that coincide.

        P_held - P_holder = 0,    multipliers: the force on what is held by what holds it

    `keys` has one key for each; two rows each, then one row for the turn of each built-in end.
    """

    def __init__(self, frame: Frame, points: Points) -> None:
        self.keys: list[Key] = []
        pairs: list[tuple[int, int]] = []
        turning: list[int] = []
        self.built_in: list[int] = []  # the number of the key of each built-in end
        for name, joint in frame.joints.items():
            for body in joint.bodies:
                if joint.kind == "built-in":
                    if body == GROUND:
                        continue
                    ends = body, GROUND
                    self.built_in.append(len(self.keys))
                    turning.append(points.part(body))
                elif body == GROUND:
                    ends = name, GROUND
                else:
                    ends = body, name
                self.keys.append(Key.of_joint(joint, body))
                held, holder = (points.add(Place(end, joint.point)) for end in ends)
                pairs.append((held, holder))
        self.points = points
        self.held, self.holder = np.array(pairs, dtype=np.intp).reshape(-1, 2).T
        self.turning = np.array(turning, dtype=np.intp)
        self.n = 2 * len(pairs) + len(turning)

    def gaps(self, moving: Moving) -> Floats:
        apart = moving.at[self.held] - moving.at[self.holder]
        return np.concatenate([apart.ravel(), moving.turns[self.turning]])

    def rows(self, out: Floats, moving: Moving) -> None:
        across = 2 * np.arange(len(self.held))  # `Points.act` of unit forces, across and upwards
        for ends, sign in ((self.held, 1.0), (self.holder, -1.0)):
            parts = self.points.on[ends]
            arm, columns = sign * (moving.at[ends] - moving.origins[parts]), 3 * parts
            out[across, columns] = out[across + 1, columns + 1] = sign
            out[across, columns + 2] -= arm[:, 1]
            out[across + 1, columns + 2] += arm[:, 0]
        out[2 * len(self.held) + np.arange(len(self.turning)), 3 * self.turning + 2] = 1.0

    def bias(self, moving: Moving) -> Floats:
        spin = moving.spin[self.held] - moving.spin[self.holder]
        return np.concatenate([spin.ravel(), np.zeros(len(self.turning))])


class Lines:
    """Light members as lines over places: their lengths l, how these change, how they pull.

        dl/dt = sum u.(v_b - v_a),    d2l/dt2 = ... + sum (|w|^2 - (u.w)^2) / l,    w = v_b - v_a

    over the straight parts, u the unit vector along each. A tension T pulls every place with
    T (u after it - u before it), which is -T times the row of l.
    """

    def __init__(self, links: Collection[Link], points: Points) -> None:
        self.points = points
        self.names: list[Name] = [link.name for link in links]
        self.keys: list[Key] = []
        ends: list[tuple[int, int, int]] = []  # member, point, next point
        pulled: list[tuple[int, int, int, int]] = []  # member, point, stretch before, stretch after
        for i, link in enumerate(links):
            numbers = [points.add(place) for place in link.places]
            for k, (place, number) in enumerate(zip(link.places, numbers, strict=True)):
                if place.body != GROUND:
                    self.keys.append(Key.of_member(link.name, place))
                    before = len(ends) + k - 1 if k else -1
                    pulled.append((i, number, before, len(ends) + k if k < len(numbers) - 1 else -1))
            ends += [(i, a, b) for a, b in pairwise(numbers)]
        self.member, self.a, self.b = np.array(ends, dtype=np.intp).reshape(-1, 3).T
        self.pulled = np.array(pulled, dtype=np.intp).reshape(-1, 4)
        self.n = len(self.names)

    def _units(self, moving: Moving) -> tuple[Floats, Floats]:
        along = moving.at[self.b] - moving.at[self.a]
        length = np.hypot(along[:, 0], along[:, 1])
        return along / length[:, None], length

    def _sum(self, parts: Floats) -> Floats:
        return np.bincount(self.member, parts, self.n).astype(np.float64)

    def lengths(self, moving: Moving) -> Floats:
        """The length of each member [m]."""
        return self._sum(self._units(moving)[1])

    def rows(self, out: Floats, moving: Moving) -> None:
        units, _ = self._units(moving)
        for ends, sign in ((self.b, 1.0), (self.a, -1.0)):
            self.points.act(out, self.member, self.points.on[ends], moving, moving.at[ends], sign * units)

    def bias(self, moving: Moving) -> Floats:
        units, length = self._units(moving)
        w = moving.velocity[self.b] - moving.velocity[self.a]
        spin = moving.spin[self.b] - moving.spin[self.a]
        along = dots(units, w)
        return self._sum(dots(units, spin) + (dots(w, w) - along**2) / length)

    def pulls(self, moving: Moving, tensions: Floats) -> tuple[Floats, Floats]:
        """The force of each member on each of its places, by `keys`, and where: shapes (keys, 2)."""
        units = np.vstack([self._units(moving)[0], np.zeros((1, 2))])  # the last: no stretch there
        member, point, before, after = self.pulled.T
        return tensions[member][:, None] * (units[after] - units[before]), moving.at[point]


class Members(Lines):
    """Light rods, struts and strings while they hold: their lengths stay."""

    def __init__(self, links: Collection[Link], points: Points) -> None:
        super().__init__(links, points)
        self.natural: Floats = np.zeros(self.n)

    def start(self, moving: Moving) -> None:
        """Their lengths are those of the drawn shape."""
        self.natural = self.lengths(moving)

    def gaps(self, moving: Moving) -> Floats:
        return self.lengths(moving) - self.natural


class Elastics(Lines):
    """Elastic strings and springs: T = stiffness (l - natural), for a string not below 0."""

    def __init__(self, links: Collection[Link], points: Points) -> None:
        super().__init__(links, points)
        values = points.values
        self.natural = np.array([link.natural.number(values) for link in links if link.natural is not None])
        self.stiffness = np.array(
            [link.stiffness.number(values) for link in links if link.stiffness is not None]
        )
        self.pull_only = np.array([link.kind == "elastic string" for link in links], dtype=bool)

    def stretch(self, moving: Moving) -> Floats:
        """How much longer than natural each is, where it resists [m]."""
        stretch = self.lengths(moving) - self.natural
        return np.asarray(np.where(self.pull_only, np.maximum(stretch, 0.0), stretch), np.float64)

    def force(self, out: Floats, moving: Moving) -> None:
        """Add their pulls to one row over the coordinates."""
        rows = np.zeros((self.n, len(out)))
        self.rows(rows, moving)
        out -= (self.stiffness * self.stretch(moving)) @ rows
