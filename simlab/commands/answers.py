"""What was asked, answered: for the terminal, and for the closing card of a film."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, log10
from typing import TYPE_CHECKING

from simlab.frame.model import Asked
from simlab.results import Forces, Key, Statics, in_numbers, largest
from simlab.results.wording import NOTHING, figures

if TYPE_CHECKING:
    from simlab.pictures.cards import Answer

MOST_FIGURES = 15  # a double holds no more
WAYS = (("to the right", "to the left"), ("upwards", "downwards"))


def answers(statics: Statics) -> Iterator[tuple[str, str, str]]:
    """What was asked, its exact answer, its value: ('thrust in spreader', '3 W tan α', '14.8 N')."""
    for asked in statics.frame.asked:
        quantity = statics.answers.get(asked.words)
        if quantity is not None:
            exact = quantity.plain if quantity.names else f"{quantity.plain} N"
            yield asked.words, exact, f"{figures(quantity.number(statics.values))} N"


def closing_answers(statics: Statics, simulated: Forces[float]) -> Iterator[Answer]:
    """The rows of a film's closing card: what was asked, exactly, in numbers, and as simulated.

    A force is given by its parts and the way each acts; a part that is nothing is left out.
    """
    for asked in statics.frame.asked:
        if asked.measure in ("thrust", "tension"):
            yield _along(statics, simulated, asked)
        else:
            yield from _parts(statics, simulated, asked)


def _along(statics: Statics, simulated: Forces[float], asked: Asked) -> Answer:
    from simlab.pictures.cards import Answer
    from simlab.pictures.names import exact, prose

    quantity, tension = statics.answers[asked.words], simulated.tensions[asked.at]
    value = quantity.number(statics.values)
    other = -tension if asked.measure == "thrust" else tension
    words = prose(asked.words, (), statics.frame.points)
    return Answer(words, exact(quantity, "N", display=True), f"{figures(value)} N", f"{figures(other)} N")


def _parts(statics: Statics, simulated: Forces[float], asked: Asked) -> Iterator[Answer]:
    from simlab.pictures.cards import Answer
    from simlab.pictures.names import exact, prose

    numbers = in_numbers(statics.case.forces, statics.values)
    key = next(key for key in numbers.reactions if _is_asked(asked, key))
    words = prose(asked.words, (), statics.frame.points)
    for i, (positive, negative) in enumerate(WAYS):
        size, other = numbers.reactions[key].force[i], simulated.reactions[key].force[i]
        part = statics.case.forces.reactions[key].force[i]
        if abs(size) <= NOTHING * largest(numbers):
            continue
        way = positive if size > 0 else negative
        if size < 0:
            size, other, part = -size, -other, -part
        yield Answer(
            f"{words}, {way}", exact(part, "N", display=True), f"{figures(size)} N", f"{figures(other)} N"
        )


def _is_asked(asked: Asked, key: Key) -> bool:
    """Whether a key is the force asked for: of a pin on a rod, or of a support on what it holds."""
    if key.at != asked.at:
        return False
    return key.on == asked.on if asked.measure == "force" else key.by != key.at


def in_figures(difference: float) -> str:
    """How far two roads agree, in words.

    >>> in_figures(2e-14)
    'The exact and the simulated values agree to 13 figures.'
    """
    agree = MOST_FIGURES if difference < 10.0**-MOST_FIGURES else floor(-log10(difference))
    return f"The exact and the simulated values agree to {agree} figures."
