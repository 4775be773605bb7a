"""What was asked, answered on the closing card of a film."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, floor, hypot, log10

from simlab.commands.answers import OTHER, as_it_is, is_asked
from simlab.commands.findings import MEASURES, is_told, shown
from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.pictures.cards import Answer
from simlab.pictures.names import exact, prose
from simlab.results import Forces, Statics, in_numbers, largest
from simlab.results.statics import Findings, Root
from simlab.results.wording import NOTHING, figures, scaled

MOST_FIGURES = 15  # a double holds no more
TALL_ROWS = 4  # rows of a closing card with fractions at full size
WITH_A_TWIN = ("thrust", "tension", "force", "reaction")  # of which the simulation has its own value
WAYS = (("to the right", "to the left"), ("upwards", "downwards"))
RESTS = "rests there"  # what the simulation says of a shape: it has settled in it


def closing_answers(findings: Findings, simulated: Forces[float]) -> list[Answer]:
    """The rows of a film's closing card: what was asked, exactly, in numbers, and as simulated.

    Of the first shape found. A force is given by its parts and the way each acts; a part that is nothing
    is left out. Fractions are at full size as long as all rows then fit the card.
    """
    for display in (True, False):
        rows = [row for asked in findings.frame.asked for row in _rows(findings, asked, simulated, display)]
        if len(rows) <= TALL_ROWS:
            break
    return rows


def _rows(findings: Findings, asked: Asked, simulated: Forces[float], display: bool) -> Iterator[Answer]:
    """The rows of one thing asked."""
    frame, statics = findings.frame, findings.shapes[0]
    words = prose(asked.words, frame.symbols, frame.points)
    quantity = statics.answers.get(asked.words)
    root = statics.found.get(asked.words) or statics.found.get(str(quantity))
    if asked.measure in MEASURES:
        yield from _ends(findings, asked, words, display)
    elif asked.measure in WITH_A_TWIN:
        yield from _forces(statics, asked, simulated, words, display)
    elif root is not None:
        yield Answer(words, _exact_root(root, display), shown(frame, root), RESTS)
    elif quantity is not None:
        yield _other(statics, asked, quantity, simulated, display)


def _ends(findings: Findings, asked: Asked, words: str, display: bool) -> Iterator[Answer]:
    """The least, the greatest, or both ends of each range."""
    for found in findings.ranges.get(asked.at, ()):
        for side, end in (("least", found.low), ("greatest", found.high)):
            if end is not None and asked.measure in (side, "range"):
                named = words if asked.measure == side else f"{words}, {side}"
                yield Answer(named, _exact_root(end, display), shown(findings.frame, end), "")


def _exact_root(root: Root, display: bool) -> str:
    """A letter's equation as a textbook writes it (cos x = 41/49), or its own expression."""
    if is_told(root):
        left, right = root.equation
        return exact(left, display=display) + " = " + exact(right, display=display)
    return "" if root.exact is None else exact(root.exact, display=display)


def _other(
    statics: Statics, asked: Asked, quantity: Quantity, simulated: Forces[float], display: bool
) -> Answer:
    """A component, a moment, a coefficient, a distance or an angle: never a bare negative force."""
    told, size, way = as_it_is(statics, asked, quantity)
    words = prose(told, statics.frame.symbols, statics.frame.points)
    side = "".join(part for part in way if isinstance(part, str))
    value = size.number(statics.values)
    if asked.measure == "value" and (size.is_angle or asked.words.startswith("angle")):
        return Answer(words, exact(size, display=display), f"{figures(degrees(value))}°", "")
    scale, unit = scaled(size, value)
    named = f"{words},{side}" if side else words
    twin = _simulated(statics, asked, simulated)
    other = "" if twin is None else f"{figures(twin / scale)}{unit}"
    return Answer(named, exact(size, unit.strip(), display), f"{figures(value / scale)}{unit}", other)


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


def _forces(
    statics: Statics, asked: Asked, simulated: Forces[float], words: str, display: bool
) -> Iterator[Answer]:
    """The force in a member, or the parts of another force, each beside the simulated one."""
    along = asked.measure in ("thrust", "tension")
    parts = _along(statics, simulated, asked) if along else _parts(statics, simulated, asked)
    for way, quantity, value, other in parts:
        if along and value < 0:
            words = words.replace(asked.measure, OTHER[asked.measure], 1)
            quantity, value, other = -quantity, -value, -other
        texts = (f"{figures(value)} N", f"{figures(other)} N")
        yield Answer(f"{words}{way}", exact(quantity, "N", display), *texts)


Part = tuple[str, Quantity, float, float]  # in words, exact, its value and the simulated value [N]


def _along(statics: Statics, simulated: Forces[float], asked: Asked) -> Iterator[Part]:
    quantity, tension = statics.answers[asked.words], simulated.tensions[asked.at]
    other = -tension if asked.measure == "thrust" else tension
    yield "", quantity, quantity.number(statics.values), other


def _parts(statics: Statics, simulated: Forces[float], asked: Asked) -> Iterator[Part]:
    numbers = in_numbers(statics.case.forces, statics.values)
    key = next(key for key in numbers.reactions if is_asked(asked, key))
    for i, (positive, negative) in enumerate(WAYS):
        size, other = numbers.reactions[key].force[i], simulated.reactions[key].force[i]
        part = statics.case.forces.reactions[key].force[i]
        if size > NOTHING * largest(numbers):
            yield f", {positive}", part, size, other
        elif size < -NOTHING * largest(numbers):
            yield f", {negative}", -part, -size, -other


def in_figures(frame: Frame, difference: float) -> str:
    """How far the two roads agree at the values shown, in words for a class."""
    agree = MOST_FIGURES if difference < 10.0**-MOST_FIGURES else floor(-log10(difference))
    said = ", ".join(symbol.said(symbol.shown) for symbol in frame.symbols.values())
    start = f"For {said} the" if said else "The"
    both = "both take rods as rigid and hinges as smooth"
    return f"{start} exact and the simulated values agree to {agree} figures; {both}."
