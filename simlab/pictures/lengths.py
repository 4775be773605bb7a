"""Lengths of rods that are simple multiples of a letter of the question: k times a, k a simple fraction.

A frame only has points, so it is found by trying: a rod has that length at the letter's value shown and
at a value a little off it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

import numpy as np

from simlab.errors import BadInput
from simlab.frame.quantity import LENGTH, Quantity
from simlab.frame.question import Name
from simlab.pictures.plan import Plan

SIMPLE = 12  # largest denominator of a simple multiple of a letter
NEAR = 1e-9  # relative: equal to rounding
OFF = Fraction(101, 100)  # the second value, off the first by one part in a hundred


@dataclass(frozen=True)
class GivenLength:
    """The length of some rods is `multiple` times the letter `symbol`."""

    symbol: Name
    rods: tuple[Name, ...]
    multiple: Fraction

    @property
    def tex(self) -> str:
        """The length on one line, large enough for the back row: 3a/4."""
        top = "" if self.multiple.numerator == 1 else str(self.multiple.numerator)
        under = "" if self.multiple.denominator == 1 else f"/{self.multiple.denominator}"
        return f"{top}{Quantity.symbol(self.symbol).tex}{under}"


@lru_cache(maxsize=8)
def given_lengths(plan: Plan) -> tuple[GivenLength, ...]:
    """For each letter, its simple multiples that are the lengths of rods."""
    frame = plan.frame
    found: dict[tuple[Name, Fraction], GivenLength] = {}
    for symbol in frame.symbols.values():
        if symbol.shown.dim != LENGTH:
            continue
        value = plan.values[symbol.name]
        try:
            other = Plan.of(frame, {**plan.values, symbol.name: value * Quantity.of(OFF)})
        except BadInput:  # no such shape: what depends on the letter cannot be told
            continue
        unit, unit_off = value.number(), (value * Quantity.of(OFF)).number()
        for body in frame.bodies.values():
            if body.kind != "rod" or not unit:
                continue
            ratio, ratio_off = _length(plan, body.name) / unit, _length(other, body.name) / unit_off
            multiple = Fraction(ratio).limit_denominator(SIMPLE)
            simple = (
                multiple
                and abs(float(multiple) - ratio) < NEAR * ratio
                and abs(ratio - ratio_off) < NEAR * ratio
            )
            if simple:
                before = found.get((symbol.name, multiple))
                rods = (*(before.rods if before else ()), body.name)
                found[symbol.name, multiple] = GivenLength(symbol.name, rods, multiple)
    return tuple(found.values())


def _length(plan: Plan, rod: Name) -> float:
    a, b = plan.outlines[rod]
    return float(np.hypot(*(b - a)))
