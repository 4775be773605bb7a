"""Safe exact expressions: a whitelist walk over Python's own syntax tree, never an evaluation.

    "2*a*sin(alpha)"   "a*sqrt(3)/2"   "30 deg"   "1.5 kN"   "9.8 m/s^2"

Numbers are exact: 0.1 is one tenth. A unit follows its number, fraction or bracket after a space: "3/4 m".
`^` is a power.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Mapping
from fractions import Fraction

from simlab.errors import BadInput, nearest
from simlab.frame.quantity import (
    ACCELERATION,
    FORCE,
    FORCE_PER_LENGTH,
    LENGTH,
    MASS,
    MOMENT,
    NUMBER,
    Quantity,
)

UNITS: Mapping[str, Quantity] = {
    "kN m": Quantity.of(1000, MOMENT),
    "N m": Quantity.of(1, MOMENT),
    "kN/m": Quantity.of(1000, FORCE_PER_LENGTH),
    "N/m": Quantity.of(1, FORCE_PER_LENGTH),
    "kN": Quantity.of(1000, FORCE),
    "N": Quantity.of(1, FORCE),
    "km": Quantity.of(1000, LENGTH),
    "cm": Quantity.of(Fraction(1, 100), LENGTH),
    "mm": Quantity.of(Fraction(1, 1000), LENGTH),
    "m/s^2": Quantity.of(1, ACCELERATION),
    "m": Quantity.of(1, LENGTH),
    "kg": Quantity.of(1, MASS),
    "deg": Quantity.pi() / Quantity.of(180),
    "rad": Quantity.of(1),
}
FUNCTIONS = ("sin", "cos", "tan", "cot", "sec", "csc", "asin", "acos", "atan", "sqrt")

# Limits: far above any question in a book, far below what could keep a machine busy.
MAX_CHARACTERS = 400
MAX_DEPTH = 40  # of brackets; deeper nesting would break the compiler behind ast.parse
MAX_DIGITS = 15
MAX_POWER = 8  # of one power, and of nested powers multiplied together

_ALLOWED = re.compile(r"[A-Za-z0-9_+\-*/^().,' ]*")
_UNIT = re.compile(
    r"(?<![\w.])((?:\d+/)?(?:\d+\.?\d*|\.\d+))\s+(" + "|".join(re.escape(u) for u in UNITS) + r")(?![\w(])"
)
_UNIT_AFTER_BRACKET = re.compile(  # sqrt(3) m, sqrt(3)/2 m
    r"\)(/\d+)?\s+(" + "|".join(re.escape(u) for u in UNITS) + r")(?![\w(])"
)
NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*'*")


def read(text: str, symbols: Mapping[str, Quantity]) -> Quantity:
    """Read an exact expression in the given letters.

    Raises BadInput with what came and what is allowed.

    >>> str(read("3/4 + 0.25", {})), str(read("2 kN", {})), str(read("cos(60 deg)", {}))
    ('1', '2000', '1/2')
    """
    _screen(text)
    unit_of: dict[str, Quantity] = {}

    def with_unit(match: re.Match[str]) -> str:
        name = f"unit_{len(unit_of)}_"
        unit_of[name] = UNITS[match[2]]
        return f"({match[1]}*{name})"

    def after_bracket(match: re.Match[str]) -> str:
        name = f"unit_{len(unit_of)}_"
        unit_of[name] = UNITS[match[2]]
        return f"){match[1] or ''}*{name}"

    source = _UNIT_AFTER_BRACKET.sub(after_bracket, text)
    source = _UNIT.sub(with_unit, source).replace("^", "**").strip()
    try:
        tree = ast.parse(source, mode="eval")
    except (SyntaxError, ValueError, MemoryError, RecursionError):
        raise BadInput(
            f'"{text}" is not an expression. Write for example "2*a*sin(alpha)", "30 deg" or "3 m"'
        ) from None
    return _Walk(source, symbols, unit_of).quantity(tree.body)


def _screen(text: str) -> None:
    """Refuse what must not even reach the parser."""
    if not text.strip():
        raise BadInput('an empty expression. Write a number or an expression such as "2*a"')
    if len(text) > MAX_CHARACTERS:
        raise BadInput(f"an expression of {len(text)} characters; at most {MAX_CHARACTERS} are read")
    match = _ALLOWED.match(text)
    if match is None or match.end() < len(text):
        bad = text[match.end() if match else 0]
        raise BadInput(f'"{text}" contains {bad!r}; allowed are letters, digits and + - * / ^ ( ) .')
    if "__" in text:
        raise BadInput(f'"{text}" contains "__", which no name may')
    depth = deepest = 0
    for character in text:
        depth += (character == "(") - (character == ")")
        deepest = max(deepest, depth)
    if deepest > MAX_DEPTH:
        raise BadInput(f"an expression with brackets {deepest} deep; at most {MAX_DEPTH} are read")
    if re.search(rf"\d{{{MAX_DIGITS + 1}}}", text):
        raise BadInput(f'"{text}" has a number of more than {MAX_DIGITS} digits')


class _Walk:
    """One pass over one syntax tree; whatever it does not name is refused."""

    def __init__(self, source: str, symbols: Mapping[str, Quantity], units: Mapping[str, Quantity]) -> None:
        self.source = source
        self.symbols = symbols
        self.units = units

    def quantity(self, node: ast.expr, power: int = 1) -> Quantity:
        match node:
            case ast.Constant():
                return self._number(node)
            case ast.Name(id=name):
                return self._letter(name)
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return -self.quantity(operand, power)
            case ast.UnaryOp(op=ast.UAdd(), operand=operand):
                return self.quantity(operand, power)
            case ast.BinOp(left=left, op=ast.Pow(), right=right):
                exponent = self._exponent(right, power)
                return self.quantity(left, power * max(1, abs(exponent))) ** exponent
            case ast.BinOp(left=left, op=operation, right=right):
                return self._combine(self.quantity(left, power), operation, self.quantity(right, power))
            case ast.Call(func=ast.Name(id=name), args=[argument], keywords=[]) if name in FUNCTIONS:
                inner = self.quantity(argument, power)
                return inner.sqrt() if name == "sqrt" else inner.function(name)
            case ast.Call(func=ast.Name(id=name)):
                raise BadInput(
                    f'"{name}(...)" is not known. Functions of one argument: {", ".join(FUNCTIONS)}.'
                    + nearest(name, FUNCTIONS)
                )
        raise BadInput(
            f'"{ast.get_source_segment(self.source, node)}" is not allowed in an expression; '
            "allowed are numbers, declared letters, + - * / ^ and " + ", ".join(FUNCTIONS)
        )

    def _number(self, node: ast.Constant) -> Quantity:
        written = ast.get_source_segment(self.source, node) or ""
        if not re.fullmatch(r"\d+\.?\d*|\.\d+", written):
            raise BadInput(f'"{written}" is not a plain number such as 12 or 0.75')
        return Quantity.of(Fraction(written.rstrip(".")))

    def _letter(self, name: str) -> Quantity:
        if name in self.units:
            return self.units[name]
        if name in self.symbols:
            return self.symbols[name]
        if name == "pi":
            return Quantity.pi()
        known = ", ".join(self.symbols) or "none"
        raise BadInput(
            f'"{name}" is not declared. Declared letters: {known}. Add it to [symbols] or correct '
            f'the name (a unit stands after its number: "3 m").' + nearest(name, self.symbols)
        )

    def _exponent(self, node: ast.expr, outer: int) -> int:
        exponent = self.quantity(node)
        if exponent.dim != NUMBER or not exponent.expr.is_Integer:
            raise BadInput(f'the exponent "{exponent}" is not a whole number (write sqrt(...) for a root)')
        whole = int(exponent.expr)
        if abs(whole) * outer > MAX_POWER:
            raise BadInput(f"the power {whole} is too high; powers up to {MAX_POWER} are read")
        return whole

    def _combine(self, left: Quantity, operation: ast.operator, right: Quantity) -> Quantity:
        match operation:
            case ast.Add():
                return left + right
            case ast.Sub():
                return left - right
            case ast.Mult():
                return left * right
            case ast.Div():
                return left / right
        raise BadInput(f"{type(operation).__name__} is not allowed; write + - * / or ^")
