"""A third road, for the tests only: dense numeric equilibrium of a Frame by numpy, no elimination of ours.

A u = -b,   rows: three balances of each body, two of each pin;
            u: two components of each force at a pin, one of each light member and smooth contact, two of a
            rough contact, three of each built-in end
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from simlab.frame.model import GROUND, Contact, Frame, Name, Place, Values, Vec
from simlab.results.forces import Forces, Key, Reaction

Floats = NDArray[np.float64]

# A residual or a share of a self-stress below this, of the largest force, is rounding: systems of up
# to 40 unknowns with coefficients of one size lose about 1e-13.
ROUNDING = 1e-11


class Balance:
    """The equilibrium equations of a frame at given values, and their solution.

    matrix @ solution + loads = 0. `forces` has the keys of results/forces.py; `self_stress` has one column
    per state of self-stress, `motions` one row per motion left; `carried` says whether the loads can be
    balanced at all.
    """

    def __init__(self, frame: Frame, values: Values | None = None) -> None:
        self.frame = frame
        self.values = frame.shown if values is None else values
        self.points = {name: self._vec(point) for name, point in frame.points.items()}
        self.centres = {name: self._vec(body.centre) for name, body in frame.bodies.items()}
        self.pins = [name for name, joint in frame.joints.items() if joint.kind == "pin"]
        rows = [(b, axis) for b in frame.bodies for axis in "xyz"] + [
            (p, a) for p in self.pins for a in "xy"
        ]
        self.row = {row: i for i, row in enumerate(rows)}
        self.columns: list[Floats] = []
        self.unknowns: list[tuple[Key | Name, int]] = []  # a tension by its link's name, else a component
        self._assemble()
        self.matrix = matrix = np.array(self.columns).T
        left, sizes, right = np.linalg.svd(matrix)
        rank = int(np.sum(sizes > ROUNDING * sizes[0]))
        self.self_stress = right[rank:].T
        self.motions = left[:, rank:].T
        self.loads = loads = self._loads()
        solution: Floats = np.linalg.lstsq(matrix, -loads, rcond=None)[0].astype(np.float64)
        self.carried = bool(np.abs(matrix @ solution + loads).max() < ROUNDING * np.abs(loads).max())
        self.solution = solution
        self.forces = self._forces(solution)

    def _vec(self, vec: Vec) -> Floats:
        return np.array([part.number(self.values) for part in vec])

    def _acts(self, place: Place, force: Floats, moment: float = 0.0) -> Floats:
        """A column: this force at this place, about the body's centre."""
        column = np.zeros(len(self.row))
        column[[self.row[place.body, axis] for axis in "xy"]] = force
        if place.body in self.frame.bodies:
            arm = self.points[place.point] - self.centres[place.body]
            column[self.row[place.body, "z"]] = arm[0] * force[1] - arm[1] * force[0] + moment
        return column

    def _add(self, unknown: Key | Name, component: int, column: Floats) -> None:
        self.unknowns.append((unknown, component))
        self.columns.append(column)

    def _assemble(self) -> None:
        axes = np.eye(2)
        for name, joint in self.frame.joints.items():
            for body in joint.bodies:
                if joint.kind == "built-in":
                    if body != GROUND:
                        key = Key(body, name, GROUND)
                        for i in (0, 1):
                            self._add(key, i, self._acts(Place(body, name), axes[i]))
                        self._add(key, 2, self._acts(Place(body, name), np.zeros(2), 1.0))
                    continue
                for i in (0, 1):
                    on_pin = self._acts(Place(name, name), axes[i])
                    if body == GROUND:
                        self._add(Key(name, name, GROUND), i, on_pin)
                    else:
                        on_body = self._acts(Place(body, name), axes[i])
                        self._add(Key(body, name, name), i, on_body - on_pin)
        self._assemble_links()
        self._assemble_contacts()

    def _assemble_links(self) -> None:
        for link in self.frame.links.values():
            first, second = link.ends
            way = self._way(first, second)
            self._add(link.name, 0, self._acts(first, way) - self._acts(second, way))

    def _assemble_contacts(self) -> None:
        for contact in self.frame.contacts.values():
            key = Key(contact.on.body, contact.name, contact.by)
            for i, way in enumerate(self._ways(contact)):
                column = self._acts(contact.on, way)
                if contact.by in self.frame.bodies:
                    column = column - self._acts(Place(contact.by, contact.on.point), way)
                self._add(key, i, column)

    def _ways(self, contact: Contact) -> list[Floats]:
        """Along the normal, and on a rough contact along the tangent."""
        x, y = self._vec(contact.normal)
        ways: list[Floats] = [np.array([x, y]), np.array([y, -x])]
        return ways if contact.rough else ways[:1]

    def _way(self, first: Place, second: Place) -> Floats:
        along = self.points[second.point] - self.points[first.point]
        unit: Floats = along / np.hypot(*along)
        return unit

    def _loads(self) -> Floats:
        total = np.zeros(len(self.row))
        for name, body in self.frame.bodies.items():
            total[self.row[name, "y"]] -= body.weight.number(self.values)
        for load in self.frame.loads.values():
            total += self._acts(load.place, self._vec(load.force))
        return total

    def _parts(self, solution: Floats) -> Iterator[tuple[Key | Name, Floats]]:
        parts: dict[Key | Name, Floats] = {}
        for (unknown, component), value in zip(self.unknowns, solution, strict=True):
            parts.setdefault(unknown, np.zeros(3))[component] = value
        return iter(parts.items())

    def _forces(self, solution: Floats) -> Forces[float]:
        reactions: dict[Key, Reaction[float]] = {}
        tensions: dict[Name, float] = {}
        contacts: Mapping[Name, list[Floats]] = {
            c.name: self._ways(c) for c in self.frame.contacts.values()
        }
        for unknown, part in self._parts(solution):
            if not isinstance(unknown, Key):
                tensions[unknown] = float(part[0])
                first, second = self.frame.links[unknown].ends
                pull = part[0] * self._way(first, second)
                for place, force in ((first, pull), (second, -pull)):
                    key = Key(place.body, f"{unknown} at {place.point}", unknown)
                    reactions[key] = self._reaction(force, None, place.point)
            elif unknown.at in contacts:
                point = self.frame.contacts[unknown.at].on.point
                force = sum(
                    (a * way for a, way in zip(part, contacts[unknown.at], strict=False)), np.zeros(2)
                )
                reactions[unknown] = self._reaction(force, None, point)
            else:
                built_in = self.frame.joints[unknown.at].kind == "built-in"
                reactions[unknown] = self._reaction(
                    part[:2], float(part[2]) if built_in else None, unknown.at
                )
        return Forces(reactions, tensions)

    def _reaction(self, force: Floats, moment: float | None, point: Name) -> Reaction[float]:
        x, y = self.points[point]
        return Reaction((float(force[0]), float(force[1])), moment, (float(x), float(y)))

    @property
    def largest(self) -> float:
        """The largest force component in the frame [N]."""
        return max(abs(part) for r in self.forces.reactions.values() for part in r.force)
