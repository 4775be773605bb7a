"""Unknowns -> reactions and tensions by key, in the form in which a textbook prints them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from simlab.exact.direction import size
from simlab.exact.elimination import Vector
from simlab.exact.field import Element
from simlab.exact.form import textbook
from simlab.exact.words import turned
from simlab.frame.model import GROUND, Name
from simlab.frame.quantity import FORCE, MOMENT, NUMBER, Dim, Quantity
from simlab.results.forces import Forces, Key, Reaction
from simlab.statics.equations import Equations, Exact


class Reactions:
    """Every force of a frame as field elements, from the values of its unknowns.

    `unsure` are the unknowns that statics alone does not settle, by number; reactions and members
    that depend on any of them are in `undetermined`, and not among the forces. A reaction of which one
    component is settled and another is not is left out as a whole there (a Reaction has no room for
    half of one); the settled components are in `settled_parts`, as numbers along "x", "y", "moment", and
    of contacts the "push" and the "rub" as the equations have them.
    """

    def __init__(self, equations: Equations, values: Vector, unsure: frozenset[int] = frozenset()) -> None:
        self.equations = equations
        self.forces: dict[Key, Exact] = {}
        self.moments: dict[Key, Element] = {}
        self.densities: dict[Name, Element] = {}  # of strings over pegs their tensions
        self.pushes: dict[Name, Element] = {}  # of contacts, along the normal as given
        self.rubs: dict[Name, Element] = {}  # of rough contacts, along the normal turned clockwise
        undetermined: set[Key | Name] = set()
        parts: dict[Key | Name, dict[str, Element]] = {}
        settled: dict[Key, dict[str, Element]] = {}
        for number, unknown in enumerate(equations.unknowns):
            parts.setdefault(unknown.of, {})[unknown.part] = values.get(number, equations.field.zero)
            if number in unsure:
                undetermined |= {unknown.of, *_keys_of(equations, unknown.of)}
            elif isinstance(unknown.of, Key):
                settled.setdefault(unknown.of, {})[unknown.part] = values.get(number, equations.field.zero)
        for of, values_of in parts.items():
            if of not in undetermined:
                self._take(of, values_of)
        for key, part in settled.items():
            if "push" in part:
                self.pushes[key.at] = part["push"]
            if "rub" in part:
                self.rubs[key.at] = part["rub"]
        self.settled_parts = {key: part for key, part in settled.items() if key in undetermined}
        self.undetermined = frozenset(undetermined)
        self.assumptions: dict[Name, tuple[Element, ...]] = {}  # of a length's sign, by light member
        self._printed: dict[tuple[int, Element], Any] = {}

    def _take(self, of: Key | Name, parts: dict[str, Element]) -> None:
        if isinstance(of, Key):
            if "push" in parts:
                x, y = self.equations.vec(self.equations.frame.contacts[of.at].normal)
                push, rub = parts["push"], parts.get("rub", self.equations.field.zero)
                self.forces[of] = push * x + rub * y, push * y - rub * x
            else:
                self.forces[of] = parts["x"], parts["y"]
            if "moment" in parts:
                self.moments[of] = parts["moment"]
            return
        (unit,) = parts.values()
        self.densities[of] = unit
        for key, (x, y) in zip(_ends(self.equations, of), self.equations.pulls(of), strict=True):
            if key is not None:
                self.forces[key] = unit * x, unit * y

    def tension(self, link: Name) -> Element:
        """The tension of a light member: its density times its length, whose root is adjoined."""
        if self.equations.frame.links[link].over:
            return self.densities[link]
        length, assumed = size(*self.equations.along(link))
        self.assumptions.setdefault(link, assumed)
        return self.densities[link] * length

    def push(self, contact: Name) -> Element:
        """The push of a contact: a force, positive if it presses."""
        return self.pushes[contact] * self._normal(contact)

    def rub(self, contact: Name) -> Element:
        """The friction of a rough contact: a force, positive along the normal turned clockwise."""
        return self.rubs[contact] * self._normal(contact)

    def _normal(self, contact: Name) -> Element:
        """The length of a contact's normal as given."""
        return size(*self.equations.vec(self.equations.frame.contacts[contact].normal))[0]

    def printed(self, element: Element, dim: Dim) -> Quantity:
        """An element as a quantity in textbook form; opposite elements have opposite forms."""
        key = id(element.field), element  # elements of unrelated fields cannot be compared
        opposite = id(element.field), -element
        if key not in self._printed:
            known = self._printed.get(opposite)
            self._printed[key] = textbook(element) if known is None else turned(known)
        return Quantity(self._printed[key], dim)

    def assumed(self, element: Element) -> Quantity:
        """An element that a field takes as positive, with the dimensions of its letters."""
        symbols = self.equations.frame.symbols
        for powers, _ in element.num.terms():
            f = l = t = 0
            for power, name in zip(powers, element.field.names, strict=True):
                if name in symbols:
                    force, length, time = symbols[name].shown.dim
                    f, l, t = f + power * force, l + power * length, t + power * time
            if (f, l, t) != NUMBER:
                return self.printed(element, (f, l, t))
        return self.printed(element, NUMBER)

    def table(self) -> Forces[Quantity]:
        """All of them as quantities, by the keys that every road uses."""
        points = dict(self._points())
        reactions = {}
        for key, (x, y) in self.forces.items():
            moment = self.moments.get(key)
            reactions[key] = Reaction(
                (self.printed(x, FORCE), self.printed(y, FORCE)),
                None if moment is None else self.printed(moment, MOMENT),
                self.equations.frame.points[points[key.at]],
            )
        return Forces(reactions, {link: self.printed(self.tension(link), FORCE) for link in self.densities})

    def _points(self) -> Iterator[tuple[Name, Name]]:
        """Where each connection is."""
        frame = self.equations.frame
        yield from ((name, joint.point) for name, joint in frame.joints.items())
        yield from ((name, contact.on.point) for name, contact in frame.contacts.items())
        for link in frame.links.values():
            yield from ((f"{link.name} at {place.point}", place.point) for place in link.places)


def _ends(equations: Equations, link: Name) -> list[Key | None]:
    """The keys of a light member's forces, from end to end; None for a place on the ground."""
    return [
        None if place.body == GROUND else Key.of_member(link, place)
        for place in equations.frame.links[link].places
    ]


def _keys_of(equations: Equations, of: Key | Name) -> set[Key]:
    return {of} if isinstance(of, Key) else {key for key in _ends(equations, of) if key is not None}
