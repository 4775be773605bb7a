"""Tables for the back row: rows of words and mathematics in columns, none smaller than can be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from simlab.pictures.camera import Rect
from simlab.pictures.marks import Align, Label, Mark, Name, Stroke
from simlab.pictures.palette import LEAST, SMALL, TABLE
from simlab.pictures.typeset import LEADING, setting

COLUMN_GAP = 56.0  # [page units]
ROW_GAP = 20.0  # [page units] of bare paper between two rows
HEADING_GAP = 14.0  # [page units] from a heading to its rule, and below the rule


@dataclass(frozen=True)
class Table:
    """Rows of texts (mathematics between dollar signs), with headings if any, and each column's alignment.

    Alignments that are not given are "left".
    """

    rows: Sequence[Sequence[str]]
    headings: Sequence[str] = ()
    aligns: Sequence[Align] = ()

    def marks(self, name: Name, rect: Rect, *, size: float = TABLE, role: str = "text") -> list[Mark]:
        """The table in the upper left of a rectangle of the page, its type made smaller if need be.

        Rows that do not fit at size `palette.SMALL` are left out, and a last row says how many. Only
        rows that are too long make the type smaller still, down to `palette.LEAST`.
        """
        rows = list(self.rows)
        wide, high = rect[2] - rect[0], rect[3] - rect[1]
        while size > SMALL and not (self._width(rows, size) <= wide and self._height(rows, size) <= high):
            size -= 1
        while size > LEAST and self._width(rows, size) > wide:
            size -= 1
        left_out = 0
        while len(rows) > 1 and self._height(_with_note(rows, left_out), size) > high:
            rows.pop()
            left_out += 1
        return self._laid(name, _with_note(rows, left_out), rect, size, role)

    def _width(self, rows: Sequence[Sequence[str]], size: float) -> float:
        return sum(self._widths(rows, size)) + COLUMN_GAP * (self._n_columns(rows) - 1)

    def _height(self, rows: Sequence[Sequence[str]], size: float) -> float:
        height = sum(_row_height(row, size) + ROW_GAP for row in rows) - ROW_GAP
        return height + (_row_height(self.headings, size) + 2 * HEADING_GAP if self.headings else 0.0)

    def _n_columns(self, rows: Sequence[Sequence[str]]) -> int:
        return max((len(row) for row in (self.headings, *rows)), default=0)

    def _widths(self, rows: Sequence[Sequence[str]], size: float) -> list[float]:
        """The width of each column; a row of one text in a table of more columns does not count."""
        n = self._n_columns(rows)
        full = [row for row in rows if len(row) > 1 or n == 1]
        headings = [(text, True) for text in self.headings] or [("", False)] * n
        return [
            max(
                setting(headings[i][0], size, bold=True).width if i < len(headings) else 0.0,
                *(setting(row[i], size).width if i < len(row) else 0.0 for row in full),
                0.0,
            )
            for i in range(n)
        ]

    def _laid(
        self, name: Name, rows: Sequence[Sequence[str]], rect: Rect, size: float, role: str
    ) -> list[Mark]:
        widths = self._widths(rows, size)
        left, y = rect[0], rect[1]
        marks: list[Mark] = []
        if self.headings:
            marks += self._row(f"{name} heading", self.headings, widths, left, y, size, role, bold=True)
            y += _row_height(self.headings, size) + HEADING_GAP
            right = left + sum(widths) + COLUMN_GAP * (len(widths) - 1)
            rule = np.array([[left, y], [right, y]])
            marks.append(Stroke(name=f"{name} rule", role="rule", space="page", points=rule))
            y += HEADING_GAP
        for i, row in enumerate(rows):
            marks += self._row(f"{name} {i}", row, widths, left, y, size, role)
            y += _row_height(row, size) + ROW_GAP
        return marks

    def _row(
        self,
        name: Name,
        row: Sequence[str],
        widths: Sequence[float],
        left: float,
        top: float,
        size: float,
        role: str,
        bold: bool = False,
    ) -> list[Mark]:
        """One row, its baseline such that its tallest text begins at `top`."""
        baseline = top - min(setting(text, size, bold=bold).box[1] for text in (*row, "W"))
        marks: list[Mark] = []
        x = left
        for i, text in enumerate(row):
            align: Align = self.aligns[i] if i < len(self.aligns) else "left"
            at = {"left": x, "centre": x + widths[i] / 2, "right": x + widths[i]}[align]
            marks.append(
                Label(
                    name=f"{name}.{i}",
                    role=role,
                    space="page",
                    anchor=(at, baseline),
                    text=text,
                    size=size,
                    align=align,
                    bold=bold,
                )
            )
            x += widths[i] + COLUMN_GAP
        return marks


def _row_height(row: Sequence[str], size: float) -> float:
    boxes = [setting(text, size).box for text in (*row, "Wg")]
    return max(LEADING * size, max(box[3] for box in boxes) - min(box[1] for box in boxes))


def _with_note(rows: Sequence[Sequence[str]], left_out: int) -> list[Sequence[str]]:
    return [*rows, (f"… and {left_out} more",)] if left_out else list(rows)
