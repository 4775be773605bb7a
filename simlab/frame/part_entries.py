"""The keys of the tables of a frame's parts: bodies, light members, supports, contacts, loads."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from simlab.frame.words import AboutTo, Exact, Heading, Pair, Side, WrittenSupport

Weight = Annotated[Exact | None, Meta(description="its weight; it may be a letter to be found")]
Mass = Annotated[Exact | None, Meta(description="its mass; the weight is mass times gravity")]
Light = Annotated[bool, Meta(description="true: it has no weight")]
Through = Annotated[list[str], Meta(description="further named points on it")]
Gyration = Annotated[
    Exact | None, Meta(description="radius of gyration about the centre, if it is not uniform")
]
Friction = Annotated[
    Exact | None, Meta(description="coefficient of friction; rough enough if it is not said")
]
Limiting = Annotated[
    AboutTo | None, Meta(description='"slip": friction is limiting; "lift": it only just touches')
]
Slips = Annotated[Heading | None, Meta(description="the way in which it would slip there")]
Turn = Literal["anticlockwise", "clockwise"]


class RodEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A rigid rod; give its weight or mass, or say that it is light."""

    ends: Annotated[Pair, Meta(description="its two ends")]
    weight: Weight = None
    mass: Mass = None
    light: Light = False
    through: Through = []
    centre: Annotated[str | None, Meta(description="its centre of mass, if not half-way: a point")] = None
    centre_at: Annotated[
        Exact | None, Meta(description="its centre of mass, as a length from its first end")
    ] = None
    gyration: Gyration = None


class PieceEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A uniform piece of a plate; give one shape, and its weight where pieces differ."""

    lamina: Annotated[list[str] | None, Meta(description="a sheet, by its corners in order")] = None
    wire: Annotated[list[str] | None, Meta(description="a thin rod bent at these points")] = None
    half_disc: Annotated[Pair | None, Meta(description="a half of a round sheet, on this diameter")] = None
    half_ring: Annotated[Pair | None, Meta(description="a wire bent to a half circle on this diameter")] = (
        None
    )
    disc: Annotated[str | None, Meta(description="a round sheet with this centre and a `radius`")] = None
    ring: Annotated[str | None, Meta(description="a wire bent to a circle with this centre")] = None
    particle: Annotated[str | None, Meta(description="a weight fixed at this point")] = None
    radius: Annotated[Exact | None, Meta(description="of a disc or a ring")] = None
    side: Annotated[Heading | None, Meta(description="of the diameter: where the half disc or ring is")] = (
        None
    )
    hole: Annotated[bool, Meta(description="true: this piece is cut out")] = False
    weight: Weight = None
    mass: Mass = None


class PlateEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A rigid body of any shape; give one shape and its weight or mass, or say that it is light."""

    lamina: Annotated[list[str] | None, Meta(description="uniform sheet, by its corners in order")] = None
    wire: Annotated[list[str] | None, Meta(description="a uniform rod bent at these points")] = None
    half_disc: Annotated[Pair | None, Meta(description="half of a round sheet, on this diameter")] = None
    half_ring: Annotated[Pair | None, Meta(description="a wire bent to a half circle on this diameter")] = (
        None
    )
    side: Annotated[Heading | None, Meta(description="of the diameter: where the half disc or ring is")] = (
        None
    )
    pieces: Annotated[list[PieceEntry] | None, Meta(description="uniform pieces joined together")] = None
    points: Annotated[list[str] | None, Meta(description="any shape: these points, and `centre`")] = None
    centre: Annotated[str | None, Meta(description="its centre of mass, if it is not uniform")] = None
    weight: Weight = None
    mass: Mass = None
    light: Light = False
    through: Through = []
    gyration: Gyration = None


class DiscEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A uniform disc, cylinder or sphere that can move."""

    centre: Annotated[str, Meta(description="its centre, a point")]
    radius: Annotated[Exact, Meta(description="its radius")]
    weight: Weight = None
    mass: Mass = None
    light: Light = False
    through: Annotated[list[str], Meta(description="points of it, such as where it touches")] = []
    gyration: Gyration = None


class MemberEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A light member: the force in it is along it."""

    kind: Annotated[
        Literal["light rod", "strut", "string", "elastic string", "spring"],
        Meta(description="strut: thrust only; strings: tension only"),
    ]
    between: Annotated[Pair, Meta(description='its two ends; "P on AB" when two rods cross at P')]
    over: Annotated[list[str], Meta(description="smooth pegs or pulleys that a string runs over")] = []
    natural: Annotated[Exact | None, Meta(description="natural length, of what is elastic")] = None
    modulus: Annotated[Exact | None, Meta(description="modulus of elasticity, a force")] = None
    stiffness: Annotated[Exact | None, Meta(description="force per length: modulus / natural length")] = (
        None
    )
    tension: Annotated[Exact | None, Meta(description="its tension, if the question gives it")] = None


