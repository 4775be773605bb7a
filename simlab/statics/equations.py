"""The balance equations of a frame, labelled, as rows over named unknowns.

    each body:  sum F_x = 0,  sum F_y = 0,  sum M about its centre = 0
    each pin:   sum F_x = 0,  sum F_y = 0

Unknowns keep square roots out of the rows: a light member by its force density q = T/length, a
smooth contact by its push along the normal as given. Loads are split into monomials of the letters
that occur in loads only (W, P, W*k ...), one right-hand column each, so none enters the rows.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Literal

from simlab.errors import SimlabFault
from simlab.exact.content import coefficients
from simlab.exact.elimination import Vector, transposed
from simlab.exact.field import Element, Field, Letter, Root
from simlab.frame.model import GROUND, Frame, Name, Place, Values, Vec
from simlab.frame.quantity import Quantity
from simlab.results.forces import Key

Exact = tuple[Element, Element]  # x to the right, y upwards
Label = tuple[Name, Literal["x", "y", "moment"]]  # of a row: body or pin, and which balance
Powers = tuple[int, ...]  # of the load letters


@dataclass(frozen=True)
class Unknown:
    """One scalar to be found: a component of a reaction, or a light member's force density."""

    of: Key | Name  # a reaction, or a light member by name
    part: Literal["x", "y", "moment", "push", "density"]


