"""Laws of worked solutions: every line true, the last one the solver's answer, symmetry never needed.

All scenes, all published problems in a given shape (their sources beside them in published/statics.json),
each thing asked by up to three ways and by virtual work.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from published.entries import Entry, read_entries
from published.frames import frame_of
from solved import found as findings

from simlab.errors import BadInput
from simlab.exact.field import Field
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.results import Key, Statics
from simlab.results.wording import sides
from simlab.results.working import Letter, Line, Working
from simlab.statics.solution import solve
from simlab.working.solution import Workings
from simlab.working.sought import Sought
from simlab.working.virtual import by_work

ROOT = Path(__file__).parent.parent
SCENES = sorted((ROOT / "scenes").glob("*.toml"))
ENTRIES = read_entries()
PUBLISHED = [entry for entry in ENTRIES.values() if not entry.raw.get("unknowns")]


@cache
def of_entry(name: str) -> Statics:
    """A published problem solved."""
    return solve(frame_of(ENTRIES[name]))


def questions(state: Statics) -> list[Asked]:
    """What is asked; of a published frame the force of each member and the reaction at each fixed hinge."""
    asked = list(state.frame.asked)
    known = {one.words for one in asked}
    if not asked:
        links = state.frame.links.values()
        asked += [Asked(f"tension in {one.name}", "tension", one.name) for one in links if not one.is_given]
        held = [joint.name for joint in state.frame.joints.values() if "ground" in joint.bodies]
        asked += [Asked(f"reaction at {name}", "reaction", name) for name in held]
    return [one for one in asked if one.words not in known or one in state.frame.asked]


def lines(working: Working) -> Iterator[Line]:
    """Every line of algebra of a working."""
    for step in (*working.steps, *working.others, *([working.check] if working.check else [])):
        yield from step.lines


def solved(state: Statics, letter: Letter) -> Quantity:
    """A letter's value from the solver's forces: the named component, in the sense that it assumes."""
    forces = state.case.forces
    if not isinstance(letter.of, Key):
        tension = forces.tensions[letter.of]
        return -tension if letter.part == "thrust" else tension
    force = forces.reactions[letter.of].force
    if letter.on != letter.of.on:  # it is told of the other side
        force = -force[0], -force[1]
    if letter.part in ("across", "upwards"):
        component = force[0] if letter.part == "across" else force[1]
        back = "away from the wall" if wall_is_right(state) else "towards the wall"
        return -component if letter.sense in ("downwards", "to the left", back) else component
    return letter.value  # along a sloping surface: proved with the lines that bring it in


def wall_is_right(state: Statics) -> bool:
    """Whether 'towards the wall' is to the right."""
    return sides(state.frame).right == "towards the wall"


def is_zero(total: Quantity, state: Statics) -> bool:
    """Whether an expression is proved to be nothing."""
    field = Field.containing([total.expr], {name: q.expr for name, q in state.values.items()})
    return field.element(total.expr).is_zero


def untrue(working: Working, state: Statics, values: dict[str, Quantity]) -> list[str]:
    """The lines that are not true when every letter takes its value; in words."""
    found = []
    for line in lines(working):
        total = Quantity.zero()
        for products, sign in ((line.left, 1), (line.right, -1)):
            for product in products:
                value = product.value.expr
                total = Quantity(total.expr + sign * value)
        known = {s: values[s.name].expr for s in total.expr.free_symbols if s.name in values}
        if not is_zero(Quantity(total.expr.subs(known, simultaneous=True)), state):
            found.append(f"{line}")
    return found


def check_working(working: Working, state: Statics) -> None:
    """The laws, of one working."""
    values = {name: letter.value for name, letter in working.letters.items()}
    assert [] == untrue(working, state, values)
    for letter in working.letters.values():
        if letter.of in state.case.forces.reactions or letter.of in state.case.forces.tensions:
            difference = Quantity(letter.value.expr - solved(state, letter).expr)
            assert is_zero(difference, state), f"{letter.name} is not what the solver found"


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_every_line_of_every_scene_is_true(path: Path) -> None:
    """The exact forces put into every line of up to three ways leave nothing."""
    for state in findings(path).shapes:
        workings = Workings(state)
        for working in workings.question():
            check_working(working, state)
        for asked in questions(state):
            for working in workings.of(asked, others=False):
                check_working(working, state)


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_symmetry_is_never_needed(path: Path) -> None:
    """The ways that do not use symmetry give every letter the force that the solver found."""
    for state in findings(path).shapes:
        for asked in questions(state):
            for working in Workings(state, by_symmetry=False).of(asked, 1, others=False):
                assert () == working.before
                check_working(working, state)


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_virtual_work_says_the_same(path: Path) -> None:
    """The value of its letter is the answer, up to its sign (a thrust is a negative tension)."""
    for state in findings(path).shapes:
        for asked in questions(state):
            working = by_work(state, asked)
            if working is not None:
                (letter,) = working.letters.values()
                answer = state.answers[asked.words]
                assert is_zero(letter.value * letter.value - answer * answer, state)


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_letters_that_are_sought_are_worked(path: Path) -> None:
    """Every letter of a scene that is to be found has a working (its relation is proved at its value)."""
    for state in findings(path).shapes:
        if state.found:
            assert len(state.found) == len(Sought(findings(path), state).question())


@pytest.mark.parametrize("entry", PUBLISHED, ids=lambda entry: entry.id)
def test_every_line_of_every_published_problem_is_true(entry: Entry) -> None:
    """The same for the best way to every member's force and every reaction of the published frames."""
    state = of_entry(entry.id)
    try:
        workings = Workings(state)
    except BadInput:
        pytest.skip(f"no single answer in this shape: {state.advice}")
    for asked in questions(state)[:1]:
        for working in workings.of(asked, 1, others=False):
            check_working(working, state)


# Letters of published problems; their sources stand in the scenes and in published/statics.json.
SOUGHT = (
    "L-frame-brace-hung",
    "balance-rod-two-pans",
    "beam-tipping-load",
    "horizontal-and-sloping-rod-wall-floor",
    "ladder-equal-friction-both-ends",
    "ladder-man-80kg-how-far",
    "ladder-two-coefficients",
    "nonuniform-rod-limiting-perpendicular-force",
    "rod-on-peg-and-smooth-wall",
    "semicircular-lamina-hung-from-corner",
    "three-rod-chain-horizontal-force",
    "two-hinged-rods-astride-cylinder-ocr",
    "two-rods-up-to-smooth-wall",
    "upright-rod-horizontal-elastic-ring",
)


@pytest.mark.parametrize("name", SOUGHT)
def test_letters_of_published_problems_are_worked(name):
    """A relation is found for each letter; that it holds at its value is proved where it is written."""
    found = findings(ROOT / "tests" / "published" / "scenes" / f"{name}.toml")
    assert found.shapes
    for state in found.shapes:
        assert len(state.found) == len(Sought(found, state).question()) > 0