class SupportEntry(msgspec.Struct, forbid_unknown_fields=True):
    """What holds the frame."""

    kind: Annotated[WrittenSupport, Meta(description="how it holds")]
    at: Annotated[
        str | list[str], Meta(description='the point, or points, it holds; "P on AB" where bodies meet')
    ]
    slope: Annotated[
        Exact | None, Meta(description="of a floor or wire: its rise to the right, an angle")
    ] = None
    faces: Annotated[
        Literal["left", "right"] | None,
        Meta(
            description="of a wall, or of the wall that a hook or hinge is fixed to: the side of the frame"
        ),
    ] = None
    friction: Friction = None
    side: Annotated[Side | None, Meta(description="of a peg: on which side of the rod; below")] = None
    along: Annotated[Pair | None, Meta(description="of a peg: the line that rests on it")] = None
    direction: Annotated[Heading | None, Meta(description="of a wire: the way it runs")] = None
    centre: Annotated[str | None, Meta(description="of a cylinder, a bowl, a round wire")] = None
    about_to: Limiting = None
    slips: Slips = None


class ContactEntry(msgspec.Struct, forbid_unknown_fields=True):
    """One body touching another: `of` rests or presses on `on`."""

    of: Annotated[str, Meta(description="the body that rests on, or presses on, the other")]
    on: Annotated[str, Meta(description="the other body")]
    at: Annotated[str, Meta(description="the point where they touch")]
    smooth: Annotated[bool, Meta(description="true: no friction")] = False
    friction: Friction = None
    across: Annotated[str | None, Meta(description="the rod that the push is square to")] = None
    along: Annotated[Pair | None, Meta(description="the line that the push is square to")] = None
    side: Annotated[Side | None, Meta(description="where `on` is, seen from `of`")] = None
    about_to: Limiting = None
    slips: Annotated[Heading | None, Meta(description="the way in which `of` would slip along `on`")] = None


class LoadEntry(msgspec.Struct, forbid_unknown_fields=True, rename={"from_": "from"}):
    """A hung weight, a force, a couple, or a load spread along a rod."""

    at: Annotated[str | None, Meta(description='where; "P on AB" when two rods cross at P')] = None
    weight: Annotated[Exact | None, Meta(description="a hung weight")] = None
    mass: Annotated[Exact | None, Meta(description="a hung mass")] = None
    force: Annotated[
        tuple[Exact, Exact] | Exact | None,
        Meta(description="a force: [to the right, upwards], or its size and which way it acts"),
    ] = None
    couple: Annotated[Exact | None, Meta(description="a couple, as a moment")] = None
    turning: Annotated[Turn, Meta(description="the way a couple turns")] = "anticlockwise"
    spread: Annotated[Exact | None, Meta(description="a spread load, as a force per length")] = None
    total: Annotated[Exact | None, Meta(description="the whole of a spread load, instead")] = None
    from_: Annotated[str | None, Meta(description="where a spread load begins")] = None
    to: Annotated[str | None, Meta(description="where a spread load ends; or the side to lean to")] = None
    per: Annotated[
        Literal["length", "span"], Meta(description="per length of the rod, or per horizontal length")
    ] = "length"
    on: Annotated[str | None, Meta(description="the body that a couple or spread load is on")] = None
    direction: Annotated[Heading | None, Meta(description="the way a force acts")] = None
    lean: Annotated[Exact | None, Meta(description="angle away from `direction`, on the side `to`")] = None
    angle: Annotated[Exact | None, Meta(description="of a force, anticlockwise from the right")] = None
    towards: Annotated[str | None, Meta(description="a force pulls towards this point")] = None
    square_to: Annotated[Pair | None, Meta(description="a force acts at right angles to this line")] = None
    side: Annotated[Heading | None, Meta(description="... and to this side of it")] = None
