"""How far a letter may go: the values for which friction and one-sided contacts still hold the frame.

Every one-sided member and every rough contact gives inequalities,

    string: T >= 0,   strut: T <= 0,   contact: N >= 0,   friction: mu*N - F >= 0 and mu*N + F >= 0,

over the unknown forces x = x0 + sum y_k n_k, with y_k free where statics alone settles less (n_k are the
states of self-stress). The frame can rest where some y satisfies them all; how many contacts limit is
so decided, not assumed (common practice, no source: dry friction takes any force within its cone).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.field import Element
from simlab.exact.inequalities import Inequality, can_hold
from simlab.exact.stretches import End, Stretch, stretches
from simlab.frame.model import Contact, Frame, Name, Values
from simlab.results.forces import Key
from simlab.statics.equations import Equations
from simlab.statics.measures import Row, measured


@dataclass(frozen=True)
class Limit:
    """What is so when an inequality is in force: `words` complete "about to ...".

    `sense` is that of the friction along the tangent where a contact is about to slip.
    """

    about: Name
    kind: str  # "slip", "lift", "slack", "given"
    words: str
    sense: int = 0


@dataclass(frozen=True)
class Extent:
    """A stretch of the letter, and what limits it at either end."""

    low: End
    high: End | None
    limits: tuple[tuple[Limit, ...], tuple[Limit, ...]]


class Limits:
    """The inequalities of a frame, and what they leave open."""

    def __init__(self, frame: Frame, values: Values, senses: Mapping[Name, int] | None = None) -> None:
        self.frame = frame
        self.equations = Equations(frame, values, senses=senses)
        self.elimination = self.equations.eliminated()
        self.forces = self.equations.summed(self.elimination.solutions)

    @property
    def can_rest(self) -> bool:
        """Whether some forces satisfy them all at the values."""
        return any(can_hold([q for _, q in marked]) for marked in self.cases())

    def extents(self, letter: Name) -> tuple[Extent, ...]:
        """Every stretch of a letter's range for which the frame can rest, in order."""
        low, high = within(self.frame, letter, self.equations.values)
        found: list[Extent] = []
        for marked in self.cases():
            limits = [limit for limit, _ in marked]
            if not marked:
                raise BadInput(
                    f"nothing limits {letter}: nothing is rough or one-sided, and no condition is given."
                )
            for stretch in stretches([q for _, q in marked], letter, low, high):
                found.append(_extent(stretch, limits))
        return tuple(_joined(found))

    def cases(self) -> Iterator[list[tuple[Limit, Inequality]]]:
        """The inequalities, once for each way in which rings on wires may press."""
        rings = [c.name for c in self.frame.contacts.values() if c.two_sided and c.friction is not None]
        for presses in product((1, -1), repeat=len(rings)):
            yield list(self._limits(dict(zip(rings, presses, strict=True))))

    def _limits(self, side: Mapping[Name, int]) -> Iterator[tuple[Limit, Inequality]]:
        one = self.equations.field.one
        for link in self.frame.links.values():
            if link.kind in ("string", "strut") and not link.is_given:
                way = "going slack" if link.kind == "string" else "falling out"
                row = {self.equations.of_link(link): one if link.kind == "string" else -one}
                yield self._limit(Limit(link.name, "slack", f"the {link.kind} {link.name} {way}"), row)
        for contact in self.frame.contacts.values():
            if contact.name in side or not contact.two_sided:
                yield from self._contact(contact, side.get(contact.name, 1))
        for given in self.frame.given:
            if given.relation == "<=":
                row = {j: -e for j, e in measured(self.equations, given.left).items()}
                limit = Limit(given.left.at, "given", f"{given.words.split('<')[0].strip()} at its limit")
                yield self._limit(limit, row, self.equations.element(given.right))

    def _contact(self, contact: Contact, side: int) -> Iterator[tuple[Limit, Inequality]]:
        one, at = self.equations.field.one, contact.on.point
        key, number = Key.of(contact), self.equations.number
        push = number[key, "push"]
        if contact.about_to != "lift":
            yield self._limit(Limit(contact.name, "lift", f"lifting off at {at}"), {push: one * side})
        if contact.friction is not None and contact.about_to is None:
            rub = number[key, "rub"]
            most = self.equations.element(contact.friction) * side
            for sense in (1, -1):
                limit = Limit(contact.name, "slip", f"slipping at {at}", sense)
                yield self._limit(limit, {push: most, rub: one * -sense})

    def _limit(self, limit: Limit, row: Row, constant: Element | None = None) -> tuple[Limit, Inequality]:
        return limit, self.combined(limit.words, row, constant)

    def combined(self, name: str, row: Row, constant: Element | None = None) -> Inequality:
        """constant + row * (x0 + sum y_k n_k), as it depends on y."""
        zero = self.equations.field.zero
        total = zero if constant is None else constant
        coefficients: dict[int, Element] = {}
        for j, factor in row.items():
            if j in self.forces:
                total = total + factor * self.forces[j]
            for k, state in enumerate(self.elimination.null_space):
                if j in state:
                    coefficients[k] = coefficients.get(k, zero) + factor * state[j]
        return Inequality(name, total, {k: value for k, value in coefficients.items() if not value.is_zero})


def within(frame: Frame, letter: Name, values: Values) -> tuple[Any, Any]:
    """Between which numbers a letter is to be looked for; from 0 on, where nothing is said."""
    symbol = frame.symbols[letter]
    low, high = (None if end is None else end.at(values).expr for end in (symbol.low, symbol.high))
    return sp.S.Zero if low is None else low, sp.oo if high is None else high


def at_limit(frame: Frame, limits: tuple[Limit, ...]) -> Frame:
    """The frame with its contacts about to slip or lift as the limits say: its forces are then settled."""
    contacts = dict(frame.contacts)
    for limit in limits:
        if limit.kind == "lift":
            contacts[limit.about] = replace(contacts[limit.about], about_to="lift")
        elif limit.kind == "slip":
            contact = contacts[limit.about]
            nx, ny = contact.normal
            slips = (-ny, nx) if limit.sense > 0 else (ny, -nx)  # against its friction
            contacts[limit.about] = replace(contact, about_to="slip", slips=slips)
    return replace(frame, contacts=contacts)


def _extent(stretch: Stretch, limits: list[Limit]) -> Extent:
    def at(end: End | None) -> tuple[Limit, ...]:
        return () if end is None else tuple(limits[i] for i in sorted(end.in_force))

    return Extent(stretch.low, stretch.high, (at(stretch.low), at(stretch.high)))


def _joined(found: list[Extent]) -> Iterator[Extent]:
    """Extents in order, those that overlap made one."""
    before: Extent | None = None
    for extent in sorted(found, key=lambda extent: extent.low.low):
        if before is None:
            before = extent
        elif before.high is None or extent.low.low <= before.high.high:
            goes_on = before.high is not None and (
                extent.high is None or before.high.high < extent.high.high
            )
            if goes_on:
                before = Extent(before.low, extent.high, (before.limits[0], extent.limits[1]))
        else:
            yield before
            before = extent
    if before is not None:
        yield before
