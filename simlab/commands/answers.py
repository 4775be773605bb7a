"""What was asked, answered: for the terminal, and for the closing card of a film."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import floor, log10
from typing import TYPE_CHECKING

from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.results import Forces, Key, Statics, in_numbers, largest
from simlab.results.wording import NOTHING, figures

if TYPE_CHECKING:
    from simlab.pictures.cards import Answer

MOST_FIGURES = 15  # a double holds no more
TALL_ROWS = 4  # rows of a closing card with fractions at full size
OTHER: Mapping[str, str] = {"thrust": "tension", "tension": "thrust"}
WAYS = (("to the right", "to the left"), ("upwards", "downwards"))


def said(statics: Statics) -> Iterator[str]:
    """The verdict in a sentence, and the answers, a line each."""
    yield statics.advice
    if statics.verdict == "falls out":
        yield "It would take:"
    for words, exact, value in answers(statics):
        yield f"  {words} = {exact} = {value}"


def answers(statics: Statics) -> Iterator[tuple[str, str, str]]:
    """What was asked, its exact answer, its value: ('thrust in spreader', '3 W tan α', '14.8 N')."""
    for asked in statics.frame.asked:
        quantity = statics.answers.get(asked.words)
        if quantity is not None:
            words, quantity = _as_it_is(statics, asked, quantity)
            exact = quantity.plain if quantity.names else f"{quantity.plain} N"
            yield words, exact, f"{figures(quantity.number(statics.values))} N"


def _as_it_is(statics: Statics, asked: Asked, quantity: Quantity) -> tuple[str, Quantity]:
    """A tension asked for that is a thrust, or the other way round, is named as what it is."""
    if asked.measure not in OTHER or quantity.number(statics.values) >= 0:
        return asked.words, quantity
    return asked.words.replace(asked.measure, OTHER[asked.measure], 1), -quantity


def unexpected(statics: Statics) -> str:
    """A sentence where the verdict is not the one that the scene's author announced; else nothing."""
    frame = statics.frame
    if statics.verdict == frame.expect:
        return ""
    return f'The scene expects "{frame.expect}"; statics says "{statics.verdict}".'


def closing_answers(statics: Statics, simulated: Forces[float]) -> list[Answer]:
    """The rows of a film's closing card: what was asked, exactly, in numbers, and as simulated.

    A force is given by its parts and the way each acts; a part that is nothing is left out. Fractions
    are at full size as long as all rows then fit the card.
    """
    for display in (True, False):
        rows = list(_rows(statics, simulated, display))
        if len(rows) <= TALL_ROWS:
            break
    return rows


def _rows(statics: Statics, simulated: Forces[float], display: bool) -> Iterator[Answer]:
    from simlab.pictures.cards import Answer
    from simlab.pictures.names import exact, prose

    for asked in statics.frame.asked:
        words = prose(asked.words, (), statics.frame.points)
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
    key = next(key for key in numbers.reactions if _is_asked(asked, key))
    for i, (positive, negative) in enumerate(WAYS):
        size, other = numbers.reactions[key].force[i], simulated.reactions[key].force[i]
        part = statics.case.forces.reactions[key].force[i]
        if size > NOTHING * largest(numbers):
            yield f", {positive}", part, size, other
        elif size < -NOTHING * largest(numbers):
            yield f", {negative}", -part, -size, -other


def _is_asked(asked: Asked, key: Key) -> bool:
    """Whether a key is the force asked for: of a pin on a rod, or of a support on what it holds."""
    if key.at != asked.at:
        return False
    return key.on == asked.on if asked.measure == "force" else key.by != key.at


def in_figures(frame: Frame, difference: float) -> str:
    """How far the two roads agree at the values shown, in words for a class."""
    agree = MOST_FIGURES if difference < 10.0**-MOST_FIGURES else floor(-log10(difference))
    said = ", ".join(symbol.said(symbol.shown) for symbol in frame.symbols.values())
    start = f"For {said} the" if said else "The"
    both = "both take rods as rigid and hinges as smooth"
    return f"{start} exact and the simulated values agree to {agree} figures; {both}."
