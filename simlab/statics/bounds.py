"""Between which bounds a force lies that statics alone does not settle, where contacts bound it.

A ladder that is rough at both ends: its normal reactions have a least and a greatest value, over the forces
that satisfy every inequality of `statics.limits`.
"""

from __future__ import annotations

from dataclasses import dataclass

from simlab.exact.element import Element
from simlab.exact.inequalities import extremes
from simlab.frame.quantity import FORCE
from simlab.frame.question import Asked
from simlab.results.wording import capital
from simlab.statics.limits import Limits
from simlab.statics.measures import measured
from simlab.statics.reactions import Reactions


@dataclass(frozen=True)
class Bounds:
    """The least and the greatest value of a force; None where it has no bound."""

    low: Element | None
    high: Element | None


def bounds(limits: Limits, asked: Asked) -> Bounds | None:
    """The bounds of a force that is asked for, at the values; None if it can have none.

    Of friction they are those of its size. Raises BadInput for what is no multiple of one unknown.
    """
    row = measured(limits.equations, asked)
    cases = [[q for _, q in marked] for marked in limits.cases()]
    if len(cases) != 1 or not cases[0]:
        return None
    ends = extremes(cases[0], limits.combined("", row))
    if ends is None:
        return None
    found = Bounds(*ends)
    return _of_size(found) if asked.measure == "friction" else found


def _of_size(found: Bounds) -> Bounds:
    """From the bounds of a force along a line to those of its size."""
    low, high = found.low, found.high
    if low is not None and low.sign() >= 0:
        return found
    if high is not None and high.sign() <= 0:
        return Bounds(-high, None if low is None else -low)
    if low is None or high is None:
        return Bounds(None, None)
    return Bounds(low.field.zero, high if (high + low).sign() > 0 else -low)


def of_bounds(reactions: Reactions, limits: Limits) -> str:
    """What friction leaves open, to a teacher: each force asked for, from its least to its greatest."""
    parts = []
    for asked in reactions.equations.frame.asked:
        if asked.measure not in ("normal", "friction", "tension", "thrust", "across", "upwards"):
            continue
        row = measured(limits.equations, asked)
        if all(limits.elimination.is_determined(j) for j in row):
            continue
        found = bounds(limits, asked)
        if found is not None:
            parts.append(f"the {asked.words} {_between(reactions, found)}")
    return f" {capital('; '.join(parts))}." if parts else ""


def _between(reactions: Reactions, found: Bounds) -> str:
    low, high = (None if end is None else _amount(reactions, end) for end in (found.low, found.high))
    if low is not None and high is not None:
        return f"lies between {low} and {high}"
    if low is not None:
        return f"is at least {low}"
    return "may be anything" if high is None else f"is at most {high}"


def _amount(reactions: Reactions, end: Element) -> str:
    size = reactions.printed(end, FORCE)
    return f"{size.plain}{'' if size.names or size.is_zero else ' N'}"
