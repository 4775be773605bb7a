"""An entry of statics.json -> a Frame, built from the model itself (the scene reader plays no part).

entry                         frame
rod, rigid                    Body "rod", "plate"
node                          a pin that joins light members only
pin                           the pin at that point, held by the ground
rough                         the same: where friction need not be limiting, both components are free
clamp                         a built-in joint; where a pin is already, at the middle of the rod instead
smooth                        a one-sided Contact along the normal
limiting                      the same along the whole reaction: at its limit friction fixes its direction
force                         a light rod along the normal: pushes or pulls
light rod, string             Link
elastic                       Link "elastic string" of that stiffness and natural length
contact of two bodies         a rough Contact by the other body
unknown                       a letter to be found
given                         a pair of opposite forces of that size
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Literal

from published.entries import Entry
from simlab.frame.model import GROUND, Body, Contact, Frame, Joint, Link, Load, Name, Place, Support, Vec
from simlab.frame.quantity import ACCELERATION, FORCE, LENGTH, NUMBER, Quantity, distance2, total

STIFFNESS = (1, -1, 0)
_HALF = Quantity.of(1) / Quantity.of(2)
_SUPPORTS = ("pin", "rough", "clamp", "smooth", "limiting", "force")
_BRACES = ("light rod", "string", "elastic", "given")


def truss(
    name: Name,
    nodes: Mapping[Name, tuple[str, str]],
    members: str,
    supports: Iterable[Mapping[str, Any]],
    loads: Mapping[Name, tuple[str, str]],
    letters: Mapping[str, float],
) -> Frame:
    """A frame of light rods pinned at nodes; of the members "AB BC", AB joins A and B."""
    raw = {
        "id": name,
        "statement": f"light rods {members}",
        "source": "the tests' own",
        "answer_origin": "worked out here",
        "geometry": nodes,
        "bodies": [{"id": node, "kind": "node", "points": [node]} for node in nodes],
        "supports": list(supports),
        "braces": [
            {"id": ends, "kind": "light rod", "from": ends[0], "to": ends[1]} for ends in members.split()
        ],
        "loads": [{"at": node, "force": force} for node, force in loads.items()],
        "numeric_check": {"params": letters},
    }
    return frame_of(Entry(name, raw))


class Unsupported(ValueError):
    """The model has no part for this part of an entry."""


def frame_of(entry: Entry) -> Frame:
    """The frame of an entry, with its letters; raises Unsupported for what the model cannot say."""
    return _Assembly(entry).frame()


def push_name(point: Name) -> Name:
    """The light rod that stands for an unknown force along a given line at a point."""
    return f"push at {point}"


def contact_name(contact: Name) -> Name:
    """A contact of two bodies."""
    return f"contact {contact}"


def support_name(point: Name) -> Name:
    """Whatever supports the frame at a point."""
    return f"support {point}"


class _Assembly:
    """Collects the parts of one frame, table by table."""

    def __init__(self, entry: Entry) -> None:
        self.entry = entry
        self.points = {name: self._vec(xy, LENGTH) for name, xy in entry["geometry"].items()}
        self.nodes = {b["points"][0] for b in entry["bodies"] if b["kind"] == "node"}
        self.bodies = {b["id"]: self._body(b) for b in entry["bodies"] if b["kind"] != "node"}
        self.joints: dict[Name, Joint] = {}
        self.supports: dict[Name, Support] = {}
        self.contacts: dict[Name, Contact] = {}
        self.links: dict[Name, Link] = {}
        self.loads: dict[Name, Load] = {}

    def frame(self) -> Frame:
        """Joints first, since whatever else acts at a joint acts on its pin."""
        for joint in self.entry.rows("joints"):
            self._pin(joint["at"], *joint["bodies"])
        for point in self.nodes:
            self._pin(point)
        for support in self.entry["supports"]:
            self._support(support)
        for brace in self.entry["braces"]:
            self._brace(brace)
        for i, load in enumerate(self.entry.rows("loads"), start=1):
            place = Place(load["body"], load["at"]) if "body" in load else self._place(load["at"])
            self._load(f"load {i}", place, self._vec(load["force"], FORCE))
        for contact in self.entry.rows("contacts"):
            self._contact(contact)
        gravity = self.entry.letters.get("g", Quantity.of(10))
        return Frame(
            name=self.entry.id,
            title=self.entry.id,
            question=self.entry["statement"],
            source=self.entry.source,
            symbols=self.entry.symbols,
            points=self.points,
            bodies=self.bodies,
            joints={point: self.joints[point] for point in self.points if point in self.joints},
            links=self.links,
            contacts=self.contacts,
            supports=self.supports,
            loads=self.loads,
            gravity=Quantity(gravity.expr, ACCELERATION),
            given=self.entry.given,
        )

    def _vec(self, written: list[str], dim: tuple[int, int, int]) -> Vec:
        x, y = (self.entry.read(part, dim) for part in written)
        return x, y

    def _body(self, raw: Mapping[str, Any]) -> Body:
        names = [*dict.fromkeys([*raw.get("ends", ()), *raw.get("points", ())])]
        points = {name: self.points[name] for name in names}
        weight = self.entry.read(raw["weight"], FORCE)
        if raw["kind"] == "rod":
            a, b = (points[end] for end in raw["ends"])
            share = self.entry.read(raw["cg"], NUMBER) if "cg" in raw else _HALF
            centre = _along(a, b, share)
            # L^2/12 as of a uniform rod. Statics needs none, so it cannot colour a result.
            gyration2 = distance2(a, b) / Quantity.of(12)
            return Body(raw["id"], "rod", points, (a, b), weight, centre, gyration2)
        count = Quantity.of(len(points))
        mean = tuple(total(p[i] for p in points.values()) / count for i in (0, 1))
        centre = self._vec(raw["cg"], LENGTH) if "cg" in raw else (mean[0], mean[1])
        # The mean square distance of the points: some positive value, not the lamina's own.
        gyration2 = total(distance2(centre, p) for p in points.values()) / count
        return Body(raw["id"], "plate", points, tuple(points.values()), weight, centre, gyration2)

    def _bodies_at(self, point: Name) -> list[Name]:
        return [name for name, body in self.bodies.items() if point in body.points]

    def _pin(self, point: Name, *bodies: Name) -> None:
        """Put these on the pin at a point, the ground first as the scene reader has it."""
        before = self.joints[point].bodies if point in self.joints else ()
        joined = dict.fromkeys([*before, *bodies])
        ordered = tuple(sorted(joined, key=lambda name: name != GROUND))
        self.joints[point] = Joint(point, "pin", point, ordered)

    def _place(self, point: Name) -> Place:
        """What acts at a point acts on the pin there, or else on the one body there."""
        if point in self.joints and self.joints[point].kind == "pin":
            return Place(point, point)
        (body,) = self._bodies_at(point)
        return Place(body, point)

    def _support(self, raw: Mapping[str, Any]) -> None:
        point, kind = raw["at"], raw["kind"]
        if kind not in _SUPPORTS:
            raise Unsupported(f"support of kind {kind}")
        name = support_name(point)
        if kind in ("pin", "rough"):
            held = () if point in self.joints else (raw.get("body") or self._bodies_at(point)[0],)
            self._pin(point, GROUND, *held)
            self.supports[name] = Support(name, "fixed hinge", (point,), (point,))
        elif kind == "clamp":
            self._build_in(name, point, raw["body"])
        elif kind == "force":
            self._push(point, self._vec(raw["normal"], NUMBER))
        else:
            contact = f"{name} at {point}"
            normal = self._vec(raw["dir" if kind == "limiting" else "normal"], NUMBER)
            self.contacts[contact] = Contact(contact, self._place(point), name, normal)
            face: Literal["smooth floor", "smooth wall"] = (
                "smooth wall" if normal[1].is_zero else "smooth floor"
            )
            self.supports[name] = Support(name, face, (point,), (contact,))

    def _build_in(self, name: Name, point: Name, rod: Name) -> None:
        """Fix a rod; a connection is named by its point, so a point that has a pin cannot have both."""
        if point in self.joints:
            body = self.bodies[rod]
            point = f"middle of {rod}"
            first, last = body.outline
            self.points[point] = _along(first, last, _HALF)
            points = {**body.points, point: self.points[point]}
            self.bodies[rod] = Body(
                rod, body.kind, points, body.outline, body.weight, body.centre, body.gyration2
            )
        self.joints[point] = Joint(point, "built-in", point, (GROUND, rod))
        self.supports[name] = Support(name, "built-in", (point,), (point,))

    def _contact(self, raw: Mapping[str, Any]) -> None:
        """One body on another; whether it is about to slip there stands in the entry's conditions."""
        name = contact_name(raw["id"])
        on, normal = Place(raw["on"], raw["at"]), self._vec(raw["normal"], NUMBER)
        friction = self.entry.limiting_contacts.get(raw["id"])
        self.contacts[name] = Contact(
            name, on, raw["by"], normal, True, friction, about_to=None if friction is None else "slip"
        )

    def _push(self, point: Name, normal: Vec) -> None:
        """A light rod from the ground to a point; its length is a length of the entry, and immaterial."""
        lengths = [n for n, s in self.entry.symbols.items() if s.shown.dim == LENGTH]
        length = self.entry.letters[lengths[0]] if lengths else Quantity.of(1, LENGTH)
        x, y = self.points[point]
        foot = f"foot of push at {point}"
        self.points[foot] = x - normal[0] * length, y - normal[1] * length
        self._hook(foot)
        name = push_name(point)
        self.links[name] = Link(name, "light rod", (Place(foot, foot), self._place(point)))

    def _hook(self, point: Name) -> None:
        self._pin(point, GROUND)
        self.supports[support_name(point)] = Support(support_name(point), "hook", (point,), (point,))

    def _brace(self, raw: Mapping[str, Any]) -> None:
        kind = raw["kind"]
        if kind not in _BRACES:
            raise Unsupported(f"brace of kind {kind}")
        if raw.get("body_to") == GROUND or not (self._bodies_at(raw["to"]) or raw["to"] in self.joints):
            self._hook(raw["to"])
        first, second = self._place(raw["from"]), self._place(raw["to"])
        if kind == "elastic":
            stiffness, natural = (
                self.entry.read(raw[key], dim) for key, dim in (("k", STIFFNESS), ("l0", LENGTH))
            )
            self.links[raw["id"]] = Link(
                raw["id"], "elastic string", (first, second), natural=natural, stiffness=stiffness
            )
        elif kind != "given":
            self.links[raw["id"]] = Link(raw["id"], kind, (first, second))
        if kind != "given":
            return
        way = _unit(self.points[raw["from"]], self.points[raw["to"]], self.entry)
        tension = self.entry.read(raw["tension"], FORCE)
        self._load(f"pull of {raw['id']} at {first.point}", first, (tension * way[0], tension * way[1]))
        self._load(f"pull of {raw['id']} at {second.point}", second, (-tension * way[0], -tension * way[1]))

    def _load(self, name: Name, place: Place, force: Vec) -> None:
        self.loads[name] = Load(name, "force", place, force)


def _along(a: Vec, b: Vec, share: Quantity) -> Vec:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _unit(a: Vec, b: Vec, entry: Entry) -> Vec:
    """The direction from a to b; a plumb or level one without a root of a square."""
    shown = {name: symbol.shown for name, symbol in entry.symbols.items()}
    along = b[0] - a[0], b[1] - a[1]
    for i in (0, 1):
        if along[i].is_zero:
            sign = Quantity.of(1 if along[1 - i].number(shown) > 0 else -1)
            return (Quantity.zero(), sign) if i == 0 else (sign, Quantity.zero())
    length = distance2(a, b).sqrt()
    return along[0] / length, along[1] / length
