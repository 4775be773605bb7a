"""Amounts and directions as a class writes them: exactly where that reads well, and in figures."""

from __future__ import annotations

from math import degrees

from simlab.exact.words import turned
from simlab.frame.model import Values
from simlab.frame.quantity import Quantity
from simlab.notation.page import Maths
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.vector import Vector
from simlab.results.wording import Sides, figures, needs_unit, reads_well, scaled, sense, unit_of
from simlab.statics.vectors import to_vertical

Pieces = list[str | Maths]

LONGEST = 34  # [characters] of an exact magnitude or angle beside its components: longer ones say little
FIXED_SPACE = "\u00a0"  # no line is broken between a number and its unit
RIGHT_ANGLE = Quantity.pi() / Quantity.of(2)


def amount(quantity: Quantity, values: Values, conventions: Conventions = HOUSE) -> Pieces:
    """A size, exactly and in numbers: "2 W tan α = 14.8 N", "133 N (exactly 3185/24 N)"."""
    value = quantity.number(values)
    scale, unit = scaled(quantity, value)
    unit = unit.replace(" ", FIXED_SPACE)
    digits = conventions.figures_of(quantity.dim)
    shown = f"{figures(value / scale, digits)}{unit}"
    counted = quantity / Quantity.of(scale)
    is_short = counted.decimal is not None and figures_in(counted.decimal) <= digits
    if conventions.exact == "figures":
        return [_decimal(counted, unit)] if is_short else [shown]
    if quantity.names:
        return [*exactly(quantity, values), f" ={FIXED_SPACE}{shown}"]
    is_rounded = conventions.figures is not None and bool(quantity.dim[0]) and not is_short
    if (is_rounded or not reads_well(counted)) and f"{counted.decimal}{unit}" != shown:
        said: Pieces = [f"{counted.decimal}{unit}"] if counted.decimal else with_unit(counted, unit)
        return [f"{shown} (exactly{FIXED_SPACE}", *said, ")"]
    if counted.decimal is not None:
        return [_decimal(counted, unit)]
    return [*with_unit(counted, unit), f" ={FIXED_SPACE}{shown}"]


def _decimal(counted: Quantity, unit: str) -> str:
    return f"{counted.decimal}{unit}".replace("-", "−")


def figures_in(decimal: str) -> int:
    """How many figures a decimal has: 2 in 120 and in 0.05, 4 in 122.5."""
    whole = decimal.lstrip("-0.").replace(".", "")
    return len(whole if "." in decimal else whole.rstrip("0"))


def exactly(quantity: Quantity, values: Values) -> Pieces:
    """An expression, with its unit if it is a number of it: "W/2", "147μ/20 N"."""
    if not needs_unit(quantity, values):
        return [Maths(quantity.expr)]
    return with_unit(quantity, unit_of(quantity).replace(" ", FIXED_SPACE))


def with_unit(quantity: Quantity, unit: str) -> Pieces:
    """An expression and a unit; a sum in brackets."""
    if quantity.expr.is_Add and unit:
        return ["(", Maths(quantity.expr), f"){unit}"]
    return [Maths(quantity.expr), unit]


def opposite(quantity: Quantity) -> Quantity:
    """The quantity with its sign turned, the minus inside a bracket that has one."""
    return Quantity(turned(quantity.expr), quantity.dim)


def part(quantity: Quantity, values: Values, conventions: Conventions = HOUSE) -> Pieces:
    """A component without its value: the expression, or a number of newtons."""
    if quantity.names and conventions.exact == "surds":
        return exactly(quantity, values)
    return amount(quantity, values, conventions)


def direction(vector: Vector, values: Values, to: Sides, conventions: Conventions = HOUSE) -> Pieces:
    """Which way, with the exact angle: "at arctan(2/3) = 33.7° below the horizontal, to the right".

    Or, as a class has it, "at arctan(3/2) = 56.3° to the downward vertical, to the right".
    """
    if vector.up == 0 or vector.right == 0:
        return ["" if vector.right else "straight ", sense(vector.right, vector.up, to)]
    side = sense(vector.right, 0, to)
    upright = RIGHT_ANGLE - vector.angle
    is_shorter = bool(upright.names) and _is_plain_angle(upright) and not _is_letter(vector.angle)
    if conventions.angle_to is None and is_shorter:
        line = f" to the vertical, {sense(0, vector.up, to)}, {side}"
        return ["at ", *angle(upright, values, conventions), line]
    if conventions.angle_to == "vertical":
        line = f" to the {'upward' if vector.up > 0 else 'downward'} vertical, {side}"
        return ["at ", *_short(to_vertical(vector, values), values, conventions), line]
    line = f" {'above' if vector.up > 0 else 'below'} the horizontal, {side}"
    return ["at ", *_short(vector.angle, values, conventions), line]


def _short(quantity: Quantity, values: Values, conventions: Conventions) -> Pieces:
    """An angle, exactly only where that is not too long to read."""
    if len(quantity.plain) > LONGEST:
        return [in_degrees(quantity, values)]
    return angle(quantity, values, conventions)


def _is_letter(angle: Quantity) -> bool:
    return bool(angle.expr.is_Symbol)


def _is_plain_angle(angle: Quantity) -> bool:
    """θ, 2θ, θ/2: a multiple of one letter."""
    return bool(angle.expr.as_coeff_Mul()[1].is_Symbol)


def _is_degrees(angle: Quantity) -> bool:
    return not angle.names and bool(angle.expr.as_coeff_Mul()[1] == Quantity.pi().expr)


def in_degrees(quantity: Quantity, values: Values) -> str:
    """An angle in figures: 33.7°."""
    return f"{figures(degrees(quantity.number(values)))}°"


def angle(quantity: Quantity, values: Values, conventions: Conventions = HOUSE) -> Pieces:
    """An angle in degrees: "arctan(1/3) = 18.4°", "90° − θ = 50.0°", "30°"."""
    if quantity.is_zero:
        return ["0°"]
    if _is_degrees(quantity):
        return [Maths(quantity.expr, True)]
    if conventions.exact == "figures":
        return [in_degrees(quantity, values)]
    return [Maths(quantity.expr, True), f" ={FIXED_SPACE}{in_degrees(quantity, values)}"]
