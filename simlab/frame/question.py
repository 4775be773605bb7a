"""What a question is about: its letters, what it gives, what it asks."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees
from typing import Literal

from simlab.frame.quantity import Quantity

Name = str

AskedKind = Literal[
    "thrust",
    "tension",
    "force",
    "across",
    "upwards",
    "moment",
    "reaction",
    "normal",
    "friction",
    "coefficient",
    "value",
    "least",
    "greatest",
    "range",
]
LONG = 10**12  # the denominator of a value that was found to many figures, not given
MOST = 100  # the denominator of a fraction that a class would write
FOUND_FIGURES = 3  # in which such a value is said
Expected = Literal["determined", "not determined", "cannot rest", "falls out", "slips"]


@dataclass(frozen=True)
class Symbol:
    """A letter of the question: its meaning, its dimensions, and the value to demonstrate with.

    `unit` is the unit of its values: "N", "m", "kg", "m/s^2", "deg" for an angle, "" for a ratio.
    `low` and `high` bound the values for which the question is meant, where the author says so. A
    `found` letter is not given but to be found between `low` and `high`; `shown` is then only some value
    between them, until statics puts the one that it has found.
    """

    name: Name
    meaning: str
    unit: str
    shown: Quantity
    low: Quantity | None = None
    high: Quantity | None = None
    found: bool = False

    @property
    def is_angle(self) -> bool:
        """Whether the letter stands for an angle."""
        return self.unit == "deg"

    def in_unit(self, value: Quantity) -> Quantity:
        """A value of this letter in its own unit: of an angle, as a number of degrees."""
        return value * Quantity.of(180) / Quantity.pi() if self.is_angle else value

    def written(self, value: Quantity) -> str:
        """A value of this letter as one writes it in a scene: "35 deg", "0.5 m", "sqrt(2)"."""
        shown = self.in_unit(value)
        return f"{shown.decimal or shown} {self.unit}".rstrip()

    @property
    def looked_in(self) -> str:
        """Where a letter to be found is looked for: "θ between 0° and 90°", "P of at least 0 N"."""
        letter = Quantity.symbol(self.name).plain
        low, high = (
            None if end is None else self.said(end).split(" = ", 1)[1] for end in (self.low, self.high)
        )
        if low is None and high is None:
            return letter
        if low is None or high is None:
            return f"{letter} of at {'least' if high is None else 'most'} {low or high}"
        return f"{letter} between {low} and {high}"

    def said(self, value: Quantity) -> str:
        """The letter and its value as one reads them: "α = 35°", "a = 0.5 m"."""
        letter = Quantity.symbol(self.name).plain
        if self.is_angle:
            angle = self.in_unit(value)
            if _was_found(value):
                return f"{letter} = {degrees(value.number()):.{FOUND_FIGURES}g}°"
            if angle.decimal is None and value.decimal is not None:
                return f"{letter} = {_written(value)} rad"
            return f"{letter} = {_written(angle)}°"
        unit = self.unit.replace("^2", "²").replace("^3", "³")
        return f"{letter} = {_written(value)} {unit}".rstrip()


def _was_found(value: Quantity) -> bool:
    return bool(value.expr.is_Rational and value.expr.q > LONG)


def _written(value: Quantity) -> str:
    """A number as one reads it: a short decimal, an exact expression, or a found one in figures."""
    fraction = value.expr.is_Rational and value.decimal is None and value.expr.q > MOST
    if _was_found(value) or fraction:
        return f"{value.number():.{FOUND_FIGURES}g}"
    return value.decimal.replace("-", "−") if value.decimal is not None else value.plain


@dataclass(frozen=True)
class Asked:
    """One thing the question asks.

    "thrust", "tension" of the light member `at`; "force" (or its component "across" or "upwards") on body
    `on` at connection `at`, "moment" there (built in); "reaction" of a support at connection `at`, its
    "normal" part, "friction", and the "coefficient" of friction that it takes, |F|/N; the "value" of an
    expression in the letters; the "least", the "greatest" or the whole "range" of values of the letter `at`
    to be found, for which the frame can rest.
    """

    words: str
    measure: AskedKind
    at: Name
    on: Name | None = None
    value: Quantity | None = None


@dataclass(frozen=True)
class Given:
    """Something that the question says of a shape or force to be found: left = right, or left <= right.

    `left` is a measure as of something asked ("tension", "thrust", "normal", "friction", or the "value" of
    an expression, such as the distance of two points).
    """

    words: str
    left: Asked
    relation: Literal["=", "<="]
    right: Quantity
