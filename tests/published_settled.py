"""The settled simulation against published problems: all 102, read at rest.

The entries of published_statics.py in their given shape, those of published_shapes.py in the shape, and at
the limit, that is published. Values and sources are the entries' own; `found` is made of pymunk's joint
impulses alone (of elastic members, of their law in the present shape).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache

import pytest
from published.entries import Entry
from published.queries import exact, numeric
from published_shapes import ENTRIES as SHAPED
from published_shapes import letters, published_shape
from published_statics import COVERED as SOLVED
from published_statics import frame, statics

from simlab.comparison import ALLOWED, compare
from simlab.results import Reading
from simlab.simulation.settle import settle

# Of the largest force in the frame: the accuracy that design.md (section 6) asks of a reading.
ACCURACY = 1e-9


@cache
def reading(entry: str) -> Reading:
    """The settled reading of an entry's frame at its demonstration data."""
    return settle(frame(entry))


@pytest.mark.parametrize("entry", SOLVED, ids=lambda entry: entry.id)
def test_asked_forces_settle_to_the_published_values(
    entry: Entry, record_property: Callable[..., None]
) -> None:
    """Each asked quantity, read from the engine's impulses at rest, has the published value."""
    record_property("published", f"settled|{entry['answer_origin']}")
    record_property("source", entry.source)
    settled = reading(entry.id)
    where = f"{entry.source}; {settled.verdict}: {settled.advice}"

    assert settled.verdict == "settled", where
    assert settled.forces is not None
    largest = max(abs(part) for r in settled.forces.reactions.values() for part in r.force)
    for question in entry.questions:
        found = numeric(question.query, entry, frame(entry.id), settled.forces)
        assert found == pytest.approx(question.value, rel=entry.tolerance, abs=ACCURACY * largest), (
            f"{question.words}; {where}"
        )


@pytest.mark.parametrize("entry", SOLVED, ids=lambda entry: entry.id)
def test_exact_answer_and_settled_reading_agree(entry: Entry) -> None:
    """Every component of every reaction settles to its exact expression's value."""
    forces = reading(entry.id).forces
    solved = statics(entry.id)

    assert forces is not None
    assert set(forces.reactions) == set(solved.case.forces.reactions)
    shown = frame(entry.id).shown
    expected = {
        key: [part.number(shown) for part in r.force] for key, r in solved.case.forces.reactions.items()
    }
    largest = max(abs(part) for force in expected.values() for part in force)
    for key, force in expected.items():
        found = list(forces.reactions[key].force)
        assert found == pytest.approx(force, rel=0, abs=ACCURACY * largest), (key, entry.source)
    for question in entry.questions:
        answer = exact(question.query, entry, solved.frame, solved.case.forces).number(shown)
        found_asked = numeric(question.query, entry, frame(entry.id), forces)
        assert found_asked == pytest.approx(answer, rel=ACCURACY, abs=ACCURACY * largest), question.words


def test_all_are_read() -> None:
    """None of the 102 is left out."""
    assert len(SOLVED) + len(SHAPED) == 102


@pytest.mark.parametrize("entry", SHAPED.values(), ids=lambda entry: entry.id)
def test_published_shapes_and_limits_are_at_rest(
    entry: Entry, record_property: Callable[..., None]
) -> None:
    """In the published shape the frame rests, held by nothing; every force is the exact one; those asked
    are the published ones."""
    record_property("published", f"settled|{entry['answer_origin']}")
    record_property("source", entry.source)
    shape = published_shape(entry)
    values = {**shape.frame.shown, **shape.values, **entry.greatest_at}
    settled = settle(shape.frame, values)
    comparison = compare(shape, settled)

    assert comparison.agreement == "agree", f"{comparison.advice}; {entry.source}"
    assert comparison.largest < ALLOWED
    assert settled.forces is not None
    for question in entry.questions:
        if _is_of_forces(question.query):
            at = {**letters(shape), **values}
            found = numeric(question.query, entry, shape.frame, settled.forces, at)
            told = f"{question.words}; {entry.source}"
            assert found == pytest.approx(question.value, rel=entry.tolerance, abs=ACCURACY), told


def _is_of_forces(query: str) -> bool:
    """Whether a query is of forces, and not of the shape alone."""
    return re.search(r"\b(R|N|F|T|J|KN|KF)\[", query) is not None and "P[" not in query
