"""Published problems written as scene files, as a teacher would, in published/scenes.

The file's name is the entry's; its letters are the entry's too. What a scene asks, in its order, is what
the entry asks; the answer is compared as an element of an exact field, and where there is no exact
expression to twelve figures. A failure's message gives the source and what its answer's origin is.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import sympy as sp
from published.entries import Entry, read_entries

from simlab.exact.field import Field
from simlab.frame.quantity import Quantity
from simlab.frame.scene import read_scene
from simlab.results.statics import Findings, Root, Statics
from simlab.statics.shape import find

SCENES = sorted(Path(__file__).with_name("published").joinpath("scenes").glob("*.toml"))
ENTRIES = read_entries()
BOUNDS = ("least", "greatest", "range")
CLOSE = 1e-12
# Scenes whose numbers are not the entry's: the answer is then compared in letters only.
INVERSE = (sp.atan, sp.acos, sp.asin)


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
        if exact is None or exact.has_other_roots:
            assert number == pytest.approx(answer.number(shape.values), rel=CLOSE), told
        else:
            assert are_equal(exact, answer, shape), told


def are_equal(one: Quantity, other: Quantity, shape: Statics) -> bool:
    """Equality in an exact field; of angles by sine and cosine on one branch, of forces by size."""
    values = {name: value.expr for name, value in shape.values.items()}
    exprs = [one.expr, other.expr]
    if any(e.has(*INVERSE) for e in exprs):
        near = abs(one.number(shape.values) - other.number(shape.values)) < 1
        pairs = [(f(exprs[0]), f(exprs[1])) for f in (sp.sin, sp.cos)]
    else:
        near, pairs = True, [(exprs[0], exprs[1])]
    field = Field.containing([e for pair in pairs for e in pair], values)
    return near and all(field.element(a) == field.element(b) for a, b in pairs)


def test_twenty_problems_are_written_by_hand() -> None:
    """At least twenty, from at least ten of the fifteen categories."""
    assert len(SCENES) >= 20
    assert len({ENTRIES[path.stem]["category"] for path in SCENES}) >= 10
