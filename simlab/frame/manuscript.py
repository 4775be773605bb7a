"""A scene as its author wrote it: letters, points and numbers read exactly, messages that say where."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from simlab.errors import BadInput, SceneError, nearest
from simlab.frame import expression
from simlab.frame.model import GROUND, Vec
from simlab.frame.points import Points, of_kind
from simlab.frame.quantity import (
    ACCELERATION,
    FORCE,
    FORCE_PER_LENGTH,
    LENGTH,
    MASS,
    MOMENT,
    NUMBER,
    Dim,
    Quantity,
)
from simlab.frame.question import Name, Symbol
from simlab.frame.scene_entries import SceneEntry, SymbolEntry
from simlab.frame.scene_file import SceneText
from simlab.frame.words import Exact, Heading

_UNIT_OF_DIM = {
    FORCE: "N",
    LENGTH: "m",
    MASS: "kg",
    ACCELERATION: "m/s^2",
    MOMENT: "N m",
    FORCE_PER_LENGTH: "N/m",
    NUMBER: "",
}
_RESERVED = {GROUND, "pi", "any", *expression.FUNCTIONS}
_ANY = "any"  # no upper end
G = "g"  # the letter of gravity, where a class writes weights as m g
# Where a letter to be found is drawn until it is found: off the middle, where shapes are special.
WITHIN = Quantity.of(Fraction(37, 100))


def somewhere(low: Quantity, high: Quantity, values: Mapping[Name, Quantity]) -> Quantity:
    """A value between two ends, at the values of the letters in them: low + 37/100 (high - low)."""
    return (low + (high - low) * WITHIN).at(values)


class Manuscript:
    """The text of a scene with everything in it that is a number, a letter or a point.

    `shown` holds the value of each letter, by which "above" and "nearer" are settled. `gravity` is a
    class's g [m/s^2] in place of the scene's own; with `letter` it is the letter g: weights are m g.
    """

    def __init__(self, text: SceneText, gravity: Quantity | None = None, letter: bool = False) -> None:
        self.text = text
        self.entry: SceneEntry = text.decode()
        self.letters: dict[Name, Quantity] = {}
        self.symbols: dict[Name, Symbol] = {}
        for given in (True, False):  # the ends of a range may be said in given letters
            for name, entry in self.entry.symbols.items():
                if (entry.between is None) == given:
                    self._declare(self._given(name, entry) if given else self._to_find(name, entry))
        self.symbols = {name: self.symbols[name] for name in self.entry.symbols}
        for let, written in self.entry.lets.items():
            self.letters[self._new_name(let, "lets")] = self.read(written, "lets", let)
        self.gravity = self._gravity(gravity, letter)
        self.shown = {name: symbol.shown for name, symbol in self.symbols.items()}
        self.has_masses = False
        self.points = Points(
            self.entry.points,
            lambda t: expression.read(str(t), self.letters),
            self.shown,
            [name for name, symbol in self.symbols.items() if symbol.found],
        )

    def weight_of(self, mass: Quantity) -> Quantity:
        """The weight of a mass that the scene gives."""
        self.has_masses = True
        return mass * self.gravity

    def _gravity(self, of_class: Quantity | None, letter: bool) -> Quantity:
        """The scene's own g, or the class's; a g/6, as on the Moon, is the scene's own affair."""
        own = self.read(self.entry.gravity, "", "gravity", ACCELERATION)
        if not (own.names or letter):
            return of_class or own
        name = str(own) if own.names else G
        if name == G and G not in self.letters:
            self._declare(Symbol(G, "acceleration of free fall", "m/s^2", own, own, own))
        if name not in self.symbols:
            return own
        symbol = self.symbols[name]
        if symbol.shown.dim != ACCELERATION:
            message = f'"{G}" is another letter here, so weights cannot be written m{G}. Rename it.'
            raise self.error(message, "symbols", G)
        if of_class is not None:
            self.symbols[name] = replace(symbol, shown=of_class, low=of_class, high=of_class)
        return self.letters[name]

    def error(self, message: str, table: str = "", key: str = "") -> SceneError:
        """A SceneError that says where."""
        return self.text.error(message, table, key)

    def read(self, written: Exact, table: str, key: str, dim: Dim | None = None) -> Quantity:
        """An exact expression, of the dimensions wanted; raises SceneError otherwise."""
        try:
            quantity = expression.read(str(written), self.letters)
            return quantity if dim is None else of_kind(quantity, dim)
        except BadInput as error:
            raise self.error(str(error), table, key) from None

    def point(self, name: Name, table: str, key: str) -> Vec:
        """Where a point is; raises SceneError when it cannot be had."""
        try:
            return self.points[name]
        except BadInput as error:
            raise self.error(str(error), table, key) from None

    def number(self, quantity: Quantity) -> float:
        """A quantity's value at the demonstration values."""
        return quantity.number(self.shown)

    def declared(self, point: Name, table: str, key: str) -> Name:
        """The point's name, if there is such a point; raises SceneError otherwise."""
        if point not in self.entry.points:
            declared = ", ".join(self.entry.points)
            raise self.error(
                f'point "{point}" is not declared. Declared points: {declared}. '
                f"Add {point} to [points] or correct the name." + nearest(point, self.entry.points),
                table,
                key,
            )
        return point

    def _new_name(self, name: str, table: str) -> str:
        if not expression.NAME.fullmatch(name) or "__" in name or name in _RESERVED:
            raise self.error(
                f'"{name}" cannot be a letter here: letters, digits and "_", beginning with a letter.',
                table,
                name,
            )
        if name in self.letters:
            raise self.error(f'"{name}" is declared twice.', table, name)
        return name

    def _declare(self, symbol: Symbol) -> None:
        """A letter to be found may be negative if its range goes below 0; given ones go by their value."""
        name = self._new_name(symbol.name, "symbols")
        positive = symbol.shown.number() > 0
        if symbol.found and symbol.low is not None:
            positive = symbol.low.number({n: s.shown for n, s in self.symbols.items()}) >= 0
        self.symbols[name] = symbol
        self.letters[name] = Quantity.symbol(name, symbol.shown.dim, positive)

    def _unit(self, name: Name, quantity: Quantity, *written: Exact) -> str:
        if quantity.dim not in _UNIT_OF_DIM:
            raise self.error(
                f"{written[0]} is neither a force, a length, a mass, a moment, an angle nor a ratio.",
                "symbols",
                name,
            )
        is_angle = quantity.dim == NUMBER and any(re.search(r"\b(deg|rad|pi)\b", str(w)) for w in written)
        return "deg" if is_angle else _UNIT_OF_DIM[quantity.dim]

    def _given(self, name: Name, entry: SymbolEntry) -> Symbol:
        if entry.shown is None:
            raise self.error(
                'give the value shown = "..." of a given letter, or between = ["...", "..."] of one to be '
                "found.",
                "symbols",
                name,
            )
        shown = self._number(entry.shown, name)
        unit = self._unit(name, shown, entry.shown)
        low = None if entry.low is None else self._number(entry.low, name, shown.dim)
        high = None if entry.high is None else self._number(entry.high, name, shown.dim)
        return Symbol(name, entry.meaning, unit, shown, low, high)

    def _number(self, written: Exact, name: Name, dim: Dim | None = None) -> Quantity:
        quantity = self.read(written, "symbols", name, dim)
        if quantity.names:
            raise self.error(
                f"{written} is no value: it has the letter {min(quantity.names)} in it.", "symbols", name
            )
        return quantity

    def _to_find(self, name: Name, entry: SymbolEntry) -> Symbol:
        if entry.shown is not None or entry.low is not None or entry.high is not None:
            raise self.error(
                "between is for a letter to be found; shown, low and high for a given one. Give the one or "
                "the other.",
                "symbols",
                name,
            )
        first, last = entry.between or (0, 0)
        low = self.read(first, "symbols", name)
        unbounded = last == _ANY
        high = low if unbounded else self.read(last, "symbols", name)
        if low.dim != high.dim:  # "0" needs no unit beside another end that has one
            low, high = (self._like(end, other, name) for end, other in ((low, high), (high, low)))
        unit = self._unit(name, low, first, last)
        given = {n: s.shown for n, s in self.symbols.items()}
        if unbounded:
            step = next((s.shown for s in self.symbols.values() if s.unit == unit), Quantity.of(1, low.dim))
            shown = somewhere(low, low + step, given)
            return Symbol(name, entry.meaning, unit, shown, low, None, found=True)
        return Symbol(name, entry.meaning, unit, somewhere(low, high, given), low, high, found=True)

    def _like(self, end: Quantity, other: Quantity, name: Name) -> Quantity:
        if end.is_zero and end.dim == NUMBER:
            return Quantity.zero(other.dim)
        if not (other.is_zero and other.dim == NUMBER):
            raise self.error(f"its ends {end} and {other} are unlike things.", "symbols", name)
        return end

    def turned(self, way: Vec, side: Heading, table: str, key: str) -> Vec:
        """`way` turned through a right angle so that it points to `side`."""
        try:
            return self.points.turned_to(way, side)
        except BadInput as error:
            raise self.error(str(error), table, key) from None
