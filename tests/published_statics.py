"""Exact statics against published problems: every reaction asked in a given shape without friction.

Each case is named by its entry in published/statics.json; a failure's message gives the source and
says whether the answer is published, from memory, or worked out here. The values of the answers are
the entries' own, and a dense numeric solve (published/balance.py) stands beside them as a third road.

Rough supports of a given shape, where the two components of the force are asked, are fixed hinges:
friction that need not be limiting is a free component. So `horizontal-rod-and-strut-to-floor`,
`rod-against-wall-held-by-force`, `rod-tangent-to-cylinder-on-ground` and `two-rods-13-15-on-floor`
are covered. Where first of all a coefficient of friction is asked, the entry waits for friction.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from fractions import Fraction
from functools import cache

import pytest
from published.balance import Balance
from published.entries import Entry, occurs, read_entries
from published.frames import frame_of
from published.queries import exact, numeric

from simlab.exact.field import Field
from simlab.frame.model import Frame, Values
from simlab.frame.quantity import Quantity
from simlab.results import Statics
from simlab.statics.solution import solve

ENTRIES = read_entries()

SHAPE = "the shape is to be found"
SIZE = "a weight, a load or a centre of mass is to be found"
LIMITING = "limiting friction"
COEFFICIENT = "a coefficient of friction is asked"
ELASTIC = "an elastic string"

SKIPPED: Mapping[str, str] = {
    "balance-rod-two-pans": SIZE,
    "balance-rod-two-pans-second-position": SHAPE,
    "beam-tipping-load": SIZE,
    "five-equal-rods-between-level-points": SHAPE,
    "three-rod-chain-horizontal-force": SHAPE,
    "two-rod-chain-tangent-ratio": SHAPE,
    "two-rods-on-smooth-rail-held-by-pulls": SIZE,
    "two-rods-perpendicular-string-tan-4": SHAPE,
    "two-rods-pivot-and-rough-floor-30-60": COEFFICIENT,
    "hinged-rod-elastic-to-hook-above": ELASTIC,
    "rhombus-two-elastic-diagonals": ELASTIC,
    "stepladder-elastic-rope-highest-man": ELASTIC,
    "upright-rod-horizontal-elastic-ring": ELASTIC,
    "L-frame-brace-hung": SHAPE,
    "two-rods-and-string-hung-from-one-end": SHAPE,
    "horizontal-and-sloping-rod-wall-floor": COEFFICIENT,
    "ladder-equal-friction-both-ends": LIMITING,
    "ladder-ground-twice-as-rough": LIMITING,
    "ladder-man-80kg-how-far": LIMITING,
    "ladder-rope-perpendicular-to-corner": LIMITING,
    "ladder-smooth-wall-least-mu": COEFFICIENT,
    "ladder-two-coefficients": LIMITING,
    "rod-with-ring-on-rail": COEFFICIENT,
    "stick-smooth-wall-smallest-angle": LIMITING,
    "two-rods-between-rough-walls": COEFFICIENT,
    "two-rods-up-to-smooth-wall": SHAPE,
    "rectangle-on-two-smooth-pegs": SHAPE,
    "semicircular-lamina-hung-from-corner": SHAPE,
    "nonuniform-bar-two-inclined-strings": SIZE,
    "nonuniform-rod-hinged-oblique-force": SIZE,
    "nonuniform-rod-in-rough-V": LIMITING,
    "nonuniform-rod-limiting-perpendicular-force": LIMITING,
    "hinged-rod-string-over-pulley": SHAPE,
    "putnam-1954-rod-wall-string": SHAPE,
    "two-rods-right-angle-string-AC": SHAPE,
    "loaded-rod-on-peg": COEFFICIENT,
    "pivoted-rod-on-peg-with-rod-on-plane": SHAPE,
    "plank-on-peg-limiting": COEFFICIENT,
    "rod-60-degrees-on-peg-ocr": COEFFICIENT,
    "rod-leaning-on-sphere": COEFFICIENT,
    "rod-on-peg-and-smooth-wall": SHAPE,
    "rod-on-rough-semicircular-prism": LIMITING,
    "two-hinged-rods-astride-cylinder-ocr": SHAPE,
    "two-hinged-rods-astride-rough-cylinder-greatest": LIMITING,
    "a-frame-on-tilted-board": COEFFICIENT,
    "crude-stepladder-heavy-crossbar-step1992": LIMITING,
    "two-hinged-planks-carrying-third": SHAPE,
    "pentagon-astride-two-pegs": SHAPE,
    "rod-between-two-rough-planes": LIMITING,
    "rod-inside-smooth-parabola": SHAPE,
    "rod-on-two-smooth-planes": SHAPE,
    "rod-with-rings-on-rough-circular-wire": LIMITING,
    "walking-stick-hung-by-handle": SHAPE,
}
COVERED = [entry for entry in ENTRIES.values() if entry.id not in SKIPPED]


def _unknown_in(*tables: str) -> Callable[[Entry], bool]:
    def test(entry: Entry) -> bool:
        text = json.dumps([entry.raw.get(table) for table in tables])
        return any(occurs(unknown, text) for unknown in entry.raw.get("unknowns", ()))

    return test


# What each reason says, as a test of the entry itself.
REASONS: Mapping[str, Callable[[Entry], bool]] = {
    SHAPE: _unknown_in("geometry", "let"),
    SIZE: _unknown_in("bodies", "loads"),
    LIMITING: lambda entry: any(s["kind"] == "limiting" for s in entry["supports"]),
    COEFFICIENT: lambda entry: "F[" in entry["query"] and "/" in entry["query"],
    ELASTIC: lambda entry: any(b["kind"] == "elastic" for b in entry["braces"]),
}

# Both sides of an identity are evaluated to so many figures, at values where it cannot hold by chance.
FIGURES = 50
SAME = Fraction(1, 10**40)  # ten figures are left for what cancels
SHIFTS = (Fraction(0), Fraction(1, 23), Fraction(-1, 29))  # of each letter, more for each that follows

# The dense solve is in doubles: systems of up to 40 unknowns lose three or four of their 16 figures.
DENSE = 1e-11


@cache
def frame(entry: str) -> Frame:
    """The frame of an entry."""
    return frame_of(ENTRIES[entry])


@cache
def statics(entry: str) -> Statics:
    """The exact solution of an entry's frame."""
    return solve(frame(entry))


