"""Amounts and directions as a class writes them: exactly where that reads well, and in three figures."""

from __future__ import annotations

from math import degrees

from simlab.exact.words import turned
from simlab.frame.model import Values
from simlab.frame.quantity import NUMBER, Quantity
from simlab.notation.page import Maths
from simlab.results.vector import Vector
from simlab.results.wording import Sides, figures, reads_well, sense, unit_of

Pieces = list[str | Maths]

LONGEST = 34  # [characters] of an exact magnitude or angle beside its components: longer ones say little
FIXED_SPACE = "\u00a0"  # no line is broken between a number and its unit
RIGHT_ANGLE = Quantity.pi() / Quantity.of(2)
INVERSES = ("asin(", "acos(", "atan(")


def amount(quantity: Quantity, values: Values) -> Pieces:
    """A size, exactly and in numbers: "2 W tan α = 14.8 N", "133 N (exactly 3185/24 N)"."""
    unit = unit_of(quantity).replace(" ", FIXED_SPACE)
    shown = f"{figures(quantity.number(values))}{unit}"
    if quantity.names:
        return [Maths(quantity.expr), f" ={FIXED_SPACE}{shown}"]
    exact: str | Maths = quantity.decimal or Maths(quantity.expr)
    if not reads_well(quantity) and f"{quantity.decimal}{unit}" != shown:
        return [f"{shown} (exactly{FIXED_SPACE}", exact, f"{unit})"]
    if quantity.decimal is not None:
        return [f"{quantity.decimal}{unit}"]
    return [exact, f"{unit} ={FIXED_SPACE}{shown}"]


def opposite(quantity: Quantity) -> Quantity:
    """The quantity with its sign turned, the minus inside a bracket that has one."""
    return Quantity(turned(quantity.expr), quantity.dim)


def part(quantity: Quantity, values: Values) -> Pieces:
    """A component without its value: the expression, or a number of newtons."""
    return [Maths(quantity.expr)] if quantity.names else amount(quantity, values)


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


def is_angle(quantity: Quantity) -> bool:
    """Whether a ratio is plainly an angle: a multiple of pi, or an inverse function of something."""
    text = str(quantity)
    return quantity.dim == NUMBER and ("pi" in text or text.startswith(INVERSES))


def angle(quantity: Quantity, values: Values) -> Pieces:
    """An angle in degrees: "arctan(1/3) = 18.4°", "90° − θ = 50.0°", "30°"."""
    if _is_degrees(quantity):
        return [Maths(quantity.expr, True)]
    shown = f"{figures(degrees(quantity.number(values)))}°"
    return [Maths(quantity.expr, True), f" ={FIXED_SPACE}{shown}"]
