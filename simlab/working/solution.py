"""A solved frame -> worked solutions of what its question asks, the one of least effort first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from simlab.errors import BadInput, SimlabFault
from simlab.exact.element import Element
from simlab.exact.field import Field
from simlab.exact.price import price
from simlab.frame.model import Name
from simlab.frame.quantity import FORCE, MOMENT, Quantity
from simlab.frame.question import Asked
from simlab.results.statics import Statics
from simlab.results.working import Letter, Step, Working
from simlab.working.balances import Balances
from simlab.working.chosen import OFFERED, completed, for_check, offered
from simlab.working.interactions import Interactions
from simlab.working.lettering import Lettering
from simlab.working.narrative import Narrative
from simlab.working.reduction import reduction
from simlab.working.search import Chain
from simlab.working.senses import argue
from simlab.working.steps import Solver
from simlab.working.survey import Candidate, Survey
from simlab.working.targets import targets

MOST_CHECKED = 8  # equations that are tried for the check


class Workings:
    """The workings of one solved frame, whatever is asked.

    Raises BadInput where the frame has no single answer: there is nothing to be worked.
    """

    def __init__(self, statics: Statics, by_symmetry: bool = True) -> None:
        if statics.verdict != "determined":
            raise BadInput(f"there is no working: {statics.advice}")
        self.statics = statics
        self.frame = Interactions(statics)
        self.reduction = reduction(self.frame, statics, by_symmetry)
        self.survey = Survey(self.frame, self.reduction)

    def of(
        self,
        asked: Asked,
        count: int = OFFERED,
        start: Sequence[Candidate] = (),
        allows: Callable[[Candidate], bool] = lambda candidate: True,
    ) -> Iterator[Working]:
        """The workings of one thing asked; `start`: equations that must be in them, `allows`: which may."""
        sought = targets(self.frame, self.reduction, asked)
        if not sought:
            return
        for chain in offered(self.survey, sought, count, start, allows):
            yield self.written(asked, chain, sought)

    def written(self, asked: Asked, chain: Chain, sought: Sequence[int]) -> Working:
        """A chain written out, with every other force and a check."""
        whole = completed(self.survey, chain)
        lettering = Lettering(self.frame, self.reduction, self.survey.lines)
        balances = Balances(lettering)
        arguments = argue(whole, lettering, Solver(balances))
        balances = Balances(lettering)
        narrative = Narrative(lettering, Solver(balances), arguments)
        count = len(chain.blocks)
        steps = tuple(narrative.steps(whole.blocks[:count], whole.finds[:count]))
        before = narrative.before(chain)
        answer = self._answer(asked, sought, lettering, balances)
        others = tuple(narrative.steps(whole.blocks[count:], whole.finds[count:]))
        values = narrative.solver.values
        letters = {letter.name: letter for letter in self._letters(narrative)}
        check = self._check(whole, balances, values)
        self._prove(lettering, values)
        return Working(
            self.statics, asked.words, letters, before, steps, answer, others, check, None, chain.effort
        )

    # what was asked

    def _answer(
        self, asked: Asked, sought: Sequence[int], lettering: Lettering, balances: Balances
    ) -> Step:
        """What was asked, put together from its components."""
        answer = self.statics.answers.get(asked.words)
        names = [lettering.names[unknown] for unknown in sought]
        if answer is None or len(names) < len(("X", "Y")):
            return Step((), (), tuple(names))
        return Step((), (), tuple(names))

    def _letters(self, narrative: Narrative) -> Iterator[Letter]:
        lettering, values = narrative.lettering, narrative.solver.values
        for unknown in self.reduction.free:
            name = lettering.names[unknown]
            if name not in values:
                continue
            line, side = narrative.seen(unknown)
            share = self.frame.unknowns[unknown].share
            part = share if share != "pull" else "tension" if lettering.sense(unknown).flip > 0 else "thrust"
            dim = MOMENT if share == "moment" else FORCE
            key = line.keys[0] if side > 0 else line.keys[1]
            yield Letter(
                name,
                line.what if share == "pull" else key or line.what,
                part,  # type: ignore[arg-type]
                lettering.words(line, side),
                lettering.sense_words(line, side),
                lettering.sense(unknown).argued,
                narrative.introduction(unknown),
                narrative.solver.balances.printed(values[name], dim),
            )

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
            put = solver.algebra.divided(solver.algebra.put_in(items, values))
            total = sum((item.coefficient for item in put), self.frame.field.zero)
            if not total.is_zero:
                raise SimlabFault(f"the check leaves {total!r}")
            cost = one.cost + sum(price(balances.printed(item.coefficient).expr) for item in put) / 10
            if best is None or cost < best[0]:
                equation = balances.equation(one)
                lines = (solver.algebra.raw(equation, None), solver.algebra.line(put))
                best = cost, Step((equation,), lines, ())
        return None if best is None else best[1]

    def _prove(self, lettering: Lettering, values: dict[Name, Element]) -> None:
        """Every letter's value against the force that the solver found."""
        forces = self.statics.case.forces
        for line in self.survey.lines:
            if line.unknown is None or line.turning:
                continue
            image = lettering.image(line.unknown)
            unknown = self.frame.unknowns[line.unknown]
            if unknown.share == "pull" and unknown.at in forces.tensions:
                name = None if image is None else lettering.names[image[0]]
                worked = (
                    self.frame.field.zero
                    if image is None or name is None
                    else values[name] * (image[1] * lettering.sense(image[0]).flip)
                )
                if not _equal(worked, forces.tensions[unknown.at], self.statics):
                    raise SimlabFault(f"the working of {unknown.at} is not what the solver found")


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


