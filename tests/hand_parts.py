"""Parts of a frame and equations of moments made by hand: only geometry, no solver, no search.

Letters stand for every force that is cut; their values come from the tests' own numeric balance.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

import numpy as np
from published.balance import Balance

from simlab.frame.model import GROUND, Frame, Joint, Link, Name, Place, Vec
from simlab.frame.quantity import FORCE, LENGTH, MOMENT, Quantity
from simlab.results.forces import Forces, Key
from simlab.results.working import Action, Component, Equation, Letter, Part, Term

ZERO = Quantity.zero()
ONE = Quantity.of(1)
MOST = 3  # pairs of neighbours of one frame


class ByHand:
    """The parts of one frame: `part` cuts some bodies and pins out, `letters` knows every letter used."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.values = frame.shown
        self.balance: Forces[float] = Balance(frame).forces
        self.letters: dict[Name, Letter] = {}
        self.pins = [j.name for j in frame.joints.values() if j.kind == "pin" and self._is_node(j)]

    def _is_node(self, joint: Joint) -> bool:
        """Whether a pin is looked at by itself: not just two bodies, or something else on it."""
        if len(joint.bodies) == 1:  # a hook with one string is the ground
            places = [place for link in self.frame.links.values() for place in link.places]
            return joint.bodies == (GROUND,) and sum(p.body == joint.name for p in places) > 1
        return len(joint.bodies) != 2 or not self.frame.is_bare(joint.name)

    def part(self, *bodies: Name) -> Part:
        """Bodies (or a pin) with the pins that join only them, and every force on them from outside."""
        alone = [name for name in bodies if name in self.frame.joints]
        inner = alone or [p for p in self.pins if set(self.frame.joints[p].bodies) <= set(bodies)]
        nodes = {*(b for b in bodies if b in self.frame.bodies), *inner}
        is_whole = nodes >= set(self.frame.bodies)
        if is_whole:
            nodes |= set(self.pins)
        actions = (*self._weights(nodes), *self._pins(nodes), *self._links(nodes), *self._contacts(nodes))
        named = [b for b in bodies if b in self.frame.bodies] or [f"the pin {bodies[0]}"]
        words = "the whole frame" if is_whole and len(named) > 1 else " and ".join(named)
        return Part(
            tuple(b for b in self.frame.bodies if b in nodes),
            tuple(p for p in self.pins if p in nodes),
            words,
            actions,
            is_whole,
        )

    def every(self) -> list[Part]:
        """Each body alone, up to MOST two that are neighbours, the whole frame, each pin that is a part."""
        frame = self.frame
        alone = [self.part(body) for body in frame.bodies]
        pairs = [
            (a, b)
            for i, a in enumerate(frame.bodies)
            for b in list(frame.bodies)[i + 1 :]
            if any(a in joint.bodies and b in joint.bodies for joint in frame.joints.values())
        ]
        whole = [self.part(*frame.bodies)] if len(frame.bodies) > 2 else []
        return [
            *alone,
            *(self.part(*pair) for pair in pairs[:MOST]),
            *whole,
            *(self.part(p) for p in self.pins),
        ]

    # actions

    def _letter(self, name: Name, of: Key | Name, part: Component, newtons: float) -> Quantity:
        """A letter for a force; its value from the numeric balance, to seven digits."""
        dim = MOMENT if part == "moment" else FORCE
        value = Quantity.of(Fraction(f"{newtons:.6e}"), dim)
        self.letters[name] = Letter(name, of, part, f"the force {name}", "", True, (), value)
        return Quantity.symbol(name, dim, positive=False)

    def _weights(self, nodes: set[Name]) -> Iterator[Action]:
        down = (ZERO, -ONE)
        for body in self.frame.bodies.values():
            if body.name in nodes and not body.is_light:
                yield Action(body.name, None, body.weight, body.centre, down, None, 0, body.name)
        for load in self.frame.loads.values():
            if load.place.body not in nodes and not self._is_on(load.place, nodes):
                continue
            at, on = self.frame.points[load.place.point], load.place.body
            if load.couple is not None:
                sense = 1 if load.couple.number(self.values) > 0 else -1
                size = load.couple if sense > 0 else -load.couple
                yield Action(load.name, None, size, at, (ZERO, ZERO), load.place.point, sense, on)
                continue
            x, y = load.force
            size = (x * x + y * y).sqrt() if not (x.is_zero or y.is_zero) else (x + y)
            size = -size if size.number(self.values) < 0 else size
            if size.number(self.values):
                yield Action(load.name, None, size, at, (x / size, y / size), load.place.point, 0, on)

    def _is_on(self, place: Place, nodes: set[Name]) -> bool:
        """Whether a place on a pin that is no part of its own belongs to a body of the part."""
        joint = self.frame.joints.get(place.body)
        return joint is not None and joint.name not in self.pins and bool(set(joint.bodies) & nodes)

    def _pins(self, nodes: set[Name]) -> Iterator[Action]:
        for joint in self.frame.joints.values():
            at = self.frame.points[joint.point]
            for body in joint.bodies:
                inside = body in nodes or body == GROUND
                if joint.name in self.pins:
                    if body == GROUND and joint.name in nodes:
                        yield from self._two(joint, Key(joint.name, joint.name, GROUND), joint.name, 1, at)
                    elif body != GROUND and (body in nodes) != (joint.name in nodes):
                        sign = 1 if body in nodes else -1
                        key: Key | Name = Key(body, joint.name, joint.name) if sign > 0 else joint.name
                        yield from self._two(joint, key, body, sign, at)
                elif inside and body != GROUND and set(joint.bodies) - nodes:
                    yield from self._two(joint, self._key(joint, body), body, 1, at)

    def _key(self, joint: Joint, body: Name) -> Key:
        return Key(body, joint.name, GROUND if joint.kind == "built-in" else joint.name)

    def _two(self, joint: Joint, key: Key | Name, on: Name, sign: int, at: Vec) -> Iterator[Action]:
        """The two components of a hinge's force, and the moment of a built-in end."""
        known = key if isinstance(key, Key) else Key(on, joint.name, joint.name)
        reaction = self.balance.reactions[known]
        own = on if joint.name in self.pins and on != joint.name else ""
        index = f"{joint.point}{list(joint.bodies).index(own) + 1 if own else ''}"
        pair: list[Name] = [b for b in joint.bodies if b != GROUND]
        flip = -1 if joint.name not in self.pins and len(pair) == 2 and on == pair[1] else 1
        for letter, part, axis in (("X", "across", 0), ("Y", "upwards", 1)):
            size = self._letter(f"{letter}_{index}", known, part, flip * reaction.force[axis])  # type: ignore[arg-type]
            one = ONE if sign * flip > 0 else -ONE
            way = (one, ZERO) if axis == 0 else (ZERO, one)
            yield Action(
                key, f"{letter}_{index}", size, at, way, joint.point, 0, on if sign > 0 else joint.name
            )
        if reaction.moment is not None:
            size = self._letter(f"M_{index}", known, "moment", reaction.moment)
            yield Action(key, f"M_{index}", size, at, (ZERO, ZERO), joint.point, 1, on)

    def _links(self, nodes: set[Name]) -> Iterator[Action]:
        for k, link in enumerate(self.frame.links.values()):
            for a, b in pairwise(link.places):
                held = [p.body in nodes or self._is_on(p, nodes) for p in (a, b)]
                for place, other, inside, also in ((a, b, held[0], held[1]), (b, a, held[1], held[0])):
                    if inside and not also:
                        yield self._pull(link, k, place, other)

    def _pull(self, link: Link, k: int, place: Place, other: Place) -> Action:
        tension = self.balance.tensions[link.name]
        pushes = link.kind == "strut"
        name = f"{'S' if pushes else 'T'}_{k + 1}"
        part: Component = "thrust" if pushes else "tension"
        size = self._letter(name, link.name, part, -tension if pushes else tension)
        a, b = self.frame.points[place.point], self.frame.points[other.point]
        along = (b[0] - a[0], b[1] - a[1])
        long = (along[0] * along[0] + along[1] * along[1]).sqrt()
        way = (along[0] / long, along[1] / long)
        if pushes:
            way = (-way[0], -way[1])
        return Action(Key.of_member(link.name, place), name, size, a, way, place.point, 0, place.body)

    def _contacts(self, nodes: set[Name]) -> Iterator[Action]:
        for k, contact in enumerate(self.frame.contacts.values()):
            inside, under = (name in nodes for name in (contact.on.body, self.frame.under(contact)))
            if inside == under or (not inside and contact.by not in nodes):
                continue
            x, y = contact.normal
            long = (x * x + y * y).sqrt()
            sign = ONE if inside else -ONE
            n = (sign * x / long, sign * y / long)
            on = contact.on.body if inside else contact.by
            at, key = self.frame.points[contact.on.point], Key.of(contact)
            push, rub = self._of_contact(contact.name)
            for letter, part, way, value in (
                ("N", "normal", n, push),
                ("F", "friction", (n[1], -n[0]), rub),
            ):
                if part == "normal" or contact.rough:
                    name = f"{letter}_{k + 1}"
                    size = self._letter(name, key, part, value)  # type: ignore[arg-type]
                    yield Action(key, name, size, at, way, contact.on.point, 0, on)

    def _of_contact(self, name: Name) -> tuple[float, float]:
        """Normal reaction and friction of a contact, as numbers."""
        contact = self.frame.contacts[name]
        n = np.array([v.number(self.values) for v in contact.normal])
        n = n / np.hypot(*n)
        force = np.array(self.balance.reactions[Key.of(contact)].force)
        return float(force @ n), float(force @ np.array([n[1], -n[0]]))


def moments(part: Part, values: Mapping[Name, Quantity], about: Name, point: Vec) -> Equation:
    """The equation of moments of a part about a point; arms to three figures, feet exactly."""
    x, y = (v.number(values) for v in point)
    terms = []
    for action in part.actions:
        if action.turning:
            terms.append(Term(action, ONE, action.turning))
            continue
        (ax, ay), (wx, wy) = ((v.number(values) for v in vec) for vec in (action.at, action.way))
        turn = (ax - x) * wy - (ay - y) * wx
        if abs(turn) < 1e-9:
            continue
        along = (x - ax) * wx + (y - ay) * wy
        foot = tuple(Quantity.of(Fraction(v), LENGTH) for v in (ax + along * wx, ay + along * wy))
        arm = Quantity.of(Fraction(f"{abs(turn):.2e}"), LENGTH)
        terms.append(Term(action, arm, 1 if turn > 0 else -1, foot))  # type: ignore[arg-type]
    return Equation(part, "moments", about, "", point, None, tuple(terms))


def spots(frame: Frame, part: Part) -> Sequence[Name]:
    """The points of a part at which forces of unknown size act, each once."""
    return tuple(
        dict.fromkeys(a.point for a in part.actions if a.letter is not None and a.point is not None)
    )
