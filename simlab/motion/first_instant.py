"""The first instant after a member is taken away, in the frame's letters."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from simlab.errors import SimlabFault
from simlab.exact.direction import size
from simlab.exact.element import Element
from simlab.exact.elimination import Elimination
from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.frame.model import GROUND, Frame, Name, Values, Vec
from simlab.frame.quantity import ACCELERATION, FORCE, LENGTH, MOMENT, Dim, Quantity
from simlab.motion.exact import AtRest
from simlab.motion.one_sided import leaving
from simlab.results.first_instant import FirstInstant, Jump
from simlab.results.forces import Forces, Key, Reaction

G = "g"  # the letter in accelerations, whatever value or letter the frame gives to gravity


def first_instant(
    frame: Frame, values: Values | None = None, without: Collection[Name] | None = None
) -> FirstInstant:
    """Accelerations and every force at rest, just after the brace (or `without`) is taken away.

        M a = F + J^T n,    J a = 0

    Which one-sided members let go at once, and which contacts slip, is found in numbers at the values
    (`one_sided.leaving`); the forces of those that stay are exact. Where a letter's value is special (a
    pivot vanishes there) the values are put for all letters.

    Raises BadInput for what the equations of motion do not know.

    >>> from simlab.frame.scene import read_scene
    >>> first = first_instant(read_scene("scenes/kite_lantern.toml"))
    >>> first.taken
    ('spreader',)
    """
    values = {**frame.shown, **(values or {})}
    if without is None:
        without = () if frame.brace is None else (frame.brace,)
    system, gone = leaving(frame, values, without)
    rest = AtRest(frame, values, {*without, *gone}, slipping=system.slipping)
    found = rest.solve()
    if found.vanishing is not None:
        rest = AtRest(frame, values, {*without, *gone}, tuple(frame.symbols), system.slipping)
        found = rest.solve()
    if not found.consistent:
        raise SimlabFault(f"{frame.name}: no accelerations satisfy the equations of motion")
    written = _Written(rest, found)
    return FirstInstant(
        frame,
        {**values, G: values.get(G, frame.gravity)},
        tuple(without),
        written.accelerations(),
        written.forces(),
        written.undetermined,
        gone,
        tuple(system.slipping),
    )


def jumps(before: Forces[Quantity], first: FirstInstant) -> Mapping[Key | Name, Jump]:
    """How every force that acts before and after changes; tensions by member, as x.

    before : the forces of the frame at rest with all its members, from any exact road
    """
    nothing = Quantity.zero(FORCE)
    after: dict[Key | Name, Vec] = {key: r.force for key, r in first.forces.reactions.items()}
    after |= {name: (tension, nothing) for name, tension in first.forces.tensions.items()}
    was: dict[Key | Name, Vec] = {key: r.force for key, r in before.reactions.items()}
    was |= {name: (tension, nothing) for name, tension in before.tensions.items()}
    known: dict[tuple[Any, Any], Quantity] = {}  # the two halves of a frame often have the same forces

    def change(new: Quantity, old: Quantity) -> Quantity:
        if (-new.expr, -old.expr) in known:
            return -known[-new.expr, -old.expr]
        if (new.expr, old.expr) not in known:
            known[new.expr, old.expr] = _less(new, old, first.values)
        return known[new.expr, old.expr]

    return {
        of: Jump(was[of], force, (change(force[0], was[of][0]), change(force[1], was[of][1])))
        for of, force in after.items()
        if of in was
    }


def _less(a: Quantity, b: Quantity, values: Values) -> Quantity:
    exact = {name: value.expr for name, value in values.items()}
    field = Field.containing([a.expr, b.expr], exact)
    return Quantity((field.element(a.expr) - field.element(b.expr)).expr(), FORCE)


class _Written:
    """Solved unknowns in textbook form."""

    def __init__(self, rest: AtRest, found: Elimination) -> None:
        self.rest = rest
        self.frame = rest.frame
        (self.x,) = found.solutions
        self.open = {of for (of, _), i in rest.unknowns.items() if not found.is_determined(i)}
        parts = {name for name, _ in rest.index}
        if self.open & parts:
            raise SimlabFault(f"{self.frame.name}: accelerations are not unique: {self.open & parts}")
        ends = {key for name in self.open for key in self._keys(name)}
        self.undetermined: frozenset[Key | Name] = frozenset(self.open | ends)
        self._printed: dict[Element, Any] = {}

    def _at(self, of: Key | Name, kind: str) -> Element:
        return self.x.get(self.rest.unknowns[of, kind], self.rest.field.zero)

    def _keys(self, link: Key | Name) -> list[Key]:
        if isinstance(link, Key):
            return []
        ends = (place for place in self.frame.links[link].places if place.body != GROUND)
        return [Key.of_member(link, place) for place in ends]

    def _quantity(self, element: Element, dim: Dim) -> Quantity:
        if element.is_zero:
            return Quantity.zero(dim)
        if element not in self._printed:
            self._printed[element] = textbook(element)
        return Quantity(self._printed[element], dim)

    def accelerations(self) -> dict[Name, tuple[Quantity, Quantity, Quantity]]:
        """Of each body: shares of g times g."""
        g = Quantity.symbol(G, ACCELERATION)
        per_length: Dim = (0, -LENGTH[1], 0)
        return {
            body: (
                self._quantity(self._at(body, "x"), (0, 0, 0)) * g,
                self._quantity(self._at(body, "y"), (0, 0, 0)) * g,
                self._quantity(self._at(body, "turn"), per_length) * g,
            )
            for body in self.frame.bodies
        }

    def forces(self) -> Forces[Quantity]:
        """Every force that acts and is unique."""
        reactions: dict[Key, Reaction[Quantity]] = {}
        tensions: dict[Name, Quantity] = {}
        for of, kind in self.rest.unknowns:
            if of in self.undetermined or (of, kind) in self.rest.index or kind in ("y", "moment", "rub"):
                continue
            if isinstance(of, Key):
                reactions[of] = self._reaction(of, kind)
            else:
                reactions |= self._pulls(of, kind)
                tensions[of] = self._tension(of, kind)
        return Forces(reactions, tensions)

    def _pulls(self, link: Name, kind: str) -> dict[Key, Reaction[Quantity]]:
        """The forces of a light member; one tied at one place with both its ends pulls there twice."""
        amount, pulls = self._at(link, kind), self.rest.pulls[self.rest.unknowns[link, kind]]
        at: dict[Key, list[int]] = {}
        for i, (place, _) in enumerate(pulls):
            if place.body != GROUND:
                at.setdefault(Key.of_member(link, place), []).append(i)
        zero = self.rest.field.zero
        found = {}
        for key, numbers in at.items():
            x, y = (amount * sum((pulls[i][1][axis] for i in numbers), zero) for axis in (0, 1))
            force = self._quantity(x, FORCE), self._quantity(y, FORCE)
            found[key] = Reaction(force, None, self.frame.points[pulls[numbers[0]][0].point])
        return found

    def _reaction(self, key: Key, kind: str) -> Reaction[Quantity]:
        if kind == "push":
            contact = self.frame.contacts[key.at]
            x, y = self.rest.vec(contact.normal)
            push, zero = self._at(key, "push"), self.rest.field.zero
            rub = self._at(key, "rub") if (key, "rub") in self.rest.unknowns else zero
            if contact.name in self.rest.slipping:  # its friction goes with its push
                x, y = self.rest.pulls[self.rest.unknowns[key, "push"]][0][1]
            force, point = (push * x + rub * y, push * y - rub * x), contact.on.point
        else:
            force, point = (self._at(key, "x"), self._at(key, "y")), self.frame.joints[key.at].point
        moment = (
            self._quantity(self._at(key, "moment"), MOMENT)
            if (key, "moment") in self.rest.unknowns
            else None
        )
        pair = self._quantity(force[0], FORCE), self._quantity(force[1], FORCE)
        return Reaction(pair, moment, self.frame.points[point])

    def _tension(self, link: Name, kind: str) -> Quantity:
        amount = self._at(link, kind)
        if kind == "density":
            _, (x, y) = self.rest.pulls[self.rest.unknowns[link, kind]][0]
            amount = amount * size(x, y)[0]
        return self._quantity(amount, FORCE)
