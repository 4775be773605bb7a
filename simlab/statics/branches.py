"""How far a letter may go while the shape changes with it: along branches of shapes at rest.

A shape theta at rest for a value x of the letter, F(theta, x) = 0, stays one as x changes, until

    det dF/dtheta = 0                 (two such shapes meet: beyond x there are none, it gives way),
    theta is at an end of its range,  or something that must be positive (a tension, a root) is 0.

Between such values of x the answer is the same, and one trial decides it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from simlab.errors import BadInput
from simlab.exact.derivative import derivative
from simlab.exact.element import Element
from simlab.exact.ends import End, bound, in_order, joined
from simlab.exact.inequalities import determinant
from simlab.exact.solving import Solution, solutions
from simlab.frame.change import put as settled
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.statics.equations import Equations
from simlab.statics.equilibria import Regime, regimes, shapes
from simlab.statics.extents import Extent
from simlab.statics.limits import Limit, Limits
from simlab.statics.regimes import Ranges, agrees, start_in, within
from simlab.statics.roots import as_root, put, state_at

Mark = tuple[Solution, Limit]  # where the answer may change, and by what

GIVES_WAY = "giving way"


def moves_with(frame: Frame, values: Values, letter: Name) -> bool:
    """Whether the equations of the shape change with a letter."""
    (senses, *_) = Equations.senses_of(frame)
    (first,) = regimes(frame, values, {}, senses)
    return any(condition.depends_on(letter) for condition in first.conditions)


class Branches:
    """A frame with a letter that may go from some value to another, and letters of the shape."""

    def __init__(self, frame: Frame, values: Values, wanted: Sequence[Name], letter: Name) -> None:
        self.frame = frame
        self.values = values
        self.wanted = tuple(wanted)
        self.letter = letter
        self.ranges = {name: within(frame, name, values) for name in (*wanted, letter)}

    def extents(self) -> tuple[Extent, ...]:
        """Every stretch of the letter for which some shape is at rest, in order."""
        low, high = self.ranges[self.letter]
        first, last = bound(self.letter, low), None if high.is_infinite else bound(self.letter, high)
        marks = [(End(s, s.low[self.letter], s.high[self.letter]), limit) for s, limit in self._marks()]
        ends = [first, *in_order([end for end, _ in marks], self.letter, first, last)]
        ends = [self._belonging(end) for end in (ends if last is None else [*ends, last])]
        holds = [
            self._holds(start_in(end, ends[i + 1] if i + 1 < len(ends) else None, self._is_angle))
            for i, end in enumerate(ends[: len(ends) - (last is not None)])
        ]
        return tuple(
            Extent(start, end, (_limits(start, marks), () if end is None else _limits(end, marks)))
            for start, end in joined(ends, holds)
        )

    @property
    def _is_angle(self) -> bool:
        return self.frame.symbols[self.letter].is_angle

    def _holds(self, value: object) -> bool:
        """Whether some shape rests where the letter has a value."""
        there = settled(self.frame, {self.letter: Quantity(value, self._dim)})
        values = {name: known for name, known in self.values.items() if name != self.letter}
        states = (state_at(shape, values, roots) for roots, shape in shapes(there, values, self.wanted))
        return any(state is not None and state.rests for state in states)

    @property
    def _dim(self) -> tuple[int, int, int]:
        return self.frame.symbols[self.letter].shown.dim

    def _belonging(self, end: End) -> End:
        if end.is_bound:
            return replace(end, belongs=self._holds(end.number))
        roots = {name: as_root(self.frame, name, end.solution) for name in end.solution.low}
        state = state_at(put(self.frame, roots), self.values, roots)
        return replace(end, belongs=state is not None and state.rests)

    # where the answer may change

    def _marks(self) -> Iterator[Mark]:
        for senses in Equations.senses_of(self.frame):
            for regime in regimes(self.frame, self.values, self.ranges, senses):
                for value, limit in self._vanishing(regime):
                    if any(value.depends_on(name) for name in self.ranges):
                        found = _single([*regime.conditions, value], self.ranges)
                        yield from ((s, limit) for s in found if agrees(regime.positive, s))
        for name in self.wanted:
            for at in self.ranges[name]:
                if at.is_finite:
                    yield from self._at_end(name, at)

    def _vanishing(self, regime: Regime) -> Iterator[tuple[Element, Limit]]:
        """Functions at whose zeros a branch may end."""
        slopes = [[derivative(e, name) for name in self.wanted] for e in regime.conditions]
        yield determinant(slopes), Limit(self.letter, "shape", GIVES_WAY)
        for element in regime.positive:
            yield element, Limit(self.letter, "shape", GIVES_WAY)
        limits = Limits(regime.equations, regime.elimination)
        if limits.elimination.null_space:
            raise BadInput(
                f"the shape changes with {self.letter} and statics alone does not settle every force: how "
                f"far {self.letter} may go is not looked for. Give {' and '.join(self.wanted)} a value."
            )
        for marked in limits.cases():
            yield from ((inequality.constant, limit) for limit, inequality in marked)

    def _at_end(self, name: Name, at: object) -> Iterator[Mark]:
        """Where a letter of the shape is at an end of its range."""
        words = f"{Quantity.symbol(name).plain} at its limit"
        there = settled(self.frame, {name: Quantity(at, self.frame.symbols[name].shown.dim)})
        values = {other: known for other, known in self.values.items() if other != name}
        ranges = {other: ends for other, ends in self.ranges.items() if other != name}
        said = bound(name, at).solution
        try:
            found = [
                regime
                for senses in Equations.senses_of(there)
                for regime in regimes(there, values, ranges, senses)
            ]
        except BadInput:  # a member has shrunk to a point
            return
        for regime in found:
            for solution in _single(regime.conditions, ranges) if regime.conditions else ():
                if agrees(regime.positive, solution):
                    yield _with(solution, said), Limit(name, "shape", words)


def _single(equations: Sequence[Element], ranges: Ranges) -> tuple[Solution, ...]:
    """The solutions; none where they leave a letter free, so that nothing changes at one value of it."""
    try:
        return solutions(equations, ranges)
    except BadInput:
        return ()


def _with(solution: Solution, other: Solution) -> Solution:
    """One solution in the letters of both."""
    return Solution(
        {**solution.low, **other.low},
        {**solution.high, **other.high},
        {**solution.forms, **other.forms},
    )


def _limits(end: End, marks: Sequence[tuple[End, Limit]]) -> tuple[Limit, ...]:
    """What happens at an end: a force that is nothing says more than that the shape gives way."""
    here = [limit for at, limit in marks if at.low <= end.high and end.low <= at.high]
    said = [limit for limit in here if limit.kind != "shape"] or here
    return () if end.is_bound else tuple(dict.fromkeys(said))
