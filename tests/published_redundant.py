"""Redundant frames whose self-stress, and mechanisms whose motion, is a classical result.

All from memory, no page recalled:

- the square with both diagonals (the stock example of a frame once redundant): equal tensions 1 in
  the sides go with thrusts sqrt(2) in the diagonals; two sides at a right angle pull with sqrt(2);
- the regular hexagon with its three long diagonals (Crofton's and others' critical frame): tensions 1
  in the sides go with thrusts 1 in the diagonals; two sides at 120 degrees pull with 1. It has as many
  rods as a stiff frame of six pins needs, and yet a state of self-stress and one small motion;
- two triangles joined by three parallel bars of one length: the bars stay parallel, so one triangle
  is carried round the other without turning: a motion, not only a small one. The self-stress is three
  parallel forces in balance, each as the distance of the other two.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from published.balance import Balance
from published.entries import Entry
from published.frames import frame_of, truss
from published_statics import are_equal

from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.results import Key
from simlab.simulation.settle import settle
from simlab.statics.solution import solve

SQUARE = truss(
    "square with both diagonals",
    nodes={
        "A": ("0", "0"),
        "B": ("a/sqrt(2)", "-a/sqrt(2)"),
        "C": ("0", "-a*sqrt(2)"),
        "D": ("-a/sqrt(2)", "-a/sqrt(2)"),
    },
    members="AB BC CD DA AC BD",
    supports=({"at": "A", "kind": "pin"},),
    loads={"C": ("0", "-W")},
    letters={"a": 1.0, "W": 2.0},
)
SQUARE_STRESS = {**dict.fromkeys(("AB", "BC", "CD", "DA"), "1"), "AC": "-sqrt(2)", "BD": "-sqrt(2)"}

HEXAGON = truss(
    "hexagon with its long diagonals",
    nodes={
        **{"A": ("0", "0"), "B": ("a*sqrt(3)/2", "-a/2"), "C": ("a*sqrt(3)/2", "-3*a/2")},
        **{"D": ("0", "-2*a"), "E": ("-a*sqrt(3)/2", "-3*a/2"), "F": ("-a*sqrt(3)/2", "-a/2")},
    },
    members="AB BC CD DE EF FA AD BE CF",
    supports=({"at": "A", "kind": "pin"},),
    loads={"D": ("0", "-W")},
    letters={"a": 1.0, "W": 2.0},
)
HEXAGON_STRESS = {
    **dict.fromkeys(("AB", "BC", "CD", "DE", "EF", "FA"), "1"),
    **dict.fromkeys(("AD", "BE", "CF"), "-1"),
}

# The upper triangle PQR is fixed; the lower one, pqr, hangs from it by bars of length h at x = 0, b, 3*b.
BARS = frame_of(
    Entry(
        "triangles on parallel bars",
        {
            "statement": "a lamina hung by three equal parallel light rods",
            "source": "the tests' own",
            "answer_origin": "remembered",
            "geometry": {
                **{"P": ("0", "0"), "Q": ("b", "b"), "R": ("3*b", "0")},
                **{"p": ("0", "-h"), "q": ("b", "b-h"), "r": ("3*b", "-h")},
            },
            "bodies": [
                {
                    "id": "pqr",
                    "kind": "rigid",
                    "points": ["p", "q", "r"],
                    "weight": "W",
                    "cg": ["4*b/3", "b/3-h"],
                }
            ],
            "supports": [],
            "braces": [
                {"id": upper + lower, "from": lower, "to": upper, "kind": "light rod", "body_to": "ground"}
                for upper, lower in ("Pp", "Qq", "Rr")
            ],
            "numeric_check": {"params": {"b": 1.0, "h": 2.0, "W": 3.0}},
        },
    )
)
BARS_STRESS = {"Pp": "2", "Qq": "-3", "Rr": "1"}

CASES: Mapping[str, tuple[Frame, Mapping[str, str], int]] = {  # frame, self-stress, motions left
    "square": (SQUARE, SQUARE_STRESS, 1),  # it swings about A
    "hexagon": (HEXAGON, HEXAGON_STRESS, 2),  # it swings, and it has its small motion
    "bars": (BARS, BARS_STRESS, 1),
}
HOOK = Key("A", "A", "ground")
each_case = pytest.mark.parametrize(("frame", "stress", "motions"), CASES.values(), ids=CASES)


def share(written: str) -> Quantity:
    """A member's share of the self-stress, as a number."""
    return Entry("share", {"numeric_check": {"params": {}}}).read(written, (0, 0, 0))


@each_case
def test_the_self_stress_is_the_classical_one(
    frame: Frame, stress: Mapping[str, str], motions: int
) -> None:
    """There is one self-stress, with the ratios of the classical result, and none at the support."""
    freedom = solve(frame).case.freedom
    (state,) = freedom.self_stress
    first = next(iter(stress))
    unit = state.tensions[first] / share(stress[first])

    assert len(freedom.motions) == motions
    assert freedom.carried
    for link, written in stress.items():
        expected = Quantity(unit.expr * share(written).expr, state.tensions[link].dim)
        assert are_equal(state.tensions[link], expected, frame), link
    if frame is not BARS:  # whose hooks are what the bars pull against
        assert all(part.number(frame.shown) == 0 for part in state.reactions[HOOK].force)


@each_case
def test_the_dense_solve_sees_the_same_self_stress(
    frame: Frame, stress: Mapping[str, str], motions: int
) -> None:
    """The classical ratios are right: they are the null vector that numpy finds."""
    dense = Balance(frame)
    (state,) = dense.self_stress.T
    column = {unknown: i for i, (unknown, _) in enumerate(dense.unknowns)}
    found = np.array([state[column[link]] for link in stress])
    expected = np.array([share(written).number() for written in stress.values()])

    assert dense.motions.shape[0] == motions
    assert dense.carried
    assert found / found[0] == pytest.approx(expected / expected[0], abs=1e-12)


@each_case
def test_members_of_a_redundant_frame_are_not_determined_and_the_support_is(
    frame: Frame, stress: Mapping[str, str], motions: int
) -> None:
    """No member in the self-stress has a force; what the support bears is the whole load."""
    solved = solve(frame)

    assert solved.verdict == "not determined"
    assert not set(solved.case.forces.tensions) & set(stress)
    if frame is not BARS:
        found = solved.case.forces.reactions[HOOK].force
        assert [str(part) for part in found] == ["0", "W"]


def test_parallel_bars_carry_the_lamina_round_without_turning_it() -> None:
    """The motion of the lamina is level, without a turn, and it rests in stable balance at its lowest."""
    freedom = solve(BARS).case.freedom
    (motion,) = freedom.motions
    x, y, turn = motion.velocity["pqr"]

    assert x.number(BARS.shown) != 0
    assert y.number(BARS.shown) == turn.number(BARS.shown) == 0
    assert freedom.rest == "stable"


@each_case
def test_a_redundant_frame_gets_no_reading(frame: Frame, stress: Mapping[str, str], motions: int) -> None:
    """The simulation would settle on some share of the self-stress or other: it shows no number."""
    settled = settle(frame)

    assert settled.verdict == "refused"
    assert settled.forces is None
