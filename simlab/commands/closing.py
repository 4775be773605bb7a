"""What was asked, answered on the closing card of a film."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import degrees, floor, hypot, log10

from simlab.commands.answers import OTHER, as_it_is, is_asked
from simlab.commands.findings import MEASURES, is_told, shown
from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.lesson.amounts import direction
from simlab.pictures.closing_card import Answer
from simlab.pictures.names import exact, prose
from simlab.results import Forces, Statics, in_numbers, largest
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.statics import Findings, Root
from simlab.results.wording import NOTHING, figures, scaled, sides
from simlab.statics.vectors import vector

MOST_FIGURES = 15  # a double holds no more
TALL_ROWS = 4  # rows of a closing card with fractions at full size
WITH_A_TWIN = ("thrust", "tension", "force", "reaction")  # of which the simulation has its own value
WAYS = (("to the right", "to the left"), ("upwards", "downwards"))
RESTS = "rests there"  # what the simulation says of a shape: it has settled in it


def closing_answers(
    findings: Findings, simulated: Forces[float], conventions: Conventions = HOUSE
) -> list[Answer]:
    """The rows of a film's closing card: what was asked, exactly, in numbers, and as simulated.

    Of the first shape found. A force is given by its parts and the way each acts, a part that is nothing
    left out, or by its size and direction, if a class has it so. Fractions are at full size as long as all
    rows then fit the card.
    """
    for display in (True, False):
        card = _Card(findings, simulated, conventions, display)
        rows = [row for asked in findings.frame.asked for row in card.rows(asked)]
        if len(rows) <= TALL_ROWS:
            break
    return rows


Part = tuple[str, Quantity, float, float]  # in words, exact, its value and the simulated value [N]


@dataclass(frozen=True)
class _Card:
    """How the rows of one card are written; `display`: with fractions at full size."""

    findings: Findings
    simulated: Forces[float]
    conventions: Conventions
    display: bool

    @property
    def statics(self) -> Statics:
        """The first shape found."""
        return self.findings.shapes[0]

    def rows(self, asked: Asked) -> Iterator[Answer]:
        """The rows of one thing asked."""
        frame, statics = self.findings.frame, self.statics
        words = self._words(asked.words)
        quantity = statics.answers.get(asked.words)
        root = statics.found.get(asked.words) or statics.found.get(str(quantity))
        if asked.measure in MEASURES:
            yield from self._ends(asked, words)
        elif asked.measure in WITH_A_TWIN:
            yield from self._forces(asked)
        elif root is not None:
            yield Answer(words, self._root(root), shown(frame, root, self.conventions), RESTS)
        elif quantity is not None:
            yield self._other(asked, quantity)

    def _words(self, text: str) -> str:
        frame = self.findings.frame
        return prose(self.conventions.spoken(text), frame.symbols, frame.points)

    def _exact(self, quantity: Quantity, unit: str = "") -> str:
        """An expression as mathematics; nothing for a class that writes figures alone."""
        return exact(quantity, unit, self.display) if self.conventions.exact == "surds" else ""

    def _ends(self, asked: Asked, words: str) -> Iterator[Answer]:
        """The least, the greatest, or both ends of each range."""
        for found in self.findings.ranges.get(asked.at, ()):
            for side, end in (("least", found.low), ("greatest", found.high)):
                if end is not None and asked.measure in (side, "range"):
                    named = words if asked.measure == side else f"{words}, {side}"
                    value = shown(self.findings.frame, end, self.conventions)
                    yield Answer(named, self._root(end), value, "")

    def _root(self, root: Root) -> str:
        """A letter's equation as a textbook writes it (cos x = 41/49), or its own expression."""
        if is_told(root) and self.conventions.exact == "surds":
            left, right = root.equation
            return exact(left, display=self.display) + " = " + exact(right, display=self.display)
        return "" if root.exact is None else self._exact(root.exact)

    def _number(self, quantity: Quantity, value: float, scale: float = 1) -> str:
        return figures(value / scale, self.conventions.figures_of(quantity.dim))

    def _other(self, asked: Asked, quantity: Quantity) -> Answer:
        """A component, a moment, a coefficient, a distance or an angle: never a bare negative force."""
        statics = self.statics
        told, size, way = as_it_is(statics, asked, quantity)
        words = self._words(told)
        side = "".join(part for part in way if isinstance(part, str))
        value = size.number(statics.values)
        if asked.measure == "value" and (size.is_angle or asked.words.startswith("angle")):
            return Answer(words, self._exact(size), f"{figures(degrees(value))}°", "")
        scale, unit = scaled(size, value)
        named = f"{words},{side}" if side else words
        twin = _simulated(statics, asked, self.simulated)
        other = "" if twin is None else f"{self._number(size, twin, scale)}{unit}"
        return Answer(
            named, self._exact(size, unit.strip()), f"{self._number(size, value, scale)}{unit}", other
        )

    def _forces(self, asked: Asked) -> Iterator[Answer]:
        """The force in a member, or the parts of another force, each beside the simulated one."""
        along, words = asked.measure in ("thrust", "tension"), asked.words
        parts = self._along(asked) if along else self._whole(asked)
        for way, quantity, value, other in parts:
            if along and value < 0:
                words = words.replace(asked.measure, OTHER[asked.measure], 1)
                quantity, value, other = -quantity, -value, -other
            texts = (f"{self._number(quantity, number)} N" for number in (value, other))
            yield Answer(f"{self._words(words)}{way}", self._exact(quantity, "N"), *texts)

    def _along(self, asked: Asked) -> Iterator[Part]:
        statics, tension = self.statics, self.simulated.tensions[asked.at]
        quantity = statics.answers[asked.words]
        other = -tension if asked.measure == "thrust" else tension
        yield "", quantity, quantity.number(statics.values), other

    def _whole(self, asked: Asked) -> Iterator[Part]:
        """A force by its parts; by its size, with its direction, if a class has it so."""
        statics = self.statics
        numbers = in_numbers(statics.case.forces, statics.values)
        key = next(key for key in numbers.reactions if is_asked(asked, key))
        force, twin = numbers.reactions[key].force, self.simulated.reactions[key].force
        exact_force = statics.case.forces.reactions[key].force
        told = vector(exact_force, statics.values)
        if self.conventions.forces == "magnitude and angle" and told is not None:
            in_figures = replace(self.conventions, exact="figures")
            way = direction(told, statics.values, sides(statics.frame), in_figures)
            said = "".join(part for part in way if isinstance(part, str)).replace("at ", "", 1)
            yield f", {said}", told.size, hypot(*force), hypot(*twin)
            return
        for size, other, quantity, (positive, negative) in zip(force, twin, exact_force, WAYS, strict=True):
            if size > NOTHING * largest(numbers):
                yield f", {positive}", quantity, size, other
            elif size < -NOTHING * largest(numbers):
                yield f", {negative}", -quantity, -size, -other


