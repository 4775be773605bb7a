"""Sparse Gauss elimination over an exact field: solution, rank, null space, consistency.

    A x = b,    A of m rows and n unknowns, several columns b at once

A pivot is taken from a row with the fewest entries, there from the column with the fewest
(after Markowitz, The elimination form of the inverse, Management Science 3, 1957): it fills in least.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from simlab.exact.element import Element
from simlab.exact.field import Field

Row = Mapping[int, Element]  # unknown -> coefficient; what is absent is zero
Vector = Mapping[int, Element]


@dataclass(frozen=True)
class Elimination:
    """What elimination finds out about A x = b.

    solutions : one for each column b, with every free unknown 0; of no meaning where not consistent
    null_space : a basis of the x with A x = 0, one vector for each free unknown
    residues : for each column b what is left, by row, where no unknown is left
    pivots : what was divided by; where one of them is zero there may be other solutions
    vanishing : a pivot that is not zero, but is zero at the field's values, with all that could be
        taken instead: the rank is less there, elimination stopped, and nothing else here has a meaning
    """

    rank: int
    solutions: tuple[Vector, ...]
    null_space: tuple[Vector, ...]
    residues: tuple[Vector, ...]
    pivots: tuple[Element, ...]
    vanishing: Element | None

    @property
    def consistent(self) -> bool:
        """Whether every column b can be reached."""
        return not any(self.residues)

    def is_determined(self, unknown: int) -> bool:
        """Whether all solutions agree in an unknown."""
        return not any(unknown in vector for vector in self.null_space)


def eliminate(
    field: Field,
    rows: Sequence[Row],
    n_unknowns: int,
    right: Sequence[Vector] = (),
    zero: Sequence[Element] = (),
) -> Elimination:
    """Solve rows * x = right; each column of `right` is given by row: {row: element}.

    zero : polynomials of the field that count as zero, and so does whatever they divide

    >>> field = Field.containing([], {})
    >>> one = field.one
    >>> eliminate(field, [{0: one, 1: one}], 2).null_space
    ({1: Element(1 / 1), 0: Element(-1 / 1)},)
    """
    work = _Work(field, rows, right, zero)
    while work.step():
        pass
    free = [unknown for unknown in range(n_unknowns) if unknown not in work.pivot_of]
    return Elimination(
        rank=len(work.pivots),
        solutions=tuple(work.back({}, column) for column in range(len(right))),
        null_space=tuple(work.back({unknown: field.one}) for unknown in free),
        residues=tuple(
            {i: work.right[i][column] for i in sorted(work.active) if column in work.right[i]}
            for column in range(len(right))
        ),
        pivots=tuple(work.rows[i][j] for i, j in work.pivots),
        vanishing=work.vanishing,
    )


def left_null_space(field: Field, rows: Sequence[Row], n_unknowns: int) -> tuple[Vector, ...]:
    """A basis of the y with y A = 0, by row."""
    return eliminate(field, transposed(rows, n_unknowns), len(rows)).null_space


def transposed(rows: Iterable[Row], n_columns: int) -> list[dict[int, Element]]:
    """The columns of a matrix as rows."""
    columns: list[dict[int, Element]] = [{} for _ in range(n_columns)]
    for i, row in enumerate(rows):
        for j, entry in row.items():
            columns[j][i] = entry
    return columns


class _Work:
    """The matrix while it is being reduced to echelon form."""

    def __init__(
        self, field: Field, rows: Sequence[Row], right: Sequence[Vector], zero: Sequence[Element]
    ) -> None:
        self.field = field
        self.zero = [field.lift(element).num for element in zero]
        self.rows = [{j: entry for j, entry in row.items() if not self._is_zero(entry)} for row in rows]
        self.right = transposed(
            [{i: e for i, e in column.items() if not self._is_zero(e)} for column in right], len(rows)
        )
        self.active = set(range(len(rows)))
        self.holding: dict[int, set[int]] = {}  # unknown -> active rows in which it stands
        for i, row in enumerate(self.rows):
            for j in row:
                self.holding.setdefault(j, set()).add(i)
        self.pivots: list[tuple[int, int]] = []  # row, unknown, in the order of elimination
        self.pivot_of: dict[int, int] = {}
        self.vanishing: Element | None = None

    def _is_zero(self, entry: Element) -> bool:
        return entry.is_zero or any(divmod(entry.num, zero)[1].is_zero() for zero in self.zero)

    def step(self) -> bool:
        """Eliminate one more unknown; False when nothing is left to eliminate."""
        pivot = self._pivot()
        if pivot is None:
            return False
        i, j = pivot
        row, right = self.rows[i], self.right[i]
        self.active.remove(i)
        for other in row:
            self.holding[other].remove(i)
        inverse = row[j].inverse()
        for k in sorted(self.holding[j]):
            factor = self.rows[k].pop(j) * inverse
            self._subtract(self.rows[k], row, factor, k, skip=j)
            self._subtract(self.right[k], right, factor)
        self.holding[j].clear()
        self.pivots.append(pivot)
        self.pivot_of[j] = i
        return True

    def _pivot(self) -> tuple[int, int] | None:
        """The pivot that fills in least, of those that are not zero at the values."""
        order = sorted((len(self.rows[i]), i) for i in self.active if self.rows[i])
        for _, i in order:
            for j in sorted(self.rows[i], key=lambda j: (len(self.holding[j]), _size(self.rows[i][j]), j)):
                if self.rows[i][j].sign() != 0:
                    return i, j
        if order:
            self.vanishing = next(iter(self.rows[order[0][1]].values()))
        return None

    def _subtract(
        self,
        target: dict[int, Element],
        source: Vector,
        factor: Element,
        target_row: int | None = None,
        skip: int | None = None,
    ) -> None:
        """target -= factor * source, keeping account of which rows of the matrix hold an unknown."""
        for j, entry in source.items():
            if j == skip:
                continue
            before = target.get(j)
            change = factor * entry
            after = -change if before is None else before - change
            nothing = self._is_zero(after)
            if nothing:
                target.pop(j, None)
            else:
                target[j] = after
            if target_row is not None:
                (self.holding[j].discard if nothing else self.holding[j].add)(target_row)

    def back(self, free: Vector, column: int | None = None) -> dict[int, Element]:
        """The solution with the free unknowns given, the others by back substitution."""
        x = dict(free)
        for i, j in reversed(self.pivots):
            value = self.field.zero if column is None else self.right[i].get(column, self.field.zero)
            for other, entry in self.rows[i].items():
                if other != j and other in x:
                    value = value - entry * x[other]
            if not value.is_zero:
                x[j] = value / self.rows[i][j]
        return x


def _size(entry: Element) -> int:
    return len(entry.num) + len(entry.den)
