"""How the parts of a scene hang together: pins, light members, and what is tied to what.

Bodies that share a named point are hinged there, unless the scene lists the point as `unhinged` or says
that they only touch there.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from simlab.frame.manuscript import Manuscript
from simlab.frame.model import GROUND, Body, Joint, JointKind, Link, Name, Place
from simlab.frame.part_entries import MemberEntry
from simlab.frame.quantity import FORCE, FORCE_PER_LENGTH, LENGTH, Quantity

_NAME = re.compile(r"[^\W_][\w '\-]{0,39}")  # what can be printed, drawn and said of anything
_TABLES = ("points", "rods", "plates", "discs", "members", "contacts", "supports", "loads")
_FIXED: Mapping[str, JointKind] = {"hook": "pin", "fixed hinge": "pin", "built-in": "built-in"}
_ELASTIC = ("elastic string", "spring")


class Connections:
    """Joints and links of one scene."""

    def __init__(self, manuscript: Manuscript, bodies: Mapping[Name, Body]) -> None:
        self.manuscript = manuscript
        self.entry = manuscript.entry
        self.bodies = bodies
        self._check_names()
        self.joints = self._joints()
        self.links = {name: self._link(name, member) for name, member in self.entry.members.items()}

    def _check_names(self) -> None:
        taken: dict[Name, str] = {GROUND: "the ground"}
        for table in _TABLES:
            for name in getattr(self.entry, table):
                if not _NAME.fullmatch(name) or " on " in name:
                    raise self.manuscript.error(
                        f"{name!r} cannot be a name: up to 40 letters, digits, spaces, _ - and ', "
                        'beginning with a letter or digit, without the word "on".',
                        table,
                    )
                if name == GROUND:
                    raise self.manuscript.error(
                        '"ground" is whatever does not move. Choose another name.', table, name
                    )
                if name in taken and (taken[name], table) != ("points", "supports"):
                    raise self.manuscript.error(
                        f'the name "{name}" is taken in [{taken[name]}].', table, name
                    )
                taken.setdefault(name, table)
        for name in self.entry.unhinged:
            if name not in self.entry.points:
                raise self.manuscript.error(f'"{name}" is not a point.', "", "unhinged")

    def point_of(self, words: str, table: str, key: Name) -> Name:
        """The point in "P" or in "P on AB"."""
        return self.manuscript.declared(words.partition(" on ")[0], table, key)

    def bodies_at(self, point: Name) -> list[Name]:
        """Every body that has the point."""
        return [name for name, body in self.bodies.items() if point in body.points]

    def _held(self) -> dict[Name, JointKind]:
        """What the ground holds at which point."""
        fixed: dict[Name, JointKind] = {}
        for name, support in self.entry.supports.items():
            for words in [support.at] if isinstance(support.at, str) else support.at:
                point = self.point_of(words, "supports", name)
                if support.kind in _FIXED:
                    if point in fixed:
                        raise self.manuscript.error(f"{point} is held already.", "supports", name)
                    fixed[point] = _FIXED[support.kind]
        return fixed

    def _joints(self) -> dict[Name, Joint]:
        """Every pin and built-in end, in the order of the scene's points."""
        fixed = self._held()
        joints = {}
        for point in self.entry.points:
            resting = {contact.of for contact in self.entry.contacts.values() if contact.at == point}
            bodies = [body for body in self.bodies_at(point) if body not in resting]
            if fixed.get(point) == "built-in" and len(bodies) != 1:
                raise self.manuscript.error(f"just one rod can be built in at {point}.", "points", point)
            meets = len(bodies) > 1 and point not in self.entry.unhinged
            if point in fixed:
                joints[point] = Joint(point, fixed[point], point, (GROUND, *bodies))
            elif meets or (not bodies and self._is_free_pin(point)):
                joints[point] = Joint(point, "pin", point, tuple(bodies))
        return joints

    def _is_free_pin(self, point: Name) -> bool:
        """Whether light members meet at a point of no body, or one does and something else acts there."""
        members = self.entry.members.values()
        n_ends = sum(point in member.between for member in members)
        tied = n_ends > 0 or any(point in member.over for member in members)
        loaded = any(load.at == point for load in self.entry.loads.values())
        touched = any(
            point == support.at or (isinstance(support.at, list) and point in support.at)
            for support in self.entry.supports.values()
        )
        return n_ends > 1 or (tied and (loaded or touched))

    def place(self, words: str, table: str, key: Name) -> Place:
        """What a member, a load or a contact acts on at a point: its pin, or the one body there."""
        named = re.fullmatch(r"(.+) on (.+)", words)
        point = self.point_of(words, table, key)
        bodies = self.bodies_at(point)
        if named is not None:
            if named[2] not in bodies:
                raise self.manuscript.error(f'"{point}" is not a point of a body "{named[2]}".', table, key)
            return Place(named[2], point)
        joint = self.joints.get(point)
        if joint is not None:
            return Place(joint.bodies[1] if joint.kind == "built-in" else point, point)
        if len(bodies) == 1:
            return Place(bodies[0], point)
        if bodies:
            raise self.manuscript.error(f'say on which body: "{point} on {bodies[0]}".', table, key)
        raise self.manuscript.error(
            f"nothing is at {point}: no body, no support. Put the point on a rod (through = ...) "
            "or hold it by a hook in [supports].",
            table,
            key,
        )

    def body_at(self, words: str, table: str, key: Name) -> Place:
        """The body, never a pin, that something acts on at a point."""
        place = self.place(words, table, key)
        if place.body in self.bodies:
            return place
        bodies = self.bodies_at(place.point)
        if len(bodies) != 1:
            example = bodies[0] if bodies else "AB"
            raise self.manuscript.error(f'say on which body: "{place.point} on {example}".', table, key)
        return Place(bodies[0], place.point)

    def _over(self, words: str, key: Name) -> Place:
        """A peg or pulley: on a body, on a pin, or fixed to the ground."""
        point = self.point_of(words, "members", key)
        if " on " not in words and point not in self.joints and not self.bodies_at(point):
            return Place(GROUND, point)
        return self.place(words, "members", key)

    def _link(self, name: Name, entry: MemberEntry) -> Link:
        first, second = (self.place(end, "members", name) for end in entry.between)
        over = tuple(self._over(words, name) for words in entry.over)
        if over and "string" not in entry.kind:
            raise self.manuscript.error(
                f"only a string runs over pegs; this is a {entry.kind}.", "members", name
            )
        if first == second and not over:
            raise self.manuscript.error("its two ends are the same point.", "members", name)
        if first.body == second.body and not over:
            raise self.manuscript.error(f"both ends are on {first.body}: it does nothing.", "members", name)
        natural, stiffness = self._elasticity(name, entry)
        tension = (
            None if entry.tension is None else self.manuscript.read(entry.tension, "members", name, FORCE)
        )
        if tension is not None and (natural is not None or entry.kind == "strut"):
            raise self.manuscript.error(
                f"the tension of this {entry.kind} is not to be given.", "members", name
            )
        return Link(name, entry.kind, (first, second), over, natural, stiffness, tension)

    def _elasticity(self, name: Name, entry: MemberEntry) -> tuple[Quantity | None, Quantity | None]:
        """Natural length and stiffness = modulus / natural length."""

        def read(key: str, dim: tuple[int, int, int], least: str) -> Quantity | None:
            written = getattr(entry, key)
            if written is None:
                return None
            quantity = self.manuscript.read(written, "members", name, dim)
            value = self.manuscript.number(quantity)
            if value < 0 or (value == 0 and least == "above"):
                raise self.manuscript.error(f"its {key} {written} must be {least} 0.", "members", name)
            return quantity

        natural = read("natural", LENGTH, "at least")
        modulus = read("modulus", FORCE, "above")
        stiffness = read("stiffness", FORCE_PER_LENGTH, "above")
        if entry.kind in _ELASTIC:
            if natural is None or (modulus is None) == (stiffness is None):
                message = f'of a {entry.kind}: give natural = "l", and modulus = "k" or stiffness.'
                raise self.manuscript.error(message.replace("a e", "an e"), "members", name)
            if modulus is not None:
                if natural.is_zero:
                    message = "with no natural length it has no modulus. Give its stiffness."
                    raise self.manuscript.error(message, "members", name)
                stiffness = modulus / natural
        elif natural is not None or modulus is not None:
            message = (
                f'a {entry.kind} has no natural length or modulus. Say kind = "elastic string" or "spring".'
            )
            raise self.manuscript.error(message, "members", name)
        return natural, stiffness
