"""The equations of a shape to be found, and all shapes that solve them.

With the letters kept as letters, elimination leaves what the loads do on every motion still left,

    R_i(letters) = 0,

and with what the question says besides, these are the equations of the shape. They are set up in every
regime (`statics.regimes`) and solved exactly. Where something that elimination divided by is zero, other
motions are left (a bead straight under its spring): such places are cases of their own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

from simlab.errors import BadInput
from simlab.exact.element import Element
from simlab.exact.elimination import Elimination
from simlab.exact.polynomial import factorised
from simlab.exact.solving import Solution, solutions
from simlab.frame.model import Frame, Name, Values
from simlab.results.statics import Root
from simlab.statics.equations import Equations
from simlab.statics.measures import measured
from simlab.statics.regimes import Ranges, agrees, explored, within
from simlab.statics.roots import as_root, put


@dataclass(frozen=True)
class Regime:
    """The equations of a frame at some values of the letters to be found.

    conditions : what must vanish in a shape at rest
    positive : what is positive for these to be the equations
    """

    equations: Equations
    elimination: Elimination
    conditions: tuple[Element, ...]
    positive: tuple[Element, ...]

    def special(self, ranges: Ranges) -> Iterator[tuple[Element, ...]]:
        """What must vanish where something does that elimination divided by: for each such choice."""
        return _special(self.equations, self.elimination, ranges, ())


def regimes(frame: Frame, values: Values, ranges: Ranges, senses: Mapping[Name, int]) -> list[Regime]:
    """Every regime within the ranges of the letters, that at the values first."""
    return explored(frame, ranges, lambda start: _regime(frame, {**values, **start}, senses))


def _regime(frame: Frame, values: Values, senses: Mapping[Name, int]) -> Regime:
    equations = Equations(frame, values, senses=senses)
    elimination = equations.eliminated()
    found = tuple(conditions(equations, elimination))
    positive = [*equations.regime, *(e for condition in found for e in condition.field.assumptions)]
    return Regime(equations, elimination, found, tuple(dict.fromkeys(positive)))


def _special(
    equations: Equations, found: Elimination, ranges: Ranges, zero: tuple[Element, ...]
) -> Iterator[tuple[Element, ...]]:
    """What must vanish where pivots do, one of them for each letter at most."""
    if len(zero) == len(ranges):
        return
    for factor in divisors(found, ranges):
        if any(str(factor) <= str(other) for other in zero):
            continue  # another order of the same
        here = (*zero, factor)
        there = equations.eliminated(here)
        with suppress(BadInput):  # what the question says of a force is not settled there
            yield (*here, *conditions(equations, there))
        yield from _special(equations, there, ranges, here)


def divisors(found: Elimination, ranges: Ranges) -> list[Element]:
    """The irreducible polynomials that elimination divided by, as far as letters can make them zero."""
    factors: dict[str, Element] = {}
    for pivot in found.pivots:
        one = pivot.field.one.num
        for poly, _ in factorised(pivot.num)[1]:
            factor = pivot.field.fraction(poly, one)
            factors[str(factor)] = factor
    return [factors[key] for key in sorted(factors) if _may_vanish(factors[key], ranges)]


def _may_vanish(factor: Element, ranges: Ranges) -> bool:
    """Whether letters in their ranges can make it zero; taken for granted where it has several of them."""
    names = [name for name in ranges if factor.depends_on(name)]
    return len(names) > 1 or bool(names and solutions([factor], {names[0]: ranges[names[0]]}))


def shapes(
    frame: Frame, values: Values, wanted: Sequence[Name]
) -> Iterator[tuple[Mapping[Name, Root], Frame]]:
    """Every frame with the letters found put into it, for each way in which limiting friction may act.

    Raises BadInput where nothing settles a letter.
    """
    seen: list[Solution] = []
    for senses in Equations.senses_of(frame):
        found = _solutions(frame, values, wanted, senses)
        for solution in sorted(found, key=lambda s: [s.low[name] for name in wanted]):
            if any(_same(solution, other) for other in seen):
                continue
            seen.append(solution)
            roots = {name: as_root(frame, name, solution) for name in wanted}
            yield roots, put(frame, roots)


def _solutions(
    frame: Frame, values: Values, wanted: Sequence[Name], senses: Mapping[Name, int]
) -> Iterator[Solution]:
    """The solutions in every regime, each found by the equations of its own."""
    ranges = {name: within(frame, name, values) for name in wanted}
    open_to: list[Name] = []  # letters that some regime leaves open
    settled = False
    for regime in regimes(frame, values, ranges, senses):
        for case in (regime.conditions, *regime.special(ranges)):
            if not all(any(condition.depends_on(name) for name in wanted) for condition in case):
                continue  # a condition that none of these letters can meet
            unsettled = [n for n in wanted if not any(c.depends_on(n) for c in case)]
            open_to += unsettled if case is regime.conditions else []
            for solution in () if unsettled else solutions(case, ranges):
                if agrees(regime.positive, solution):
                    settled = True
                    yield solution
    if open_to and not settled:
        raise BadInput(
            f"nothing settles the letter {open_to[0]}: the frame rests for any value of it. "
            f'Ask for "range of {open_to[0]}", or give it a value.'
        )


def conditions(equations: Equations, found: Elimination) -> Iterator[Element]:
    """What must vanish: the loads' work on every motion left, and what the question says."""
    for _, left in sorted(equations.summed(found.residues).items()):
        if not left.is_zero:
            yield left
    yield from _said(equations, found)


def _said(equations: Equations, found: Elimination) -> Iterator[Element]:
    """What the question says besides, as left - right."""
    forces = equations.summed(found.solutions)
    for given in equations.frame.given:
        if given.relation != "=":
            continue
        total = -equations.element(given.right)
        if given.left.measure == "value" and given.left.value is not None:
            yield total + equations.element(given.left.value)
            continue
        row = measured(equations, given.left)
        if not all(found.is_determined(j) for j in row):
            raise BadInput(f'"{given.words}": statics does not settle the {given.left.words} here.')
        yield sum((factor * forces[j] for j, factor in row.items() if j in forces), total)


def _same(one: Solution, other: Solution) -> bool:
    return all(one.low[n] <= other.high[n] and other.low[n] <= one.high[n] for n in one.low)
