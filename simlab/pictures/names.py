"""Names and quantities as mathematics: what stands beside a point, a weight, an arrow."""

from __future__ import annotations

import re
from fractions import Fraction
from math import floor, log10

from simlab.frame.model import Name
from simlab.frame.quantity import Quantity

FIGURES = 3  # significant: what a class writes
NICE_MASS = 10  # weights whose mass has a denominator up to this are written as mass times g
_LETTER = re.compile(r"([A-Za-z])(\d*)('*)")


def point_name(name: Name) -> str:
    """A point's name as mathematics: K, A_1, A', or upright words.

    >>> point_name("A1"), point_name("foot")
    ('$A_{1}$', 'foot')
    """
    match = _LETTER.fullmatch(name)
    if match is None:
        return name.replace("_", " ")
    letter, digits, primes = match.groups()
    return f"${letter}{f'_{{{digits}}}' if digits else ''}{primes}$"


def exact(quantity: Quantity, unit: str = "") -> str:
    """An exact quantity as mathematics, between dollar signs."""
    return f"${quantity.tex}$" + (f" {unit}" if unit and not quantity.names else "")


def weight_name(weight: Quantity, gravity: Quantity) -> str:
    """A weight as one writes it beside its arrow: 2W, 6g N, 30 N."""
    if weight.names or gravity.names or gravity.is_zero:
        return exact(weight, "N")
    newtons, g = weight.number(), gravity.number()
    mass = Fraction(newtons / g).limit_denominator(NICE_MASS)
    if mass and abs(float(mass) * g - newtons) <= ROUNDING * newtons:
        number = (
            str(mass.numerator)
            if mass.denominator == 1
            else f"\\frac{{{mass.numerator}}}{{{mass.denominator}}}"
        )
        return f"${'' if mass == 1 else number}g$ N"
    return f"{figures(newtons)} N"


ROUNDING = 1e-12  # doubles that differ by less, relatively, come from the same number


def figures(value: float, n: int = FIGURES) -> str:
    """A number to n significant figures, with a true minus sign and no exponent.

    >>> figures(12.345), figures(-0.001234), figures(0.0), figures(123456.0)
    ('12.3', '−0.00123', '0', '123000')
    """
    if value == 0:
        return "0"
    places = n - 1 - floor(log10(abs(value)))
    rounded = round(value, places)
    places = n - 1 - floor(log10(abs(rounded)))  # 9.996 becomes 10.0
    return f"{rounded:.{max(0, places)}f}".replace("-", "−")
