"""Reading an entry's query off forces of any road: N['E'], R['A'][1], J['G']['GH'][1], norm(R['A']).

Of a shape: theta, P['B'][0], norm(P['D'] - P['B']), angle(P['A'], P['B'], P['C']), atan2(y, x). A letter
that was found is what `letters` says.
"""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from published.entries import Entry
from published.frames import contact_name, push_name, support_name
from simlab.frame.model import Frame, Name, Values, Vec
from simlab.frame.quantity import Quantity, total
from simlab.results.forces import Forces, Key

_OPERATIONS: Mapping[type[ast.operator], Callable[[Any, Any], Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}


def exact(
    query: str,
    entry: Entry,
    frame: Frame,
    forces: Forces[Quantity],
    letters: Mapping[Name, Quantity] | None = None,
) -> Quantity:
    """The quantity that a query asks for; the sign behind an `abs` is that at the demonstration data."""

    def size(quantity: Quantity) -> Quantity:
        return -quantity if quantity.number(frame.shown) < 0 else quantity

    def norm(vec: Vec) -> Quantity:
        return total(part * part for part in vec).sqrt()

    def largest(*quantities: Quantity) -> Quantity:
        return max(quantities, key=lambda quantity: quantity.number(frame.shown))

    numbers = _Numbers({**entry.letters, **(letters or {})}, Quantity.of, size, norm, _unit_normal, largest)
    found: Quantity = _Query(query, entry, frame, forces, numbers).value
    return found


def numeric(
    query: str, entry: Entry, frame: Frame, forces: Forces[float], values: Values | None = None
) -> float:
    """The number that a query asks for, at the frame's demonstration data or at other values."""
    at = frame.shown if values is None else values

    def norm(vec: tuple[float, float]) -> float:
        return float((vec[0] ** 2 + vec[1] ** 2) ** 0.5)

    def unit_normal(normal: Vec) -> tuple[float, float]:
        x, y = (part.number(at) for part in normal)
        return x / norm((x, y)), y / norm((x, y))

    named = {node.id for node in ast.walk(ast.parse(query)) if isinstance(node, ast.Name)}
    letters = {name: letter.number(at) for name, letter in entry.letters.items() if name in named}
    numbers = _Numbers(letters, float, abs, norm, unit_normal, max)
    return float(_Query(query, entry, frame, forces, numbers).value)


def _angle_of(y: Quantity, x: Quantity) -> Quantity:
    """The direction of (x, y) with x > 0."""
    return (y / x).function("atan")


def _angle(a: Vec, b: Vec, c: Vec) -> Quantity:
    """The angle ABC."""
    first, second = ((p[0] - b[0], p[1] - b[1]) for p in (a, c))
    dot = first[0] * second[0] + first[1] * second[1]
    lengths = total(part * part for part in first).sqrt() * total(part * part for part in second).sqrt()
    return (dot / lengths).function("acos")


def _unit_normal(normal: Vec) -> Vec:
    """The normals of the entries are of length 1; their squares are summed to see it."""
    square = total(part * part for part in normal)
    if square.expr.simplify() != 1:
        raise ValueError(f"the normal ({normal[0]}, {normal[1]}) is not of length 1")
    return normal


@dataclass(frozen=True)
class _Numbers:
    """How to reckon: with quantities, or with floats."""

    letters: Mapping[str, Any]
    constant: Callable[[Fraction], Any]
    size: Callable[[Any], Any]
    norm: Callable[[Any], Any]
    unit_normal: Callable[[Vec], tuple[Any, Any]]
    largest: Callable[..., Any]


class _Query:
    """One query, walked once; `value` is a Quantity or a float, as the forces are."""

    def __init__(
        self, query: str, entry: Entry, frame: Frame, forces: Forces[Any], numbers: _Numbers
    ) -> None:
        self.query, self.entry, self.frame, self.forces = query, entry, frame, forces
        self.numbers = numbers
        self.functions: dict[str, Callable[..., Any]] = {
            "abs": numbers.size,
            "norm": numbers.norm,
            "max": numbers.largest,
            "hypot": lambda x, y: numbers.norm((x, y)),
            "angle": _angle,
            "atan2": _angle_of,
            **{name: lambda q, name=name: q.function(name) for name in ("sin", "cos", "tan", "atan")},
        }
        self.measures: dict[str, Callable[[Name], Any]] = {
            "R": self._support,
            "N": self._normal,
            "F": self._friction,
            "T": lambda brace: forces.tensions[brace],
            "P": lambda point: frame.points[point],
            "KN": self._pressed,
            "KF": self._rubbed,
        }
        self.value = self._walk(ast.parse(query, mode="eval").body)

    def _walk(self, node: ast.expr) -> Any:
        match node:
            case ast.Constant(value=int() | float() as number):
                return self.numbers.constant(Fraction(str(number)))
            case ast.Name(id=name):
                return self.numbers.letters[name]
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                return -self._walk(operand)
            case ast.BinOp(left=ast.Subscript() as left, op=ast.Sub(), right=ast.Subscript() as right):
                a, b = self._walk(left), self._walk(right)
                return (a[0] - b[0], a[1] - b[1]) if isinstance(a, tuple) else a - b
            case ast.BinOp(left=left, op=operation, right=right):
                return _OPERATIONS[type(operation)](self._walk(left), self._walk(right))
            case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]):
                return self.functions[name](*(self._walk(argument) for argument in arguments))
            case ast.Subscript(
                value=ast.Subscript(value=ast.Name(id="J"), slice=ast.Constant(value=at)),
                slice=ast.Constant(value=str(body)),
            ):
                return self._at_joint(str(at), body)
            case ast.Subscript(value=ast.Name(id=letter), slice=ast.Constant(value=name)):
                measure = self.measures[letter]
                return measure(str(name))
            case ast.Subscript(value=vec, slice=ast.Constant(value=int(component))):
                return self._walk(vec)[component]
        raise ValueError(f"{self.entry.id}: {self.query} cannot be read")

    def _support(self, point: Name) -> Any:
        """The force of the support at a point on the frame."""
        (key,) = (
            key
            for key in self.forces.reactions
            if key == Key(point, point, "ground") or key.by == support_name(point)
        )
        return self.forces.reactions[key].force

    def _normal_of(self, point: Name) -> tuple[Any, Any]:
        (raw,) = (s for s in self.entry["supports"] if s["at"] == point)
        if raw["kind"] == "limiting":  # its reaction mu along the surface and 1 along the normal
            along = raw["dir"].index("1")
            one, nothing = (self.numbers.constant(Fraction(n)) for n in (1, 0))
            return (one, nothing) if along == 0 else (nothing, one)
        x, y = (self.entry.read(part, (0, 0, 0)) for part in raw["normal"])
        return self.numbers.unit_normal((x, y))

    def _normal(self, point: Name) -> Any:
        """The push of a support along its normal."""
        if push_name(point) in self.forces.tensions:
            return -self.forces.tensions[push_name(point)]
        x, y = self._support(point)
        n = self._normal_of(point)
        return x * n[0] + y * n[1]

    def _friction(self, point: Name) -> Any:
        """The friction of a rough support: along the normal turned clockwise through a right angle."""
        x, y = self._support(point)
        n = self._normal_of(point)
        return x * n[1] - y * n[0]

    def _between(self, contact: Name) -> tuple[Any, Any, tuple[Any, Any]]:
        """The force of one body on another at a contact, and the contact's normal."""
        (raw,) = (c for c in self.entry.rows("contacts") if c["id"] == contact)
        x, y = (self.entry.read(part, (0, 0, 0)) for part in raw["normal"])
        force = self.forces.reactions[Key(raw["on"], contact_name(contact), raw["by"])].force
        return (*force, self.numbers.unit_normal((x, y)))

    def _pressed(self, contact: Name) -> Any:
        x, y, n = self._between(contact)
        return x * n[0] + y * n[1]

    def _rubbed(self, contact: Name) -> Any:
        x, y, n = self._between(contact)
        return x * n[1] - y * n[0]

    def _at_joint(self, point: Name, body: Name) -> Any:
        """The force on a body at a hinge: unequivocal where two bodies meet and nothing acts on the pin."""
        acting = [key for key in self.forces.reactions if key.on == point]
        loaded = [load for load in self.frame.loads.values() if load.place.body == point]
        if acting or loaded or len(self.frame.joints[point].bodies) != 2:
            raise ValueError(f"{self.entry.id}: what acts at {point} on {body} depends on the pin")
        return self.forces.reactions[Key(body, point, point)].force
