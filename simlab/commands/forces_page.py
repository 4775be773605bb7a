"""Every force of a frame as a class writes it down: one entry for each, action and reaction once."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from simlab.commands.amounts import LONGEST, Pieces, amount, direction, opposite, part
from simlab.frame.model import GROUND
from simlab.frame.quantity import Quantity
from simlab.notation.page import NEW_LINE, Line, line
from simlab.results import Forces, Key, Reaction, Statics, in_numbers, largest
from simlab.results.vector import Vector
from simlab.results.wording import NOTHING, figures, in_words, member_force, sense, sides
from simlab.statics.vectors import on_slope, vectors


def entries(statics: Statics) -> Iterator[Line]:
    """Thrusts and tensions, then the forces joint by joint."""
    frame, exact = statics.frame, statics.case.forces
    numbers = in_numbers(exact, statics.values)
    top = largest(numbers)
    for name, tension in exact.tensions.items():
        value = numbers.tensions[name]
        words = member_force(frame, name, value, top)
        yield line(*amount(tension if value >= 0 else opposite(tension), statics.values), label=words)
    yield from _Entries(statics, numbers, top).all()


class _Entries:
    """The reactions of one solved frame, in words."""

    def __init__(self, statics: Statics, numbers: Forces[float], top: float) -> None:
        self.statics = statics
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
        parts = [pieces for pieces in self._components(self.reactions[key], x, y) if pieces]
        vector = self.vectors.get(key)
        if len(parts) == 1:
            size, *words = parts[0]
            alone = vector.size if vector is not None else None
            value = amount(alone, self.statics.values) if alone is not None else [size]
            return line(*value, f" {words[-1]}{opposite}", label=label)
        told: Pieces = [*parts[0], " and ", *parts[1], f"; {NEW_LINE} "]
        slope = on_slope(self.statics, key)
        if slope is not None:
            normal, friction = (part(q, self.statics.values) for q in (slope.normal, slope.friction))
            way = f" {'up' if slope.up else 'down'} the slope; {NEW_LINE} "
            told = ["normal reaction ", *normal, " and friction ", *friction, way]
        return line(*told, *self._resultant(vector, x, y), opposite, label=label)

    def _components(self, reaction: Reaction[Quantity], x: float, y: float) -> Iterator[Pieces]:
        """Each component that is something, and the way it acts; never a negative one."""
        for i, (value, exact) in enumerate(zip((x, y), reaction.force, strict=True)):
            if abs(value) > self.least:
                sign = 1 if value > 0 else -1
                way = sense(sign, 0, self.to) if i == 0 else sense(0, sign, self.to)
                yield [*part(exact if sign > 0 else opposite(exact), self.statics.values), " ", way]

    def _resultant(self, vector: Vector | None, x: float, y: float) -> Pieces:
        if vector is None:
            return [f"together {figures(hypot(x, y))} N"]
        size: Pieces = [f"{figures(hypot(x, y))} N"]
        if len(vector.size.plain) <= LONGEST:
            size = amount(vector.size, self.statics.values)
        return ["together ", *size, ", ", *direction(vector, self.statics.values, self.to)]

    def _moment(self, key: Key) -> Line:
        moment, value = self.reactions[key].moment, self.numbers[key].moment
        label = f"moment of the {in_words(self.frame, key)}"
        if moment is None or value is None:
            return line("no moment", label=label)
        turning = "anticlockwise" if value >= 0 else "clockwise"
        size = moment if value >= 0 else opposite(moment)
        return line(*amount(size, self.statics.values), f" {turning}", label=label)

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
        return f"; the opposite on {others[0]}" if len(bodies) == len((key, others)) and others else ""

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
