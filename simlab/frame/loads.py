"""The loads of a scene: hung weights, forces, couples, and loads spread along a rod."""

from __future__ import annotations

from dataclasses import replace

from simlab.errors import BadInput
from simlab.frame.connections import Connections
from simlab.frame.manuscript import Manuscript
from simlab.frame.model import Body, Load, Name, Place, Vec
from simlab.frame.part_entries import LoadEntry
from simlab.frame.points import minus, plus
from simlab.frame.quantity import FORCE, FORCE_PER_LENGTH, MASS, MOMENT, Quantity, distance2

_KINDS = ("weight", "mass", "force", "couple", "spread", "total")
_WAYS = ("direction", "lean", "angle", "towards", "square_to", "side")
_ALLOWED = {  # the keys that go with each kind of load, beside `at`
    "weight": (),
    "mass": (),
    "force": (*_WAYS, "to"),
    "couple": ("turning", "on"),
    "spread": (*_WAYS, "from_", "to", "per", "on"),
    "total": (*_WAYS, "from_", "to", "on"),
}


class Loads:
    """Loads of one scene. A spread load adds its middle to the body's points, in `bodies` and `middles`."""

    def __init__(self, manuscript: Manuscript, bodies: dict[Name, Body], tied: Connections) -> None:
        self.manuscript = manuscript
        self.bodies = bodies
        self.tied = tied
        self.middles: dict[Name, Vec] = {}
        self.loads = {name: self._load(name, load) for name, load in manuscript.entry.loads.items()}

    def _load(self, name: Name, entry: LoadEntry) -> Load:
        kinds = [kind for kind in _KINDS if getattr(entry, kind) is not None]
        if len(kinds) != 1:
            message = 'give one of weight = "W", mass = "m", force, couple, spread or total.'
            raise self.manuscript.error(message, "loads", name)
        kind = kinds[0]
        plain = LoadEntry()
        for key in (*_WAYS, "turning", "from_", "to", "per", "on"):
            if key not in _ALLOWED[kind] and getattr(entry, key) != getattr(plain, key):
                raise self.manuscript.error(f"a {kind} has no {key.rstrip('_')}.", "loads", name)
        if kind in ("spread", "total"):
            return self._spread(name, entry)
        if kind == "couple":
            moment = self.manuscript.read(entry.couple or 0, "loads", name, MOMENT)
            return Load(
                name,
                "couple",
                self._place_of_couple(name, entry),
                (moment if entry.turning == "anticlockwise" else -moment,),
            )
        place = self.tied.place(self._at(name, entry), "loads", name)
        if kind == "force":
            return Load(name, "force", place, self._force(name, entry, place.point))
        if entry.weight is not None:
            return Load(name, "weight", place, (self.manuscript.read(entry.weight, "loads", name, FORCE),))
        mass = self.manuscript.read(entry.mass or 0, "loads", name, MASS)
        return Load(name, "weight", place, (self.manuscript.weight_of(mass),))

    def _at(self, name: Name, entry: LoadEntry) -> str:
        if entry.at is None:
            raise self.manuscript.error('where does it act? at = "P".', "loads", name)
        return entry.at

    def _place_of_couple(self, name: Name, entry: LoadEntry) -> Place:
        if entry.on is None:
            return self.tied.body_at(self._at(name, entry), "loads", name)
        self._check_body(name, entry.on)
        if entry.at is None:
            return Place(entry.on, next(iter(self.bodies[entry.on].points)))
        return self.tied.place(f"{entry.at} on {entry.on}", "loads", name)

    def _check_body(self, name: Name, body: Name) -> None:
        if body not in self.bodies:
            known = ", ".join(self.bodies) or "none"
            message = f'"{body}" is not a rod, plate or disc. Bodies: {known}.'
            raise self.manuscript.error(message, "loads", name)

    def _force(self, name: Name, entry: LoadEntry, point: Name) -> Vec:
        if isinstance(entry.force, tuple):
            x, y = (self.manuscript.read(part, "loads", name, FORCE) for part in entry.force)
            return x, y
        size = self.manuscript.read(entry.force or 0, "loads", name, FORCE)
        way = self._way(name, entry, point)
        return size * way[0], size * way[1]

    def _way(self, name: Name, entry: LoadEntry, point: Name) -> Vec:
        """The unit vector in which a force acts."""
        if entry.towards is not None:
            target = self.manuscript.declared(entry.towards, "loads", name)
            start = self.middles.get(point) or self.manuscript.point(point, "loads", name)
            end = self.manuscript.point(target, "loads", name)
            length = (
                distance2(start, end).sqrt()
                if point in self.middles
                else self.manuscript.points.distance(point, target)
            )
            if self.manuscript.number(length) == 0:
                raise self.manuscript.error(f"it acts at {target} itself.", "loads", name)
            return (end[0] - start[0]) / length, (end[1] - start[1]) / length
        if entry.direction is None and entry.angle is None and entry.square_to is None:
            raise self.manuscript.error(
                "say which way the force acts: direction (and lean, to), angle, towards, or square_to "
                "and side.",
                "loads",
                name,
            )
        try:
            return self.manuscript.points.way(entry)
        except BadInput as error:
            raise self.manuscript.error(str(error), "loads", name) from None

    def _spread(self, name: Name, entry: LoadEntry) -> Load:
        """A load spread evenly between two points of a body: the whole of it acts half-way."""
        if entry.from_ is None or entry.to is None:
            message = 'between which points of a rod? from = "A", to = "B".'
            raise self.manuscript.error(message, "loads", name)
        start, end = (self.manuscript.declared(p, "loads", name) for p in (entry.from_, entry.to))
        body = self._body_under(name, entry, start, end)
        a, b = (self.bodies[body].points[p] for p in (start, end))
        half = Quantity.of(1) / Quantity.of(2)
        if entry.total is not None:
            whole = self.manuscript.read(entry.total, "loads", name, FORCE)
        else:
            density = self.manuscript.read(entry.spread or 0, "loads", name, FORCE_PER_LENGTH)
            whole = density * self._extent(name, entry, start, end, minus(b, a))
        middle = f"middle of {name}"
        self.middles[middle] = plus(a, minus(b, a), half)
        points = {**self.bodies[body].points, middle: self.middles[middle]}
        self.bodies[body] = replace(self.bodies[body], points=points)
        plain = LoadEntry(direction="down")
        named = any(getattr(entry, key) is not None for key in _WAYS)
        way = self._way(name, entry, middle) if named else self.manuscript.points.way(plain)
        value = (whole * way[0], whole * way[1])
        return Load(name, "spread", Place(body, middle), value, (start, end))

    def _extent(self, name: Name, entry: LoadEntry, start: Name, end: Name, way: Vec) -> Quantity:
        """What a load per length is multiplied by: along the rod, or level."""
        if entry.per == "length":
            return self.manuscript.points.distance(start, end)
        span = self.manuscript.number(way[0])
        if span == 0:
            raise self.manuscript.error(
                "it spans nothing: one end is straight above the other.", "loads", name
            )
        return way[0] if span > 0 else -way[0]

    def _body_under(self, name: Name, entry: LoadEntry, start: Name, end: Name) -> Name:
        under = [body for body, b in self.bodies.items() if start in b.points and end in b.points]
        if entry.on is not None:
            self._check_body(name, entry.on)
            under = [body for body in under if body == entry.on]
        if len(under) != 1:
            message = (
                f"no body has both {start} and {end}. Put them on a rod (through = ...)."
                if not under
                else f'say on which body: on = "{under[0]}".'
            )
            raise self.manuscript.error(message, "loads", name)
        return under[0]
