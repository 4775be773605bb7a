"""Which way a contact pushes: square to what touches, towards the body that is pushed."""

from __future__ import annotations

from collections.abc import Mapping

from simlab.frame.manuscript import Manuscript
from simlab.frame.model import Body, Name, Place, Vec
from simlab.frame.part_entries import ContactEntry, SupportEntry
from simlab.frame.points import cross, dot, heading, minus
from simlab.frame.quantity import NUMBER, Quantity
from simlab.frame.words import Heading, Pair, Side

# How far, as a share of its length, a point may be beside a line that it is on: as in `soundness`.
BESIDE = 1e-9
_AWAY: Mapping[Side, Heading] = {"above": "down", "below": "up", "left": "right", "right": "left"}


class Normals:
    """The normals of the supports and contacts of one scene."""

    def __init__(self, manuscript: Manuscript, bodies: Mapping[Name, Body]) -> None:
        self.manuscript = manuscript
        self.bodies = bodies

    def of_support(self, name: Name, entry: SupportEntry, on: Place) -> Vec:
        """The normal of a floor, wall, peg, cylinder, bowl or wire where it touches `on`."""
        shape = entry.kind.split()[-1]
        if shape == "wall":
            if entry.faces is None:
                message = 'which way does the wall face? faces = "left" or "right".'
                raise self.manuscript.error(message, "supports", name)
            return heading(entry.faces)
        if shape == "peg":
            return self._of_peg(name, entry, on)
        if shape in ("cylinder", "bowl") or (shape == "wire" and entry.centre is not None):
            return self._of_centre(name, entry, on)
        if entry.direction is not None:
            along = heading(entry.direction)
            return -along[1], along[0]
        if entry.slope is None:
            return Quantity.zero(), Quantity.of(1)
        slope = self.manuscript.read(entry.slope, "supports", name, NUMBER)
        if "atan" in str(slope):  # a slope given by its gradient: no square root is needed
            return -slope.function("tan"), Quantity.of(1)
        return -slope.function("sin"), slope.function("cos")

    def _of_centre(self, name: Name, entry: SupportEntry, on: Place) -> Vec:
        if entry.centre is None:
            raise self.manuscript.error('where is its centre? centre = "O", a point.', "supports", name)
        centre = self.manuscript.point(
            self.manuscript.declared(entry.centre, "supports", name), "supports", name
        )
        outwards = minus(self.manuscript.point(on.point, "supports", name), centre)
        if all(self.manuscript.number(part) == 0 for part in outwards):
            raise self.manuscript.error(f"its centre is where it touches, at {on.point}.", "supports", name)
        way = self._line(on.body, on.point) if entry.kind.endswith("cylinder") else None
        if way is not None and not self._is_to_be_found(*outwards, *way):
            slant = self.manuscript.number(dot(outwards, way)) ** 2
            if slant > BESIDE**2 * self.manuscript.number(dot(outwards, outwards) * dot(way, way)):
                message = (
                    f"{on.body} does not touch it at {on.point}: the line from {entry.centre} to "
                    f"{on.point} is not square to {on.body}."
                )
                raise self.manuscript.error(message, "supports", name)
        return outwards if entry.kind.endswith("cylinder") else (-outwards[0], -outwards[1])

    def _of_peg(self, name: Name, entry: SupportEntry, on: Place) -> Vec:
        if on.body not in self.bodies:
            message = f'say which rod the peg touches: at = "{on.point} on ...".'
            raise self.manuscript.error(message, "supports", name)
        body = self.bodies[on.body]
        if body.kind == "disc":  # an edge meets the round at a point: the push is towards its centre
            return minus(body.centre, body.points[on.point])
        way = self._along(entry.along, "supports", name)
        if way is None and body.kind == "rod":
            way = minus(body.outline[1], body.outline[0])
        if way is None:
            way = self._line(on.body, on.point)
        if way is None:
            message = (
                f"which line of {on.body} rests on the peg at {on.point}? "
                'along = ["A", "B"], two points of it.'
            )
            raise self.manuscript.error(message, "supports", name)
        if entry.side is None and body.kind != "rod":
            return self._facing(
                way, minus(body.centre, body.points[on.point]), "supports", name, "the side of the peg"
            )
        away = _AWAY[entry.side or "below"]
        if entry.side is None and self.manuscript.number(way[0]) == 0:
            message = f'{on.body} is upright. Say on which side of it the peg is: side = "left" or "right".'
            raise self.manuscript.error(message, "supports", name)
        return self.manuscript.turned(way, away, "supports", name)

    def of_contact(self, name: Name, entry: ContactEntry) -> Vec:
        """The normal of one body on another, towards the one that rests."""
        of, on = self.bodies[entry.of], self.bodies[entry.on]
        point = of.points[entry.at]
        if on.kind == "disc" and entry.across is None and entry.along is None:
            return minus(point, on.centre)
        if of.kind == "disc" and entry.across is None and entry.along is None:
            return minus(of.centre, point)
        way, touched = self._touched(name, entry)
        if entry.side is not None:
            return self.manuscript.turned(way, _AWAY[entry.side], "contacts", name)
        towards = minus(point, on.centre) if touched == entry.of else minus(of.centre, point)
        return self._facing(way, towards, "contacts", name, f"where {entry.on} is")

    def _touched(self, name: Name, entry: ContactEntry) -> tuple[Vec, Name]:
        """The line that is touched, and whose it is."""
        way = self._along(entry.along, "contacts", name)
        if way is not None:
            is_of = set(entry.along or ()) <= set(self.bodies[entry.of].points)
            return way, entry.of if is_of else entry.on
        if entry.across is not None:
            if entry.across not in (entry.of, entry.on) or self.bodies[entry.across].kind != "rod":
                message = (
                    f"across is the one of {entry.of} and {entry.on} that the push is square to, a rod."
                )
                raise self.manuscript.error(message, "contacts", name)
            a, b = self.bodies[entry.across].outline
            return minus(b, a), entry.across
        lines = {body: self._line(body, entry.at) for body in (entry.on, entry.of)}
        found = [(line, body) for body, line in lines.items() if line is not None]
        if len(found) == 1:
            return found[0]
        where = "both meet there between their ends" if found else "both end there"
        raise self.manuscript.error(
            f"which way {entry.on} pushes {entry.of} at {entry.at} cannot be told: {where}. Give "
            f'across = "{entry.on}", or along = two points of the line that is touched.',
            "contacts",
            name,
        )

    def _along(self, pair: Pair | None, table: str, name: Name) -> Vec | None:
        if pair is None:
            return None
        a, b = (self.manuscript.point(self.manuscript.declared(p, table, name), table, name) for p in pair)
        return minus(b, a)

    def _line(self, body: Name, point: Name) -> Vec | None:
        """The way of the rod, or side of the plate, with this point between its ends; None if none has."""
        if body not in self.bodies or self.bodies[body].kind == "disc":
            return None
        outline = self.bodies[body].outline
        place = self.bodies[body].points[point]
        sides = list(zip(outline, (*outline[1:], outline[0]), strict=True))
        for a, b in sides[:1] if self.bodies[body].kind == "rod" else sides:
            way, gap = minus(b, a), minus(place, a)
            length2 = self.manuscript.number(dot(way, way))
            if length2 == 0:
                continue
            beside = self.manuscript.number(cross(way, gap)) / length2
            share = self.manuscript.number(dot(way, gap)) / length2
            if abs(beside) < BESIDE and BESIDE < share < 1 - BESIDE:
                return way
        return None

    def _facing(self, way: Vec, towards: Vec, table: str, name: Name, what: str) -> Vec:
        """Square to `way`, on the side of `towards`."""
        left = (-way[1], way[0])
        sense = self.manuscript.number(dot(left, towards))
        size2 = self.manuscript.number(dot(left, left) * dot(towards, towards))
        if sense**2 <= BESIDE**2 * size2:
            message = f'say {what}: side = "above", "below", "left" or "right".'
            raise self.manuscript.error(message, table, name)
        return left if sense > 0 else (-left[0], -left[1])

    def _is_to_be_found(self, *parts: Quantity) -> bool:
        found = {name for name, symbol in self.manuscript.symbols.items() if symbol.found}
        return any(part.names & found for part in parts)
