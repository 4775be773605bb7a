"""Between which bounds a force lies that statics alone does not settle, where contacts bound it.

A ladder that is rough at both ends: its normal reactions have a least and a greatest value. Over the forces
that satisfy every inequality of `statics.limits` a component is extreme at a corner of their region.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from simlab.exact.element import Element
from simlab.exact.elimination import eliminate
from simlab.exact.inequalities import Inequality, essential
from simlab.frame.quantity import FORCE
from simlab.frame.question import Asked
from simlab.statics.limits import Limits
from simlab.statics.measures import measured
from simlab.statics.reactions import Reactions

Corner = Mapping[int, Element]


@dataclass(frozen=True)
class Bounds:
    """The least and the greatest value of a force; None where it has no bound."""

    low: Element | None
    high: Element | None


class Region:
    """The free forces y for which all inequalities hold: its corners, and the ways out of it."""

    def __init__(self, limits: Limits, inequalities: Sequence[Inequality]) -> None:
        self.limits = limits
        self.inequalities = inequalities
        self.field = max((q.constant.field for q in inequalities), key=lambda field: field.depth)
        self.unknowns = essential(inequalities, self.field)
        self.corners = [
            c for c in self._corners() if all(self._slack(q, c).sign() >= 0 for q in inequalities)
        ]
        self.ways_out = [
            way for way in self._ways() if all(self._along(q, way).sign() >= 0 for q in inequalities)
        ]

    def _corners(self) -> Iterator[Corner]:
        for chosen in combinations(self.inequalities, len(self.unknowns)):
            right = {i: -q.constant for i, q in enumerate(chosen)}
            found = eliminate(self.field, [q.coefficients for q in chosen], self._width, [right])
            if found.vanishing is None and found.rank == len(self.unknowns) and found.consistent:
                yield found.solutions[0]

    def _ways(self) -> Iterator[Corner]:
        """Directions along edges of the region."""
        for chosen in combinations(self.inequalities, len(self.unknowns) - 1):
            rows = [q.coefficients for q in chosen]
            free = [k for k in range(self._width) if k not in self.unknowns]
            rows += [{k: self.field.one} for k in free]
            found = eliminate(self.field, rows, self._width)
            if found.vanishing is None and len(found.null_space) == 1:
                (way,) = found.null_space
                yield way
                yield {k: -value for k, value in way.items()}

    @property
    def _width(self) -> int:
        return len(self.limits.elimination.null_space)

    def _along(self, inequality: Inequality, y: Corner) -> Element:
        parts = (g * y[k] for k, g in inequality.coefficients.items() if k in y)
        return sum(parts, self.field.zero)

    def _slack(self, inequality: Inequality, y: Corner) -> Element:
        return inequality.constant + self._along(inequality, y)

    def bounds(self, value: Inequality) -> Bounds:
        """The extreme values of constant + coefficients * y."""
        values = [self._slack(value, corner) for corner in self.corners]
        slopes = [self._along(value, way).sign() for way in self.ways_out]
        low = high = values[0]
        for one in values[1:]:
            low = one if (one - low).sign() < 0 else low
            high = one if (one - high).sign() > 0 else high
        return Bounds(None if -1 in slopes else low, None if 1 in slopes else high)


def bounds(limits: Limits, asked: Asked) -> Bounds | None:
    """The bounds of a force that is asked for, at the values; None if it can have none.

    Of friction they are those of its size. Raises BadInput for what is no multiple of one unknown.
    """
    row = measured(limits.equations, asked)
    cases = [[q for _, q in marked] for marked in limits.cases()]
    if len(cases) != 1 or not cases[0]:
        return None
    region = Region(limits, cases[0])
    if not region.corners:
        return None
    found = region.bounds(limits.combined("", row))
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
    return f" {'; '.join(parts)[0].upper()}{'; '.join(parts)[1:]}." if parts else ""


def _between(reactions: Reactions, found: Bounds) -> str:
    low, high = (
        None if end is None else reactions.printed(end, FORCE).plain for end in (found.low, found.high)
    )
    if low is None or high is None:
        return f"is at least {low}" if high is None and low else f"is at most {high}" if high else "is open"
    return f"lies between {low} and {high}"
