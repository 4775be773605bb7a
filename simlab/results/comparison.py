"""Two roads side by side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.forces import Key
from simlab.results.html import table

Component = Literal["x", "y", "moment", "tension", "balance"]
Agreement = Literal["agree", "differ", "not comparable"]


@dataclass(frozen=True)
class Row:
    """One number on both roads.

    `what` is the key of a reaction, or the name of a light member (component "tension", tension
    positive) or of a body (component "balance": what is left over of its forces and moments).
    `exact` is the expression of `left`. `left`, `right` in N, or N m for a moment; `scale` the
    largest force of the frame [N], times its size [m] for a moment; `allowed` the bound on
    |left - right| / scale.
    """

    what: Key | Name
    component: Component
    exact: Quantity | None
    left: float
    right: float
    scale: float
    allowed: float

    @property
    def difference(self) -> float:
        """|left - right| / scale."""
        return abs(self.left - self.right) / self.scale

    @property
    def agrees(self) -> bool:
        """Whether the difference is within bounds; a value that is no number never agrees."""
        return self.difference <= self.allowed


@dataclass(frozen=True)
class Comparison:
    """All rows at one set of values, the largest difference, and whether the roads agree."""

    roads: tuple[str, str]
    values: Values
    rows: tuple[Row, ...]
    agreement: Agreement
    advice: str

    @property
    def largest(self) -> float:
        """The largest difference of all rows, as a share of the largest force."""
        return max((row.difference for row in self.rows), default=0.0)

    def _repr_html_(self) -> str:
        """Every row, for a notebook."""
        rows = [
            [
                row.what if isinstance(row.what, str) else f"{row.what.at}, on {row.what.on}",
                row.component,
                "" if row.exact is None else f"${row.exact.tex}$",
                f"{row.left:.10g}",
                f"{row.right:.10g}",
                f"{row.difference:.1e}",
            ]
            for row in self.rows
        ]
        words = f"{self.agreement}; largest difference {self.largest:.1e} of the largest force"
        return table(words, ["force", "part", "exact", *self.roads, "difference"], rows)
