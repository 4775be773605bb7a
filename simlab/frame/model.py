"""The subject: a frame and its parts, frozen and named. It knows no solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from simlab.frame.quantity import Quantity

Name = str
Values = Mapping[Name, Quantity]  # a value for each symbol of a frame
Vec = tuple[Quantity, Quantity]  # x to the right, y upwards [m]
GROUND: Name = "ground"  # whatever does not move: hooks, walls, floors

BodyKind = Literal["rod", "plate"]
JointKind = Literal["pin", "built-in"]
LinkKind = Literal["light rod", "strut", "string"]
LoadKind = Literal["weight", "force"]
SupportKind = Literal["hook", "fixed hinge", "smooth floor", "smooth wall", "built-in"]
Expected = Literal["determined", "not determined", "cannot rest", "falls out"]


@dataclass(frozen=True)
class Symbol:
    """A letter of the question: its meaning, its dimensions, and the value to demonstrate with.

    `unit` is the unit of its values: "N", "m", "kg", "m/s^2", "deg" for an angle, "" for a ratio.
    `low` and `high` bound the values for which the question is meant, where the author says so.
    """

    name: Name
    meaning: str
    unit: str
    shown: Quantity
    low: Quantity | None = None
    high: Quantity | None = None

    @property
    def is_angle(self) -> bool:
        """Whether the letter stands for an angle."""
        return self.unit == "deg"

    def written(self, value: Quantity) -> str:
        """A value of this letter as one writes it in a scene: "35 deg", "0.5 m", "sqrt(2)"."""
        shown = value * Quantity.of(180) / Quantity.pi() if self.is_angle else value
        return f"{shown.decimal or shown} {self.unit}".rstrip()

    def said(self, value: Quantity) -> str:
        """The letter and its value as one reads them: "α = 35°", "a = 0.5 m"."""
        letter = Quantity.symbol(self.name).plain
        if self.is_angle:
            degrees = value * Quantity.of(180) / Quantity.pi()
            return f"{letter} = {degrees.decimal or degrees.plain}°"
        return f"{letter} = {value.decimal or value.plain} {self.unit}".rstrip()


@dataclass(frozen=True)
class Place:
    """A named point of a body, of a pin (body = the pin's name) or of the ground."""

    body: Name
    point: Name


@dataclass(frozen=True)
class Body:
    """A rigid body in its drawn pose: named points [m], outline [m], weight [N] at its centre [m].

    A rod's outline is its two ends. A light rod has weight 0. `gyration2` is the square of the
    radius of gyration about the centre [m^2]: L^2/12 for a uniform rod; None when a non-uniform
    rod does not give it (it can then be solved and settled, but not released).
    """

    name: Name
    kind: BodyKind
    points: Mapping[Name, Vec]
    outline: tuple[Vec, ...]
    weight: Quantity
    centre: Vec
    gyration2: Quantity | None

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", MappingProxyType(dict(self.points)))

    @property
    def is_light(self) -> bool:
        """Whether the body has no weight."""
        return self.weight.is_zero


@dataclass(frozen=True)
class Joint:
    """Bodies joined at a point. Its name is the point's.

    A "pin" is a smooth hinge on which every body in `bodies` turns freely ("ground" among them for
    a hook or a fixed hinge; none at all for a pin that joins light members only).
    A "built-in" joint fixes one rod to the ground, direction and all.
    """

    name: Name
    kind: JointKind
    point: Name
    bodies: tuple[Name, ...]


@dataclass(frozen=True)
class Link:
    """A light member between two places, its force along it.

    "light rod": thrust or tension, pinned; "strut": placed, thrust only; "string": tension only.
    """

    name: Name
    kind: LinkKind
    ends: tuple[Place, Place]


@dataclass(frozen=True)
class Contact:
    """A smooth one-sided contact: `by` pushes `on` along `normal` (any length, pointing at `on`)."""

    name: Name
    on: Place
    by: Name
    normal: Vec


@dataclass(frozen=True)
class Support:
    """A support as the question names it; its mechanics are the joints or contacts at its points.

    `joints_or_contacts` names them, in the order of `points`. `faces` is the normal of a wall that a
    hook or hinge is fixed to: nothing can swing through it.
    """

    name: Name
    kind: SupportKind
    points: tuple[Name, ...]
    joints_or_contacts: tuple[Name, ...]
    faces: Vec | None = None


@dataclass(frozen=True)
class Load:
    """A hung weight (value: its size [N], downwards) or a force (value: x, y [N]) at a place."""

    name: Name
    kind: LoadKind
    place: Place
    value: tuple[Quantity, ...]

    @property
    def force(self) -> Vec:
        """The load as a force, x to the right and y upwards [N]."""
        if self.kind == "weight":
            return (Quantity.zero(), -self.value[0])
        return (self.value[0], self.value[1])


@dataclass(frozen=True)
class Asked:
    """One thing the question asks, as a measure of a named connection.

    measure: "thrust" or "tension" of a light member; "force" on body `on` at connection `at`;
    "reaction" of a support at connection `at`.
    """

    words: str
    measure: Literal["thrust", "tension", "force", "reaction"]
    at: Name
    on: Name | None = None


@dataclass(frozen=True)
class Frame:
    """A frame of rods in its drawn shape, complete and consistent; orders are fixed once here.

    `gravity` [m/s^2] turns weights into masses (m = W/g) where motion needs them. `brace` names
    the link whose removal is shown. `expect` is the verdict that the scene's author announces.
    """

    name: Name
    title: str
    question: str
    source: str
    symbols: Mapping[Name, Symbol]
    points: Mapping[Name, Vec]
    bodies: Mapping[Name, Body]
    joints: Mapping[Name, Joint]
    links: Mapping[Name, Link]
    contacts: Mapping[Name, Contact]
    supports: Mapping[Name, Support]
    loads: Mapping[Name, Load]
    gravity: Quantity
    asked: tuple[Asked, ...] = ()
    brace: Name | None = None
    expect: Expected = "determined"

    def __post_init__(self) -> None:
        parts = ("symbols", "points", "bodies", "joints", "links", "contacts", "supports", "loads")
        for part in parts:
            object.__setattr__(self, part, MappingProxyType(dict(getattr(self, part))))

    @property
    def shown(self) -> Values:
        """The demonstration value of each symbol."""
        return {name: symbol.shown for name, symbol in self.symbols.items()}

    def is_bare(self, pin: Name) -> bool:
        """Whether nothing but rods and the ground is on a pin: no light member, no load of its own."""
        tied = {end.body for link in self.links.values() for end in link.ends}
        return pin not in tied and all(load.place.body != pin for load in self.loads.values())