def nearby(of: Frame, shift: Fraction) -> Values:
    """The demonstration values, each letter moved by a share of its own."""
    return {
        name: symbol.shown * Quantity.of(1 + shift * Fraction(i + 7, 7))
        for i, (name, symbol) in enumerate(of.symbols.items())
    }


def are_equal(found: Quantity, answer: Quantity, of: Frame) -> bool:
    """Whether two expressions are the same element of an exact field: a proof, in simlab's algebra."""
    values = {name: value.expr for name, value in of.shown.items()}
    field = Field.containing([found.expr, answer.expr], values)
    return bool(field.element(found.expr) == field.element(answer.expr))


def agree_to_many_figures(found: Quantity, answer: Quantity, of: Frame) -> bool:
    """Whether two expressions have the same 40 figures at three sets of values: no algebra of ours."""
    for shift in SHIFTS:
        values = nearby(of, shift)
        left, right = (q.at(values).expr.evalf(FIGURES) for q in (found, answer))
        if abs(left - right) > SAME * max(1, abs(right)):
            return False
    return True


entries = pytest.mark.parametrize("entry", COVERED, ids=lambda entry: entry.id)


def test_every_entry_is_covered_or_skipped_for_a_reason_of_its_own() -> None:
    """An entry is left out if, and only if, one of five things can be seen in it that wait for later."""
    assert set(ENTRIES) >= set(SKIPPED)
    assert len(ENTRIES) == 102
    for entry in ENTRIES.values():
        if entry.id in SKIPPED:
            assert REASONS[SKIPPED[entry.id]](entry), entry.id
        else:
            assert not [reason for reason, seen in REASONS.items() if seen(entry)], entry.id


def test_enough_entries_are_covered() -> None:
    """At least thirty published problems are checked, with every published one that is in scope."""
    published = [entry for entry in COVERED if entry["answer_origin"] == "published"]

    assert len(COVERED) >= 30
    assert len(published) == 18


@entries
def test_asked_forces_are_the_published_ones(entry: Entry, record_property: Callable[..., None]) -> None:
    """Each asked quantity is the published expression, and has the published value."""
    record_property("published", f"exact|{entry['answer_origin']}")
    record_property("source", entry.source)
    solved = statics(entry.id)
    where = f"{entry.source}; {solved.verdict}: {solved.advice}"

    assert solved.verdict == "determined", where
    for question in entry.questions:
        found = exact(question.query, entry, solved.frame, solved.case.forces)
        answer = entry.read(question.answer, found.dim)
        told = f"{question.words}: {found}, not {answer}; {where}"
        assert are_equal(found, answer, solved.frame), told
        assert agree_to_many_figures(found, answer, solved.frame), told
        assert found.number(solved.frame.shown) == pytest.approx(
            question.value, rel=entry.tolerance, abs=entry.tolerance
        ), told


def test_a_spoiled_answer_would_be_seen() -> None:
    """No published expression passes for the one found when it is off by a ten-millionth part."""
    spoil = Quantity.of(1 + Fraction(1, 10**7))
    for entry in COVERED:
        solved = statics(entry.id)
        for question in entry.questions:
            found = exact(question.query, entry, solved.frame, solved.case.forces)
            spoiled = entry.read(question.answer, found.dim) * spoil
            assert not are_equal(found, spoiled, solved.frame), entry.id
            assert not agree_to_many_figures(found, spoiled, solved.frame), entry.id


@entries
def test_every_force_agrees_with_a_dense_numeric_solve(entry: Entry) -> None:
    """Every component of every reaction is that of numpy's least squares on the equations of balance."""
    dense = Balance(frame(entry.id))
    found = statics(entry.id).case.forces

    assert dense.carried
    assert dense.self_stress.shape[1] == 0
    assert set(found.reactions) == set(dense.forces.reactions)
    shown = frame(entry.id).shown
    for key, reaction in dense.forces.reactions.items():
        left = [part.number(shown) for part in found.reactions[key].force]
        assert left == pytest.approx(list(reaction.force), rel=0, abs=DENSE * dense.largest), key
    allowed = DENSE * dense.largest
    for link, tension in dense.forces.tensions.items():
        assert found.tensions[link].number(shown) == pytest.approx(tension, rel=0, abs=allowed), link


@entries
def test_the_dense_solve_gives_the_published_values(entry: Entry) -> None:
    """The reading of the entries is right: a numeric solve of their frames gives the published values."""
    dense = Balance(frame(entry.id))

    for question in entry.questions:
        found = numeric(question.query, entry, frame(entry.id), dense.forces)
        assert found == pytest.approx(question.value, rel=entry.tolerance, abs=entry.tolerance), (
            f"{question.words}; {entry.source}"
        )
