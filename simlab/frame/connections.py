"""How the parts of a scene hang together: pins, supports, light members, and what is tied to what.

Rods that share a named point are hinged there, unless the scene lists the point as `unhinged`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from simlab.frame.model import GROUND, Body, Contact, Joint, JointKind, Link, Name, Place, Support, Vec
from simlab.frame.points import heading
from simlab.frame.quantity import NUMBER, Dim, Quantity
from simlab.frame.scene_file import Exact, SceneEntry, SceneText, SupportEntry

_NAME = re.compile(r"[^\W_][\w '\-]{0,39}")  # what can be printed, drawn and said of anything

Read = Callable[[Exact, str, str, Dim | None], Quantity]


class Connections:
    """Joints, links, contacts and supports of one scene."""

    def __init__(self, text: SceneText, entry: SceneEntry, bodies: Mapping[Name, Body], read: Read) -> None:
        self.text = text
        self.entry = entry
        self.bodies = bodies
        self.read = read
        self._check_names()
        self.joints = self._joints()
        self.links = self._links()
        self.supports: dict[Name, Support] = {}
        self.contacts: dict[Name, Contact] = {}
        for name, support in entry.supports.items():
            self._support(name, support)
        if not self.supports:
            raise text.error("nothing holds the frame up. Add a hook, a hinge or a floor.", "supports")

    def _check_names(self) -> None:
        taken: dict[Name, str] = {GROUND: "the ground"}
        tables: Mapping[str, Mapping[Name, object]] = {
            "points": self.entry.points,
            "rods": self.entry.rods,
            "members": self.entry.members,
            "supports": self.entry.supports,
            "loads": self.entry.loads,
        }
        for table, entries in tables.items():
            for name in entries:
                if not _NAME.fullmatch(name) or " on " in name:
                    raise self.text.error(
                        f"{name!r} cannot be a name: up to 40 letters, digits, spaces, _ - and ', "
                        'beginning with a letter or digit, without the word "on".',
                        table,
                    )
                if name == GROUND:
                    raise self.text.error(
                        '"ground" is whatever does not move. Choose another name.', table, name
                    )
                if name in taken and (taken[name], table) != ("points", "supports"):
                    raise self.text.error(f'the name "{name}" is taken in [{taken[name]}].', table, name)
                taken.setdefault(name, table)
        for name in self.entry.unhinged:
            if name not in self.entry.points:
                raise self.text.error(f'"{name}" is not a point.', "", "unhinged")

    def _held_at(self, name: Name, entry: SupportEntry) -> list[Name]:
        points = [entry.at] if isinstance(entry.at, str) else entry.at
        for point in points:
            if point not in self.entry.points:
                declared = ", ".join(self.entry.points)
                raise self.text.error(
                    f'point "{point}" is not declared. Declared points: {declared}.', "supports", name
                )
        return points

    def _rods_at(self, point: Name) -> list[Name]:
        return [name for name, body in self.bodies.items() if point in body.points]

    def _joints(self) -> dict[Name, Joint]:
        """Every pin and built-in end, in the order of the scene's points."""
        fixed: dict[Name, JointKind] = {}
        for name, support in self.entry.supports.items():
            for point in self._held_at(name, support):
                if support.kind in ("hook", "fixed hinge", "built-in"):
                    if point in fixed:
                        raise self.text.error(f"{point} is held already.", "supports", name)
                    fixed[point] = "built-in" if support.kind == "built-in" else "pin"
        joints = {}
        for point in self.entry.points:
            rods = self._rods_at(point)
            n_links = sum(point in member.between for member in self.entry.members.values())
            if fixed.get(point) == "built-in" and len(rods) != 1:
                raise self.text.error(f"just one rod can be built in at {point}.", "points", point)
            meets = len(rods) > 1 and point not in self.entry.unhinged
            if point in fixed:
                joints[point] = Joint(point, fixed[point], point, (GROUND, *rods))
            elif meets or (not rods and n_links > 1):
                joints[point] = Joint(point, "pin", point, tuple(rods))
        return joints

    def place(self, words: str, table: str, key: Name) -> Place:
        """What a member, a load or a contact acts on at a point: its pin, or the one rod there."""
        named = re.fullmatch(r"(.+) on (.+)", words)
        point, rod = (named[1], named[2]) if named else (words, None)
        if point not in self.entry.points:
            declared = ", ".join(self.entry.points)
            raise self.text.error(
                f'point "{point}" is not declared. Declared points: {declared}. '
                f"Add {point} to [points] or correct the name.",
                table,
                key,
            )
        rods = self._rods_at(point)
        if rod is not None:
            if rod not in rods:
                raise self.text.error(f'"{point}" is not a point of a rod "{rod}".', table, key)
            return Place(rod, point)
        joint = self.joints.get(point)
        if joint is not None:
            return Place(joint.bodies[1] if joint.kind == "built-in" else point, point)
        if len(rods) == 1:
            return Place(rods[0], point)
        if rods:
            raise self.text.error(f'say on which rod: "{point} on {rods[0]}".', table, key)
        raise self.text.error(
            f"nothing is at {point}: no rod, no support. Put the point on a rod (through = ...) "
            "or hold it by a hook in [supports].",
            table,
            key,
        )

    def _links(self) -> dict[Name, Link]:
        links = {}
        for name, member in self.entry.members.items():
            first, second = (self.place(end, "members", name) for end in member.between)
            if first == second:
                raise self.text.error("its two ends are the same point.", "members", name)
            if first.body == second.body:
                raise self.text.error(f"both ends are on {first.body}: it does nothing.", "members", name)
            links[name] = Link(name, member.kind, (first, second))
        return links

    def _support(self, name: Name, entry: SupportEntry) -> None:
        points = self._held_at(name, entry)
        made = []
        for point in points:
            if entry.kind in ("smooth floor", "smooth wall"):
                contact = f"{name} at {point}"
                normal = self._normal(name, entry)
                on = self.place(point, "supports", name)
                self.contacts[contact] = Contact(contact, on, name, normal)
                made.append(contact)
            else:
                made.append(point)
        faces = None if entry.faces is None else heading(entry.faces)
        self.supports[name] = Support(name, entry.kind, tuple(points), tuple(made), faces)

    def _normal(self, name: Name, entry: SupportEntry) -> Vec:
        if entry.kind == "smooth wall":
            if entry.faces is None:
                raise self.text.error(
                    'which way does the wall face? faces = "left" or "right".', "supports", name
                )
            return heading(entry.faces)
        if entry.slope is None:
            return Quantity.zero(), Quantity.of(1)
        slope = self.read(entry.slope, "supports", name, NUMBER)
        return -slope.function("sin"), slope.function("cos")
