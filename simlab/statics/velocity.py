"""Vectors of exact elements, and rows over unknown velocities."""

from __future__ import annotations

from simlab.exact.elimination import Row
from simlab.exact.field import Element

Exact = tuple[Element, Element]  # x to the right, y upwards
Velocity = tuple[Row, Row]  # its components, as rows over the unknown components


def plus(*terms: tuple[Row, Element]) -> dict[int, Element]:
    """The sum of rows, each times a factor."""
    total: dict[int, Element] = {}
    for row, factor in terms:
        for i, entry in row.items():
            total[i] = total[i] + entry * factor if i in total else entry * factor
    return {i: entry for i, entry in total.items() if not entry.is_zero}


def difference(a: Velocity, b: Velocity) -> Velocity:
    """a - b, of two velocities."""
    rows: list[Row] = []
    for mine, other in zip(a, b, strict=True):
        row = dict(mine)
        for i, entry in other.items():
            row[i] = row[i] - entry if i in row else -entry
        rows.append(row)
    return rows[0], rows[1]


def minus(a: Exact, b: Exact) -> Exact:
    """a - b."""
    return a[0] - b[0], a[1] - b[1]


def dot(a: Exact, b: Exact) -> Element:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def cross(a: Exact, b: Exact) -> Element:
    """The component of the vector product out of the plane, anticlockwise positive."""
    return a[0] * b[1] - a[1] * b[0]


def on(row: Row, motion: Row, zero: Element) -> Element:
    """The value of a row on a motion."""
    return sum((entry * motion[i] for i, entry in row.items() if i in motion), zero)
