"""Published problems written as scene files, as a teacher would, in published/scenes.

The file's name is the entry's; its letters are the entry's too. What a scene asks, in its order, is what
the entry asks; the answer is compared as an element of an exact field, and where there is no exact
expression to twelve figures. A failure's message gives the source and what its answer's origin is.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from published.entries import Entry, read_entries
from published_shapes import are_equal

from simlab.frame.quantity import Quantity
from simlab.frame.scene import read_scene
from simlab.results.statics import Findings, Root, Statics
from simlab.statics.shape import find

SCENES = sorted(Path(__file__).with_name("published").joinpath("scenes").glob("*.toml"))
ENTRIES = read_entries()
BOUNDS = ("least", "greatest", "range")
CLOSE = 1e-12


def answers(found: Findings) -> list[tuple[Quantity | None, float, Statics]]:
    """What each thing asked is: exactly if it can be, as a number, in the shape that is the entry's."""
    shape = found.shapes[0]
    given = []
    for asked in found.frame.asked:
        if asked.measure in BOUNDS:
            (only,) = found.ranges[asked.at]
            root = only.high if asked.measure == "greatest" else only.low
            assert isinstance(root, Root)
            given.append((root.exact, root.value, shape))
        elif asked.words in shape.found:
            root = shape.found[asked.words]
            given.append((root.exact, root.value, shape))
        else:
            exact = shape.answers[asked.words]
            given.append((exact, exact.number(shape.values), shape))
    return given


def published(entry: Entry, found: Findings, i: int) -> Quantity:
    """The published answer, in the letters of the scene; thrusts and tensions as sizes."""
    letters = {
        name: Quantity.symbol(name, symbol.shown.dim) for name, symbol in found.frame.symbols.items()
    }
    return entry.in_letters(entry.questions[i].answer, letters)


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_the_scene_has_the_published_answer(path: Path) -> None:
    """Each thing asked, in letters."""
    entry = ENTRIES[path.stem]
    found = find(read_scene(path))
    assert found.shapes, entry.source

    for i, (exact, number, shape) in enumerate(answers(found)):
        answer = published(entry, found, i)
        told = f"{found.frame.asked[i].words}: {exact}, not {answer}; {entry.source}"
        assert agree(exact, number, answer, shape), told


def agree(exact: Quantity | None, number: float, answer: Quantity, shape: Statics) -> bool:
    """Whether what is found is the answer: exactly where it is an expression, else to twelve figures."""
    if exact is None or exact.has_other_roots:
        return number == pytest.approx(answer.number(shape.values), rel=CLOSE)
    return are_equal(exact, answer, shape)


def test_a_spoiled_answer_is_refused() -> None:
    """An eighth more than the published answer is not what is found (eighths of an angle are exact)."""
    for path in SCENES[::5]:
        found = find(read_scene(path))
        (exact, number, shape), *_ = answers(found)
        spoiled = published(ENTRIES[path.stem], found, 0) * Quantity.of(Fraction(9, 8))
        assert not agree(exact, number, spoiled, shape), path.stem


def test_the_scenes_are_of_every_category() -> None:
    """At least forty problems, from all fifteen categories."""
    assert len(SCENES) >= 40
    assert {ENTRIES[path.stem]["category"] for path in SCENES} == {e["category"] for e in ENTRIES.values()}
