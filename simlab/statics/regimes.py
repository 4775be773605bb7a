"""Regimes: parts of the ranges of letters to be found in which what is taken as positive stays so.

Equations are set up at some values of these letters. There the square root of a square has one sign, and an
elastic string is taut or slack; in another regime they are other equations, to be set up at values in it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from math import pi
from typing import Any, Protocol, TypeVar

import sympy as sp

from simlab.errors import BadInput
from simlab.exact.element import Element
from simlab.exact.elsewhere import signs_at, signs_near
from simlab.exact.ends import End, bound, half_turns, in_order, zeros
from simlab.exact.solving import Solution
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity

SHARES = tuple(Fraction(n, 17) for n in (1, 4, 6, 8, 11, 13, 16))  # of a range, where signs are looked at
WITHIN = Fraction(37, 100)  # of a part of a range: no special place in it
MOST = 40  # regimes: a classroom frame has a handful
COARSE = 32  # a start is a multiple of 1/32 of half a turn, or of 1; finer ones where the part is small

Ranges = Mapping[Name, tuple[Any, Any]]  # of letters, as sympy numbers; the upper end may be oo


def within(frame: Frame, letter: Name, values: Values) -> tuple[Any, Any]:
    """Between which numbers a letter is to be looked for; from 0 on, where nothing is said."""
    symbol = frame.symbols[letter]
    low, high = (None if end is None else end.at(values).expr for end in (symbol.low, symbol.high))
    return sp.S.Zero if low is None else low, sp.oo if high is None else high


def doubtful(assumed: Sequence[Element], wanted: Sequence[Name]) -> list[Element]:
    """Those of the elements taken as positive that change with the letters, each once."""
    found = [e for e in assumed if any(e.depends_on(name) for name in wanted)]
    return list({(id(e.field), str(e.num), str(e.den)): e for e in found}.values())


def agrees(assumed: Sequence[Element], solution: Solution) -> bool:
    """Whether what was taken as positive is so, or zero, at a solution."""
    return all(sign >= 0 for sign in signs_near(doubtful(assumed, list(solution.low)), solution))


class HasSigns(Protocol):
    """Whatever was set up at some values of letters: `positive` is what must be positive for it to hold."""

    @property
    def positive(self) -> Sequence[Element]:
        """The elements, of whatever fields."""


R = TypeVar("R", bound=HasSigns)


def explored(frame: Frame, ranges: Ranges, set_up: Callable[[Values], R]) -> list[R]:
    """What is set up at the values themselves ({}), and in every other regime.

    The boundaries of a regime are known by its own elements only, so it goes on from each new one until all
    parts of the ranges belong to one. Of one letter every regime is found, of several those that a net of
    values meets.
    """
    found = [set_up({})]
    refused: set[str] = set()
    while len(found) < MOST:
        unsure = doubtful([e for one in found for e in one.positive], list(ranges))
        for start in _net(frame, unsure, ranges) if unsure else ():
            if str(start) in refused or any(holds_at(start, one.positive, ranges) for one in found):
                continue
            try:
                found.append(
                    set_up({n: Quantity(value, frame.symbols[n].shown.dim) for n, value in start.items()})
                )
                break
            except BadInput:  # no such frame there
                refused.add(str(start))
        else:
            break
    return found


def holds_at(start: Mapping[Name, Any], positive: Sequence[Element], ranges: Ranges) -> bool:
    """Whether a regime holds at values of the letters, or they are on its very boundary."""
    return all(sign >= 0 for sign in signs_at(doubtful(positive, list(ranges)), start))


def parts(assumed: Sequence[Element], letter: Name, low: Any, high: Any) -> list[tuple[End, End | None]]:
    """The parts into which the regimes cut the range of one letter, each between two ends."""
    ends = bound(letter, low), None if high == sp.oo else bound(letter, high)
    unsure = doubtful(assumed, [letter])
    changes = [end for element in unsure for end in zeros(element, letter, (low, high))]
    turns = [end for element in unsure for end in half_turns(element.field, letter, *ends)]
    cuts = in_order([*changes, *turns], letter, *ends)
    return list(zip([ends[0], *cuts], [*cuts, ends[1]], strict=True))


def start_in(low: End, high: End | None, is_angle: bool) -> Any:
    """A value between two ends, a simple number or a simple part of half a turn."""
    width = max(abs(low.high), Fraction(1)) if high is None else high.low - low.high
    value, most = low.high + WITHIN * width, None if high is None else high.low
    coarse, unit = COARSE, Fraction(pi) if is_angle else Fraction(1)
    while True:
        share = (value / unit).limit_denominator(coarse)
        if low.high < share * unit and (most is None or share * unit < most):
            return sp.Rational(share.numerator, share.denominator) * (sp.pi if is_angle else 1)
        coarse *= 2


def _net(frame: Frame, unsure: Sequence[Element], ranges: Ranges) -> Iterator[Mapping[Name, Any]]:
    if len(ranges) == 1:
        ((letter, (low, high)),) = ranges.items()
        for ends in parts(unsure, letter, low, high):
            yield {letter: start_in(*ends, frame.symbols[letter].is_angle)}
        return
    for shares in product(SHARES, repeat=len(ranges)):
        yield {
            name: _at_share(low, high, sp.Rational(share.numerator, share.denominator))
            for (name, (low, high)), share in zip(ranges.items(), shares, strict=True)
        }


def _at_share(low: Any, high: Any, share: Any) -> Any:
    if high == sp.oo:
        return low + share / (1 - share) * max(abs(low), sp.S.One)
    return low + (high - low) * share
