"""Workings for letters that a question asks for: the equation that is left over when all forces are known.

With a letter to be found the equations are one more than the forces: a chain gives the forces in one
further equation, and putting them into it leaves a relation for the letter alone.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import degrees

from simlab.errors import BadInput, SimlabFault
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.price import price
from simlab.frame.change import lettered
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.results.statics import Findings, Root, Statics
from simlab.results.wording import called, figures, listed
from simlab.results.working import Step, Words, Working
from simlab.working import effort
from simlab.working.algebra import Item
from simlab.working.balances import Balances
from simlab.working.chosen import CLOSE, awkwardness
from simlab.working.interactions import Interactions
from simlab.working.lettering import Lettering
from simlab.working.narrative import Narrative
from simlab.working.places import point_words
from simlab.working.reduction import reduction
from simlab.working.search import Chain, chains
from simlab.working.senses import argue
from simlab.working.steps import Solver
from simlab.working.survey import Candidate, Survey

MOST_STATES = 400  # of a search for one chain
MOST_TRIED = 60  # equations that may be the one left over
MOST_SOLVED = 5  # of those the ones that are worked through
# A little off the values found, equations that say the same there only can be told apart.
OFF = Quantity.of(Fraction(1009, 1008))
NEARLY = 1e-12  # of what a relation is a little off, where a letter was found to 30 figures only


@dataclass(frozen=True)
class Relation:
    """An equation left over, the chain to the forces in it, and what it says of the letter."""

    chain: Chain
    last: Candidate
    letter: Name
    effort: float = 0.0


class Sought:
    """The workings of the letters found in one state of a question."""

    def __init__(self, findings: Findings, state: Statics) -> None:
        self.findings = findings
        self.state = state
        frame, self.angles = lettered(_limited(findings.frame, state))
        values = {**frame.shown, **state.values, **self.angles}
        values |= {name: _off(findings.frame, root) for name, root in state.found.items()}
        self.values: Values = values
        self.known = dict(_given(findings.frame))
        self.frame = Interactions(replace(state, only_here=False), frame, values, self.known)
        self.reduction = reduction(self.frame, state)
        self.survey = Survey(self.frame, self.reduction)

    def question(self) -> list[Working]:
        """A working for each letter that was found, as far as there is one, in an order that works."""
        asked = {one.at: one for one in self.findings.frame.asked if one.at in self.state.found}
        left, known = list(self.state.found), list[Name]()
        found: list[Working] = []
        while left:
            for letter in left:
                plain = Asked(letter, "value", letter)
                one = self.working(letter, asked.get(letter, plain), known)
                if one is not None:
                    found.append(one)
                    known.append(letter)
                    left.remove(letter)
                    break
            else:
                break
        return found

    def working(self, letter: Name, asked: Asked, known: Sequence[Name] = ()) -> Working | None:
        """The working of one letter; `known` are letters worked out before."""
        for relation in self._relations(letter, known):
            return self._written(relation, asked)
        return None

    def _relations(self, letter: Name, known: Sequence[Name]) -> Iterator[Relation]:
        """The relations for a letter, those of least effort first."""
        others = set(self.state.found) - {letter, *known}
        cheapest = sorted(self._chained(letter, others), key=lambda pair: pair[0])[:MOST_SOLVED]
        priced = []
        for k, (cost, one) in enumerate(cheapest):
            whole = Chain((*one.chain.blocks, (one.last,)), (), 0.0)
            priced.append((cost + awkwardness(self.survey, whole), k, one))
        proper = []
        for cost, k, relation in sorted(priced):
            items = self._items(relation)
            left = self._sum(items)
            if not left.is_zero and left.depends_on(letter) and not any(map(left.depends_on, others)):
                reading = sum(price(self.frame.printed(item.coefficient).expr) for item in items)
                proper.append((cost + effort.AWKWARD * reading, k, relation))
        for cost, _, relation in sorted(proper):
            yield replace(relation, effort=cost)

    def _chained(self, letter: Name, others: Collection[Name]) -> list[tuple[float, Relation]]:
        """Equations that may be the one left over, each with its chain and what both cost.

        In a chain the letter itself is a burden; in the last equation it is not. `others` are letters that
        are not known yet: equations with them are left out.
        """
        dearer: list[tuple[float, Candidate]] = []  # cost as the last equation, candidate for a chain
        for one in self.survey.candidates:
            if any(self.survey.depends_on(one, other) for other in others):
                continue
            inside = self.survey.depends_on(one, letter)
            chained = replace(one, cost=one.cost + effort.LETTER_INSIDE) if inside else one
            dearer.append((one.cost, chained))
        found: list[tuple[float, Relation]] = []
        best = float("inf")
        for cost, last in dearer[:MOST_TRIED]:
            if cost >= best:
                break
            rest = [one for _, one in dearer if one is not last]
            chain: Chain | None = Chain((), (), 0.0)
            if last.unknowns:
                chain = next(chains(rest, last.unknowns, within=0.0, most=MOST_STATES), None)
            if chain is not None:
                found.append((chain.effort + cost, Relation(chain, last, letter)))
                best = min(best, chain.effort + cost + CLOSE)
        return found

    def _items(self, relation: Relation) -> list[Item]:
        """A relation with the forces of its chain put in."""
        lettering = Lettering(self.frame, self.reduction, self.survey.lines)
        solver = Solver(Balances(lettering))
        argue(relation.chain, lettering, solver)
        return solver.algebra.spread(solver.algebra.put_in(solver.items(relation.last), solver.values))

    def _sum(self, items: Sequence[Item]) -> Element:
        """What a relation leaves: nothing at the letter's value."""
        return sum((item.coefficient for item in items), self.frame.field.zero)

    # written out

    def _written(self, relation: Relation, asked: Asked) -> Working:
        lettering = Lettering(self.frame, self.reduction, self.survey.lines)
        chain = relation.chain
        arguments = argue(chain, lettering, Solver(Balances(lettering)))
        narrative = Narrative(lettering, Solver(Balances(lettering)), arguments)
        steps = list(narrative.steps(chain.blocks, chain.finds))
        root = self.state.found[relation.letter]
        self._prove(self._sum(self._items(relation)), root)
        last = narrative.left_over(relation.last)
        closing = [self._so(root)]
        closing += [self._limit(asked)] if asked.measure in ("least", "greatest") else []
        steps.append(replace(last, closing=tuple(closing)))
        return Working(
            self.state,
            asked.words,
            {},
            (*narrative.before(Chain((*chain.blocks, (relation.last,)), (), 0.0)), *self._before()),
            tuple(steps),
            Step((), (), ()),
            effort=relation.effort,
        )

    def _before(self) -> Iterator[Words]:
        """What is known of contacts at their limit, and of cords by their length."""
        for contact in self.frame.frame.contacts.values():
            point = point_words(contact.on.point)
            if contact.about_to == "lift":
                yield (f"On the point of lifting at {point}, nothing presses there.",)
        for given in self.findings.frame.given:
            if given.left.at in self.known:
                yield (f"It is given that the {given.left.words} is ", given.right, ".")
        for one in dict.fromkeys(one.size[0] for one in self.frame.all if one.size is not None):
            link = self.frame.frame.links.get(one)
            if link is not None and link.natural is not None and link.stiffness is not None:
                law = f"By Hooke's law the tension in {called(one)} is "
                extension = " times its extension, and its natural length is "
                yield (law, link.stiffness, extension, link.natural, ".")

    def _so(self, root: Root) -> Words:
        """'So tan θ = 1/3, and θ = 18.4°.'; 'So Q = 6.5 N.'"""
        left, right = root.equation
        symbol = self.findings.frame.symbols[root.of]
        letter = Quantity.symbol(root.of)
        value = figures(degrees(root.value)) + "°" if symbol.is_angle else figures(root.value)
        exact = root.exact
        if exact is not None and not exact.names and not symbol.is_angle and exact.decimal is not None:
            value = exact.decimal
        shown = value if symbol.is_angle else f"{value} {symbol.unit}".rstrip()
        if str(left) != root.of:
            return ("So ", left, " = ", right, ", and ", letter, f" = {shown}.")
        if not right.names and right.decimal is not None:
            return ("So ", letter, f" = {shown}.")
        return ("So ", left, " = ", right, f" = {shown}.")

    def _limit(self, asked: Asked) -> Words:
        """What happens at the least or greatest value."""
        which = 0 if asked.measure == "least" else 1
        limits = [
            limit for found in self.findings.ranges.get(asked.at, ()) for limit in found.limiting[which]
        ]
        does: dict[str, list[str]] = {}  # "slipping": ["A", "B"]
        for limit in dict.fromkeys(limits):
            what, _, where = limit.partition(" at ")
            does.setdefault(what, []).append(where)
        said = [f"{what} at {listed(where)}" if any(where) else what for what, where in does.items()]
        tail = f": it is then on the point of {listed(said)}" if said else ""
        return (f"This is the {asked.measure} value{tail}.",)

    def _prove(self, left: Element, root: Root) -> None:
        """The relation vanishes at the value that the solver found."""
        exact: Mapping[Name, Quantity] = {
            name: one.exact for name, one in self.state.found.items() if one.exact is not None
        }
        if len(exact) == len(self.state.found):
            expr = Quantity(left.expr()).at({**exact, **self.angles}).expr
            try:
                values = {n: q.expr for n, q in self.values.items() if n not in exact}
                is_zero = Field.containing([expr], values).element(expr).is_zero
            except BadInput:
                is_zero = self._is_small(left)
        else:
            is_zero = self._is_small(left)
        if not is_zero:
            raise SimlabFault(f"the relation for {root.of} does not hold at its value")

    def _is_small(self, left: Element) -> bool:
        """Whether it is nothing at letters that were found to 30 figures."""
        near = {name: root.near(self.findings.frame) for name, root in self.state.found.items()}
        there = Quantity(left.expr()).number({**self.values, **near})
        a_little_off = Quantity(left.expr()).number(self.values)
        return abs(there) <= NEARLY * abs(a_little_off)


def _off(frame: Frame, root: Root) -> Quantity:
    """A letter's value a little off the one found, which may be 0."""
    near = root.near(frame)
    if near.is_zero:
        return frame.symbols[root.of].shown / Quantity.of(997)
    return near * OFF


def _given(frame: Frame) -> Iterator[tuple[Name, Quantity]]:
    """The forces that the question gives: a normal reaction that is not 0, a tension or a thrust."""
    for given in frame.given:
        if given.relation == "=" and given.left.measure in ("normal", "tension"):
            if not given.right.is_zero:
                yield given.left.at, given.right
        elif given.relation == "=" and given.left.measure == "thrust":
            yield given.left.at, -given.right


def _limited(frame: Frame, state: Statics) -> Frame:
    """The question's frame with its contacts about to slip or lift as they are in one state."""
    bare = {
        given.left.at
        for given in frame.given
        if given.left.measure == "normal" and given.relation == "=" and given.right.is_zero
    }
    contacts = {}
    for name, contact in frame.contacts.items():
        there = state.frame.contacts[name]
        about_to = "lift" if name in bare else there.about_to
        contacts[name] = replace(contact, about_to=about_to, slips=there.slips)
    return replace(frame, contacts=contacts)
