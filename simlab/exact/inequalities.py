"""Linear inequalities whose coefficients depend on letters, in numbers where letters have given values.

h_i(x) + sum_j G_ij(x) y_j >= 0   for all i, with some y
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import flint

from simlab.exact.element import Element
from simlab.exact.elimination import eliminate
from simlab.exact.elsewhere import BITS, Point, number, points
from simlab.exact.field import Field
from simlab.exact.programme import Conflict, Corner, Programme


@dataclass(frozen=True)
class Inequality:
    """constant + sum of coefficients * y >= 0; `name` is whose it is."""

    name: str
    constant: Element
    coefficients: Mapping[int, Element]


def coefficient(inequality: Inequality, j: int) -> Element:
    """That of an unknown, which may be 0."""
    return inequality.coefficients.get(j, inequality.constant.field.zero)


def width(inequalities: Sequence[Inequality]) -> int:
    """The number of unknowns, as far as they occur."""
    return 1 + max((j for inequality in inequalities for j in inequality.coefficients), default=-1)


def programme(inequalities: Sequence[Inequality], point: Point) -> Programme:
    """The inequalities in numbers, at a point where the letters may have values other than the field's."""
    unknowns = range(width(inequalities))
    return Programme(
        [[number(coefficient(q, j), point) for j in unknowns] for q in inequalities],
        [number(q.constant, point) for q in inequalities],
    )


def in_force(inequalities: Sequence[Inequality]) -> frozenset[int] | None:
    """Those in force for every y that satisfies all, at the field's values; None if none does."""
    if not inequalities:
        return frozenset()
    with flint.ctx.workprec(BITS):
        here = programme(inequalities, points(widest(inequalities), {}))
        found = here.decided()
        return here.in_force(found) if isinstance(found, Corner) else None


def extremes(
    inequalities: Sequence[Inequality], value: Inequality
) -> tuple[Element | None, Element | None] | None:
    """The least and the greatest that a sum can be at the field's values, None where it has none.

    None instead of both where the inequalities contradict each other.
    """
    with flint.ctx.workprec(BITS):
        point = points(widest([*inequalities, value]), {})
        here = programme(inequalities, point)
        start = here.decided()
        if isinstance(start, Conflict):
            return None
        cost = [number(coefficient(value, j), point) for j in range(width([*inequalities, value]))]
        beyond = cost[width(inequalities) :]
        if any(not entry.contains(0) for entry in beyond):
            return None, None
        cost = cost[: width(inequalities)]
        corners = here.least(cost, start), here.least([-entry for entry in cost], start)
    low, high = (
        None if corner is None else _at_corner(inequalities, here.columns, corner, value)
        for corner in corners
    )
    return low, high


def _at_corner(
    inequalities: Sequence[Inequality], columns: Sequence[int], corner: Corner, value: Inequality
) -> Element:
    """A sum exactly where some inequalities are in force."""
    chosen = [inequalities[i] for i in corner.rows]
    field = widest([*chosen, value])
    rows = [{j: field.lift(coefficient(q, j)) for j in columns} for q in chosen]
    right = {i: -field.lift(q.constant) for i, q in enumerate(chosen)}
    (y,) = eliminate(field, rows, width([*chosen, value]), [right]).solutions
    return sum((coefficient(value, j) * size for j, size in y.items()), field.lift(value.constant))


def widest(inequalities: Sequence[Inequality]) -> Field:
    """The field in which all their entries are."""
    entries = [e for q in inequalities for e in (q.constant, *q.coefficients.values())]
    return max((e.field for e in entries), key=lambda field: field.depth)


def determinant(rows: Sequence[Sequence[Element]]) -> Element:
    """The determinant of a matrix without many entries, by its minors from the last row up."""
    zero = rows[0][0].field.zero
    minors: dict[tuple[int, ...], Element] = {
        (j,): entry for j, entry in enumerate(rows[-1]) if not entry.is_zero
    }
    for row in reversed(rows[:-1]):
        larger: dict[tuple[int, ...], Element] = {}
        for columns, minor in minors.items():
            for j, entry in enumerate(row):
                if j not in columns and not entry.is_zero:
                    before = sum(column < j for column in columns)
                    term = entry * minor if before % 2 == 0 else -entry * minor
                    key = tuple(sorted((*columns, j)))
                    larger[key] = larger.get(key, zero) + term
        minors = larger
    return minors.get(tuple(range(len(rows))), zero)
