"""Amounts and directions as a class writes them: exactly where that reads well, and in three figures."""

from __future__ import annotations

from math import degrees

from simlab.exact.words import turned
from simlab.frame.model import Values
from simlab.frame.quantity import Quantity
from simlab.notation.page import Maths
from simlab.results.vector import Vector
from simlab.results.wording import Sides, figures, needs_unit, reads_well, scaled, sense, unit_of

Pieces = list[str | Maths]

LONGEST = 34  # [characters] of an exact magnitude or angle beside its components: longer ones say little
FIXED_SPACE = "\u00a0"  # no line is broken between a number and its unit
RIGHT_ANGLE = Quantity.pi() / Quantity.of(2)


def amount(quantity: Quantity, values: Values) -> Pieces:
    """A size, exactly and in numbers: "2 W tan α = 14.8 N", "133 N (exactly 3185/24 N)"."""
    value = quantity.number(values)
    scale, unit = scaled(quantity, value)
    unit = unit.replace(" ", FIXED_SPACE)
    shown = f"{figures(value / scale)}{unit}"
    if quantity.names:
        return [*exactly(quantity, values), f" ={FIXED_SPACE}{shown}"]
    counted = quantity / Quantity.of(scale)
    if not reads_well(counted) and f"{counted.decimal}{unit}" != shown:
        said: Pieces = [f"{counted.decimal}{unit}"] if counted.decimal else with_unit(counted, unit)
        return [f"{shown} (exactly{FIXED_SPACE}", *said, ")"]
    if counted.decimal is not None:
        return [f"{counted.decimal}{unit}".replace("-", "−")]
    return [*with_unit(counted, unit), f" ={FIXED_SPACE}{shown}"]


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


def part(quantity: Quantity, values: Values) -> Pieces:
    """A component without its value: the expression, or a number of newtons."""
    return exactly(quantity, values) if quantity.names else amount(quantity, values)


def direction(vector: Vector, values: Values, to: Sides) -> Pieces:
    """Which way, with the exact angle: "at arctan(2/3) = 33.7° below the horizontal"."""
    if vector.up == 0 or vector.right == 0:
        return ["" if vector.right else "straight ", sense(vector.right, vector.up, to)]
    side = sense(vector.right, 0, to)
    upright = RIGHT_ANGLE - vector.angle
    if upright.names and _is_plain_angle(upright) and not _is_letter(vector.angle):
        value = f" ={FIXED_SPACE}{figures(degrees(upright.number(values)))}°"
        return [
            "at ",
            Maths(upright.expr, True),
            f"{value} to the vertical, {sense(0, vector.up, to)}, {side}",
        ]
    where = f"{'above' if vector.up > 0 else 'below'} the horizontal, {side}"
    shown = f"{figures(degrees(vector.angle.number(values)))}°"
    if _is_degrees(vector.angle):
        return ["at ", Maths(vector.angle.expr, True), f" {where}"]
    if len(vector.angle.plain) > LONGEST:
        return [f"at {shown} {where}"]
    return ["at ", Maths(vector.angle.expr, True), f" ={FIXED_SPACE}{shown} {where}"]


def _is_letter(angle: Quantity) -> bool:
    return bool(angle.expr.is_Symbol)


def _is_plain_angle(angle: Quantity) -> bool:
    """θ, 2θ, θ/2: a multiple of one letter."""
    return bool(angle.expr.as_coeff_Mul()[1].is_Symbol)


def _is_degrees(angle: Quantity) -> bool:
    return not angle.names and bool(angle.expr.as_coeff_Mul()[1] == Quantity.pi().expr)


def angle(quantity: Quantity, values: Values) -> Pieces:
    """An angle in degrees: "arctan(1/3) = 18.4°", "90° − θ = 50.0°", "30°"."""
    if quantity.is_zero:
        return ["0°"]
    if _is_degrees(quantity):
        return [Maths(quantity.expr, True)]
    shown = f"{figures(degrees(quantity.number(values)))}°"
    return [Maths(quantity.expr, True), f" ={FIXED_SPACE}{shown}"]
