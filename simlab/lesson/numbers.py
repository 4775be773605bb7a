"""Lines of algebra and numbers as a class writes them: decimals where the question's forces are numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from simlab.frame.quantity import Quantity
from simlab.notation.page import Formula, Maths
from simlab.notation.parts import Sentence
from simlab.results.conventions import Conventions
from simlab.results.statics import Statics
from simlab.results.wording import FIGURES, figures
from simlab.results.working import Line as Algebra
from simlab.results.working import Product

FIGURES_BETWEEN = 4  # of a result that is worked on with
PLAIN_DECIMALS = 2  # places of a number that is written as a decimal rather than as a fraction


class Numbers:
    """How expressions are written in the working of one frame."""

    def __init__(self, statics: Statics, conventions: Conventions) -> None:
        self.conventions = conventions
        forces = [load.value[0] for load in statics.frame.loads.values()]
        forces += [body.weight for body in statics.frame.bodies.values()]
        self.in_decimals = all(not force.names for force in forces)
        self.in_figures = False  # whether every number is rounded, as in a check

    def formulas(self, lines: Iterable[Algebra]) -> Iterator[Formula]:
        for one in lines:
            note = "".join(p if isinstance(p, str) else p.plain for p in one.note)
            yield Formula(self._side(one.left), self._result_of(one), one.label, note)

    def _result_of(self, one: Algebra) -> Sentence:
        """The right side; a number that is no short decimal also in figures."""
        side = self._side(one.right)
        if self.in_decimals and len(one.left) == len(one.right) == 1 and len(one.right[0].factors) == 1:
            value = one.right[0].value
            is_letter = bool(one.left[0].value.expr.is_Symbol)
            if is_letter and not value.expr.free_symbols and isinstance(side[-1], Maths):
                return (*side, f" = {figures(value.number(), FIGURES_BETWEEN)}")
        return side

    def _side(self, products: Sequence[Product]) -> Sentence:
        """One side of an equation; nothing on it is 0."""
        pieces: list[str | Maths] = []
        for k, product in enumerate(products):
            sign = "−" if product.negative else "+" if k else ""
            pieces += [f" {sign} " if k else sign] if sign else []
            for i, factor in enumerate(product.factors):
                pieces += [" × "] if i else []
                many = len(product.factors) > 1 or product.negative
                pieces.append(self.number(factor, factor_of_many=many))
        return tuple(pieces) or ("0",)

    def number(self, quantity: Quantity, factor_of_many: bool = False) -> str | Maths:
        """An expression; a number as a decimal, where the question's forces are numbers and it is short."""
        decimal = quantity.decimal
        if self.in_decimals and decimal is not None and len(decimal.partition(".")[2]) <= PLAIN_DECIMALS:
            return decimal.replace("-", "−")
        rounded = self.in_figures or (self.conventions.exact == "figures" and decimal is None)
        if rounded and not quantity.expr.free_symbols:
            return figures(quantity.number(), FIGURES_BETWEEN if self.in_figures else FIGURES)
        return Maths(quantity.expr, factor=factor_of_many)
