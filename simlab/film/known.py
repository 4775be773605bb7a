"""What was found in earlier steps, kept at the top of the board for as long as it is needed."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from simlab.film.algebra import found_in
from simlab.film.formulas import Column, Laid
from simlab.film.told import ToldStep
from simlab.frame.model import Name
from simlab.notation.page import Formula
from simlab.pictures.camera import Rect
from simlab.pictures.marks import Label, Mark, Stroke

SIZE = 40.0  # [page units] of type
BESIDE, BELOW = 46.0, 14.0  # [page units] from one to the next, and to the next row
RULE = 20.0  # [page units] above the rule and below it


def letters_in(told: ToldStep) -> set[Name]:
    """The letters in a step's lines."""
    sides = [side for line in told.step.lines for side in (line.left, line.right)]
    return {
        name for side in sides for product in side for factor in product.factors for name in factor.names
    }


def found_lines(steps: Sequence[ToldStep], needed: Collection[Name]) -> list[Formula]:
    """The lines of some steps that find what is needed, in order."""
    found: dict[Name, Formula] = {}
    for told in steps:
        for line, formula in zip(told.step.lines, told.formulas, strict=True):
            name = found_in(line, told.step.finds)
            if name is not None and name in needed:
                found[name] = formula
    return list(found.values())


class Known:
    """Results in rows at the top of a rectangle of the page, over a rule; they end at `bottom`."""

    def __init__(self, formulas: Sequence[Formula], rect: Rect) -> None:
        self.rect = rect
        self.marks: list[Mark] = []
        self.bottom = rect[1]
        if formulas:
            self.marks = list(self._rows([self._set(formula) for formula in formulas]))
            rule = np.array([[rect[0], self.bottom + RULE], [rect[2], self.bottom + RULE]])
            self.marks.append(
                Stroke(name="rule under what is known", role="rule", space="page", points=rule)
            )
            self.bottom += 2 * RULE

    def _set(self, formula: Formula) -> Laid:
        return Column.of(
            [Formula(formula.left, formula.right)], self.rect[2] - self.rect[0], (SIZE, 34.0)
        ).laid[0]

    def _rows(self, laid: Sequence[Laid]) -> Iterator[Mark]:
        rows: list[list[Laid]] = [[]]
        for one in laid:
            if rows[-1] and self._width([*rows[-1], one]) > self.rect[2] - self.rect[0]:
                rows.append([])
            rows[-1].append(one)
        count = 0
        for row in rows:
            x, top = self.rect[0], min(one.box[1] for one in row)
            for one in row:
                for token in one.tokens:
                    at = (x - one.box[0] + token.x, self.bottom - top + token.y)
                    yield Label(
                        name=f"known {count}",
                        role="text",
                        space="page",
                        anchor=at,
                        text=token.text,
                        size=token.size,
                    )
                    count += 1
                x += one.box[2] - one.box[0] + BESIDE
            self.bottom += max(one.box[3] for one in row) - top + BELOW
        self.bottom -= BELOW

    @staticmethod
    def _width(row: Sequence[Laid]) -> float:
        return sum(one.box[2] - one.box[0] for one in row) + BESIDE * (len(row) - 1)
