"""Frames for the tests of statics, built from the model itself, quantities written as expressions."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

import sympy as sp

from simlab.exact.field import Field
from simlab.frame.model import Body, Contact, Frame, Joint, Link, Load, Place, Support, Vec
from simlab.frame.quantity import (
    ACCELERATION,
    FORCE,
    FORCE_PER_LENGTH,
    LENGTH,
    MOMENT,
    NUMBER,
    Dim,
    Quantity,
)
from simlab.frame.question import Asked, Symbol
from simlab.results import Statics

_UNITS = {FORCE: "N", LENGTH: "m", NUMBER: "", MOMENT: "N m", FORCE_PER_LENGTH: "N/m"}
_WORDS = {"sin", "cos", "tan", "acos", "asin", "atan", "sqrt", "pi"}
Written = str | int


def quantity(written: Written, dim: Dim = NUMBER) -> Quantity:
    """An expression in positive letters."""
    names = set(re.findall(r"[A-Za-z]\w*", str(written))) - _WORDS
    return Quantity(sp.sympify(written, {n: sp.Symbol(n, positive=True) for n in names}), dim)


def vec(written: tuple[Written, Written], dim: Dim = LENGTH) -> Vec:
    """A vector written as two expressions."""
    return quantity(written[0], dim), quantity(written[1], dim)


class Sketch:
    """A frame being put together: named points, then parts by name."""

    def __init__(
        self, points: Mapping[str, tuple[Written, Written]], **letters: tuple[Written, Dim]
    ) -> None:
        self.points = {name: vec(xy) for name, xy in points.items()}
        self.symbols = {
            name: Symbol(name, name, _UNITS[dim], quantity(value, dim))
            for name, (value, dim) in letters.items()
        }
        self.bodies: dict[str, Body] = {}
        self.joints: dict[str, Joint] = {}
        self.links: dict[str, Link] = {}
        self.contacts: dict[str, Contact] = {}
        self.supports: dict[str, Support] = {}
        self.loads: dict[str, Load] = {}
        self.asked: tuple[Asked, ...] = ()

    def rod(self, name: str, on: str, weight: Written = 0) -> None:
        """A uniform rod; `on`: its ends, then points along it."""
        a, b = self.points[on[0]], self.points[on[1]]
        half = Quantity.of(1) / Quantity.of(2)
        centre = ((a[0] + b[0]) * half, (a[1] + b[1]) * half)
        named = {p: self.points[p] for p in on}
        self.bodies[name] = Body(name, "rod", named, (a, b), quantity(weight, FORCE), centre, None)

    def disc(self, name: str, on: str, radius: Written, weight: Written) -> None:
        """A uniform disc; `on`: its centre, then points of its rim."""
        named = {p: self.points[p] for p in on}
        heavy, r = quantity(weight, FORCE), quantity(radius, LENGTH)
        self.bodies[name] = Body(name, "disc", named, (), heavy, self.points[on[0]], None, r)

    def pin(self, point: str, *bodies: str) -> None:
        """A smooth hinge; of the ground too if that is among the bodies."""
        self.joints[point] = Joint(point, "pin", point, bodies)

    def link(self, name: str, kind: Any, *ends: tuple[str, str], **more: Written) -> None:
        """A light member between places (body, point), over those between the first and the last."""
        places = tuple(Place(*end) for end in ends)
        dims = {"natural": LENGTH, "stiffness": FORCE_PER_LENGTH, "tension": FORCE}
        known = {key: quantity(value, dims[key]) for key, value in more.items()}
        self.links[name] = Link(name, kind, (places[0], places[-1]), places[1:-1], **known)

    def contact(
        self,
        on: tuple[str, str],
        by: str,
        normal: tuple[Written, Written],
        friction: Written | None = None,
        slips: tuple[Written, Written] | None = None,
        **more: Any,
    ) -> str:
        """A contact, rough if it has a coefficient or is said to be; its name is returned."""
        name = f"{by} at {on[1]}"
        if friction is not None:
            more = {"rough": True, **more, "friction": quantity(friction)}
        if slips is not None:
            more["slips"] = vec(slips, NUMBER)
        self.contacts[name] = Contact(name, Place(*on), by, vec(normal, NUMBER), **more)
        return name

    def load(self, name: str, kind: Any, place: tuple[str, str], *value: Written) -> None:
        """A load at a place (body, point)."""
        dim = MOMENT if kind == "couple" else FORCE
        self.loads[name] = Load(name, kind, Place(*place), tuple(quantity(part, dim) for part in value))

    def ask(
        self, words: str, measure: Any, at: str, on: str | None = None, value: str | None = None
    ) -> None:
        """One more thing asked."""
        self.asked += (Asked(words, measure, at, on, None if value is None else quantity(value)),)

    def frame(self) -> Frame:
        """The frame."""
        parts: dict[str, Any] = {
            key: getattr(self, key)
            for key in (
                "symbols",
                "points",
                "bodies",
                "joints",
                "links",
                "contacts",
                "supports",
                "loads",
                "asked",
            )
        }
        return Frame("sketch", "T", "Q", "the tests' own", gravity=Quantity.of(10, ACCELERATION), **parts)


def is_(found: Quantity, expected: Written, solved: Statics, at_values: Iterable[str] = ()) -> bool:
    """Equality in the exact field, with the letters of the frame; some may be put."""
    put = {name: solved.values[name] for name in at_values}
    exprs = [found.at(put).expr, quantity(expected).at(put).expr]
    field = Field.containing(exprs, {name: value.expr for name, value in solved.values.items()})
    return field.element(exprs[0]) == field.element(exprs[1])
