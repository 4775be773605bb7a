"""The equations of motion at rest, exactly: rows over accelerations and reactions in a field.

    each part:        W a/g = sum of forces,    W k^2 (turn)/g = sum of moments about the centre
    each constraint:  J a/g = 0

The unknown accelerations are shares of g, so that g enters nowhere. A light member's unknown is its force
density T/l, which keeps square roots out, a contact's its push along the normal as given.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise

from simlab.exact.element import Element
from simlab.exact.elimination import Elimination, eliminate
from simlab.exact.field import Field
from simlab.frame.model import GROUND, Contact, Frame, Link, Name, Place, Values, Vec
from simlab.frame.quantity import Quantity
from simlab.motion.points import Points
from simlab.results.forces import Key

Exact = tuple[Element, Element]
Pull = tuple[Place, Exact]  # a force per unit of an unknown, and what it acts on


class AtRest:
    """Rows and columns of one frame, without the members and contacts `absent`.

    `unknowns` are named: (part, "x" | "y" | "turn") for accelerations, (key or member, kind) for forces.
    `pulls` gives for each unknown force what it does on which place. Values are put for the letters `put`.
    """

    def __init__(
        self,
        frame: Frame,
        values: Values,
        absent: Collection[Name],
        put: Collection[Name] = (),
        slipping: Mapping[Name, int] | None = None,
    ) -> None:
        self.frame = frame
        self.slipping = slipping or {}
        self.absent = absent
        self._known = {name: values[name] for name in put}
        exact = {name: value.expr for name, value in values.items()}
        self.field = Field.containing((q.at(self._known).expr for q in self._quantities()), exact)
        self._lengths: dict[Name, list[Element]] = {}
        self._adjoin()
        self.unknowns: dict[tuple[Key | Name, str], int] = {}
        self.rows: list[dict[int, Element]] = []
        self.column: dict[int, Element] = {}
        self.index: dict[tuple[Name, str], int] = {}
        self.pulls: dict[int, list[Pull]] = {}
        self._points = Points(frame, values)
        self._parts()
        self._joints()
        for link in frame.links.values():
            if link.name not in absent:
                self._link(link)
        for contact in frame.contacts.values():
            if contact.name not in absent:
                self._contact(contact)
        self._loads()

    def solve(self) -> Elimination:
        """All unknowns: rows * x = column."""
        return eliminate(self.field, self.rows, len(self.unknowns), [self.column])

    # quantities

    def _quantities(self) -> Iterator[Quantity]:
        frame = self.frame
        yield from (part for vec in frame.points.values() for part in vec)
        for body in frame.bodies.values():
            yield from (*body.centre, body.weight)
            if body.gyration2 is not None:
                yield body.gyration2
        for link in frame.links.values():
            yield from (q for q in (link.natural, link.stiffness) if q is not None)
        yield from (part for contact in frame.contacts.values() for part in contact.normal)
        rubbing = (frame.contacts[name].friction for name in self.slipping)
        yield from (mu for mu in rubbing if mu is not None)
        yield from (part for load in frame.loads.values() for part in load.value)

    def _adjoin(self) -> None:
        """Lengths of elastic members and of strings over pegs are roots of their own."""
        roots: dict[Name, list[Element]] = {}
        for link in self.frame.links.values():
            if link.name not in self.absent and (link.over or link.natural is not None):
                roots[link.name] = []
                for a, b in pairwise(link.places):
                    x, y = self._minus(b, a)
                    self.field, length = self.field.with_root(x * x + y * y)
                    roots[link.name].append(length)
        self._lengths = {name: [self.field.lift(e) for e in found] for name, found in roots.items()}

    def element(self, quantity: Quantity) -> Element:
        """A quantity of the frame as an element."""
        return self.field.element(quantity.at(self._known).expr)

    def vec(self, vec: Vec) -> Exact:
        """A vector of the frame as elements."""
        return self.element(vec[0]), self.element(vec[1])

    def _minus(self, b: Place, a: Place) -> Exact:
        (x, y), (u, w) = (self.vec(self.frame.points[place.point]) for place in (b, a))
        return x - u, y - w

    # parts

    def _parts(self) -> None:
        for name in self._points.parts[:-1]:
            body = self.frame.bodies.get(name)
            for kind in ("x", "y", "turn") if body else ("x", "y"):
                i = self._unknown(name, kind)
                self.index[name, kind] = i
                self.rows.append({})
                if body and not body.is_light:
                    weight = self.element(body.weight)
                    gyration2 = self.field.one if body.gyration2 is None else self.element(body.gyration2)
                    self.rows[i][i] = weight * gyration2 if kind == "turn" else weight
            if body:
                self._bring(self.index[name, "y"], -self.element(body.weight))

    def _unknown(self, of: Key | Name, kind: str) -> int:
        return self.unknowns.setdefault((of, kind), len(self.unknowns))

    def _bring(self, row: int, amount: Element) -> None:
        self.column[row] = self.column.get(row, self.field.zero) + amount

    def _part(self, place: Place) -> Name:
        return self._points.parts[self._points.part(place.body)]

    def _shares(self, place: Place, way: Exact) -> Iterator[tuple[int, Element]]:
        """A force at a place, as shares by the rows (and coordinates) of its part."""
        part = self._part(place)
        if part == GROUND:
            return
        yield self.index[part, "x"], way[0]
        yield self.index[part, "y"], way[1]
        if part in self.frame.bodies:
            (x, y), (u, w) = (
                self.vec(self.frame.points[place.point]),
                self.vec(self.frame.bodies[part].centre),
            )
            yield self.index[part, "turn"], (x - u) * way[1] - (y - w) * way[0]

    def _add(self, row: int, unknown: int, amount: Element) -> None:
        self.rows[row][unknown] = self.rows[row].get(unknown, self.field.zero) + amount

    def _constrain(
        self, of: Key | Name, kind: str, pulls: list[Pull], gap: list[Pull] | None = None
    ) -> None:
        """An unknown force that does `pulls`, and the row that keeps its gap, along the same ways if not
        told others."""
        unknown = self._unknown(of, kind)
        self.pulls[unknown] = pulls
        self.rows.append({})
        for place, way in pulls:
            for i, share in self._shares(place, way):
                self._add(i, unknown, -share)
        for place, way in gap or pulls:
            for i, share in self._shares(place, way):
                self._add(len(self.rows) - 1, i, share)

    # constraints

    def _joints(self) -> None:
        one, zero = self.field.one, self.field.zero
        for name, joint in self.frame.joints.items():
            for body in joint.bodies:
                if joint.kind == "built-in" and body == GROUND:
                    continue
                by = GROUND if joint.kind == "built-in" or body == GROUND else name
                on = name if body == GROUND else body
                held, holder = Place(on, joint.point), Place(by, joint.point)
                for kind, way in (("x", (one, zero)), ("y", (zero, one))):
                    against = -way[0], -way[1]
                    self._constrain(Key(on, name, by), kind, [(held, way), (holder, against)])
                if joint.kind == "built-in":
                    unknown = self._unknown(Key(on, name, by), "moment")
                    self._add(self.index[on, "turn"], unknown, -one)
                    self.rows.append({self.index[on, "turn"]: one})

    def _link(self, link: Link) -> None:
        along = [self._minus(b, a) for a, b in pairwise(link.places)]
        lengths = self._lengths.get(link.name)
        if lengths is not None:
            along = [(x / n, y / n) for (x, y), n in zip(along, lengths, strict=True)]
        nothing = self.field.zero, self.field.zero
        pulls: list[Pull] = [
            (place, (b[0] - a[0], b[1] - a[1]))
            for place, a, b in zip(link.places, [nothing, *along], [*along, nothing], strict=True)
        ]
        kind = "density" if lengths is None else "tension"
        if link.natural is None or link.stiffness is None or lengths is None:
            self._constrain(link.name, kind, pulls)
            return
        tension = self.element(link.stiffness) * (
            sum(lengths, self.field.zero) - self.element(link.natural)
        )
        if link.kind == "elastic string" and tension.sign() < 0:
            tension = self.field.zero
        unknown = self._unknown(link.name, kind)
        self.pulls[unknown] = pulls
        for place, way in pulls:
            for i, share in self._shares(place, way):
                self._add(i, unknown, -share)
        self.rows.append({unknown: self.field.one})
        self._bring(len(self.rows) - 1, tension)

    def _contact(self, contact: Contact) -> None:
        x, y = self.vec(contact.normal)
        key = Key.of(contact)
        by = Place(self.frame.under(contact), contact.on.point)
        straight: list[Pull] = [(contact.on, (x, y)), (by, (-x, -y))]
        if contact.name in self.slipping and contact.friction is not None:
            rub = self.element(contact.friction)
            rub = rub if self.slipping[contact.name] > 0 else -rub
            u, w = x + rub * y, y - rub * x
            self._constrain(key, "push", [(contact.on, (u, w)), (by, (-u, -w))], straight)
            return
        self._constrain(key, "push", straight)
        if contact.rough:
            self._constrain(key, "rub", [(contact.on, (y, -x)), (by, (-y, x))])

    def _loads(self) -> None:
        for load in self.frame.loads.values():
            if load.couple is not None and load.place.body in self.frame.bodies:
                self._bring(self.index[load.place.body, "turn"], self.element(load.couple))
                continue
            for i, share in self._shares(load.place, self.vec(load.force)):
                self._bring(i, share)
            if load.kind == "weight":  # a particle: W (its own acceleration)/g, on the left
                self._particle(load.place, self.element(load.value[0]))

    def _particle(self, place: Place, weight: Element) -> None:
        one, zero = self.field.one, self.field.zero
        for way in ((one, zero), (zero, one)):
            shares = list(self._shares(place, way))
            for i, at in shares:
                for j, rate in shares:
                    self._add(i, j, weight * at * rate)
