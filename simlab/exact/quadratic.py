"""Quadratic forms over an exact field: signs by symmetric elimination.

Q = L D L^T,    signs of D = signs of Q (Sylvester's law of inertia)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from simlab.exact.element import Element


@dataclass(frozen=True)
class Inertia:
    """How many squares of each sign a form is a sum of, and a basis of the vectors that Q takes to zero."""

    positive: int
    negative: int
    kernel: tuple[tuple[Element, ...], ...]


def inertia(form: Sequence[Sequence[Element]]) -> Inertia | None:
    """The inertia of a symmetric form at its field's values.

    None if a pivot turns up that vanishes at the values without being zero; the form of the
    entries' `Element.at_values` has an inertia always.

    >>> from simlab.exact.field import Field
    >>> one = Field.containing([], {}).one
    >>> found = inertia([[0 * one, one], [one, 0 * one]])
    >>> (found.positive, found.negative)
    (1, 1)
    """
    n = len(form)
    q = [list(row) for row in form]
    if not n:
        return Inertia(0, 0, ())
    field = q[0][0].field
    basis = [[field.one if i == j else field.zero for j in range(n)] for i in range(n)]
    left = list(range(n))
    count = {1: 0, -1: 0}
    while left:
        pivot = next((i for i in left if not q[i][i].is_zero), None)
        if pivot is None:
            pair = next(((i, j) for i in left for j in left if not q[i][j].is_zero), None)
            if pair is None:
                break
            _add(q, basis, *pair)  # then the diagonal holds 2*q[i][j]
            continue
        left.remove(pivot)
        sign = q[pivot][pivot].sign()
        if sign == 0:
            return None
        count[sign] += 1
        for i in left:
            factor = q[i][pivot] / q[pivot][pivot]
            if not factor.is_zero:
                basis[i] = [b - factor * p for b, p in zip(basis[i], basis[pivot], strict=True)]
                for j in left:
                    q[i][j] = q[i][j] - factor * q[pivot][j]
    return Inertia(count[1], count[-1], tuple(tuple(basis[i]) for i in left))


def _add(q: list[list[Element]], basis: list[list[Element]], i: int, j: int) -> None:
    """Put vector i + vector j in the place of vector i."""
    basis[i] = [a + b for a, b in zip(basis[i], basis[j], strict=True)]
    q[i] = [a + b for a, b in zip(q[i], q[j], strict=True)]
    for row in q:
        row[i] = row[i] + row[j]
