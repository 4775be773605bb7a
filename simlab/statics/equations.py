"""The equations of a frame, labelled, as rows over named unknowns.

    each body:  sum F_x = 0,  sum F_y = 0,  sum M about its centre = 0
    each pin:   sum F_x = 0,  sum F_y = 0
    and what else is known of forces (`statics.laws`)

Unknowns keep square roots out of the rows: a light member by its force density q = T/length (a string
over pegs by its tension), a contact by its push along the normal as given and its rub along the tangent,
the normal turned clockwise. Loads are split into monomials of the letters that occur in loads only
(W, P, W*k ...), one right-hand column each, so none enters the rows.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

from simlab.errors import SimlabFault
from simlab.exact.elimination import Elimination, Row, Vector, eliminate
from simlab.exact.field import Element
from simlab.frame.model import GROUND, Frame, Link, Name, Place, Values
from simlab.results.forces import Key
from simlab.statics import laws
from simlab.statics.figure import Figure
from simlab.statics.loads import split
from simlab.statics.velocity import Exact as Exact
from simlab.statics.velocity import cross, dot

Balanced = Literal["x", "y", "moment"]
Label = tuple[Name, Literal["x", "y", "moment", "given"]]  # of a row: whose, and which balance if it is one
Component = Literal["x", "y", "moment", "push", "rub", "density", "tension"]


@dataclass(frozen=True)
class Unknown:
    """One scalar to be found: a component of a reaction, or a light member's force.

    The force of a contact is push * n + rub * t, with its normal n as given and t = n turned clockwise;
    that of a light member density * (its ends' difference), of a string over pegs its tension.
    """

    of: Key | Name  # a reaction, or a light member by name
    part: Component


class Equations(Figure):
    """The equations of one frame at given values, at which signs are decided: rows * x + columns = 0.

    The values are put for the letters `put` beforehand, where the shape is special at them. The first
    `n_balances` rows are balances, with `index` by label; the others say what is known of forces.
    `columns` are what is known by row, one column for each of `monomials`. `arms` gives for each body the
    sum F.r of the unknown forces on it (r from its centre to where each acts) as a row over the
    unknowns, `arms_of_loads` that of the loads on it. `elastic` are the values of the unknowns that
    follow from a length, by number. `senses`: for contacts about to slip, whether friction acts along
    the tangent (1) or against it (-1); it opposes the way in which the question says that they slip.
    `vanishing` is an element that is 0 at the values only and so hides what else is known there.
    """

    def __init__(
        self,
        frame: Frame,
        values: Values,
        put: Collection[Name] = (),
        senses: Mapping[Name, int] | None = None,
    ) -> None:
        super().__init__(frame, values, put)
        self.senses = dict(laws.senses(self, senses or {}))
        self.pins = [name for name, joint in frame.joints.items() if joint.kind == "pin"]
        self.index: dict[tuple[Name, Balanced], int] = {}
        for body in frame.bodies:
            self._balance(body, ("x", "y", "moment"))
        for pin in self.pins:
            self._balance(pin, ("x", "y"))
        self.labels: list[Label] = list(self.index)
        self.n_balances = len(self.index)
        self.unknowns: list[Unknown] = []
        self.number: dict[tuple[Key | Name, Component], int] = {}
        self.rows: list[dict[int, Element]] = [{} for _ in self.index]
        self.arms: dict[Name, dict[int, Element]] = {body: {} for body in frame.bodies}
        self.arms_of_loads = {body: self.field.zero for body in frame.bodies}
        self._joints()
        self._links()
        self._contacts()
        known = self._loads()
        self.vanishing: Element | None = None
        self.elastic = dict(laws.of_lengths(self))
        for law in laws.known(self):
            self.labels.append((law.about, "given"))
            self.rows.append(law.row)
            known.append(law.constant)
        loads = split(self.field, known, self._shape())
        self.load_letters, self.monomials, self.columns = loads.letters, loads.monomials, loads.columns

    @staticmethod
    def senses_of(frame: Frame) -> Iterator[Mapping[Name, int]]:
        """Every choice of `senses` for the contacts about to slip whose sense the question leaves open.

        It is open where the question does not say the way, and on a wire, which may press from either side.
        """
        unsaid = [name for name, contact in frame.contacts.items() if contact.is_open]
        for choice in product((1, -1), repeat=len(unsaid)):
            yield dict(zip(unsaid, choice, strict=True))

    @property
    def regime(self) -> tuple[Element, ...]:
        """What is positive at the values; where it is not, these are not the equations of the frame."""
        return *self.assumptions, *laws.sides_of_lengths(self)

    # rows

    def _balance(self, part: Name, kinds: tuple[Balanced, ...]) -> None:
        for kind in kinds:
            self.index[part, kind] = len(self.index)

    def _unknown(self, of: Key | Name, part: Component) -> int:
        self.unknowns.append(Unknown(of, part))
        self.number[of, part] = len(self.unknowns) - 1
        return len(self.unknowns) - 1

    def _add(self, row: dict[int, Element], unknown: int, coefficient: Element) -> None:
        total = row[unknown] + coefficient if unknown in row else coefficient
        row[unknown] = total
        if total.is_zero:
            del row[unknown]

    def _row(self, part: Name, kind: Balanced) -> dict[int, Element]:
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
            arm = self.arm(place)
            self._add(self._row(place.body, "moment"), unknown, cross(arm, force))
            self._add(self.arms[place.body], unknown, dot(arm, force))

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
            unknown = self._unknown(name, "tension" if link.over else "density")
            for place, force in zip(link.places, self.pulls(name), strict=True):
                self._acts(unknown, place, force)

    def pulls(self, link: Name) -> list[Exact]:
        """The forces of a light member on its places, from end to end, per unit of its unknown."""
        if self.frame.links[link].over:
            units = [unit for unit, _ in self.stretches(link)]
        else:
            units = [self.along(link)]
        nothing = self.field.zero, self.field.zero
        return [
            (after[0] - before[0], after[1] - before[1])
            for before, after in zip([nothing, *units], [*units, nothing], strict=True)
        ]

    def _contacts(self) -> None:
        for contact in self.frame.contacts.values():
            key = Key.of(contact)
            by = Place(self.frame.under(contact), contact.on.point)
            normal = self.vec(contact.normal)
            parts: list[tuple[Component, Exact]] = [("push", normal)]
            if contact.rough:
                parts.append(("rub", (normal[1], -normal[0])))
            for part, (x, y) in parts:
                unknown = self._unknown(key, part)
                self._acts(unknown, contact.on, (x, y))
                self._acts(unknown, by, (-x, -y))

    # loads

    def _loads(self) -> list[Element]:
        """What the loads bring to each balance."""
        known = [self.field.zero for _ in self.index]
        for body in self.frame.bodies.values():
            i = self.index[body.name, "y"]
            known[i] = known[i] - self.element(body.weight)
        for load in self.frame.loads.values():
            part = load.place.body
            if part == GROUND:
                continue
            force = self.vec(load.force)
            shares: list[tuple[Balanced, Element]] = [("x", force[0]), ("y", force[1])]
            if part in self.frame.bodies:
                arm = self.arm(load.place)
                shares.append(("moment", cross(arm, force)))
                self.arms_of_loads[part] = self.arms_of_loads[part] + dot(arm, force)
            if load.couple is not None:
                shares.append(("moment", self.element(load.couple)))
            for kind, share in shares:
                if (part, kind) not in self.index:
                    raise SimlabFault(
                        f'the load "{load.name}" is on "{part}", which has no balance of {kind}'
                    )
                i = self.index[part, kind]
                known[i] = known[i] + share
        return known

    def _shape(self) -> Iterator[Element]:
        """Everything on which no load letter may have a part."""
        yield from (part for vec in (*self.points.values(), *self.centres.values()) for part in vec)
        yield from (entry for row in self.rows for entry in row.values())

    def holding(self, idle: Collection[int] = ()) -> list[Row]:
        """The balances over the unknowns that hold whatever their size: neither elastic nor `idle`."""
        loose = {*self.elastic, *idle}
        return [{j: e for j, e in row.items() if j not in loose} for row in self.rows[: self.n_balances]]

    def of_link(self, link: Link) -> int:
        """The number of the unknown that stands for a light member's force."""
        return self.number[link.name, "tension" if link.over else "density"]

    def eliminated(self, zero: Sequence[Element] = ()) -> Elimination:
        """What elimination finds out about rows * x = -columns, where some polynomials are zero."""
        right = [{i: -load for i, load in column.items()} for column in self.columns]
        return eliminate(self.field, self.rows, len(self.unknowns), right, zero)

    def summed(self, vectors: Sequence[Vector]) -> dict[int, Element]:
        """Over all columns k, sum monomials[k] * vectors[k]: the letters of the loads put back."""
        total: dict[int, Element] = {}
        for monomial, vector in zip(self.monomials, vectors, strict=True):
            for i, entry in vector.items():
                total[i] = total.get(i, self.field.zero) + monomial * entry
        return total

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
