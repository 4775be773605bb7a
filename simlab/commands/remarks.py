"""What is worth knowing besides the forces: where they hold, their limits, the question itself."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from math import degrees

from simlab.frame.model import Values
from simlab.frame.quantity import Quantity
from simlab.lesson.amounts import Pieces, amount
from simlab.notation.page import Heading, Line, Maths, line
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.extremes import Extreme, Validity
from simlab.results.fairness import Blind, Fairness, Placed
from simlab.results.wording import capital, figures, spaced

CONTACT = "there is contact at "
DRAWN = "the shape is the one drawn"  # a condition on the drawing: told only where it bites


def of_validity(found: tuple[Validity, ...], letters: bool, rests: bool) -> Iterator[Line]:
    """For which values members act their own way.

    `letters`: whether the question has any; `rests`: whether the frame does, at the values shown.
    """
    always = [one.words for one in found if one.relation == "always" and one.words != DRAWN]
    if always and rests:
        yield line(capital(_does(always)), ", whatever the letters are." if letters else ".")
    never = [one.words for one in found if one.relation == "never" and rests]
    if never and letters:
        yield line(f"There are no values of the letters for which {_does(never)}.")
    for one in found:
        if one.left is not None and one.right is not None:
            where = [", where ", *_sides(one.where)] if one.where is not None else []
            yield line(f"{capital(one.words)} for ", *_sides(one), *where, ".")
    rest = [one.words for one in found if one.relation is None and one.words != DRAWN]
    if rest and rests:
        yield line(f"All this holds while {_does(rest)}.")


def _sides(one: Validity) -> Pieces:
    if one.left is None or one.right is None:
        return []
    return [Maths(one.left.expr), f" {one.relation} ", Maths(one.right.expr)]


def of_extremes(
    found: tuple[Extreme, ...], values: Values, conventions: Conventions = HOUSE
) -> Iterator[Line]:
    """What each answer tends to, a line for each letter."""
    for (asked, _), limits in groupby(found, key=lambda limit: (limit.asked, str(limit.left))):
        pieces: Pieces = []
        what = f"the {asked}"
        for limit in limits:
            end = "∞" if limit.right is None else Maths(limit.right.expr, True)
            pieces += [
                "As ",
                Maths(limit.left.expr),
                " → ",
                end,
                f" {what} ",
                *_end(limit, values, conventions),
                " ",
            ]
            what = "it"
        yield line(*pieces)


def _end(limit: Extreme, values: Values, conventions: Conventions) -> Pieces:
    if limit.value is not None:
        if conventions.exact == "figures" and not limit.value.is_zero:
            return ["tends to ", *amount(limit.value, values, conventions), "."]
        return ["tends to ", Maths(limit.value.expr), "."]
    flat = ": hinged rods come into line" if limit.flat else ""
    inside = ", and that is within the range of the question" if limit.inside else ""
    return [f"grows without limit{flat}{inside}."]


def of_fairness(
    found: Fairness, values: Values, unique: bool, conventions: Conventions = HOUSE
) -> Iterator[Heading | Line]:
    """Remarks for the teacher who sets the question; `unique`: whether it has one answer."""
    yield Heading("Is it a fair question?")
    if not unique:
        yield line("Not as it stands: statics alone does not give all that is asked.")
    told = [*_unstated(found), *_unused(found)]
    told += [_placed(one, values, conventions) for one in found.placed]
    told += [_blind(one) for one in found.blind]
    if told or not unique:
        yield from told
    else:
        yield line("Nothing is left unsaid, and no usual slip goes unseen at these values.")


def _unstated(found: Fairness) -> Iterator[Line]:
    if found.unstated:
        words = [
            one.word if one.word.startswith("in a ") else f"{one.word} ({one.about})"
            for one in found.unstated
        ]
        yield line(f"Taken for granted, but not said: {', '.join(words)}.")


def _unused(found: Fairness) -> Iterator[Line]:
    dropped = [one.what for one in found.unused if one.why == "drops out"]
    idle = [one.what for one in found.unused if one.why == "is used nowhere"]
    if dropped:
        names = _listed([Quantity.symbol(name).plain for name in dropped])
        yield line(f"Not needed: {names} {'drops' if len(dropped) == 1 else 'drop'} out of every answer.")
    if idle:
        yield line(f"In the text, but used nowhere in the scene: {', '.join(idle)}.")


def _placed(one: Placed, values: Values, conventions: Conventions) -> Line:
    strut = f"the {spaced(one.strut)}"
    if one.said:
        start = f"Without notches {strut} would need"
    else:
        start = f"{capital(strut)} is merely placed: it needs notches, or"
    least: Pieces = [" a coefficient of friction of at least ", *amount(one.friction, values, conventions)]
    return line(start, *least, f" at its ends, since it meets {one.rod} obliquely.")


def _blind(one: Blind) -> Line:
    pieces: Pieces = [f"{_capital_word(one.what)}: the answer is the same if {one.slip}."]
    if one.better is not None:
        shown = f"{figures(degrees(one.better.number()))}°"
        if one.tangent is not None:
            pieces += [" Better is an angle of tangent ", Maths(one.tangent.expr), f", {shown}."]
        else:
            pieces += [" Better is ", Maths(one.better.expr, True), "."]
    return line(*pieces)


def _does(words: list[str]) -> str:
    """What members and contacts do, each once: 'there is contact at A and B and the rope is taut'."""
    told = list(dict.fromkeys(words))
    places = [word.removeprefix(CONTACT) for word in told if word.startswith(CONTACT)]
    others = [word for word in told if not word.startswith(CONTACT)]
    return _listed([*([f"{CONTACT}{_listed(places)}"] if places else []), *others])


def _listed(words: list[str]) -> str:
    """'this, that and the other'."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def _capital_word(text: str) -> str:
    """A sentence that begins with a word has a capital; one that begins with a letter (θ = 45°) is left."""
    return capital(text) if text.startswith("the ") else text
