"""On what the forces of a frame hold, in words that a reader may find after "while"."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from simlab.exact.assumption import has_one_sign
from simlab.exact.field import Element
from simlab.frame.model import Name
from simlab.frame.quantity import FORCE
from simlab.results.statics import Condition
from simlab.statics.one_sided import OneSided
from simlab.statics.reactions import Reactions

DRAWN = "the shape is the one drawn"


def conditions(reactions: Reactions, members: Iterable[OneSided]) -> tuple[Condition, ...]:
    """One-sided members act the right way, roots have the sign that they have here.

    A member that carries nothing whatever the letters are sets no condition; one that carries nothing
    just at the values does, and `positive` is then 0 there.
    """
    holds = [
        Condition(reactions.printed(m.positive, FORCE), m.about, m.words) for m in members if not m.always
    ]
    return (*holds, *_of_shape(reactions))


def _of_shape(reactions: Reactions) -> Iterator[Condition]:
    """What is taken as positive for the roots of the shape, each but once."""
    known: list[Element] = []
    assumed = [("the shape", e) for e in reactions.equations.assumptions]
    assumed += [(link, e) for link, found in reactions.assumptions.items() for e in found]
    for about, e in assumed:
        if any(_is_same(e, other) for other in known):
            continue
        known.append(e)
        words = DRAWN if about == "the shape" else _lie_of_ends(reactions, about, e)
        yield Condition(reactions.assumed(e), about, words)


def _is_same(one: Element, other: Element) -> bool:
    """Whether two elements plainly have the same sign everywhere."""
    return has_one_sign(one / other)


def _lie_of_ends(reactions: Reactions, link: Name, assumed: Element) -> str:
    """How the ends of a light member lie, where that is what is assumed: 'T is to the left of U'."""
    first, second = (place.point for place in reactions.equations.frame.links[link].ends)
    for along, left, right in zip(
        reactions.equations.along(link),
        ("to the left of", "below"),
        ("to the right of", "above"),
        strict=True,
    ):
        if not along.is_zero and _is_same(assumed, along):
            return f"{first} is {left if along.sign() > 0 else right} {second}"
    return DRAWN
