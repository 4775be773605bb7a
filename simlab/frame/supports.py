"""The supports of a scene and what bodies touch: hooks, hinges, floors, pegs, wires, and each other."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, cast

from simlab.errors import nearest
from simlab.frame.connections import Connections
from simlab.frame.manuscript import Manuscript
from simlab.frame.model import Body, Contact, Name, Place, Support, SupportKind, Vec
from simlab.frame.normals import Normals
from simlab.frame.part_entries import ContactEntry, SupportEntry
from simlab.frame.points import cross, heading
from simlab.frame.quantity import NUMBER

_OWN_KEYS = {  # keys that only some kinds of support have
    "friction": "rough",
    "slope": "floor wire",
    "side": "peg",
    "along": "peg",
    "direction": "wire",
    "centre": "cylinder bowl wire",
    "faces": "wall hook hinge built-in",
    "about_to": "floor wall peg cylinder bowl wire",
    "slips": "rough",
}


class Supports:
    """Supports and contacts of one scene."""

    def __init__(self, manuscript: Manuscript, bodies: Mapping[Name, Body], tied: Connections) -> None:
        self.manuscript = manuscript
        self.bodies = bodies
        self.tied = tied
        self.normals = Normals(manuscript, bodies)
        self.supports: dict[Name, Support] = {}
        self.contacts: dict[Name, Contact] = {}
        for name, support in manuscript.entry.supports.items():
            self._support(name, support)
        for name, contact in manuscript.entry.contacts.items():
            self.contacts[name] = self._contact(name, contact)
        if not self.supports:
            raise manuscript.error(
                "nothing holds the frame up. Add a hook, a hinge or a floor.", "supports"
            )

    def _support(self, name: Name, entry: SupportEntry) -> None:
        self._check_keys(name, entry)
        points, made = [], []
        for words in [entry.at] if isinstance(entry.at, str) else entry.at:
            point = self.tied.point_of(words, "supports", name)
            points.append(point)
            if entry.kind in ("hook", "fixed hinge", "built-in"):
                made.append(point)
                continue
            on = self.tied.place(words, "supports", name)
            contact = f"{name} at {point}"
            self.contacts[contact] = self._touch(
                contact,
                "supports",
                name,
                entry,
                on,
                name,
                self.normals.of_support(name, entry, on),
                entry.kind.startswith("rough"),
                entry.kind.endswith("wire"),
            )
            made.append(contact)
        faces = None if entry.faces is None else heading(entry.faces)
        kind = cast(SupportKind, entry.kind.replace("bowl", "cylinder"))
        self.supports[name] = Support(name, kind, tuple(points), tuple(made), faces, entry.centre)

    def _check_keys(self, name: Name, entry: SupportEntry) -> None:
        """A key that means nothing for a kind is an oversight, and is refused."""
        for key, kinds in _OWN_KEYS.items():
            if getattr(entry, key) is None or any(word in entry.kind for word in kinds.split()):
                continue
            other = entry.kind.replace("smooth", "rough")
            hint = f' Say kind = "{other}".' if kinds == "rough" and other != entry.kind else ""
            raise self.manuscript.error(f"a {entry.kind} has no {key}.{hint}", "supports", name)

    def _contact(self, name: Name, entry: ContactEntry) -> Contact:
        for body in (entry.of, entry.on):
            if body not in self.bodies:
                known = ", ".join(self.bodies) or "none"
                raise self.manuscript.error(
                    f'"{body}" is not a rod, plate or disc. Bodies: {known}.' + nearest(body, self.bodies),
                    "contacts",
                    name,
                )
        if entry.of == entry.on:
            raise self.manuscript.error(f"{entry.of} cannot rest on itself.", "contacts", name)
        if entry.smooth and (entry.friction is not None or entry.slips is not None):
            message = "give smooth = true, or friction (and slips), not both."
            raise self.manuscript.error(message, "contacts", name)
        on = Place(entry.of, entry.at)
        normal = self.normals.of_contact(name, entry)
        return self._touch(name, "contacts", name, entry, on, entry.on, normal, not entry.smooth, False)

    def _touch(
        self,
        contact: Name,
        table: str,
        key: Name,
        entry: SupportEntry | ContactEntry,
        on: Place,
        by: Name,
        normal: Vec,
        rough: bool,
        two_sided: bool,
    ) -> Contact:
        friction = None
        if entry.friction is not None:
            friction = self.manuscript.read(entry.friction, table, key, NUMBER)
            if self.manuscript.number(friction) < 0:
                raise self.manuscript.error(
                    f"its coefficient of friction {friction} is negative.", table, key
                )
        about_to: Literal["slip", "lift"] | None = entry.about_to or ("slip" if entry.slips else None)
        if about_to == "slip" and not rough:
            message = 'what is smooth is not about to slip. Make it rough, or say about_to = "lift".'
            raise self.manuscript.error(message, table, key)
        if about_to == "lift" and (two_sided or entry.slips):
            what = "a ring cannot lift off its wire" if two_sided else "what lifts does not slip"
            raise self.manuscript.error(f"{what}.", table, key)
        slips = None if entry.slips is None else heading(entry.slips)
        if slips is not None and self.manuscript.number(cross(normal, slips)) == 0:
            raise self.manuscript.error(f"nothing can slip {entry.slips} along it.", table, key)
        return Contact(contact, on, by, normal, rough, friction, two_sided, about_to, slips)
