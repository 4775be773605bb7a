"""The second exact road beside the first: virtual work for members, stationary energy for shapes."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from simlab.exact.field import Field
from simlab.exact.rounding import rounded
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.statics import Statics
from simlab.statics.energy import energy
from simlab.statics.virtual_work import agrees

BITS = 256
# Of a slope of the energy, against its terms, where a letter was found to 30 figures only.
NEARLY_ZERO = Fraction(1, 10**20)


def second_road(asked: Frame, state: Statics) -> Mapping[Name, bool]:
    """For each member, and each letter found, whether virtual work says the same as the balances.

    `asked`: the frame as the question has it, with the letters of `state.found` still in it. Members whose
    tension is given and letters along which there is no energy (friction acts) are left out. Equality is
    proved in an exact field; for a letter without an exact value, to 20 figures.
    """
    same = dict(agrees(state.frame, state.values, state)) if state.verdict == "determined" else {}
    return {**same, **_stationary(asked, state)}


def _stationary(asked: Frame, state: Statics) -> dict[Name, bool]:
    """Whether the energy is stationary in the shape that was found."""
    if not state.found or set(state.found) != set(asked.found):
        return {}
    values = {**asked.shown, **state.values, **_values(asked, state)}
    found = energy(asked, values)
    if found.reason:
        return {}
    exact = {name: root.exact for name, root in state.found.items() if name not in state.frame.symbols}
    same = {}
    for (name, slope), parts in zip(found.slopes.items(), found.sizes, strict=True):
        if len(exact) == len(state.found):
            expr = Quantity(slope.expr()).at({n: q for n, q in exact.items() if q is not None}).expr
            field = Field.containing([expr], {n: q.expr for n, q in state.values.items()})
            same[name] = field.element(expr).is_zero
        else:
            size = sum((abs(rounded(part, BITS)) for part in parts), Fraction(0))
            same[name] = abs(rounded(slope, BITS)) <= NEARLY_ZERO * max(size, Fraction(1))
    return same


def _values(asked: Frame, state: Statics) -> Values:
    """The letters found, as numbers."""
    return {name: root.near(asked) for name, root in state.found.items()}
