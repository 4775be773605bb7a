"""Every force of a frame as a class writes it down: one entry for each, action and reaction once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import atan2, hypot

from simlab.frame.model import GROUND, Vec
from simlab.frame.quantity import FORCE, Quantity
from simlab.lesson.amounts import LONGEST, Pieces, amount, direction, opposite, part
from simlab.notation.page import NEW_LINE, Line, line
from simlab.results import Forces, Key, Statics, in_numbers, largest
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.vector import Vector
from simlab.results.wording import NOTHING, figures, in_words, member_force, sense, sides
from simlab.statics.vectors import on_slope, vectors


def entries(statics: Statics, conventions: Conventions = HOUSE) -> Iterator[Line]:
    """Thrusts and tensions, then the forces joint by joint."""
    frame, exact = statics.frame, statics.case.forces
    numbers = in_numbers(exact, statics.values)
    top = largest(numbers)
    for name, tension in exact.tensions.items():
        value = numbers.tensions[name]
        words = member_force(frame, name, value, top)
        size = tension if value >= 0 else opposite(tension)
        yield line(*amount(size, statics.values, conventions), label=words)
    yield from _Entries(statics, numbers, top, conventions).all()


def parts_of(force: Vec, statics: Statics, conventions: Conventions) -> Pieces:
    """A force by its parts: "5W/2 = 25.0 N to the right and 2W = 20.0 N upwards"; nothing for none."""
    least = NOTHING * largest(in_numbers(statics.case.forces, statics.values))
    found: Pieces = []
    for size, way in _components(force, statics, least):
        found += [" and "] if found else []
        found += [*amount(size, statics.values, conventions), f" {way}"]
    return found


def _components(force: Vec, statics: Statics, least: float) -> Iterator[tuple[Quantity, str]]:
    """Each component that is something, and the way it acts; never a negative one."""
    to = sides(statics.frame)
    for i, exact in enumerate(force):
        value = exact.number(statics.values)
        if abs(value) > least:
            sign = 1 if value > 0 else -1
            way = sense(sign, 0, to) if i == 0 else sense(0, sign, to)
            yield exact if sign > 0 else opposite(exact), way


class _Entries:
    """The reactions of one solved frame, in words."""

    def __init__(
        self, statics: Statics, numbers: Forces[float], top: float, conventions: Conventions
    ) -> None:
        self.statics = statics
        self.conventions = conventions
        self.frame = statics.frame
        self.reactions = statics.case.forces.reactions
        self.numbers = numbers.reactions
        self.least = NOTHING * top
        self.vectors = vectors(statics)
        self.to = sides(self.frame)
        self.asked = {(asked.at, asked.on) for asked in self.frame.asked}
        self.told: list[Key] = []

    def all(self) -> Iterator[Line]:
        """One entry for each force that says something new."""
        for key in self.reactions:
            if key.by in self.frame.links or self._is_said_elsewhere(key):
                continue  # the light member's own line says it, or the other rod's
            yield self._entry(key)
            self.told.append(key)
            if self.reactions[key].moment is not None:
                yield self._moment(key)

    def _is_said_elsewhere(self, key: Key) -> bool:
        """Whether it is the opposite of a force on the other rod, or passes a support's force on."""
        if key.by != key.at or not self.frame.is_bare(key.at):
            return False
        bodies = [body for body in self.frame.joints[key.at].bodies if body != GROUND]
        if len(bodies) != len(self.frame.joints[key.at].bodies):
            return len(bodies) == 1
        others = [Key(body, key.at, key.by) for body in bodies if body != key.on]
        if len(others) != 1 or others[0] not in self.reactions:
            return False
        return others[0] in self.told or self._rank(others[0]) < self._rank(key)

    def _rank(self, key: Key) -> tuple[bool, bool, bool]:
        """Of two opposite forces the one asked for, one like a force told already, the one to the right."""
        is_like = any(self._mirrors(key, told) for told in self.told)
        return (key.at, key.on) not in self.asked, not is_like, self.numbers[key].force[0] < 0

    def _entry(self, key: Key) -> Line:
        label, opposite = self._label(key), self._opposite(key)
        twin = next((told for told in self.told if self._mirrors(key, told)), None)
        if twin is not None:
            what = in_words(self.frame, twin).replace(",", "")
            return line(f"the mirror image of the force {what}{opposite}", label=label)
        x, y = self.numbers[key].force
        if hypot(x, y) <= self.least:
            return line("no force", label=label)
        parts = list(_components(self.reactions[key].force, self.statics, self.least))
        vector = self.vectors.get(key)
        if len(parts) == 1:
            size, way = parts[0]
            size = size if vector is None else vector.size
            return line(*self._amount(size), f" {way}{opposite}", label=label)
        whole = self._resultant(vector, x, y)
        if self.conventions.forces == "magnitude and angle":
            return line(*whole, opposite, label=label)
        told = self._parts(key, parts)
        if self.conventions.forces == "components":
            return line(*told, opposite, label=label)
        return line(*told, f"; {NEW_LINE} together ", *whole, opposite, label=label)

    def _parts(self, key: Key, parts: list[tuple[Quantity, str]]) -> Pieces:
        """Across and upwards; on a rough slope the normal reaction and the friction."""
        slope = on_slope(self.statics, key)
        if slope is not None:
            normal, friction = self._part(slope.normal), self._part(slope.friction)
            way = f" {'up' if slope.up else 'down'} the slope"
            return ["normal reaction ", *normal, " and friction ", *friction, way]
        (across, to_side), (up, upwards) = parts
        return [*self._part(across), f" {to_side} and ", *self._part(up), f" {upwards}"]

    def _amount(self, quantity: Quantity) -> Pieces:
        return amount(quantity, self.statics.values, self.conventions)

    def _part(self, quantity: Quantity) -> Pieces:
        """A component: with its value, where no resultant follows that says how large all of it is."""
        if self.conventions.forces == "components":
            return self._amount(quantity)
        return part(quantity, self.statics.values, self.conventions)

    def _resultant(self, vector: Vector | None, x: float, y: float) -> Pieces:
        digits = self.conventions.figures_of(FORCE)
        size: Pieces = [f"{figures(hypot(x, y), digits)} N"]
        if vector is None:
            return size if self.conventions.forces == "both" else [*size, ", ", *self._way(x, y)]
        if len(vector.size.plain) <= LONGEST:
            size = self._amount(vector.size)
        return [*size, ", ", *direction(vector, self.statics.values, self.to, self.conventions)]

    def _way(self, x: float, y: float) -> Pieces:
        """The direction of a force that has no exact one, in figures."""
        angle = Quantity.of(Fraction(atan2(abs(y), abs(x))))
        shown = Vector(Quantity.zero(FORCE), angle, 1 if x > 0 else -1, 1 if y > 0 else -1)
        in_figures = replace(self.conventions, exact="figures")
        return direction(shown, self.statics.values, self.to, in_figures)

    def _moment(self, key: Key) -> Line:
        moment, value = self.reactions[key].moment, self.numbers[key].moment
        label = f"moment of the {in_words(self.frame, key)}"
        if moment is None or value is None:
            return line("no moment", label=label)
        turning = "anticlockwise" if value >= 0 else "clockwise"
        size = moment if value >= 0 else opposite(moment)
        return line(*self._amount(size), f" {turning}", label=label)

    def _label(self, key: Key) -> str:
        """A fixed support holds the only rod on its pin: the force is on that rod."""
        joint = self.frame.joints.get(key.at)
        if key.by == GROUND and joint is not None and self.frame.is_bare(key.at):
            bodies = [body for body in joint.bodies if body != GROUND]
            if len(bodies) == 1:
                return in_words(self.frame, Key(bodies[0], key.at, GROUND))
        return in_words(self.frame, key)

    def _opposite(self, key: Key) -> str:
        """The rod on which the opposite force acts, at a pin of just two."""
        if key.by != key.at or not self.frame.is_bare(key.at):
            return ""
        bodies = self.frame.joints[key.at].bodies
        others = [body for body in bodies if body not in (key.on, GROUND)]
        return f"; the opposite on {others[0]}" if len(bodies) == 2 and others else ""

    def _mirrors(self, key: Key, told: Key) -> bool:
        """Whether a force is another's mirror image in an upright line, at a point level with it."""
        one, other = self.reactions[key], self.reactions[told]
        return (
            one.force[0].expr != 0
            and one.force[0].expr == opposite(other.force[0]).expr
            and one.force[1].expr == other.force[1].expr
            and one.point[1].expr == other.point[1].expr
            and self._label(key).partition(" at ")[0] != self._label(told)
        )
