"""Letters: the given ones of a question, with the values between which a watcher may move them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor, log10

from simlab.errors import BadInput, nearest
from simlab.frame.model import Frame, Name, Values
from simlab.frame.numbers import Numbers
from simlab.frame.quantity import Quantity
from simlab.frame.question import Symbol
from simlab.frame.soundness import check

STEPS = 40  # of a range, about, in clean figures
LOW, HIGH = Fraction(1, 4), Fraction(3)  # times the value shown, where the author names no ends
LEAST_ANGLE, MOST_ANGLE = Fraction(5), Fraction(85)  # [deg], likewise
HALF_TURN = 180
FIGURES = 10**6  # the largest denominator of a value that was no fraction


@dataclass(frozen=True)
class Letter:
    """A letter and its value now.

    symbol : as it is written; tex : likewise; meaning : in words; low, high, value, in the unit
    """

    name: Name
    symbol: str
    tex: str
    meaning: str
    low: Fraction
    high: Fraction
    value: Fraction
    unit: str
    is_angle: bool


def letters_of(frame: Frame, values: Values) -> tuple[Letter, ...]:
    """The given letters of a frame, in its order."""
    given = (symbol for symbol in frame.symbols.values() if not symbol.found)
    return tuple(_letter(symbol, values[symbol.name]) for symbol in given if _moves(symbol))


def _moves(symbol: Symbol) -> bool:
    """Whether there is more than one value for it: g is as it is."""
    return symbol.low is None or symbol.high is None or symbol.low.number() < symbol.high.number()


def _letter(symbol: Symbol, value: Quantity) -> Letter:
    quantity = Quantity.symbol(symbol.name)
    now = _in_unit(symbol, value)
    low, high = (
        _end(symbol, end, _in_unit(symbol, symbol.shown), i)
        for i, end in enumerate((symbol.low, symbol.high))
    )
    unit = "°" if symbol.is_angle else symbol.unit.replace("^2", "²")
    return Letter(
        symbol.name,
        quantity.plain,
        quantity.tex,
        symbol.meaning,
        min(low, now),
        max(high, now),
        now,
        unit,
        symbol.is_angle,
    )


def _in_unit(symbol: Symbol, value: Quantity) -> Fraction:
    """A value in the letter's own unit."""
    shown = symbol.in_unit(value)
    if shown.expr.is_Rational:
        return Fraction(int(shown.expr.p), int(shown.expr.q))
    return Fraction(shown.number()).limit_denominator(FIGURES)


def _end(symbol: Symbol, end: Quantity | None, shown: Fraction, which: int) -> Fraction:
    if end is not None:
        return _in_unit(symbol, end)
    if symbol.is_angle:
        return (min(LEAST_ANGLE, shown), max(MOST_ANGLE, shown))[which]
    far = shown * (LOW, HIGH)[which] if shown > 0 else shown + (-1, 1)[which]
    step = clean(abs(far) / 4)
    return Fraction(ceil(far / step) if which == 0 else floor(far / step)) * step


def clean(size: Fraction) -> Fraction:
    """The largest of 1, 2 and 5 times a power of ten that is not above a size.

    >>> clean(Fraction(3, 10))
    Fraction(1, 5)
    """
    if size <= 0:
        return Fraction(1)
    power = Fraction(10) ** floor(log10(size))
    return max(factor * power for factor in (1, 2, 5) if factor * power <= size)


def steps_of(letter: Letter) -> tuple[Fraction, ...]:
    """The values that a slider goes through: whole degrees, or about fortieths of the range; its ends."""
    step = Fraction(1) if letter.is_angle else clean((letter.high - letter.low) / STEPS)
    first, last = ceil(letter.low / step), floor(letter.high / step)
    between = [step * k for k in range(first, last + 1)]
    return tuple(sorted({letter.low, *between, letter.high}))


class Lettering:
    """A frame whose given letters can be moved: what it is at other values, quickly."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self._numbers: Numbers | None = None  # until it is first asked for: it takes a moment

    def at(self, values: Values) -> tuple[Frame, dict[object, float]]:
        """The frame with other values shown, and the numbers of its expressions at them.

        Raises BadInput where that is no frame.
        """
        self._numbers = self._numbers or Numbers(self.frame)
        symbols = {
            name: symbol if symbol.found else replace(symbol, shown=values[name])
            for name, symbol in self.frame.symbols.items()
        }
        frame = replace(self.frame, symbols=symbols)
        known = self._numbers.at(frame.shown)

        def number(quantity: Quantity) -> float:
            return known[quantity.expr] if quantity.expr in known else quantity.number(frame.shown)

        check(frame, _complaint, number)
        return frame, known


def _complaint(message: str, _table: str, key: str) -> BadInput:
    return BadInput(f"{key}: {message}")


def moved(frame: Frame, values: Values, name: Name, value: Fraction) -> Values:
    """The values with another one for a letter, given in its unit.

    Raises BadInput for a letter that is not given, and a value out of its range.
    """
    letters = {letter.name: letter for letter in letters_of(frame, values)}
    if name not in letters:
        known = ", ".join(letters) or "none"
        raise BadInput(
            f'"{name}" is no letter that can be moved. Letters: {known}.' + nearest(name, letters)
        )
    letter, symbol = letters[name], frame.symbols[name]
    if not letter.low <= value <= letter.high:
        low, high, came = (said(letter, end) for end in (letter.low, letter.high, value))
        raise BadInput(f"{letter.symbol} goes from {low} to {high}, so it cannot be {came}.")
    quantity = Quantity.of(value, symbol.shown.dim)
    exact = quantity.times_pi / Quantity.of(HALF_TURN) if symbol.is_angle else quantity
    return {**values, name: exact}


def said(letter: Letter, value: Fraction) -> str:
    """A value of a letter as one reads it: "35°", "0.5 m"."""
    number = Quantity.of(value).decimal or f"{float(value):.3g}"
    space = "" if letter.is_angle or not letter.unit else " "
    return f"{number}{space}{letter.unit}"


def impossible(letter: Letter, value: Fraction, why: BadInput) -> BadInput:
    """What is said of a value at which there is no frame."""
    return BadInput(f"{letter.symbol} = {said(letter, value)} makes no frame: {why}")


def by_name(letters: Iterable[Letter], name: Name) -> Letter:
    """The letter of a name."""
    return next(letter for letter in letters if letter.name == name)
