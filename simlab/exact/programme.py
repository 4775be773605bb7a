"""A linear programme in balls: whether inequalities hold together, and how small a sum can be.

    constants + rows @ y >= 0

Steps lead from corner to corner, always by the first inequality that will do, and so never in a circle
(Bland, New finite pivoting rules for the simplex method, Mathematics of Operations Research 2, 1977).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import flint

from simlab.exact.ball import Ball


@dataclass(frozen=True)
class Corner:
    """A point at which all hold: the inequalities in force that settle it, and y over the columns."""

    rows: tuple[int, ...]
    y: tuple[Ball, ...]


@dataclass(frozen=True)
class Conflict:
    """Inequalities that contradict each other: with factors above 0 they add up to less than 0."""

    rows: tuple[int, ...]


class Programme:
    """Inequalities over unknowns y of either sign.

    columns : the unknowns that are enough; the others change nothing, or only what these change too, and
        count as 0
    """

    def __init__(self, rows: Sequence[Sequence[Ball]], constants: Sequence[Ball]) -> None:
        self._whole = rows
        self.constants = constants
        self._first, self.columns = _independent(rows)
        self.rows = [[row[j] for j in self.columns] for row in rows]

    @property
    def is_finite(self) -> bool:
        """Whether all are numbers: no entry has a pole here, and no root is of something negative."""
        entries = [*self.constants, *(entry for row in self._whole for entry in row)]
        return all(entry.is_finite() for entry in entries)

    def decided(self) -> Corner | Conflict:
        """A corner of the region, or why it has none (the dual simplex method, without an aim)."""
        basis = self._first
        while True:
            corner = Corner(basis, self._corner(basis))
            failing = (i for i in range(len(self.rows)) if i not in basis and self.slack(i, corner) < 0)
            entering = next(failing, None)
            if entering is None:
                return corner
            shares = self._shares(self.rows[entering], basis)
            leaving = next((i for i, share in zip(basis, shares, strict=True) if share > 0), None)
            if leaving is None:
                return Conflict(tuple(sorted((*basis, entering))))
            basis = _swapped(basis, leaving, entering)

    def least(self, cost: Sequence[Ball], start: Corner) -> Corner | None:
        """The corner where the sum of cost * y is least, from one to start at; None if it has no least.

        cost : over all unknowns, not only `columns`
        """
        corner = start
        aim = [cost[j] for j in self.columns]
        if not self._is_in_rows(cost, corner.rows):
            return None
        while True:
            shares = self._shares(aim, corner.rows)
            leaving = next((k for k, share in enumerate(shares) if share < 0), None)
            if leaving is None:
                return corner
            entering = self._met(corner, leaving)
            if entering is None:
                return None
            basis = _swapped(corner.rows, corner.rows[leaving], entering)
            corner = Corner(basis, self._corner(basis))

    def in_force(self, start: Corner) -> frozenset[int]:
        """The inequalities that are in force at every point of the region."""
        found = set()
        for i, row in enumerate(self._whole):
            most = self.least([-entry for entry in row], start)
            if most is not None and not self.slack(i, most) > 0:
                found.add(i)
        return frozenset(found)

    def slack(self, i: int, corner: Corner) -> Ball:
        """By how much an inequality holds at a corner."""
        return flint.arb(0) if i in corner.rows else self.constants[i] + _dot(self.rows[i], corner.y)

    def _corner(self, basis: tuple[int, ...]) -> tuple[Ball, ...]:
        return _solved([self.rows[i] for i in basis], [-self.constants[i] for i in basis])

    def _shares(self, row: Sequence[Ball], basis: tuple[int, ...]) -> tuple[Ball, ...]:
        """The factors with which the rows of the basis add up to a row."""
        return _solved([[self.rows[i][k] for i in basis] for k in range(len(basis))], row)

    def _is_in_rows(self, cost: Sequence[Ball], basis: tuple[int, ...]) -> bool:
        """Whether a sum of the rows of the basis is the cost, in the unknowns that count as 0 too."""
        shares = self._shares([cost[j] for j in self.columns], basis)
        sums = (_dot(shares, [self._whole[i][j] for i in basis]) for j in range(len(cost)))
        return all((total - aim).contains(0) for total, aim in zip(sums, cost, strict=True))

    def _met(self, corner: Corner, leaving: int) -> int | None:
        """The inequality that comes in force first on the way along an edge from a corner."""
        target = [flint.arb(int(k == leaving)) for k in range(len(corner.rows))]
        way = _solved([self.rows[i] for i in corner.rows], target)
        met, shortest = None, flint.arb(0)
        for i, row in enumerate(self.rows):
            slope = flint.arb(0) if i in corner.rows else _dot(row, way)
            if slope < 0:
                distance = -self.slack(i, corner) / slope
                if met is None or distance < shortest:
                    met, shortest = i, distance
        return met


def _dot(row: Iterable[Ball], y: Iterable[Ball]) -> Ball:
    return sum((g * value for g, value in zip(row, y, strict=True)), flint.arb(0))


def _solved(rows: Sequence[Sequence[Ball]], right: Sequence[Ball]) -> tuple[Ball, ...]:
    if not rows:
        return ()
    found = flint.arb_mat(rows).solve(flint.arb_mat([[value] for value in right]))
    return tuple(found[k, 0] for k in range(len(right)))


def _swapped(basis: tuple[int, ...], leaving: int, entering: int) -> tuple[int, ...]:
    return tuple(sorted((*(i for i in basis if i != leaving), entering)))


def _independent(rows: Sequence[Sequence[Ball]]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """As many rows and columns as the rank, which is that of the numbers that are not nothing."""
    left: list[list[Any]] = [[*row] for row in rows]
    used: list[int] = []
    columns: list[int] = []
    while True:
        places = [
            (abs(entry).mid(), i, j)
            for i, row in enumerate(left)
            for j, entry in enumerate(row)
            if i not in used and j not in columns and not entry.contains(0)
        ]
        if not places:
            return tuple(sorted(used)), tuple(sorted(columns))
        _, i, j = max(places, key=lambda place: (float(place[0]), -place[1], -place[2]))
        for k, row in enumerate(left):
            if k not in used and k != i and not row[j].contains(0):
                factor = row[j] / left[i][j]
                left[k] = [a - factor * b for a, b in zip(row, left[i], strict=True)]
        used.append(i)
        columns.append(j)
