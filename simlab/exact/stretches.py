"""Where on the range of one letter a set of inequalities can hold together, with exact ends.

One trial decides for a value of the letter, and says why: by a corner of the region of y, whose slacks are
functions of the letter, or by inequalities that contradict each other, with factors that are functions
of it (Farkas' lemma). The answer stays the same as far as the signs of these functions do; beyond their
next zeros another trial decides. At the zeros themselves the inequalities are looked at exactly there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

import flint
import sympy as sp

from simlab.errors import SimlabFault
from simlab.exact.element import Element
from simlab.exact.elsewhere import BITS, between, points
from simlab.exact.ends import End, half_turns, in_order, joined, zeros
from simlab.exact.field import Field
from simlab.exact.generators import Root
from simlab.exact.inequalities import Inequality, coefficient, determinant, programme, widest
from simlab.exact.programme import Conflict, Corner, Programme
from simlab.exact.solving import Solution

SHARES = tuple(Fraction(n, 32) for n in (15, 19, 11, 22, 9, 25, 5, 29))  # of a gap, where a trial is made


@dataclass(frozen=True)
class Stretch:
    """Values of the letter from one end to the other; `high` is None where the range has no upper end."""

    low: End
    high: End | None


At = Callable[[Solution], Sequence[Inequality] | None]


def stretches(
    inequalities: Sequence[Inequality],
    letter: str,
    low: End,
    high: End | None,
    poles: Iterable[Element],
    at: At,
) -> tuple[Stretch, ...]:
    """All stretches of low <= letter <= high on which some y satisfies all inequalities.

    A stretch may be a single value. Where one of `poles` is zero the inequalities have another form, and
    `at` gives it for such a value of the letter: None if they cannot hold.
    """
    with flint.ctx.workprec(BITS):
        return tuple(_Range(inequalities, letter, low, high, poles, at).stretches())


@dataclass(frozen=True)
class _Gap:
    """Values between two ends, and the trial that decides for all of them; None if there is no frame."""

    low: End
    high: End | None
    here: Programme | None
    found: Corner | Conflict | None

    @property
    def holds(self) -> bool:
        """Whether the inequalities can hold there."""
        return isinstance(self.found, Corner)

    @cached_property
    def in_force(self) -> frozenset[int]:
        """The inequalities in force throughout."""
        if self.here is None or not isinstance(self.found, Corner):
            return frozenset()
        return self.here.in_force(self.found)


class _Range:
    """The range of a letter, cut where the answer may change."""

    def __init__(
        self,
        inequalities: Sequence[Inequality],
        letter: str,
        low: End,
        high: End | None,
        poles: Iterable[Element],
        at: At,
    ) -> None:
        self.inequalities = inequalities
        self.letter = letter
        self.within = low.number, sp.oo if high is None else high.number
        self.at = at
        self.field = widest(inequalities)
        self.ends: dict[str, list[End]] = {}  # by the function that is zero at them
        self.low = low
        self.high = high
        self.poles = [end for e in poles for end in self._zeros(e)]
        self.roots = [end for e in _radicands(self.field) for end in self._zeros(e)]

    def _zeros(self, element: Element) -> list[End]:
        """The places in the range where the numerator of an element is zero."""
        if element.is_zero or not element.numerator.depends_on(self.letter):
            return []
        key = str(element.num)
        if key not in self.ends:
            self.ends[key] = zeros(element, self.letter, self.within)
        return self.ends[key]

    def _gaps(self, low: End, high: End | None) -> list[_Gap]:
        """The values between two ends, with a trial for each part where the answer is the same."""
        value, gap, watched = self._tried(low, high)
        inside = in_order(watched, self.letter, low, high)
        below = max((end for end in inside if end.high < value), key=lambda end: end.high, default=low)
        above = min((end for end in inside if value < end.low), key=lambda end: end.low, default=high)
        gaps = [replace(gap, low=below, high=above)]
        if below is not low:
            gaps = [*self._gaps(low, below), *gaps]
        if above is not high and above is not None:
            gaps = [*gaps, *self._gaps(above, high)]
        return gaps

    def _tried(self, low: End, high: End | None) -> tuple[Fraction, _Gap, list[End]]:
        """A trial between two ends: where, what it says, and where the functions that decide are zero."""
        for share in SHARES:
            width = max(abs(low.high), Fraction(1)) if high is None else high.low - low.high
            value = low.high + share * width
            here = self._programme(value, value)
            gap = _Gap(low, high, here, None if here is None else here.decided())
            watched = list(self._watched(gap))
            if not any(end.low <= value <= end.high for end in watched):
                return value, gap, watched
        raise SimlabFault(f"no value of {self.letter} near {float(low.high)} is free of special cases")

    def _programme(self, low: Fraction, high: Fraction) -> Programme | None:
        """The inequalities where the letter lies between two values; None where a root is not real."""
        point = points(self.field, {self.letter: between(low, high)})
        here = programme(self.inequalities, point)
        return here if here.is_finite else None

    def _watched(self, gap: _Gap) -> Iterator[End]:
        """Where the functions are zero on whose signs a trial depends."""
        if gap.here is None or gap.found is None:
            return
        chosen, columns = gap.found.rows, gap.here.columns
        if isinstance(gap.found, Corner):
            yield from self._zeros(self._minor(chosen, columns))
            for i in range(len(self.inequalities)):
                if i not in chosen:
                    yield from self._zeros(self._minor([*chosen, i], columns, bordered=True))
        else:
            yield from self._zeros(self._minor(chosen, columns, bordered=True))
            for i in chosen:
                yield from self._zeros(self._minor([k for k in chosen if k != i], columns))

    def _minor(self, chosen: Sequence[int], columns: Sequence[int], bordered: bool = False) -> Element:
        """The determinant of the coefficients of some inequalities, with their constants if bordered."""
        rows = [
            [*([self.inequalities[i].constant] if bordered else []), *(self._entry(i, j) for j in columns)]
            for i in chosen
        ]
        return determinant(rows) if rows else self.field.one

    def _entry(self, i: int, j: int) -> Element:
        return coefficient(self.inequalities[i], j)

    def stretches(self) -> Iterator[Stretch]:
        """The gaps that hold, joined where the values between them hold too."""
        gaps: list[_Gap] = []
        turns = half_turns(self.field, self.letter, self.low, self.high)
        cuts = in_order([*turns, *self.poles, *self.roots], self.letter, self.low, self.high)
        for low, high in zip([self.low, *cuts], [*cuts, self.high], strict=True):
            if high is None or low.high < high.low:
                gaps += self._gaps(low, high)
        ends = [self.low, *(gap.high for gap in gaps if gap.high is not None)]
        marked = [self._marked(end, gaps[max(i - 1, 0) : i + 1]) for i, end in enumerate(ends)]
        yield from (Stretch(*pair) for pair in joined(marked, [gap.holds for gap in gaps]))

    def _marked(self, end: End, beside: Sequence[_Gap]) -> End:
        """An end with what is in force there, if they can hold there at all."""
        here = self._exactly_at(end)
        found = None if here is None else here.decided()
        if here is None or not isinstance(found, Corner):
            return replace(end, belongs=False)
        return replace(end, in_force=here.in_force(found).difference(*(gap.in_force for gap in beside)))

    def _exactly_at(self, end: End) -> Programme | None:
        at_pole = any(end.low <= pole.high and pole.low <= end.high for pole in self.poles)
        here = None if at_pole else self._programme(end.low, end.high)
        if here is not None:
            return here
        inequalities = self.at(end.solution)
        return None if inequalities is None else programme(inequalities, points(widest(inequalities), {}))


def _radicands(field: Field) -> list[Element]:
    """What must not be negative for the elements of a field to be real."""
    return [generator.radicand for generator in field.generators if isinstance(generator, Root)]
