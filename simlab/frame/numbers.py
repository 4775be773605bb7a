"""All quantities of a frame as numbers, at one set of values after another: quick enough for a slider.

Its expressions become one function of its letters, worked out to more figures than a double holds, so that
each number is the nearest double, as `Quantity.number` gives it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import mpmath
import sympy as sp

from simlab.errors import BadInput
from simlab.frame.change import quantities
from simlab.frame.model import Frame, Values

DIGITS = 30  # worked out; a double holds 17


class Numbers:
    """The numbers of a frame's quantities.

    >>> from simlab.frame.scene import read_scene
    >>> frame = read_scene("scenes/kite_lantern.toml")
    >>> numbers = Numbers(frame).at(frame.shown)
    >>> numbers[frame.points["L"][0].expr] == frame.points["L"][0].number(frame.shown)
    True
    """

    def __init__(self, frame: Frame) -> None:
        parts = (frame.points, frame.bodies, frame.links, frame.contacts, frame.supports, frame.loads)
        self.expressions = list(dict.fromkeys(q.expr for q in quantities([*parts, frame.gravity])))
        letters = {letter for expr in self.expressions for letter in expr.free_symbols}
        self.letters = sorted(letters, key=str)
        self._function: Callable[..., list[Any]] = sp.lambdify(
            self.letters, self.expressions, "mpmath", cse=True
        )

    def at(self, values: Values) -> dict[Any, float]:
        """The number of each expression at the values, by expression.

        Raises BadInput where one has no real value.
        """
        with mpmath.workdps(DIGITS):
            try:
                given = [mpmath.mpf(values[str(name)].expr.evalf(DIGITS)) for name in self.letters]
                found = self._function(*given)
            except (ZeroDivisionError, ValueError, TypeError):
                raise BadInput("there is no such shape") from None
        return dict(self._real(found))

    def _real(self, found: list[Any]) -> Iterator[tuple[Any, float]]:
        for expr, number in zip(self.expressions, found, strict=True):
            if isinstance(number, mpmath.mpc) or not mpmath.isfinite(number):
                raise BadInput("there is no such shape")
            yield expr, float(number)
