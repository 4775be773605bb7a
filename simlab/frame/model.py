"""The subject: a frame and its parts, frozen and named. It knows no solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from simlab.frame.film_wishes import ALL, FilmWishes
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked, Expected, Given, Symbol
from simlab.frame.question import Name as Name
from simlab.frame.words import SupportKind as SupportKind

Values = Mapping[Name, Quantity]  # a value for each symbol of a frame
Vec = tuple[Quantity, Quantity]  # x to the right, y upwards [m]
GROUND: Name = "ground"  # whatever does not move: hooks, walls, floors

BodyKind = Literal["rod", "plate", "disc"]
JointKind = Literal["pin", "built-in"]
LinkKind = Literal["light rod", "strut", "string", "elastic string", "spring"]
LoadKind = Literal["weight", "force", "couple", "spread"]


@dataclass(frozen=True)
class Place:
    """A named point of a body, of a pin (body = the pin's name) or of the ground."""

    body: Name
    point: Name


@dataclass(frozen=True)
class Body:
    """A rigid body in its drawn pose: named points [m], outline [m], weight [N] at its centre [m].

    A rod's outline is its two ends, a plate's its corners (a closed line; that of a bent wire goes along
    the wire and back: A, B, C, B); a disc has its `radius` [m] instead, about its centre. A light body
    has weight 0. `gyration2` is the square of the radius of gyration about the centre [m^2]: L^2/12
    for a uniform rod; None when a non-uniform rod does not give it (it can then be solved and settled,
    but not released).
    """

    name: Name
    kind: BodyKind
    points: Mapping[Name, Vec]
    outline: tuple[Vec, ...]
    weight: Quantity
    centre: Vec
    gyration2: Quantity | None
    radius: Quantity | None = None

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

    "light rod": thrust or tension, pinned; "strut": placed, thrust only; "string": tension only, perhaps
    `over` smooth pegs or pulleys on its way; "elastic string" (tension only) and "spring": of a `natural`
    length [m] and a `stiffness` [N/m], so that in the drawn shape of length l

        T = stiffness * (l - natural).

    A light rod or string with a stiffness and no natural length just fits the drawn shape unloaded; the
    small strains of such members settle a frame that has more of them than it needs. `tension` is
    given where a string was tightened to it [N].
    """

    name: Name
    kind: LinkKind
    ends: tuple[Place, Place]
    over: tuple[Place, ...] = ()
    natural: Quantity | None = None
    stiffness: Quantity | None = None
    tension: Quantity | None = None

    @property
    def is_given(self) -> bool:
        """Whether its tension is known from the drawn shape or from the question."""
        return self.tension is not None or self.natural is not None

    @property
    def is_string(self) -> bool:
        """Whether it can only pull."""
        return self.kind in ("string", "elastic string")

    @property
    def places(self) -> tuple[Place, ...]:
        """Every place that it acts on, from end to end."""
        return (self.ends[0], *self.over, self.ends[1])


@dataclass(frozen=True)
class Contact:
    """A contact: `by` (a support, or another body) pushes `on` along `normal` (any length, towards `on`).

    One-sided: it can only push, unless it is `two_sided` (a ring on a wire). On a `rough` contact there is
    friction along the tangent (normal turned clockwise: upwards becomes to the right),

        |F| <= friction * N,

    with as much as it takes where no coefficient is given. `about_to` says that it is about to slip
    (|F| = friction * N) or to lift (N = 0); `slips` is then the way in which `on` would slip along `by`, if
    the question says it.
    """

    name: Name
    on: Place
    by: Name
    normal: Vec
    rough: bool = False
    friction: Quantity | None = None
    two_sided: bool = False
    about_to: Literal["slip", "lift"] | None = None
    slips: Vec | None = None

    @property
    def is_limiting(self) -> bool:
        """Whether friction is known to be as much as it can be: about to slip, the coefficient given."""
        return self.rough and self.about_to == "slip" and self.friction is not None

    @property
    def is_open(self) -> bool:
        """Whether friction is limiting, and which way it then acts is not said."""
        return self.is_limiting and (self.slips is None or self.two_sided)


@dataclass(frozen=True)
class Support:
    """A support as the question names it; its mechanics are the joints or contacts at its points.

    `joints_or_contacts` names them, in the order of `points`. `faces` is the normal of a wall that a
    hook or hinge is fixed to: nothing can swing through it. `centre` is the point about which a cylinder,
    a bowl (a cylinder whose normals point to its centre) or a round wire is drawn, if it is known.
    """

    name: Name
    kind: SupportKind
    points: tuple[Name, ...]
    joints_or_contacts: tuple[Name, ...]
    faces: Vec | None = None
    centre: Name | None = None


@dataclass(frozen=True)
class Load:
    """What is laid on a frame at a place.

    "weight": value (size,) [N], downwards; "force": value (x, y) [N]; "couple": value (moment,) [N m],
    anticlockwise, on the place's body; "spread": value (x, y) [N], the whole of a load that is `spread`
    between two points of the body, acting at the place, its middle.
    """

    name: Name
    kind: LoadKind
    place: Place
    value: tuple[Quantity, ...]
    spread: tuple[Name, Name] | None = None

    @property
    def force(self) -> Vec:
        """The load as a force, x to the right and y upwards [N]."""
        if self.kind == "weight":
            return (Quantity.zero(), -self.value[0])
        if self.kind == "couple":
            return (Quantity.zero(), Quantity.zero())
        return (self.value[0], self.value[1])

    @property
    def couple(self) -> Quantity | None:
        """The load's moment if it is a couple [N m]."""
        return self.value[0] if self.kind == "couple" else None


@dataclass(frozen=True)
class Frame:
    """A frame of rods in its drawn shape, complete and consistent; orders are fixed once here.

    `gravity` [m/s^2] turns weights into masses (m = W/g) where motion needs them. `brace` names
    the link whose removal is shown. `expect` is the verdict that the scene's author announces.
    `has_masses`: whether the question gives any mass, so that its forces depend on g. `film`: how its
    author wishes it filmed.
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
    given: tuple[Given, ...] = ()
    has_masses: bool = False
    film: FilmWishes = ALL

    def __post_init__(self) -> None:
        parts = ("symbols", "points", "bodies", "joints", "links", "contacts", "supports", "loads")
        for part in parts:
            object.__setattr__(self, part, MappingProxyType(dict(getattr(self, part))))

    @property
    def shown(self) -> Values:
        """The demonstration value of each symbol."""
        return {name: symbol.shown for name, symbol in self.symbols.items()}

    @property
    def found(self) -> tuple[Name, ...]:
        """The letters to be found."""
        return tuple(name for name, symbol in self.symbols.items() if symbol.found)

    @property
    def free_pins(self) -> tuple[Name, ...]:
        """The pins on which no body turns, and that the ground does not hold."""
        return tuple(name for name, joint in self.joints.items() if not joint.bodies)

    def under(self, contact: Contact) -> Name:
        """The body that pushes at a contact, or the ground if a support does."""
        return contact.by if contact.by in self.bodies else GROUND

    def is_bare(self, pin: Name) -> bool:
        """Whether nothing but rods and the ground is on a pin: no light member, no load of its own."""
        tied = {place.body for link in self.links.values() for place in link.places}
        return pin not in tied and all(load.place.body != pin for load in self.loads.values())
