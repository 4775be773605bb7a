"""The laws of worked solutions on frames made to be awkward.

Letters that collide, pulleys on bodies, loads on pins, built-in ends, oblique pushes, members of known
tension, contacts between bodies, trusses, forces that symmetry makes nothing: in `tests/worked/`.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from law_workings import check_working, questions

from simlab.frame.scene import read_scene
from simlab.lesson.page import page
from simlab.notation.page import written
from simlab.statics.shape import find
from simlab.working.solution import Workings
from simlab.working.sought import Sought
from simlab.working.targets import SHARES

ODD = sorted((Path(__file__).parent / "worked").glob("*.toml"))


@pytest.mark.parametrize("path", ODD, ids=lambda path: path.stem)
def test_every_line_is_true_and_every_force_is_found(path):
    """Each force that is asked has a working of true lines and letters of its own, and it is written."""
    findings = find(read_scene(path))
    for state in findings.shapes:
        told = Workings(state).question()
        forces = [one for one in state.frame.asked if one.measure in SHARES]
        if path.stem != "parallel_strings":  # one of its springs follows from its length alone
            assert len(forces) == len(told)
        taken = {*state.frame.symbols, *state.frame.points}
        for working in told:
            check_working(working, state)
            assert not taken & set(working.letters), "a letter of the working is one of the scene"
            assert list(written(page(working), "text"))
        assert len(state.found) == (len(Sought(findings, state).question()) if state.found else 0)


def test_notes_of_eliminations_give_the_line_that_they_stand_beside():
    """k33: twice one line less five times the other, the signs as they are shown."""
    state = find(read_scene(Path(__file__).parent / "worked" / "k33.toml")).shapes[0]
    seen = 0
    for asked in questions(state):
        for working in Workings(state).of(asked, 1, others=False):
            for step in working.steps:
                labelled = {line.label: line for line in step.lines if line.label}
                for line in step.lines:
                    words = "".join(part if isinstance(part, str) else f"[{part}]" for part in line.note)
                    if line.note and "from" not in words and "divided" not in words:
                        assert is_combination(line, words, labelled), words
                        seen += 1
    assert seen


def is_combination(line, words, labelled):
    """Whether left and right of a line are what its note says of the lines named."""
    import re

    import sympy as sp

    total = {"left": 0, "right": 0}
    for sign, label, factor in re.findall(r"(−)?\s*\((\d+)\)(?: × \[([^]]*)\])?", words):
        times = (-1 if sign else 1) * sp.sympify(factor or "1")
        for side in total:
            products = getattr(labelled[label], side)
            total[side] += times * sum(product.value.expr for product in products)
    for side, value in total.items():
        shown = sum(product.value.expr for product in getattr(line, side))
        if sp.simplify(sp.sympify(str(value)) - sp.sympify(str(shown))) != 0:
            return False
    return True
