"""A solved frame -> worked solutions of what its question asks, the one of least effort first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from simlab.errors import BadInput, SimlabFault
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.price import price
from simlab.frame.model import GROUND, Name
from simlab.frame.quantity import FORCE, MOMENT, Quantity
from simlab.frame.question import Asked
from simlab.results.forces import Key
from simlab.results.statics import Statics
from simlab.results.working import Component, Letter, Part, Step, Working
from simlab.working.balances import Balances
from simlab.working.chosen import OFFERED, completed, for_check, offered
from simlab.working.interactions import Interactions
from simlab.working.lettering import Lettering
from simlab.working.lines import Acting
from simlab.working.narrative import Narrative
from simlab.working.parts import Nodes, in_words
from simlab.working.reduction import reduction
from simlab.working.search import Chain, rank
from simlab.working.senses import argue
from simlab.working.steps import Solver
from simlab.working.survey import Candidate, Survey
from simlab.working.targets import is_nothing, targets

MOST_CHECKED = 8  # equations that are tried for the check


class Workings:
    """The workings of one solved frame, whatever is asked.

    Raises BadInput where the frame has no single answer: there is nothing to be worked.
    """

    def __init__(self, statics: Statics, by_symmetry: bool = True) -> None:
        if statics.verdict != "determined":
            raise BadInput(f"there is no working: {statics.advice}")
        self.statics = statics
        self._look(Interactions(statics), by_symmetry)
        if not self._is_decided():  # tensions that follow from a length are needed
            self._look(Interactions(statics, by_law=True), by_symmetry)

    def _look(self, frame: Interactions, by_symmetry: bool) -> None:
        self.frame = frame
        self.reduction = reduction(frame, self.statics, by_symmetry)
        self.survey = Survey(frame, self.reduction)

    def _is_decided(self) -> bool:
        """Whether the balances alone give every unknown."""
        elastic = any(link.natural is not None for link in self.statics.frame.links.values())
        return not elastic or rank(self.survey.candidates) == len(self.reduction.free)

    def chains(
        self,
        asked: Asked,
        count: int = OFFERED,
        start: Sequence[Candidate] = (),
        allows: Callable[[Candidate], bool] | None = None,
        known: Sequence[int] = (),
    ) -> list[Chain]:
        """The chains of least effort to one thing asked.

        `start`: equations that must be in them, `allows`: which may, `known`: unknowns found already.
        """
        sought = targets(self.frame, self.reduction, asked)
        if not sought:
            nil = is_nothing(self.frame, self.reduction, asked)
            return [Chain((), (), 0.0)] if nil else []
        if set(sought) <= set(known):
            return [Chain((), (), 0.0)]
        return offered(self.survey, sought, count, start, allows, known)

    def of(self, asked: Asked, count: int = OFFERED, others: bool = True) -> Iterator[Working]:
        """The workings of one thing asked, the one of least effort first.

        `others`: with every other force, and a check.
        """
        for chain in self.chains(asked, count):
            yield from self.written([(asked, chain)], others)

    def question(self) -> tuple[Working, ...]:
        """One working for each thing asked, each going on from what has been found before."""
        known: list[int] = []
        found = []
        for asked in self.statics.frame.asked:
            some = self.chains(asked, 1, known=known)
            if some:
                found.append((asked, some[0]))
                known += [unknown for finds in some[0].finds for unknown in finds]
        return self.written(found)

    def written(self, told: Sequence[tuple[Asked, Chain]], others: bool = True) -> tuple[Working, ...]:
        """Chains written out one after another; with the last, every other force and a check."""
        blocks = tuple(block for _, chain in told for block in chain.blocks)
        finds = tuple(some for _, chain in told for some in chain.finds)
        whole = Chain(blocks, finds, 0.0)
        whole = completed(self.survey, whole) if others else whole
        lettering = Lettering(self.frame, self.reduction, self.survey.lines)
        arguments = argue(whole, lettering, Solver(Balances(lettering)))
        balances = Balances(lettering)
        narrative = Narrative(lettering, Solver(balances), arguments)
        nil = any(is_nothing(self.frame, self.reduction, asked) for asked, _ in told)
        before = narrative.before(Chain(blocks, finds, 0.0), nil)
        parts = [tuple(narrative.steps(chain.blocks, chain.finds)) for _, chain in told]
        further = tuple(narrative.steps(whole.blocks[len(blocks) :], whole.finds[len(blocks) :]))
        values = narrative.solver.values
        letters = {letter.name: letter for letter in self._letters(narrative, values)}
        check = self._check(whole, balances, values) if others else None
        self._prove(lettering, values)
        return tuple(
            Working(
                self.statics,
                asked.words,
                letters,
                before if asked is told[0][0] else (),
                steps,
                self._answer(asked, lettering),
                further if asked is told[-1][0] else (),
                check if asked is told[-1][0] else None,
                None,
                chain.effort,
            )
            for (asked, chain), steps in zip(told, parts, strict=True)
        )

    def _answer(self, asked: Asked, lettering: Lettering) -> Step:
        """The letters of what was asked."""
        sought = targets(self.frame, self.reduction, asked)
        return Step((), (), tuple(lettering.names[unknown] for unknown in sought))

    def _letters(self, narrative: Narrative, values: Mapping[Name, Element]) -> Iterator[Letter]:
        lettering = narrative.lettering
        for unknown in self.reduction.free:
            name = lettering.names[unknown]
            if name not in values:
                continue
            line, side = narrative.seen(unknown)
            share = self.frame.unknowns[unknown].share
            part: Component
            if share == "pull":
                part = "tension" if lettering.sense(unknown).flip > 0 else "thrust"
            else:
                part = share
            dim = MOMENT if share == "moment" else FORCE
            place = line.first if side > 0 or line.second is None else line.second
            yield Letter(
                name,
                line.what if share == "pull" else line.keys[0] or line.what,
                part,
                lettering.words(line, side),
                lettering.sense_words(line, side),
                lettering.sense(unknown).argued,
                narrative.introduction(unknown),
                narrative.solver.balances.printed(values[name], dim),
                place.body,
            )

    # single equations

    def letters(self) -> dict[int, Name]:
        """The letter of every unknown left."""
        names = Lettering(self.frame, self.reduction, self.survey.lines).names
        return {unknown: Quantity.symbol(name).plain for unknown, name in names.items()}

    def said(self, one: Candidate) -> str:
        """An equation in words: "CB about C", "the whole frame vertically"."""
        about = "about " if one.method == "moments" else ""
        return f"{in_words(self.frame, one.part)} {about}{one.place.words}"

    def lone(self, one: Candidate) -> Working:
        """One equation written out by itself, with every letter's value."""
        narrative = self._everything()
        lettering = narrative.lettering
        teller = Narrative(lettering, Solver(Balances(lettering)), {})
        step = teller.lone(one)
        letters = {letter.name: letter for letter in self._letters(teller, narrative.solver.values)}
        return Working(self.statics, "", letters, (), (step,), Step((), (), ()))

    def apart(self, groups: Sequence[Nodes] = ()) -> tuple[tuple[Part, ...], dict[Name, Letter]]:
        """The frame taken apart, or some parts of it, with the letters of all its forces."""
        narrative = self._everything()
        letters = {letter.name: letter for letter in self._letters(narrative, narrative.solver.values)}
        nodes = groups or [frozenset((node,)) for node in self.frame.nodes]
        return tuple(narrative.solver.balances.part(group) for group in nodes), letters

    def _everything(self) -> Narrative:
        """The whole frame worked, so that every letter has its sense and its value."""
        whole = completed(self.survey, Chain((), (), 0.0))
        lettering = Lettering(self.frame, self.reduction, self.survey.lines)
        arguments = argue(whole, lettering, Solver(Balances(lettering)))
        narrative = Narrative(lettering, Solver(Balances(lettering)), arguments)
        list(narrative.steps(whole.blocks, whole.finds))
        return narrative

    @staticmethod
    def rank(equations: Sequence[Candidate]) -> int:
        """How many of some equations are independent."""
        return rank(equations)

    # checks

    def _check(self, chain: Chain, balances: Balances, values: dict[Name, Element]) -> Step | None:
        """The plainest equation not used before, with every value put in."""
        best: tuple[float, Step] | None = None
        for one in for_check(self.survey, chain.equations)[:MOST_CHECKED]:
            solver = Solver(balances)
            solver.values = values
            items = solver.items(one)
            if any(item.letter is not None and item.letter not in values for item in items):
                continue
            put = solver.algebra.put_in(items, values)
            total = sum((item.coefficient for item in put), self.frame.field.zero)
            if not total.is_zero:
                raise SimlabFault(f"the check leaves {total!r}")
            equation = balances.equation(one)
            raw = solver.algebra.raw(equation, None)
            try:
                line, common = solver.algebra.worked(raw, values)
            except BadInput:
                continue  # a product with a root that has no place in the field
            cost = one.cost + sum(price(p.value.expr) for p in (*line.left, *line.right)) / 10
            if best is None or cost < best[0]:
                note = () if common == 1 else ("divided by ", Quantity(common))
                best = cost, Step((equation,), (raw, replace(line, note=note)), ())
        return None if best is None else best[1]

    def _sides(self, line: Acting) -> Iterator[tuple[int, Key]]:
        """The reactions that a line of action is part of, and on which side of it each is."""
        for side, key in zip((1, -1), line.keys, strict=True):
            place = line.first if side > 0 else line.second
            on_ground = place is None or place.body == GROUND  # other stretches of a cord may end there
            if key is None or on_ground or key not in self.statics.case.forces.reactions:
                continue
            if key.on in self.frame.light:  # of a light rod the keys say what acts on the rod itself
                yield -side, key
            elif side > 0 or key != line.keys[0]:
                yield side, key

    def _prove(self, lettering: Lettering, values: Mapping[Name, Element]) -> None:
        """Every reaction put together from its letters, against the force that the solver found.

        Raises SimlabFault where they differ.
        """
        forces = self.statics.case.forces
        sums: dict[Key, list[Element]] = {}
        open_keys: set[Key] = set()
        zero = self.frame.field.zero
        for line in self.survey.lines:
            if line.unknown is None or line.turning:
                continue
            image = lettering.image(line.unknown)
            name = None if image is None else lettering.names[image[0]]
            for side, key in self._sides(line):
                total = sums.setdefault(key, [zero, zero])
                if name is not None and name not in values:
                    open_keys.add(key)
                elif name is not None:
                    (x, y), _ = lettering.way(line, side)
                    size = values[name]
                    if line.factor is not None:
                        size = size * self.frame.element(line.factor)
                    total[0], total[1] = total[0] + size * x, total[1] + size * y
        for key, (x, y) in sums.items():
            force = forces.reactions[key].force
            if key not in open_keys and not (
                _equal(x, force[0], self.statics) and _equal(y, force[1], self.statics)
            ):
                raise SimlabFault(f"the working's force {key} is not what the solver found")


def _equal(worked: Element, solved: Quantity, statics: Statics) -> bool:
    exprs = [worked.expr(), solved.expr]
    field = Field.containing(exprs, {name: value.expr for name, value in statics.values.items()})
    return (field.element(exprs[0]) - field.element(exprs[1])).is_zero


def workings(statics: Statics, asked: str, count: int = OFFERED) -> tuple[Working, ...]:
    """The worked solutions of least effort of one thing that a question asks.

    >>> from simlab.frame.scene import read_scene
    >>> from simlab.statics.solution import solve
    >>> best, *_ = workings(solve(read_scene("scenes/stall_trestle.toml")), "tension in rope")
    >>> [equation.part.words for equation in best.equations]
    ['the whole frame', 'CB']
    """
    one = next(a for a in statics.frame.asked if a.words == asked)
    return tuple(Workings(statics).of(one, count))
