"""The rods, plates and discs of a scene."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise

from simlab.frame import pieces
from simlab.frame.manuscript import Manuscript
from simlab.frame.model import GROUND, Body, Vec
from simlab.frame.part_entries import DiscEntry, PieceEntry, PlateEntry, RodEntry
from simlab.frame.points import minus, plus
from simlab.frame.quantity import FORCE, LENGTH, MASS, Quantity, distance2, total
from simlab.frame.question import Name
from simlab.frame.scene_entries import PointEntry

Weighed = RodEntry | PlateEntry | DiscEntry | PieceEntry

_SHAPES = "lamina, wire, half_disc or half_ring (with side), pieces, or points with centre"
_PIECES = "lamina, wire, half_disc or half_ring (with side), disc or ring (with radius), or particle"


class Bodies:
    """Every body of a scene, in the order rods, plates, discs."""

    def __init__(self, manuscript: Manuscript) -> None:
        self.manuscript = manuscript
        self.entry = manuscript.entry
        for table in ("rods", "plates", "discs"):
            self._check_names(table, getattr(self.entry, table))
        self.bodies: Mapping[Name, Body] = {
            **{name: self._rod(name, rod) for name, rod in self.entry.rods.items()},
            **{name: self._plate(name, plate) for name, plate in self.entry.plates.items()},
            **{name: self._disc(name, disc) for name, disc in self.entry.discs.items()},
        }

    def _check_names(self, table: str, names: Iterable[Name]) -> None:
        for name in names:
            if name == GROUND or name in self.entry.points:
                raise self.manuscript.error(
                    f"a {table[:-1]} may not have the name of a point or of the ground.", table, name
                )

    def _rod(self, name: Name, entry: RodEntry) -> Body:
        start, end = entry.ends
        if start == end:
            raise self.manuscript.error(f'its two ends are the same point "{start}".', "rods", name)
        if entry.centre is not None and entry.centre_at is not None:
            raise self.manuscript.error("give centre or centre_at, not both.", "rods", name)
        points = self._points("rods", name, [*entry.ends, *entry.through], made=True)
        a, b = points[start], points[end]
        half = Quantity.of(1) / Quantity.of(2)
        centre = ((a[0] + b[0]) * half, (a[1] + b[1]) * half)
        gyration2: Quantity | None = self.manuscript.points.distance(start, end) ** 2 / Quantity.of(12)
        if entry.centre is not None:
            centre, gyration2 = self.manuscript.point(entry.centre, "rods", name), None
        if entry.centre_at is not None:
            length = self.manuscript.read(entry.centre_at, "rods", name, LENGTH)
            centre, gyration2 = (
                plus(a, minus(b, a), length / self.manuscript.points.distance(start, end)),
                None,
            )
        return Body(
            name,
            "rod",
            points,
            (a, b),
            self._weight("rods", name, entry),
            centre,
            self._gyration2("rods", name, entry, gyration2),
        )

    def _plate(self, name: Name, entry: PlateEntry) -> Body:
        shapes = (entry.lamina, entry.wire, entry.half_disc, entry.half_ring, entry.pieces, entry.points)
        if sum(shape is not None for shape in shapes) != 1:
            raise self.manuscript.error(f"give one shape: {_SHAPES}.", "plates", name)
        parts = entry.pieces
        if parts is None and entry.points is None:
            parts = [
                PieceEntry(entry.lamina, entry.wire, entry.half_disc, entry.half_ring, side=entry.side)
            ]
        named = entry.points or [point for part in parts or () for point in _named(part)]
        points = self._points("plates", name, [*named, *entry.through], made=True)
        outline = tuple(points[point] for point in entry.points or ())
        gyration2: Quantity | None = None
        if parts:
            made = [self._piece(name, part) for part in parts]
            weights = self._shares(name, entry, parts, made)
            centre, gyration2 = pieces.joined(made, weights)
            outline = pieces.outline(made)
            stated = parts[0].weight is not None or parts[0].mass is not None
            weight = total(weights) if stated else self._weight("plates", name, entry)
        else:
            weight = self._weight("plates", name, entry)
            if entry.centre is None and not weight.is_zero:
                message = 'where is its centre of mass? centre = "G", a point.'
                raise self.manuscript.error(message, "plates", name)
            centre = outline[0]
        if entry.centre is not None:
            centre, gyration2 = self.manuscript.point(entry.centre, "plates", name), None
        gyration2 = self._gyration2("plates", name, entry, gyration2)
        return Body(name, "plate", points, outline, weight, centre, gyration2)

    def _piece(self, name: Name, entry: PieceEntry) -> pieces.Piece:
        """One piece."""
        shapes = [
            shape
            for shape in ("lamina", "wire", "half_disc", "half_ring", "disc", "ring", "particle")
            if getattr(entry, shape) is not None
        ]
        if len(shapes) != 1:
            raise self.manuscript.error(f"give each piece one shape: {_PIECES}.", "plates", name)
        shape = shapes[0]
        places = [self.manuscript.point(point, "plates", name) for point in _named(entry)]
        if shape == "lamina":
            return pieces.lamina(self._anticlockwise(name, places))
        if shape == "wire":
            if len(places) < 2:
                raise self.manuscript.error("a wire needs two points at least.", "plates", name)
            ends = pairwise(_named(entry))
            return pieces.wire(places, [self.manuscript.points.distance(a, b) for a, b in ends])
        if shape == "particle":
            return pieces.particle(places[0])
        if shape in ("disc", "ring"):
            if entry.radius is None:
                raise self.manuscript.error(
                    f'what is the radius of the {shape}? radius = "r".', "plates", name
                )
            radius = self.manuscript.read(entry.radius, "plates", name, LENGTH)
            return (pieces.disc if shape == "disc" else pieces.ring)(places[0], radius)
        if entry.side is None:
            message = 'on which side of its diameter is it? side = "up", "down", "left" or "right".'
            raise self.manuscript.error(message, "plates", name)
        a, b = places
        across = self.manuscript.turned(minus(b, a), entry.side, "plates", name)
        return (pieces.half_disc if shape == "half_disc" else pieces.half_ring)(a, b, across)

    def _shares(
        self, name: Name, plate: PlateEntry, parts: list[PieceEntry], made: list[pieces.Piece]
    ) -> list[Quantity]:
        """The weights of the pieces, or what they are in proportion to."""
        stated = [part.weight is not None or part.mass is not None for part in parts]
        holes = [part.hole for part in parts]
        if all(stated) and not any(holes):
            if plate.weight is not None or plate.mass is not None or plate.light:
                message = "its pieces have weights, so it needs none of its own."
                raise self.manuscript.error(message, "plates", name)
            return [self._weight("plates", name, part) for part in parts]
        sizes = [-p.size if hole and p.size else p.size for p, hole in zip(made, holes, strict=True)]
        whole = [size for size in sizes if size is not None]
        if any(stated) or len(whole) < len(sizes) or len({size.dim for size in whole}) > 1:
            raise self.manuscript.error(
                "give each piece a weight or a mass, or none of them and the whole its own; then the "
                "pieces must be all sheets or all wires.",
                "plates",
                name,
            )
        return whole

    def _anticlockwise(self, name: Name, places: list[Vec]) -> list[Vec]:
        """The corners of a sheet that has an area, the first still first, at the demonstration values."""
        if len(places) < 3:
            raise self.manuscript.error("a lamina needs three corners at least.", "plates", name)
        at = [(self.manuscript.number(x), self.manuscript.number(y)) for x, y in places]
        sides = list(zip(at, at[1:] + at[:1], strict=True))
        crossing = any(
            _cross(*sides[i], *sides[j])
            for i in range(len(sides))
            for j in range(i + 2, len(sides) - (i == 0))
        )
        twice = sum(ax * by - ay * bx for (ax, ay), (bx, by) in sides)
        if crossing or twice == 0:
            raise self.manuscript.error(
                "these corners make no sheet: name them in order, going round it.", "plates", name
            )
        return places if twice > 0 else [places[0], *places[:0:-1]]

    def _disc(self, name: Name, entry: DiscEntry) -> Body:
        points = self._points("discs", name, [entry.centre, *entry.through], made=False)
        radius = self.manuscript.read(entry.radius, "discs", name, LENGTH)
        if self.manuscript.number(radius) <= 0:
            raise self.manuscript.error(f"its radius {radius} must be above 0.", "discs", name)
        gyration2 = self._gyration2("discs", name, entry, radius**2 / Quantity.of(2))
        weight = self._weight("discs", name, entry)
        return Body(name, "disc", points, (), weight, points[entry.centre], gyration2, radius)

    def _points(self, table: str, name: Name, listed: list[Name], made: bool) -> dict[Name, Vec]:
        """The points listed for a body, those where it touches others, and those made from two of them."""
        touched = [c.at for c in self.entry.contacts.values() if name in (c.of, c.on)]
        names = [*dict.fromkeys([*listed, *touched])]
        for _ in self.entry.points if made else ():
            names += [p for p in self.entry.points if p not in names and self._is_between(p, names, table)]
        return {point: self.manuscript.point(point, table, name) for point in names}

    def _is_between(self, point: Name, names: list[Name], table: str) -> bool:
        """Whether a point is made from two of these points, and for a plate lies between them."""
        entry = self.entry.points[point]
        if not isinstance(entry, PointEntry):
            return False
        on_line = entry.line is not None and entry.mirror is None
        ends = entry.middle or (entry.line if on_line else (entry.from_, entry.towards))
        if ends is None or any(end not in names for end in ends):
            return False
        if table == "rods" and not on_line:
            return True
        a, b, p = (self.manuscript.point(str(n), "points", point) for n in (*ends, point))
        share = self.manuscript.number(distance2(a, p)) + self.manuscript.number(distance2(p, b))
        return share <= self.manuscript.number(distance2(a, b)) * (1 + 1e-9)

    def _weight(self, table: str, name: Name, entry: Weighed) -> Quantity:
        light = not isinstance(entry, PieceEntry) and entry.light
        if light + (entry.weight is not None) + (entry.mass is not None) != 1:
            raise self.manuscript.error(
                'give one of weight = "W", mass = "m" or light = true.', table, name
            )
        if entry.weight is not None:
            return self.manuscript.read(entry.weight, table, name, FORCE)
        if entry.mass is not None:
            return self.manuscript.weight_of(self.manuscript.read(entry.mass, table, name, MASS))
        return Quantity.zero(FORCE)

    def _gyration2(
        self, table: str, name: Name, entry: RodEntry | PlateEntry | DiscEntry, uniform: Quantity | None
    ) -> Quantity | None:
        if entry.gyration is None:
            return uniform
        return self.manuscript.read(entry.gyration, table, name, LENGTH) ** 2


def _named(part: PieceEntry) -> list[Name]:
    """The points by which a piece is given."""
    round_about = part.disc or part.ring or part.particle
    listed = part.lamina or part.wire or part.half_disc or part.half_ring or ()
    return [*listed] if round_about is None else [round_about]


def _cross(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> bool:
    """Whether two sides ab and cd cross inside."""

    def turn(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0
