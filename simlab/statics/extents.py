"""How far a letter may go: the values for which friction and one-sided contacts still hold the frame."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.element import Element
from simlab.exact.ends import End
from simlab.exact.inequalities import Inequality, in_force
from simlab.exact.solving import Solution, solutions
from simlab.exact.stretches import Stretch, stretches
from simlab.frame.model import Frame, Name, Values
from simlab.results.statics import Root
from simlab.statics.equilibria import divisors
from simlab.statics.limits import Limit, Limits
from simlab.statics.regimes import explored, holds_at, parts, start_in, within
from simlab.statics.roots import as_root, is_plain, put, values_of


@dataclass(frozen=True)
class Extent:
    """A stretch of the letter, and what limits it at either end."""

    low: End
    high: End | None
    limits: tuple[tuple[Limit, ...], tuple[Limit, ...]]

    @property
    def is_one_value(self) -> bool:
        """Whether it is a single value of the letter."""
        return self.high is not None and self.high.low <= self.low.high


def extents(frame: Frame, values: Values, letter: Name) -> tuple[Extent, ...]:
    """Every stretch of a letter's range for which the frame can rest, in order."""
    ranges = {letter: within(frame, letter, values)}
    limits = explored(frame, ranges, lambda start: Limits.of(frame, {**values, **start}))
    found: list[Extent] = []
    for ends in parts([e for one in limits for e in one.positive], letter, *ranges[letter]):
        start = {letter: start_in(*ends, frame.symbols[letter].is_angle)}
        here = next((one for one in limits if holds_at(start, one.positive, ranges)), None)
        if here is not None:  # else there is no such frame
            found += _Letter(here, letter, ends).extents()
    return tuple(_joined(found))


class _Letter:
    """A frame with one letter in it that may go from some value to another, within one regime."""

    def __init__(self, limits: Limits, letter: Name, ends: tuple[End, End | None]) -> None:
        self.limits = limits
        self.frame, self.values = limits.frame, limits.equations.values
        self.letter = letter
        self.low, self.high = ends

    def extents(self) -> Iterator[Extent]:
        """Every stretch, not in order."""
        if self.limits.left:
            yield from self._where_carried(self.limits.left)
            return
        for case, marked in enumerate(self.limits.cases()):
            if not marked:
                why = "nothing is rough or one-sided, and no condition is given"
                raise BadInput(f"nothing limits {self.letter}: {why}.")
            yield from self._stretches(case, marked)

    def _stretches(self, case: int, marked: Sequence[tuple[Limit, Inequality]]) -> Iterator[Extent]:
        def at(solution: Solution) -> list[Inequality] | None:
            there = self._there(solution)
            return None if there is None else [q for _, q in list(there.cases())[case]]

        inequalities = [q for _, q in marked]
        for stretch in stretches(inequalities, self.letter, self.low, self.high, self._poles(), at):
            yield _extent(stretch, [limit for limit, _ in marked])

    def _poles(self) -> Iterator[Element]:
        """What is zero where the forces, as functions of the letter, are not defined."""
        for vector in (self.limits.forces, *self.limits.elimination.null_space):
            for force in vector.values():
                yield force.denominator

    def _where_carried(self, left: Sequence[Element]) -> Iterator[Extent]:
        """Single values, where the loads do not carry themselves in general."""
        within = {self.letter: (self.low.number, sp.oo if self.high is None else self.high.number)}
        places: list[Solution] = []
        if all(element.depends_on(self.letter) for element in left):
            places += solutions(left, within)
        for divisor in divisors(self.limits.elimination, within):
            places += [s for s in solutions([divisor], within) if is_plain(self._root(s))]
        for solution in places:
            there = self._there(solution)
            for marked in [] if there is None else there.cases():
                limits = in_force([q for _, q in marked])
                if limits is not None:
                    low, high = solution.low[self.letter], solution.high[self.letter]
                    end = End(solution, low, high, limits)
                    yield _extent(Stretch(end, end), [limit for limit, _ in marked])
                    break

    def _root(self, solution: Solution) -> Root:
        return as_root(self.frame, self.letter, solution)

    def _there(self, solution: Solution) -> Limits | None:
        """The frame with a value put for the letter; None if there is none, or the loads are not carried.

        A value known to 30 figures only is near enough, and what the loads leave over there is nothing.
        """
        root = self._root(solution)
        try:
            frame = put(self.frame, {self.letter: root})
            there = Limits.of(frame, values_of(frame, self.values, {self.letter}))
        except BadInput:
            return None
        carried = not is_plain(root) or all(over.sign() == 0 for over in there.left)
        return there if carried else None


def at_limit(frame: Frame, limits: tuple[Limit, ...]) -> Frame:
    """The frame with its contacts about to slip or lift as the limits say: its forces are then settled.

    A contact that is as rough as need be may still rub when it only just presses.
    """
    contacts = dict(frame.contacts)
    for limit in limits:
        contact = contacts.get(limit.about)
        if contact is None:
            continue
        if limit.kind == "lift" and (contact.friction is not None or not contact.rough):
            contacts[limit.about] = replace(contact, about_to="lift")
        elif limit.kind == "slip":
            nx, ny = contact.normal
            slips = (-ny, nx) if limit.sense > 0 else (ny, -nx)  # against its friction
            contacts[limit.about] = replace(contact, about_to="slip", slips=slips)
    return replace(frame, contacts=contacts)


def _extent(stretch: Stretch, limits: list[Limit]) -> Extent:
    def at(end: End | None) -> tuple[Limit, ...]:
        found = [] if end is None else [limits[i] for i in sorted(end.in_force)]
        lifting = {limit.about for limit in found if limit.kind == "lift"}
        return tuple(limit for limit in found if limit.kind != "slip" or limit.about not in lifting)

    return Extent(stretch.low, stretch.high, (at(stretch.low), at(stretch.high)))


def _joined(found: Iterable[Extent]) -> Iterator[Extent]:
    """Extents in order, those that overlap or meet made one."""
    before: Extent | None = None
    for extent in sorted(found, key=lambda extent: (extent.low.low, not extent.low.belongs)):
        if before is None:
            before = extent
        elif _meet(before, extent):
            if before.high is not None and _reach(extent) > _reach(before):
                before = Extent(before.low, extent.high, (before.limits[0], extent.limits[1]))
        else:
            yield before
            before = extent
    if before is not None:
        yield before


def _meet(before: Extent, after: Extent) -> bool:
    end = before.high
    if end is None or after.low.high < end.low:
        return True
    return after.low.low <= end.high and (end.belongs or after.low.belongs)


def _reach(extent: Extent) -> tuple[bool, Fraction, bool]:
    """How far an extent goes, to be compared."""
    end = extent.high
    return (True, Fraction(0), True) if end is None else (False, end.high, end.belongs)
