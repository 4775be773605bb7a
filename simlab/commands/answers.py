"""What was asked, answered: for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from simlab.frame.model import Vec
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.lesson.amounts import Pieces, amount, angle, direction, exactly, opposite
from simlab.lesson.forces import parts_of
from simlab.notation.page import Line, line, written
from simlab.notation.worded import worded
from simlab.results import Key, Statics
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.wording import sense, sides
from simlab.statics.vectors import vector

OTHER: Mapping[str, str] = {"thrust": "tension", "tension": "thrust"}
WHOLE = ("force", "reaction")  # what has a size and a direction
SETTLED = "Every force has one value."  # which the list of forces below shows


def said(statics: Statics, conventions: Conventions = HOUSE) -> Iterator[str]:
    """The verdict in a sentence, and the answers, a line each."""
    page = worded(head(statics, conventions), conventions.spoken)
    yield from written(page, "text")


def head(statics: Statics, conventions: Conventions = HOUSE) -> Iterator[Line]:
    """The verdict in a sentence, and the answers; of a frame that falls out only what it would take.

    The heading of a shape that was found has said how the frame rests there: only the rest follows.
    """
    advice = statics.advice
    if statics.found:
        rests = statics.verdict == "determined"
        advice = advice.partition(". ")[2].replace(SETTLED, "") if rests else ""
    if advice:
        yield line(advice)
    falls = statics.verdict in ("falls out", "slips")
    if falls and statics.answers:
        yield line("To rest it would take:")
    for asked in statics.frame.asked:
        quantity = statics.answers.get(asked.words)
        is_said = asked.words in statics.found or str(quantity) in statics.found  # by the shape's heading
        if quantity is not None and not is_said:
            yield line(*_answer(statics, asked, quantity, falls, conventions), indent=True)


def _answer(
    statics: Statics, asked: Asked, quantity: Quantity, only_exact: bool, conventions: Conventions
) -> Pieces:
    """'thrust in spreader = 3W tan α = 14.8 N', a force with its direction, never a bare negative one."""
    if asked.measure in WHOLE and conventions.forces == "components":
        parts = parts_of(_force(statics, asked), statics, conventions)
        return [f"{asked.words} = ", *parts] if parts else [f"{asked.words} = 0"]
    words, quantity, way = as_it_is(statics, asked, quantity, conventions)
    if only_exact and conventions.exact == "surds":
        return [f"{words} = ", *exactly(quantity, statics.values)]
    if asked.measure == "value" and (quantity.is_angle or asked.words.startswith("angle")):
        falls = quantity.number(statics.values) < 0  # from the first point named to the second
        told = angle(opposite(quantity) if falls else quantity, statics.values, conventions)
        return [f"{words} = ", *told, ", downwards" if falls else ""]
    return [f"{words} = ", *amount(quantity, statics.values, conventions), *way]


def as_it_is(
    statics: Statics, asked: Asked, quantity: Quantity, conventions: Conventions = HOUSE
) -> tuple[str, Quantity, Pieces]:
    """The words, the size and the way: a tension that is a thrust is named so, a component has its side."""
    value = quantity.number(statics.values)
    size = opposite(quantity) if value < 0 else quantity
    match asked.measure:
        case "thrust" | "tension" if value < 0:
            return asked.words.replace(asked.measure, OTHER[asked.measure], 1), size, []
        case "across":
            return asked.words, size, [" ", sense(1 if value > 0 else -1, 0, sides(statics.frame))]
        case "upwards":
            return asked.words, size, [" upwards" if value >= 0 else " downwards"]
        case "moment":
            return asked.words, size, [" anticlockwise" if value >= 0 else " clockwise"]
        case "friction":
            return asked.words, size, _way_of_friction(statics, asked)
        case "force" | "reaction":
            found = vector(_force(statics, asked), statics.values)
            if found is None:
                return asked.words, size, []
            way = direction(found, statics.values, sides(statics.frame), conventions)
            return asked.words, size, [", ", *way]
    return asked.words, quantity, []


def _force(statics: Statics, asked: Asked) -> Vec:
    reactions = statics.case.forces.reactions
    return next((r.force for key, r in reactions.items() if is_asked(asked, key)), (Quantity.zero(),) * 2)


def _way_of_friction(statics: Statics, asked: Asked) -> Pieces:
    """The way in which friction acts on what rests there."""
    contact = statics.frame.contacts.get(asked.at)
    if contact is None:
        return []
    (x, y), (fx, fy) = (
        (v[0].number(statics.values), v[1].number(statics.values))
        for v in (contact.normal, _force(statics, asked))
    )
    rub = fx * y - fy * x  # along the tangent (y, -x)
    across, up = rub * y, -rub * x
    right, upwards = ((v > 0) - (v < 0) for v in (across, up))
    if right and upwards and x and y:
        return [f" {'up' if upwards > 0 else 'down'} the slope"]
    words = sense(right, upwards, sides(statics.frame))
    return [f" {words}"] if words else []


def unexpected(statics: Statics) -> str:
    """A sentence where the verdict is not the one that the scene's author announced; else nothing."""
    frame = statics.frame
    if statics.verdict == frame.expect:
        return ""
    if frame.expect == "determined":
        return "So the question has no unique answer." if statics.verdict == "not determined" else ""
    return f'The scene announces "{frame.expect}", but statics says "{statics.verdict}".'


def is_asked(asked: Asked, key: Key) -> bool:
    """Whether a key is the force asked for: of a pin on a rod, or of a support on what it holds."""
    if key.at != asked.at:
        return False
    return key.on == asked.on if asked.on is not None else key.by != key.at
