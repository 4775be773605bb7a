"""Linear inequalities whose coefficients depend on one letter: for which of its values they can hold.

    h_i(x) + sum_j G_ij(x) y_j >= 0   for all i, with some y

They can begin or cease to hold together only where s + 1 of them (s unknowns y) are in force at once,
so that a determinant vanishes, or at a pole. Between such places the answer does not change, and one
trial decides it, by the corners of the region of y.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import flint

from simlab.exact import ball
from simlab.exact.element import Element
from simlab.exact.elimination import eliminate
from simlab.exact.field import Field
from simlab.exact.generators import Generator, HalfTangent, Letter, Root
from simlab.exact.survey import value_of

BITS = 192  # of trials between special places: nothing is near to zero there
MOST_TOGETHER = 4000  # sets of inequalities looked at; a classroom frame has some dozens


@dataclass(frozen=True)
class Inequality:
    """constant + sum of coefficients * y >= 0; `name` is whose it is."""

    name: str
    constant: Element
    coefficients: Mapping[int, Element]


def essential(inequalities: Sequence[Inequality], field: Field) -> tuple[int, ...]:
    """The unknowns that are enough: others only repeat what these do to the inequalities.

    Where an unknown changes no inequality, or only as others together do, the region of y has no corner.
    """
    rows = [dict(inequality.coefficients) for inequality in inequalities]
    width = 1 + max((j for row in rows for j in row), default=-1)
    free = {next(iter(vector)) for vector in eliminate(field, rows, width).null_space}
    return tuple(j for j in range(width) if j not in free)


def together(
    inequalities: Sequence[Inequality], unknowns: Sequence[int]
) -> Iterator[tuple[tuple[int, ...], Element]]:
    """The sets of inequalities that may be in force at once, with the determinant that then vanishes."""
    for count, chosen in enumerate(combinations(range(len(inequalities)), len(unknowns) + 1)):
        if count == MOST_TOGETHER:
            return
        rows = [[inequalities[i].constant, *(_at(inequalities[i], j) for j in unknowns)] for i in chosen]
        value = determinant(rows)
        if not value.is_zero:
            yield chosen, value


def _at(inequality: Inequality, j: int) -> Element:
    return inequality.coefficients.get(j, inequality.constant.field.zero)


def determinant(rows: Sequence[Sequence[Element]]) -> Element:
    """The determinant of a small matrix, by its first row."""
    first, *others = rows
    if not others:
        return first[0]
    total = first[0].field.zero
    for j, entry in enumerate(first):
        if not entry.is_zero:
            minor = determinant([[*row[:j], *row[j + 1 :]] for row in others])
            total = total + entry * minor if j % 2 == 0 else total - entry * minor
    return total


class Trial:
    """The inequalities in numbers, at a point where the letters have values other than the field's."""

    def __init__(
        self,
        inequalities: Sequence[Inequality],
        unknowns: Sequence[int],
        point: Mapping[int, Sequence[ball.Ball]],
    ) -> None:
        self.count = len(unknowns)
        self.constants = [_number(q.constant, point) for q in inequalities]
        self.rows = [[_number(_at(q, j), point) for j in unknowns] for q in inequalities]

    @property
    def holds(self) -> bool:
        """Whether some y satisfies them all."""
        return next(self.corners(), None) is not None

    def corners(self) -> Iterator[tuple[int, ...]]:
        """The corners of the region of y, each by the inequalities in force there."""
        for chosen in combinations(range(len(self.rows)), self.count):
            corner = self._corner(chosen)
            if corner is not None and not any(value < 0 for value in self.slacks(corner, chosen)):
                yield chosen

    def _corner(self, chosen: tuple[int, ...]) -> list[ball.Ball] | None:
        if not self.count:
            return []
        matrix = flint.arb_mat([self.rows[i] for i in chosen])
        right = flint.arb_mat([[-self.constants[i]] for i in chosen])
        try:
            solved = matrix.solve(right)
        except ZeroDivisionError:
            return None
        return [solved[j, 0] for j in range(self.count)]

    def slacks(self, corner: Sequence[ball.Ball], but: tuple[int, ...] = ()) -> list[ball.Ball]:
        """By how much each inequality holds at a corner; those in force are left out."""
        return [
            sum((g * y for g, y in zip(row, corner, strict=True)), constant)
            for i, (row, constant) in enumerate(zip(self.rows, self.constants, strict=True))
            if i not in but
        ]

    def in_force(self) -> frozenset[int]:
        """All inequalities that are in force at some corner of the region, none of the others failing.

        Where the region is one corner only, they are what limits.
        """
        found: set[int] = set()
        for chosen in combinations(range(len(self.rows)), self.count):
            corner = self._corner(chosen)
            if corner is None:
                continue
            slacks = self.slacks(corner)
            if not any(value < 0 for value in slacks):
                found |= {i for i, value in enumerate(slacks) if not value > 0}
        return frozenset(found)


def can_hold(inequalities: Sequence[Inequality]) -> bool:
    """Whether some y satisfies them all at the field's values."""
    field = max((q.constant.field for q in inequalities), key=lambda field: field.depth)
    with flint.ctx.workprec(BITS):
        return Trial(inequalities, essential(inequalities, field), points(field, {})).holds


def _number(element: Element, point: Mapping[int, Sequence[ball.Ball]]) -> ball.Ball:
    balls = point[element.field.depth]
    return ball.polynomial(element.num, balls) / ball.polynomial(element.den, balls)


def points(field: Field, values: Mapping[str, ball.Ball]) -> dict[int, tuple[ball.Ball, ...]]:
    """The balls of the generators of a field and of all narrower ones where some letters have other values.

    A root that is not real there gives no number, and nothing is said of what has it.
    """
    below = {} if field.narrower is None else points(field.narrower, values)
    inner = () if field.narrower is None else below[field.narrower.depth]
    own = field.generators[: len(field.generators) - len(inner)]
    return {**below, field.depth: (*(_ball(field, g, values, inner) for g in own), *inner)}


def _ball(
    field: Field, generator: Generator, values: Mapping[str, ball.Ball], inner: Sequence[ball.Ball]
) -> ball.Ball:
    match generator:
        case Root(radicand=radicand):
            return ball.polynomial(radicand.num, inner).sqrt()
        case HalfTangent(symbol=symbol, denominator=denominator) if str(symbol) in values:
            return (values[str(symbol)] / (2 * denominator)).tan()
        case Letter(name=name) if name in values:
            return values[name]
    return ball.constant(value_of(generator, field.values))