class Equations:
    """The equations of one frame at given values, at which signs are decided.

    The values are put for the letters `put` beforehand, where the shape is special at them.
    `columns` are the loads by row, one column for each of `monomials`. `arms` gives for each body the
    sum F.r of the unknown forces on it (r from its centre to where each acts) as a row over the
    unknowns, `arms_of_loads` that of the loads on it.
    """

    def __init__(self, frame: Frame, values: Values, put: Collection[Name] = ()) -> None:
        self.frame = frame
        self._put = {name: values[name] for name in put}
        exact = {name: value.expr for name, value in values.items()}
        self.field = Field.containing((self._expr(q) for q in self._quantities()), exact)
        self.assumptions = tuple(self.field.assumptions)  # that the shape is the drawn one
        self.points = {name: self._vec(frame.points[name]) for name in self._used_points()}
        self.centres = {name: self._vec(body.centre) for name, body in frame.bodies.items()}
        self.pins = [name for name, joint in frame.joints.items() if joint.kind == "pin"]
        self.labels: list[Label] = []
        for body in frame.bodies:
            self.labels += [(body, "x"), (body, "y"), (body, "moment")]
        for pin in self.pins:
            self.labels += [(pin, "x"), (pin, "y")]
        self.index = {label: i for i, label in enumerate(self.labels)}
        self.unknowns: list[Unknown] = []
        self.rows: list[dict[int, Element]] = [{} for _ in self.labels]
        self.arms: dict[Name, dict[int, Element]] = {body: {} for body in frame.bodies}
        self.arms_of_loads = {body: self.field.zero for body in frame.bodies}
        self._joints()
        self._links()
        self._contacts()
        self._loads()

    # quantities as elements

    def _quantities(self) -> Iterator[Quantity]:
        frame = self.frame
        for name in self._used_points():
            yield from frame.points[name]
        for body in frame.bodies.values():
            yield from (*body.centre, body.weight)
        for contact in frame.contacts.values():
            yield from contact.normal
        for load in frame.loads.values():
            yield from load.value

    def _used_points(self) -> list[Name]:
        """The points at which something acts, in the frame's order."""
        frame = self.frame
        used = {joint.point for joint in frame.joints.values()}
        used |= {place.point for link in frame.links.values() for place in link.ends}
        used |= {contact.on.point for contact in frame.contacts.values()}
        used |= {load.place.point for load in frame.loads.values()}
        return [name for name in frame.points if name in used]

    def _expr(self, quantity: Quantity) -> object:
        return quantity.at(self._put).expr

    def element(self, quantity: Quantity) -> Element:
        """A quantity of the frame as an element of the field."""
        return self.field.element(self._expr(quantity))

    def _vec(self, vec: Vec) -> Exact:
        return self.element(vec[0]), self.element(vec[1])

    def arm(self, place: Place) -> Exact:
        """From the body's centre to the place."""
        point, centre = self.points[place.point], self.centres[place.body]
        return point[0] - centre[0], point[1] - centre[1]

    def along(self, link: Name) -> Exact:
        """From the first end of a light member to the second."""
        first, second = (self.points[place.point] for place in self.frame.links[link].ends)
        return second[0] - first[0], second[1] - first[1]

    # rows

    def _unknown(self, of: Key | Name, part: Literal["x", "y", "moment", "push", "density"]) -> int:
        self.unknowns.append(Unknown(of, part))
        return len(self.unknowns) - 1

    def _add(self, row: dict[int, Element], unknown: int, coefficient: Element) -> None:
        total = row[unknown] + coefficient if unknown in row else coefficient
        row[unknown] = total
        if total.is_zero:
            del row[unknown]

    def _row(self, part: Name, kind: Literal["x", "y", "moment"]) -> dict[int, Element]:
        if (part, kind) not in self.index:
            raise SimlabFault(f'a force acts on "{part}", which is neither a body nor a pin')
        return self.rows[self.index[part, kind]]

    def _acts(self, unknown: int, place: Place, force: Exact) -> None:
        """Unknown times `force` acts on a body, a pin, or the ground (which bears anything)."""
        if place.body == GROUND:
            return
        self._add(self._row(place.body, "x"), unknown, force[0])
        self._add(self._row(place.body, "y"), unknown, force[1])
        if place.body in self.frame.bodies:
            moment, dot = _cross_and_dot(self.arm(place), force)
            self._add(self._row(place.body, "moment"), unknown, moment)
            self._add(self.arms[place.body], unknown, dot)

    def _joints(self) -> None:
        one, zero = self.field.one, self.field.zero
        axes: tuple[tuple[Literal["x", "y"], Exact], ...] = (("x", (one, zero)), ("y", (zero, one)))
        for name, joint in self.frame.joints.items():
            pin = Place(name, joint.point)
            for body in joint.bodies:
                if joint.kind == "built-in" and body == GROUND:
                    continue
                by_ground = joint.kind == "built-in" or body == GROUND
                on = name if body == GROUND else body
                key = Key(on, name, GROUND if by_ground else name)
                for part, axis in axes:
                    unknown = self._unknown(key, part)
                    self._acts(unknown, Place(on, joint.point), axis)
                    if not by_ground:
                        self._acts(unknown, pin, (-axis[0], -axis[1]))
                if joint.kind == "built-in":
                    self._add(self._row(body, "moment"), self._unknown(key, "moment"), one)

    def _links(self) -> None:
        for name, link in self.frame.links.items():
            along = self.along(name)
            unknown = self._unknown(name, "density")
            self._acts(unknown, link.ends[0], along)
            self._acts(unknown, link.ends[1], (-along[0], -along[1]))

    def _contacts(self) -> None:
        for name, contact in self.frame.contacts.items():
            key = Key(contact.on.body, name, contact.by)
            self._acts(self._unknown(key, "push"), contact.on, self._vec(contact.normal))

    # loads

    def _loads(self) -> None:
        acting: list[tuple[Place | Name, Exact]] = [  # at a place, or at a body's centre
            (body.name, (self.field.zero, -self.element(body.weight)))
            for body in self.frame.bodies.values()
            if not body.weight.is_zero
        ]
        acting += [
            (load.place, self._vec(load.force))
            for load in self.frame.loads.values()
            if load.place.body != GROUND
        ]
        letters = self._load_letters([part for _, force in acting for part in force])
        self.load_letters = frozenset(self.field.names[i] for i in letters)
        by_row: list[dict[Powers, Element]] = [{} for _ in self.labels]
        for where, force in acting:
            part = where if isinstance(where, str) else where.body
            shares: list[tuple[Label, Element]] = [((part, "x"), force[0]), ((part, "y"), force[1])]
            if isinstance(where, Place) and part in self.frame.bodies:
                moment, dot = _cross_and_dot(self.arm(where), force)
                shares.append(((part, "moment"), moment))
                self.arms_of_loads[part] = self.arms_of_loads[part] + dot
            for label, value in shares:
                row = by_row[self.index[label]]
                for powers, coefficient in coefficients(value, letters).items():
                    row[powers] = row.get(powers, self.field.zero) + coefficient
        found = sorted({powers for row in by_row for powers in row}, reverse=True)
        numbered = [{found.index(p): e for p, e in row.items() if not e.is_zero} for row in by_row]
        self.columns = transposed(numbered, len(found))
        self.monomials = [self._monomial(letters, powers) for powers in found]

    def _load_letters(self, forces: list[Element]) -> list[int]:
        """The generators that occur in loads only, and there polynomially and under no root."""
        geometry = [part for vec in (*self.points.values(), *self.centres.values()) for part in vec]
        geometry += [entry for row in self.rows for entry in row.values()]
        polys = [p for e in geometry for p in (e.num, e.den)] + [force.den for force in forces]
        for generator in self.field.generators:
            if isinstance(generator, Root):
                polys.append(self.field.lift(generator.radicand).num)
        used = {i for poly in polys for i, degree in enumerate(poly.degrees()) if degree > 0}
        return [i for i, g in enumerate(self.field.generators) if isinstance(g, Letter) and i not in used]

    def _monomial(self, letters: list[int], powers: Powers) -> Element:
        product = self.field.one
        for i, power in zip(letters, powers, strict=True):
            product = product * self.field.generator(i) ** power
        return product

    def residual(self, solution: Vector, column: Vector) -> dict[int, Element]:
        """What is left of rows * solution + column: nothing, if the solution is one."""
        left: dict[int, Element] = {}
        for i, row in enumerate(self.rows):
            total = column.get(i, self.field.zero)
            for j, coefficient in row.items():
                if j in solution:
                    total = total + coefficient * solution[j]
            if not total.is_zero:
                left[i] = total
        return left


def _cross_and_dot(arm: Exact, force: Exact) -> tuple[Element, Element]:
    """Moment of a force about the centre (anticlockwise positive), and F.r."""
    return arm[0] * force[1] - arm[1] * force[0], arm[0] * force[0] + arm[1] * force[1]
