"""Two roads side by side."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Values
from simlab.results.forces import Key


@dataclass(frozen=True)
class Row:
    """One quantity on both roads.

    `exact` is the expression in words of the trade, `left` its value, `right` the other road's
    value [N or N m], `scale` the largest force of the frame [N], `allowed` the bound on
    |left - right| / scale.
    """

    what: str
    key: Key | None
    exact: str
    left: float
    right: float
    scale: float
    allowed: float
    verdict: Literal["agree", "differ", "not comparable"]

    @property
    def difference(self) -> float:
        """|left - right| / scale."""
        return abs(self.left - self.right) / self.scale


@dataclass(frozen=True)
class Comparison:
    """All rows of a comparison at one set of values; the largest difference; the verdict in one word."""

    roads: tuple[str, str]
    values: Values
    rows: tuple[Row, ...]
    largest: float
    verdict: Literal["agree", "differ", "not comparable"]
    advice: str
