"""What friction and one-sided contacts leave open: inequalities over the forces of a frame.

Every one-sided member and every rough contact gives inequalities,

    string: T >= 0,   strut: T <= 0,   contact: N >= 0,   friction: mu*N - F >= 0 and mu*N + F >= 0,

over the unknown forces x = x0 + sum y_k n_k, with y_k free where statics alone settles less (n_k are the
states of self-stress). The frame can rest where some y satisfies them all; how many contacts limit is
so decided, not assumed (common practice, no source: dry friction takes any force within its cone).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from simlab.errors import BadInput
from simlab.exact.elimination import Elimination
from simlab.exact.field import Element
from simlab.exact.inequalities import Inequality, in_force
from simlab.frame.model import Contact, Frame, Link, Name, Values
from simlab.results.forces import Key
from simlab.statics.equations import Equations
from simlab.statics.laws import stretched
from simlab.statics.measures import Row, measured
from simlab.statics.one_sided import named


@dataclass(frozen=True)
class Limit:
    """What is so when an inequality is in force: `words` complete "about to ...".

    `sense` is that of the friction along the tangent where a contact is about to slip.
    """

    about: Name
    kind: str  # "slip", "lift", "slack", "given"
    words: str
    sense: int = 0


class Limits:
    """The inequalities of a frame, and what they leave open."""

    def __init__(self, equations: Equations, elimination: Elimination) -> None:
        self.frame = equations.frame
        self.equations = equations
        self.elimination = elimination
        self.forces = equations.summed(elimination.solutions)

    @classmethod
    def of(cls, frame: Frame, values: Values) -> Limits:
        """Those of a frame; the values are put for given letters where the shape is special at them."""
        for put in ((), [name for name in values if name not in frame.found]):
            equations = Equations(frame, values, put)
            found = equations.eliminated()
            if equations.vanishing is None and found.vanishing is None:
                return cls(equations, found)
        letters = " and ".join(frame.found)
        raise BadInput(
            f"the shape is special at {letters} = {', '.join(str(values[n]) for n in frame.found)}, from "
            f"which the search starts. Give {letters} other ends of the range."
        )

    @property
    def positive(self) -> tuple[Element, ...]:
        """What is positive where these are the frame's equations."""
        return self.equations.regime

    @property
    def left(self) -> list[Element]:
        """What the loads leave over that no force carries: the frame rests only where it is nothing."""
        over = self.equations.summed(self.elimination.residues)
        return [over[i] for i in sorted(over) if not over[i].is_zero]

    @property
    def can_hold(self) -> bool:
        """Whether some forces satisfy the inequalities at the values."""
        return any(in_force([q for _, q in marked]) is not None for marked in self.cases())

    def cases(self) -> Iterator[list[tuple[Limit, Inequality]]]:
        """The inequalities, once for each way in which rings on wires may press."""
        rings = [c.name for c in self.frame.contacts.values() if c.two_sided and c.friction is not None]
        for presses in product((1, -1), repeat=len(rings)):
            yield list(self._limits(dict(zip(rings, presses, strict=True))))

    def _limits(self, side: Mapping[Name, int]) -> Iterator[tuple[Limit, Inequality]]:
        for link in self.frame.links.values():
            yield from self._link(link)
        for contact in self.frame.contacts.values():
            if contact.name in side or not contact.two_sided:
                yield from self._contact(contact, side.get(contact.name, 1))
        for given in self.frame.given:
            if given.relation == "<=":
                beyond = {j: -e for j, e in measured(self.equations, given.left).items()}
                limit = Limit(given.left.at, "given", f"{given.words.split('<')[0].strip()} at its limit")
                yield self._limit(limit, beyond, self.equations.element(given.right))

    def _link(self, link: Link) -> Iterator[tuple[Limit, Inequality]]:
        """That it acts one way; of an elastic string its length alone says so."""
        one, called = self.equations.field.one, named(link)
        if link.kind == "elastic string" and link.natural is not None:
            pull = stretched(self.equations, link)
            way, spare = ("growing taut", -pull) if pull.sign() < 0 else ("going slack", pull)
            yield self._limit(Limit(link.name, "slack", f"{called} {way}"), {}, spare)
        elif link.kind in ("string", "strut") and not link.is_given:
            way, sense = ("going slack", one) if link.kind == "string" else ("falling out", -one)
            yield self._limit(
                Limit(link.name, "slack", f"{called} {way}"), {self.equations.of_link(link): sense}
            )

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
