"""What a question asks, read off the reactions: a thrust, a tension, the size of a force."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from simlab.exact.field import Element
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.question import Asked
from simlab.results.statics import Condition
from simlab.statics.reactions import Reactions


def answered(
    reactions: Reactions, asked: Iterable[Asked]
) -> tuple[Mapping[str, Quantity], tuple[Condition, ...]]:
    """The answers by their words, without those that statics does not settle; on what they hold.

    A thrust or tension is signed: one that turns out to be the other of the two is negative, and whoever
    shows it to a reader names it as what it is. A force or reaction is its size sqrt(X^2 + Y^2).
    """
    answers: dict[str, Quantity] = {}
    holds: list[Condition] = []
    for one in asked:
        if one.measure in ("thrust", "tension"):
            if one.at in reactions.densities:
                tension = reactions.tension(one.at)
                answer = -tension if one.measure == "thrust" else tension
                answers[one.words] = reactions.printed(answer, FORCE)
        else:
            force = _force(reactions, one)
            if force is not None:
                size, assumed = _size(force)
                answers[one.words] = reactions.printed(size, FORCE)
                words = "the answer is written for this positive"
                holds += [Condition(reactions.assumed(e), one.words, words) for e in assumed]
    return answers, tuple(holds)


def _force(reactions: Reactions, asked: Asked) -> tuple[Element, Element] | None:
    """The force asked for: on a named body at a connection, or of the support there."""
    for key, force in reactions.forces.items():
        by_support = asked.on is None and key.by != key.at
        if key.at == asked.at and (key.on == asked.on or by_support):
            return force
    return None


def _size(force: tuple[Element, Element]) -> tuple[Element, tuple[Element, ...]]:
    """sqrt(X^2 + Y^2), its root adjoined, and what was taken as positive for it."""
    x, y = force
    known = len(x.field.assumptions)
    wider, size = x.field.with_root(x * x + y * y)
    return size, tuple(wider.assumptions[known:])
