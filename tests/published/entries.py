"""The entries of statics.json, and their letters."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any

import sympy as sp

from simlab.frame import expression
from simlab.frame.quantity import ACCELERATION, FORCE, LENGTH, MASS, NUMBER, Dim, Quantity, distance2
from simlab.frame.question import Asked, AskedKind, Given, Name, Symbol

STATICS = Path(__file__).with_name("statics.json")

# What a letter stands for. The entries do not say; their statements do.
_UNITS: Mapping[str, tuple[str, ...]] = {
    "N": ("W", "w", "U", "V", "v", "P", "P0", "T0", "S", "Wr", "Lo", "Tb"),
    "m": ("a", "b", "c", "d", "h", "l", "l0", "p", "q", "t", "x", "y", "H", "L"),
    "deg": (
        *("alpha", "beta", "gamma", "theta", "phi", "psi", "lam"),
        *("t1", "t2", "t3", "theta1", "theta2"),
    ),
    "m/s^2": ("g",),
    "kg": ("m", "Mt"),
    "": ("k", "r", "mu", "mu1", "mu2"),
}
_UNIT_IN_ENTRY: Mapping[tuple[str, str], str] = {
    ("rod-tangent-to-cylinder-on-ground", "t"): "deg",  # half the rod's inclination
    ("cantilever-suspended-span-bridge", "w"): "N/m",  # weight of a unit length
    ("walking-stick-hung-by-handle", "w"): "N/m",
    ("two-rods-on-smooth-rail-held-by-pulls", "H"): "N",
    ("hinged-rod-elastic-to-hook-above", "lam"): "N",
    ("putnam-1954-rod-wall-string", "k"): "m",
    ("rod-inside-smooth-parabola", "u"): "",
    ("rod-inside-smooth-parabola", "v"): "",
    ("nonuniform-rod-hinged-oblique-force", "d"): "",  # its rod has a length without a unit
    ("nonuniform-rod-limiting-perpendicular-force", "d"): "",
    ("nonuniform-rod-in-rough-V", "u"): "m",
    ("nonuniform-rod-in-rough-V", "v"): "m",
    **{
        (entry, "r"): "m"
        for entry in (
            "semicircular-lamina-hung-from-corner",
            "two-hinged-rods-astride-cylinder-ocr",
            "two-hinged-rods-astride-rough-cylinder-greatest",
            "rod-with-rings-on-rough-circular-wire",
        )
    },
}
# A letter that an entry's answer is greatest in, with the value at which it is.
_GREATEST_AT: Mapping[str, tuple[Name, str]] = {"stepladder-elastic-rope-highest-man": ("theta", "30*deg")}
# Where to look for a letter to be found: positive, an angle acute, if nothing else is said.
_RANGES: Mapping[tuple[str, str], tuple[str, str]] = {
    ("two-rods-and-string-hung-from-one-end", "psi"): ("-180*deg", "180*deg"),
    ("rod-inside-smooth-parabola", "u"): ("-10", "0"),
}
# Conditions on forces, which the entries write as residuals: (measure, at, on, = what).
_GIVEN: Mapping[str, tuple[AskedKind, Name, Name | None, str]] = {
    "beam-tipping-load": ("normal", "support D at D", None, "0"),
    "crude-stepladder-heavy-crossbar-step1992": ("across", "Y", "XY", "Tb"),
    "pivoted-rod-on-peg-with-rod-on-plane": ("upwards", "A", "A", "0"),
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
        tables = ("geometry", "let", "bodies", "loads", "braces", "supports", "constraints")
        used = json.dumps([*(self.raw.get(key) for key in tables), _GIVEN.get(self.id)])
        names = [n for n in self["numeric_check"]["params"] if n not in fixed and occurs(n, used)]
        greatest = [_GREATEST_AT[self.id]] if self.id in _GREATEST_AT else []
        return {
            **{name: self._symbol(name) for name in names},
            **{name: Symbol(name, "", "deg", self._bound(at, NUMBER)) for name, at in greatest},
            **{name: self._found(name) for name in self.raw.get("unknowns", {})},
        }

    def _unit(self, name: Name) -> str:
        unit = _UNIT_IN_ENTRY.get((self.id, name))
        if unit is None:
            (unit,) = (u for u, names in _UNITS.items() if name in names)
        return unit

    def _found(self, name: Name) -> Symbol:
        """A letter to be found, with the entry's starting guess until it is."""
        unit = self._unit(name)
        shown = Quantity.of(Fraction(self["unknowns"][name]), _DIMS[unit])
        ends = _RANGES.get((self.id, name), ("0", "90*deg") if unit == "deg" else ("0", None))
        low, high = (None if end is None else self._bound(end, _DIMS[unit]) for end in ends)
        return Symbol(name, "", unit, shown, low, high, found=True)

    @staticmethod
    def _bound(written: str, dim: Dim) -> Quantity:
        deg = Quantity.pi() / Quantity.of(180)
        return Quantity(expression.read(written, {"deg": deg}).expr, dim)

    def _symbol(self, name: Name) -> Symbol:
        unit = self._unit(name)
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
        for name in (*self.raw.get("unknowns", {}), *_GREATEST_AT.get(self.id, ())[:1]):
            known[name] = Quantity.symbol(name, self.symbols[name].shown.dim)
        for name, written in self.raw.get("let", {}).items():
            known[name] = expression.read(written, known)
        return known

    def read(self, written: str, dim: Dim) -> Quantity:
        """An expression of the entry, as a quantity of these dimensions.

        A plain number takes the dimensions asked for, and a number of kilograms times g is a force;
        letters must have them.
        """
        if self.id == "nonuniform-bar-two-inclined-strings" and dim == LENGTH:
            written = re.sub(r"\b(sin|cos)\(", r"L*\1(", written)  # its strings have no length: any will do
        quantity = expression.read(written, self.letters)
        if quantity.dim not in (dim, NUMBER) and (quantity.dim, dim) != (ACCELERATION, FORCE):
            raise ValueError(f"{self.id}: {written} has the dimensions {quantity.dim}, not {dim}")
        return Quantity(quantity.expr, dim)

    def in_letters(self, written: str, letters: Mapping[str, Quantity]) -> Quantity:
        """An expression of the entry in letters of somebody else's, of whatever dimensions it has."""
        cube = re.fullmatch(r"acos\(\((.*)\)\*\*\(1/3\)\)", written)
        if cube:
            inner = expression.read(cube[1], letters)
            return Quantity(sp.acos(inner.expr ** sp.Rational(1, 3)))
        return expression.read(written, {**letters, "deg": self._bound("deg", NUMBER)})

    @property
    def limiting_contacts(self) -> Mapping[Name, Quantity]:
        """The coefficient of friction of each contact of two bodies that is about to slip."""
        found = {}
        for written in self.raw.get("constraints", ()):
            match = re.fullmatch(r"abs\(KF\['(\w+)'\]\)/KN\['\1'\]-(\w+)", written)
            if match:
                found[match[1]] = self.letters[match[2]]
        return found

    @property
    def given(self) -> tuple[Given, ...]:
        """The conditions of the entry, apart from those on friction."""
        conditions = []
        if self.id in _GIVEN:
            measure, at, on, what = _GIVEN[self.id]
            right = self.read(what, FORCE)
            conditions.append(Given(self.id, Asked(self.id, measure, at, on), "=", right))
        for written in self.raw.get("constraints", ()):
            if "P[" in written or "hypot" in written:
                left = self.distance(written)
                asked = Asked(written, "value", "", value=left)
                conditions.append(Given(written, asked, "=", Quantity.zero(left.dim)))
        return tuple(conditions)

    def distance(self, written: str) -> Quantity:
        """A condition on a distance, (norm(P['B']-P['A'])-2*a)/a, as a quantity that vanishes."""
        inner = re.fullmatch(r"\((norm|hypot)\((.*)\)-([^()]*)\)/.*", written)
        if inner is None:
            raise ValueError(f"{self.id}: {written} is no condition on a distance")
        if inner[1] == "norm":
            ends = re.findall(r"P\['(\w+)'\]", inner[2])
            a, b = ([self.read(part, LENGTH) for part in self["geometry"][end]] for end in ends)
            square = distance2((a[0], a[1]), (b[0], b[1]))
        else:
            x, y = (self.read(part, LENGTH) for part in inner[2].split(",", 1))
            square = x * x + y * y
        return square.sqrt() + self.read("-" + inner[3], LENGTH)

    @property
    def greatest_at(self) -> Mapping[Name, Quantity]:
        """The value of a letter at which the answer, a function of it, is the greatest."""
        if self.id not in _GREATEST_AT:
            return {}
        name, at = _GREATEST_AT[self.id]
        return {name: self._bound(at, NUMBER)}


def occurs(name: str, text: str) -> bool:
    """Whether a name stands in an expression, or in the text of several."""
    return name in expression.NAME.findall(text)


def read_entries() -> dict[str, Entry]:
    """Every entry of statics.json by its id."""
    return {raw["id"]: Entry(raw["id"], raw) for raw in json.loads(STATICS.read_text())}
