"""Exact statics against published problems: every reaction asked in a given shape without friction.

Each case is named by its entry in published/statics.json; a failure's message gives the source and
says whether the answer is published, from memory, or worked out here. The values of the answers are
the entries' own, and a dense numeric solve (published/balance.py) stands beside them as a third road.

Rough supports of a given shape, where the two components of the force are asked, are fixed hinges:
friction that need not be limiting is a free component. So `horizontal-rod-and-strut-to-floor`,
`rod-against-wall-held-by-force`, `rod-tangent-to-cylinder-on-ground` and `two-rods-13-15-on-floor`
are so, and a coefficient of friction that is asked is the ratio of the two.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache

import pytest
from published.balance import Balance
from published.entries import Entry, read_entries
from published.frames import frame_of
from published.queries import exact, numeric

from simlab.exact.field import Field
from simlab.frame.model import Frame, Values
from simlab.frame.quantity import Quantity
from simlab.results import Statics
from simlab.statics.solution import solve

ENTRIES = read_entries()

# What has a letter to be found stands in published_shapes.py.
COVERED = [entry for entry in ENTRIES.values() if not entry.raw.get("unknowns")]

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


def test_every_published_problem_is_covered() -> None:
    """All 102 entries are checked: here, and those with letters to be found in published_shapes.py."""
    assert len(ENTRIES) == 102
    assert len(COVERED) == 60


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