def _simulated(statics: Statics, asked: Asked, simulated: Forces[float]) -> float | None:
    """The size of a component or moment as simulated; None for what is no force."""
    key = next((key for key in simulated.reactions if is_asked(asked, key)), None)
    if key is None:
        return None
    (fx, fy), moment = simulated.reactions[key].force, simulated.reactions[key].moment
    if asked.measure in ("friction", "normal"):
        contact = statics.frame.contacts.get(asked.at)
        if contact is None:
            return None
        nx, ny = (part.number(statics.values) for part in contact.normal)
        along = fx * ny - fy * nx if asked.measure == "friction" else fx * nx + fy * ny
        return abs(along) / hypot(nx, ny)
    part = {"across": fx, "upwards": fy, "moment": moment}.get(asked.measure)
    return None if part is None else abs(part)


def in_figures(frame: Frame, difference: float) -> str:
    """How far the two roads agree at the values shown, in words for a class."""
    agree = MOST_FIGURES if difference < 10.0**-MOST_FIGURES else floor(-log10(difference))
    said = ", ".join(symbol.said(symbol.shown) for symbol in frame.symbols.values())
    start = f"For {said} the" if said else "The"
    bodies = "rods" if all(body.kind == "rod" for body in frame.bodies.values()) else "bodies"
    hinged = any(joint.kind == "pin" and len(joint.bodies) > 1 for joint in frame.joints.values())
    both = f"both take {bodies} as rigid{' and hinges as smooth' if hinged else ''}"
    return f"{start} exact and the simulated values agree to {agree} figures; {both}."
