"""A scene file -> a Frame. Every message that a scene author can see is made here or just below."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from simlab.errors import BadInput, nearest
from simlab.frame import expression
from simlab.frame.connections import Connections
from simlab.frame.model import GROUND, Body, Frame, Load, Vec
from simlab.frame.points import Points, heading, of_kind
from simlab.frame.quantity import ACCELERATION, FORCE, LENGTH, MASS, NUMBER, Dim, Quantity, distance2
from simlab.frame.question import Asked, Name, Symbol
from simlab.frame.scene_file import Exact, LoadEntry, PointEntry, RodEntry, SceneText
from simlab.frame.soundness import check

_UNIT_OF_DIM = {FORCE: "N", LENGTH: "m", MASS: "kg", ACCELERATION: "m/s^2", NUMBER: ""}
_RESERVED = {GROUND, "pi", *expression.FUNCTIONS}


def read_scene(path: str | Path) -> Frame:
    """Read a scene file; raises SceneError naming the file, the key, what came and what is allowed.

    >>> read_scene("scenes/kite_lantern.toml").brace
    'spreader'
    """
    path = Path(path)
    return _Assembly(SceneText.of_file(path), path.stem).frame()


def parse_scene(text: str, name: str = "scene") -> Frame:
    """Read a scene from text, as `read_scene` does from a file."""
    return _Assembly(SceneText(text, name), name).frame()


class _Assembly:
    """Builds one frame from one scene, table by table."""

    def __init__(self, text: SceneText, name: Name) -> None:
        self.text = text
        self.name = name
        self.entry = text.decode()
        self.letters: dict[str, Quantity] = {}
        self.symbols = self._symbols()
        self.shown = {n: s.shown for n, s in self.symbols.items()}
        for let, written in self.entry.lets.items():
            self.letters[self._new_name(let, "lets")] = self._read(written, "lets", let)
        self.gravity = self._read(self.entry.gravity, "", "gravity", ACCELERATION)
        self.points = Points(self.entry.points, lambda t: expression.read(str(t), self.letters), self.shown)

    def frame(self) -> Frame:
        """The whole frame, checked."""
        points = {name: self._point(name, "points", name) for name in self.entry.points}
        bodies = {name: self._rod(name, rod) for name, rod in self.entry.rods.items()}
        tied = Connections(self.text, self.entry, bodies, lambda t, *w: self._read(t, *w))
        frame = Frame(
            name=self.name,
            title=self.entry.title,
            question=self.entry.question.strip(),
            source=self.entry.source,
            symbols=self.symbols,
            points=points,
            bodies=bodies,
            joints=tied.joints,
            links=tied.links,
            contacts=tied.contacts,
            supports=tied.supports,
            loads={name: self._load(name, load, tied) for name, load in self.entry.loads.items()},
            gravity=self.gravity,
            asked=tuple(self._asked(words, tied) for words in self.entry.asked),
            brace=self._brace(),
            expect=self.entry.expect,
        )
        check(frame, self.text.error)
        return frame

    def _new_name(self, name: str, table: str) -> str:
        if not expression.NAME.fullmatch(name) or "__" in name or name in _RESERVED:
            raise self.text.error(
                f'"{name}" cannot be a letter here: letters, digits and "_", beginning with a letter.',
                table,
                name,
            )
        if name in self.letters:
            raise self.text.error(f'"{name}" is declared twice.', table, name)
        return name

    def _read(self, written: Exact, table: str, key: str, dim: Dim | None = None) -> Quantity:
        try:
            quantity = expression.read(str(written), self.letters)
            return quantity if dim is None else of_kind(quantity, dim)
        except BadInput as error:
            raise self.text.error(str(error), table, key) from None

    def _symbols(self) -> Mapping[Name, Symbol]:
        symbols = {}
        for name, entry in self.entry.symbols.items():
            shown = self._read(entry.shown, "symbols", name)
            if shown.dim not in _UNIT_OF_DIM:
                raise self.text.error(
                    f"{entry.shown} is neither a force, a length, a mass, an angle nor a ratio.",
                    "symbols",
                    name,
                )
            is_angle = re.search(r"\b(deg|rad)\b", str(entry.shown)) is not None
            symbols[name] = Symbol(
                name,
                entry.meaning,
                "deg" if is_angle else _UNIT_OF_DIM[shown.dim],
                shown,
                None if entry.low is None else self._read(entry.low, "symbols", name, shown.dim),
                None if entry.high is None else self._read(entry.high, "symbols", name, shown.dim),
            )
        for name, symbol in symbols.items():
            positive = symbol.shown.number() > 0
            self.letters[self._new_name(name, "symbols")] = Quantity.symbol(
                name, symbol.shown.dim, positive
            )
        return symbols

    def _point(self, name: Name, table: str, key: str) -> Vec:
        try:
            return self.points[name]
        except BadInput as error:
            raise self.text.error(str(error), table, key) from None

    def _rod(self, name: Name, entry: RodEntry) -> Body:
        start, end = entry.ends
        if name == GROUND or name in self.entry.points:
            raise self.text.error("a rod may not have the name of a point or of the ground.", "rods", name)
        if start == end:
            raise self.text.error(f'its two ends are the same point "{start}".', "rods", name)
        names = self._on_rod(entry)
        points = {point: self._point(point, "rods", name) for point in names}
        a, b = points[start], points[end]
        half = Quantity.of(1) / Quantity.of(2)
        centre = ((a[0] + b[0]) * half, (a[1] + b[1]) * half)
        gyration2 = None
        if entry.centre is not None:
            centre = self._point(entry.centre, "rods", name)
        else:
            gyration2 = distance2(a, b) / Quantity.of(12)
        if entry.gyration is not None:
            gyration2 = self._read(entry.gyration, "rods", name, LENGTH) ** 2
        return Body(name, "rod", points, (a, b), self._weight(entry, name, "rods"), centre, gyration2)

    def _on_rod(self, entry: RodEntry) -> list[Name]:
        """The rod's ends, the points listed for it, and those made from two points of it."""
        names = [*dict.fromkeys([*entry.ends, *entry.through])]
        for _ in self.entry.points:
            for name, point in self.entry.points.items():
                if name in names or not isinstance(point, PointEntry):
                    continue
                made_from = point.middle or (point.from_, point.towards)
                if all(n in names for n in made_from):
                    names.append(name)
        return names

    def _weight(self, entry: RodEntry | LoadEntry, name: Name, table: str) -> Quantity:
        light = isinstance(entry, RodEntry) and entry.light
        if light + (entry.weight is not None) + (entry.mass is not None) != 1:
            raise self.text.error('give one of weight = "W", mass = "m" or light = true.', table, name)
        if entry.weight is not None:
            return self._read(entry.weight, table, name, FORCE)
        if entry.mass is not None:
            return self._read(entry.mass, table, name, MASS) * self.gravity
        return Quantity.zero(FORCE)

    def _load(self, name: Name, entry: LoadEntry, tied: Connections) -> Load:
        place = tied.place(entry.at, "loads", name)
        if entry.force is None:
            if entry.weight is None and entry.mass is None:
                raise self.text.error('give one of weight = "W", mass = "m" or force.', "loads", name)
            return Load(name, "weight", place, (self._weight_of_load(name, entry),))
        if isinstance(entry.force, tuple):
            x, y = (self._read(part, "loads", name, FORCE) for part in entry.force)
            return Load(name, "force", place, (x, y))
        size = self._read(entry.force, "loads", name, FORCE)
        if entry.direction is not None:
            way = heading(entry.direction)
        elif entry.angle is not None:
            angle = self._read(entry.angle, "loads", name, NUMBER)
            way = angle.function("cos"), angle.function("sin")
        else:
            raise self.text.error("say which way the force acts: direction or angle.", "loads", name)
        return Load(name, "force", place, (size * way[0], size * way[1]))

    def _weight_of_load(self, name: Name, entry: LoadEntry) -> Quantity:
        if entry.weight is not None and entry.mass is not None:
            raise self.text.error("give a weight or a mass, not both.", "loads", name)
        if entry.weight is not None:
            return self._read(entry.weight, "loads", name, FORCE)
        return self._read(entry.mass or 0, "loads", name, MASS) * self.gravity

    def _brace(self) -> Name | None:
        brace = self.entry.brace
        if brace is not None and brace not in self.entry.members:
            known = ", ".join(self.entry.members) or "none"
            raise self.text.error(
                f'"{brace}" is not a light member. Light members: {known}.'
                + nearest(brace, self.entry.members),
                "",
                "brace",
            )
        return brace

    def _asked(self, words: str, tied: Connections) -> Asked:
        member = re.fullmatch(r"(thrust|tension) (?:in|of) (.+)", words)
        if member and member[2] in tied.links:
            return Asked(words, "thrust" if member[1] == "thrust" else "tension", member[2])
        force = re.fullmatch(r"force at (.+) on (.+)", words)
        if force and force[1] in tied.joints and force[2] in tied.joints[force[1]].bodies:
            return Asked(words, "force", force[1], force[2])
        reaction = re.fullmatch(r"reaction at (.+)", words)
        if reaction:
            held = [support for support in tied.supports.values() if reaction[1] in support.points]
            if len(held) == 1:
                i = held[0].points.index(reaction[1])
                return Asked(words, "reaction", held[0].joints_or_contacts[i])
        raise self.text.error(
            f'"{words}" asks for nothing here. Ask for "thrust in ..." or "tension in ..." of a light '
            'member, "force at POINT on ROD" at a hinge, or "reaction at POINT" of a support.',
            "",
            "asked",
        )
