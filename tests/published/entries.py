"""The entries of statics.json, and their letters."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any

from simlab.frame import expression
from simlab.frame.quantity import ACCELERATION, FORCE, LENGTH, MASS, NUMBER, Dim, Quantity
from simlab.frame.question import Name, Symbol

STATICS = Path(__file__).with_name("statics.json")

# What a letter stands for. The entries do not say; their statements do.
_UNITS: Mapping[str, tuple[str, ...]] = {
    "N": ("W", "w", "U", "V", "v", "P", "P0", "T0", "S"),
    "m": ("a", "b", "c", "d", "h", "l", "p", "q", "t", "x", "H", "L"),
    "deg": ("alpha", "beta", "gamma", "theta", "phi"),
    "m/s^2": ("g",),
    "kg": ("m",),
    "": ("k", "r"),
}
_UNIT_IN_ENTRY: Mapping[tuple[str, str], str] = {
    ("rod-tangent-to-cylinder-on-ground", "t"): "deg",  # half the rod's inclination
    ("cantilever-suspended-span-bridge", "w"): "N/m",  # weight of a unit length
}
_DIMS: Mapping[str, Dim] = {
    "N": FORCE,
    "m": LENGTH,
    "deg": NUMBER,
    "m/s^2": ACCELERATION,
    "kg": MASS,
    "": NUMBER,
    "N/m": (1, -1, 0),
}


@dataclass(frozen=True)
class Question:
    """One asked quantity: its words, how it is read off, the answer as text, its value [N, or a ratio]."""

    words: str
    query: str
    answer: str
    value: float


@dataclass(frozen=True)
class Entry:
    """One problem of statics.json."""

    id: str
    raw: Mapping[str, Any]

    def __getitem__(self, key: str) -> Any:
        return self.raw[key]

    def rows(self, key: str) -> list[dict[str, Any]]:
        """A table of the entry that may be absent: joints, loads, contacts."""
        return list(self.raw.get(key, []))

    @property
    def source(self) -> str:
        """The source, and what the answer's origin means, in the words of README.md."""
        origin = {
            "published": "the value, or an equivalent line, stands in the source",
            "remembered": "from memory: a classical result whose exact place is not recalled",
            "worked out here": "the question is published, the value was worked out by two methods",
        }[self["answer_origin"]]
        return f"{self['source']} ({origin})"

    @property
    def questions(self) -> tuple[Question, ...]:
        """What is asked first, then what is asked besides; an entry without a closed answer has none."""
        if "answer_expr" not in self.raw:
            return ()
        first = Question(
            self["asked"], self["query"], self["answer_expr"], float(self["numeric_check"]["value"])
        )
        besides = (
            Question(a["asked"], a["query"], a["answer_expr"], float(a["value"])) for a in self.rows("also")
        )
        return (first, *besides)

    @property
    def tolerance(self) -> float:
        """How far a value may be off, as a share of max(1, value): the entry's own."""
        return float(self["numeric_check"]["tolerance"])

    @cached_property
    def symbols(self) -> Mapping[Name, Symbol]:
        """A symbol for each letter of the data, shown at the entry's demonstration data.

        Numbers that the answer has already used (`fixed_params`) are no letters.
        """
        fixed = self.raw.get("fixed_params", ())
        used = json.dumps(
            {key: self.raw.get(key) for key in ("geometry", "let", "bodies", "loads", "braces")}
        )
        names = [n for n in self["numeric_check"]["params"] if n not in fixed and occurs(n, used)]
        return {name: self._symbol(name) for name in names}

    def _symbol(self, name: Name) -> Symbol:
        unit = _UNIT_IN_ENTRY.get((self.id, name))
        if unit is None:
            (unit,) = (u for u, names in _UNITS.items() if name in names)
        value = Fraction(str(self["numeric_check"]["params"][name]))  # the decimal as it is written
        return Symbol(name, "", unit, Quantity.of(value, _DIMS[unit]))

    @cached_property
    def letters(self) -> Mapping[str, Quantity]:
        """What each name in the entry's expressions stands for, abbreviations included."""
        known: dict[str, Quantity] = {"deg": Quantity.pi() / Quantity.of(180)}
        for name, value in self["numeric_check"]["params"].items():
            if name in self.symbols:
                known[name] = Quantity.symbol(name, self.symbols[name].shown.dim)
            else:
                known[name] = Quantity.of(Fraction(str(value)))
        for name, written in self.raw.get("let", {}).items():
            known[name] = expression.read(written, known)
        return known

    def read(self, written: str, dim: Dim) -> Quantity:
        """An expression of the entry, as a quantity of these dimensions.

        A plain number takes the dimensions asked for, and a number of kilograms times g is a force;
        letters must have them.
        """
        quantity = expression.read(written, self.letters)
        if quantity.dim not in (dim, NUMBER) and (quantity.dim, dim) != (ACCELERATION, FORCE):
            raise ValueError(f"{self.id}: {written} has the dimensions {quantity.dim}, not {dim}")
        return Quantity(quantity.expr, dim)


def occurs(name: str, text: str) -> bool:
    """Whether a name stands in an expression, or in the text of several."""
    return name in expression.NAME.findall(text)


def read_entries() -> dict[str, Entry]:
    """Every entry of statics.json by its id."""
    return {raw["id"]: Entry(raw["id"], raw) for raw in json.loads(STATICS.read_text())}
