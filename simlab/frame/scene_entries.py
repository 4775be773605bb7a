"""The keys of a scene file, and of its letters and points."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from simlab.frame.film_wishes import ChapterName
from simlab.frame.part_entries import (
    ContactEntry,
    DiscEntry,
    LoadEntry,
    MemberEntry,
    PlateEntry,
    RodEntry,
    SupportEntry,
)
from simlab.frame.words import Exact, Heading, Pair


class SymbolEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A letter of the question: given (`shown`), or to be found (`between`)."""

    meaning: Annotated[str, Meta(description="what the letter stands for")]
    shown: Annotated[
        Exact | None, Meta(description='of a given letter: value to demonstrate with, "4 N", "35 deg"')
    ] = None
    low: Annotated[Exact | None, Meta(description="least value the question is meant for")] = None
    high: Annotated[Exact | None, Meta(description="greatest value the question is meant for")] = None
    between: Annotated[
        tuple[Exact, Exact] | None,
        Meta(description='of a letter to be found: where to look, ["0 deg", "90 deg"], ["0 N", "any"]'),
    ] = None


class PointEntry(msgspec.Struct, forbid_unknown_fields=True, rename={"from_": "from"}):
    """A point as the question states it; give one of the groups of keys listed in the README."""

    middle: Annotated[Pair | None, Meta(description="half-way between two points")] = None
    from_: Annotated[str | None, Meta(description="the point to start from")] = None
    towards: Annotated[str | None, Meta(description="the point to go towards")] = None
    fraction: Annotated[Exact | None, Meta(description="share of the way to `towards`")] = None
    length: Annotated[Exact | None, Meta(description="distance from the start")] = None
    angle: Annotated[Exact | None, Meta(description="anticlockwise from the level, to the right")] = None
    direction: Annotated[Heading | None, Meta(description="the way to go")] = None
    lean: Annotated[Exact | None, Meta(description="angle away from `direction`")] = None
    to: Annotated[Heading | None, Meta(description="the side to lean to")] = None
    square_to: Annotated[Pair | None, Meta(description="go at right angles to this line")] = None
    side: Annotated[Heading | None, Meta(description="on which side of the line")] = None
    lines: Annotated[tuple[Pair, Pair] | None, Meta(description="where two lines meet")] = None
    at_lengths: Annotated[
        tuple[tuple[str, Exact], tuple[str, Exact]] | None,
        Meta(description="at these distances from two points, on `side` of the line joining them"),
    ] = None
    line: Annotated[Pair | None, Meta(description="on this line ...")] = None
    at_length: Annotated[
        tuple[str, Exact] | None, Meta(description="... at a distance from a point, the end near `nearer`")
    ] = None
    nearer: Annotated[str | None, Meta(description="which of the two: nearer this end of `line`")] = None
    foot_from: Annotated[str | None, Meta(description="... at the foot of the perpendicular from here")] = (
        None
    )
    level_with: Annotated[str | None, Meta(description="at the height of this point")] = None
    plumb_with: Annotated[str | None, Meta(description="straight above or below this point")] = None
    mirror: Annotated[str | None, Meta(description="the mirror image of this point in `line`")] = None


class FilmEntry(msgspec.Struct, forbid_unknown_fields=True):
    """How the film of the frame is to be; every key may be left out, and options of the command win."""

    chapters: Annotated[list[ChapterName], Meta(description="these chapters alone")] = []
    without: Annotated[list[ChapterName], Meta(description="all chapters but these")] = []
    hold: Annotated[
        Exact | dict[ChapterName, Exact],
        Meta(
            description="seconds longer that a chapter's last picture stands: { gravity = 6 }; a number "
            "alone: every chapter that asks a question or shows an answer"
        ),
    ] = {}
    slow: Annotated[Exact | None, Meta(description='speed at the break, of real speed: "1/4"')] = None
    answers: Annotated[bool, Meta(description="false: an edition that gives no answer away")] = True
    pace: Annotated[
        Exact | None, Meta(description='how quickly all is told: "1.5", half as quick again as it is')
    ] = None


class SceneEntry(msgspec.Struct, forbid_unknown_fields=True):
    """One frame and the question about it."""

    title: Annotated[str, Meta(description="a few words")]
    question: Annotated[str, Meta(description="the question as a class would read it")]
    source: Annotated[str, Meta(description='where it comes from; "our own"')]
    points: Annotated[
        dict[str, tuple[Exact, Exact] | PointEntry], Meta(description="[x, y], or a construction")
    ]
    supports: dict[str, SupportEntry]
    rods: dict[str, RodEntry] = {}
    plates: Annotated[dict[str, PlateEntry], Meta(description="laminas, bent rods, other shapes")] = {}
    discs: Annotated[dict[str, DiscEntry], Meta(description="discs, cylinders, spheres that can move")] = {}
    symbols: dict[str, SymbolEntry] = {}
    lets: Annotated[dict[str, Exact], Meta(description="abbreviations, in order")] = {}
    members: Annotated[dict[str, MemberEntry], Meta(description="light members")] = {}
    contacts: Annotated[dict[str, ContactEntry], Meta(description="one body touching another")] = {}
    loads: dict[str, LoadEntry] = {}
    gravity: Annotated[Exact, Meta(description='the class\'s value of g, "9.8 m/s^2"')] = "9.8 m/s^2"
    given: Annotated[
        list[str],
        Meta(description='what the question says besides: "tension in rope = T", "distance A to B = 2*a"'),
    ] = []
    asked: Annotated[
        list[str],
        Meta(description='"thrust in DE", "force at B on BC", "reaction at A", "least mu", "theta"'),
    ] = []
    brace: Annotated[str | None, Meta(description="the light member whose removal is shown")] = None
    unhinged: Annotated[list[str], Meta(description="points where bodies cross without a hinge")] = []
    film: Annotated[FilmEntry, Meta(description="how its film is to be")] = msgspec.field(
        default_factory=FilmEntry
    )
    expect: Annotated[
        Literal["determined", "not determined", "cannot rest", "falls out", "slips"],
        Meta(description="the verdict the author announces"),
    ] = "determined"


TABLES: dict[str, type[msgspec.Struct]] = {
    "points": PointEntry,
    "rods": RodEntry,
    "plates": PlateEntry,
    "discs": DiscEntry,
    "symbols": SymbolEntry,
    "members": MemberEntry,
    "contacts": ContactEntry,
    "supports": SupportEntry,
    "loads": LoadEntry,
}
