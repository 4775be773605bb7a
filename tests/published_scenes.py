"""Published problems written as scene files, as a teacher would, in published/scenes.

The file's name is the entry's; its letters are the entry's too. What a scene asks, in its order, is what
the entry asks; the answer is compared as an element of an exact field, and where there is no exact
expression to twelve figures: with the answer's value, or, where the answer is an equation, as its root. A
failure's message gives the source and what its answer's origin is.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
import sympy as sp
from published.entries import Entry, read_entries
from published_shapes import are_equal
from scipy.optimize import brentq
from solved import found as findings

from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.results.statics import Findings, Root, Statics

SCENES = sorted(Path(__file__).with_name("published").joinpath("scenes").glob("*.toml"))
ENTRIES = read_entries()
BOUNDS = ("least", "greatest", "range")
CLOSE = 1e-12
# What a source's answer is counted in: kilonewtons, the tension of the other string.
TIMES = {"arch-two-loads-and-half-uniform": "1000", "rhombus-on-table-two-strings-ratio": "T0"}
NEAR = 0.4  # [rad] how far a root may be from the entry's guess: scenes have other demonstration data

scenes = pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)


def answer_of(asked: Asked, found: Findings, shape: Statics) -> tuple[Quantity | None, float]:
    """What one thing asked is: exactly if it can be, and as a number."""
    root = shape.found.get(asked.words)
    if asked.measure in BOUNDS:
        (only,) = found.ranges[asked.at]
        root = only.high if asked.measure == "greatest" else only.low
        assert isinstance(root, Root)
    if root is not None:
        return root.exact, root.value
    exact = shape.answers[asked.words]
    return exact, exact.number(shape.values)


def published(entry: Entry, found: Findings, i: int) -> Quantity:
    """The published answer, in the letters of the scene; thrusts and tensions as sizes."""
    answer = entry.in_letters(entry.questions[i].answer, letters_of(found))
    return answer * entry.in_letters(TIMES.get(entry.id, "1"), letters_of(found))


def letters_of(found: Findings) -> dict[str, Quantity]:
    """The letters of a scene, by name."""
    return {name: Quantity.symbol(name, symbol.shown.dim) for name, symbol in found.frame.symbols.items()}


def wrong_answers(entry: Entry, found: Findings, shape: Statics) -> list[str]:
    """What is not as published in one shape; a sentence each."""
    if not entry.questions:
        return wrong_roots(entry, found, shape)
    wrong = []
    for i, asked in enumerate(found.frame.asked):
        exact, number = answer_of(asked, found, shape)
        answer = published(entry, found, i)
        if not agree(exact, number, answer, shape):
            wrong.append(f"{asked.words}: {exact}, not {answer}; {entry.source}")
    return wrong


def wrong_roots(entry: Entry, found: Findings, shape: Statics) -> list[str]:
    """Whether the one thing asked is the root of the published equation, to twelve figures."""
    written, name, guess = entry["answer_zero"]
    (asked,) = found.frame.asked
    _, number = answer_of(asked, found, shape)
    zero = entry.in_letters(written, letters_of(found)).expr
    known = {
        symbol: found.frame.symbols[symbol.name].shown.expr
        for symbol in zero.free_symbols
        if symbol.name != name
    }
    residual = sp.lambdify([s for s in zero.free_symbols if s.name == name], zero.subs(known))
    root = brentq(residual, guess - NEAR, guess + NEAR, xtol=CLOSE / 10)
    return [] if number == pytest.approx(root, rel=CLOSE) else [f"{number}, not {root}; {entry.source}"]


@scenes
def test_the_scene_has_the_published_answer(path: Path) -> None:
    """Each thing asked, in letters; where a scene can rest in several shapes, in one of them."""
    entry = ENTRIES[path.stem]
    found = findings(path)
    assert found.shapes, entry.source
    assert len(found.frame.asked) == max(1, len(entry.questions)), "all that the entry asks"

    wrong = [wrong_answers(entry, found, shape) for shape in found.shapes]
    assert [] in wrong, wrong


@scenes
def test_the_scene_names_its_source(path: Path) -> None:
    """The entry's source stands in the scene."""
    assert ENTRIES[path.stem]["source"] in findings(path).frame.source


def agree(exact: Quantity | None, number: float, answer: Quantity, shape: Statics) -> bool:
    """Whether what is found is the answer: exactly where it is an expression, else to twelve figures."""
    if exact is None or exact.has_other_roots:
        return number == pytest.approx(answer.number(shape.values), rel=CLOSE)
    return are_equal(exact, answer, shape)


def test_a_spoiled_answer_is_refused() -> None:
    """An eighth more than the published answer is not what is found (eighths of an angle are exact)."""
    for path in SCENES[::5]:
        entry, found = ENTRIES[path.stem], findings(path)
        if not entry.questions:
            continue
        spoiled = published(entry, found, 0) * Quantity.of(Fraction(9, 8))
        for shape in found.shapes:
            assert not agree(*answer_of(found.frame.asked[0], found, shape), spoiled, shape), path.stem


def test_the_scenes_are_of_every_category() -> None:
    """At least sixty problems, from all fifteen categories."""
    assert len(SCENES) >= 60
    assert {ENTRIES[path.stem]["category"] for path in SCENES} == {e["category"] for e in ENTRIES.values()}
