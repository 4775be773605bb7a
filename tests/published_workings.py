"""Workings beside those that the sources show: no more equations, and no more unknowns.

Five problems of published/statics.json whose mark scheme (or the question itself) names the equations; here
in our own words, as (part, place). The numbers of unknowns are of the forces that the source brings in.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from published.entries import read_entries
from published.frames import frame_of

from simlab.frame.question import Asked
from simlab.frame.scene import read_scene
from simlab.results.working import Working
from simlab.statics.shape import find
from simlab.statics.solution import solve
from simlab.working.solution import Workings
from simlab.working.sought import Sought

SCENES = Path(__file__).parent / "published" / "scenes"
ENTRIES = read_entries()
Said = tuple[str, str]  # a part and a place: ("the whole frame", "C")


@dataclass(frozen=True)
class Source:
    """What a source asks for, and the equations that it writes for it, with the unknowns in them."""

    entry: str
    asked: tuple[tuple[str, str, str, str | None], ...]
    equations: tuple[Said, ...]
    unknowns: int


SOURCES = (
    # OCR M3 June 2011, mark scheme: moments about C for the whole (or about B), about A for AB; then the
    # hinge force by resolving for AB across and upwards.
    Source(
        "trestle-unequal-legs-midpoint-string",
        (
            ("reaction at B", "reaction", "support B at B", None),
            ("tension in DE", "tension", "DE", None),
            ("force at A on AB", "force", "A", "AB"),
        ),
        (("the whole frame", "C"), ("AB", "A"), ("AB", "horizontally"), ("AB", "vertically")),
        4,
    ),
    # A-level further mechanics (paper 10671), the question itself: moments about A for one side, then for
    # the other; the two reactions add up to all the weight.
    Source(
        "stepladder-one-heavy-side-man",
        (("tension in DE", "tension", "DE", None),),
        (("AB", "A"), ("AC", "A"), ("the whole frame", "vertically")),
        3,
    ),
    # OCR M3 June 2010 Q2, the question itself: moments about A for AB, "hence" the reaction at C, then the
    # friction (moments about B for BC).
    Source(
        "horizontal-rod-and-strut-to-floor",
        (
            ("vertical force at B on AB", "upwards", "B", "AB"),
            ("vertical reaction at C", "upwards", "C", None),
            ("horizontal reaction at C", "across", "C", None),
        ),
        (("AB", "A"), ("BC", "vertically"), ("BC", "B")),
        3,
    ),
    # OCR M3 June 2008 Q5, mark scheme: moments about B (or A) for the whole, the other reaction from the
    # sum of the weights; moments about X for XA (or XB); the hinge by resolving for XA.
    Source(
        "two-rods-13-15-on-floor",
        (
            ("vertical reaction at A", "upwards", "A", None),
            ("vertical reaction at B", "upwards", "B", None),
            ("horizontal reaction at A", "across", "A", None),
            ("force at X on XA", "force", "X", "XA"),
        ),
        (
            ("the whole frame", "B"),
            ("the whole frame", "vertically"),
            ("XA", "X"),
            ("XA", "horizontally"),
            ("XA", "vertically"),
        ),
        5,
    ),
)


def told(source: Source) -> tuple[Working, ...]:
    """Our workings of what a source asks, one going on from another."""
    asked = tuple(Asked(words, measure, at, on) for words, measure, at, on in source.asked)  # type: ignore[arg-type]
    state = solve(replace(frame_of(ENTRIES[source.entry]), asked=asked))
    return Workings(state).question()


def equations(workings: tuple[Working, ...]) -> list[Said]:
    """Our equations, in order."""
    return [(one.part.words, one.about or one.along) for working in workings for one in working.equations]


@pytest.mark.parametrize("source", SOURCES, ids=lambda source: source.entry)
def test_no_more_equations_and_unknowns_than_the_source(source):
    """The source's working is at least as long, and brings in at least as many forces."""
    workings = told(source)
    ours = equations(workings)
    letters = {name for working in workings for one in working.equations for name in one.brings}

    assert len(ours) <= len(source.equations), ENTRIES[source.entry].source
    assert len(letters) <= source.unknowns, ENTRIES[source.entry].source


@pytest.mark.parametrize(
    "entry", ["trestle-unequal-legs-midpoint-string", "horizontal-rod-and-strut-to-floor"]
)
def test_the_very_equations_of_the_source(entry):
    """Where the source's way is the shortest, ours is the same, equation for equation."""
    source = next(one for one in SOURCES if one.entry == entry)

    assert list(source.equations) == equations(told(source))


def test_a_direction_by_the_two_equations_of_the_source():
    """OCR M3 January 2010 Q3, the question itself: moments about B for AB, then about C for the whole."""
    found = find(read_scene(SCENES / "two-rods-perpendicular-string-tan-4.toml"))
    (working,) = Sought(found, found.shapes[0]).question()

    assert [("AB", "B"), ("the whole frame", "C")] == equations((working,))
