"""How far a letter may go before friction gives way, against scipy's linear programming.

The programme's matrix is that of `published.balance`, assembled apart from simlab's own equations.
"""

from __future__ import annotations

from math import atan, degrees, sqrt

import numpy as np
import pytest
from published.balance import Balance
from scipy.optimize import linprog

from simlab.frame.change import settled
from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.scene import parse_scene
from simlab.results.forces import Key
from simlab.statics.shape import find

CLOSE = 1e-6  # the programme's own tolerances are 1e-7


def pulls(frame: Frame, letter: str) -> tuple[float, float]:
    """The least and greatest pull for which some forces are in balance, press and rub as they may.

    A linear programme over the unknown forces and the pull, which the loads are linear in.
    """
    at = [Balance(settled(frame, {letter: Quantity.of(size, FORCE)})) for size in (0, 1)]
    loads, pull = at[0]._loads(), at[1]._loads() - at[0]._loads()
    matrix = np.column_stack([*at[0].columns, pull])
    rows = []
    for i, (unknown, component) in enumerate(at[0].unknowns):
        if not (isinstance(unknown, Key) and unknown.at in frame.contacts):
            continue
        friction = frame.contacts[unknown.at].friction
        assert friction is not None
        for sign in (1, -1) if component else (0,):
            row = np.zeros(matrix.shape[1])
            row[i - component] = -friction.number(frame.shown) if component else -1.0
            row[i] = sign if component else -1.0
            rows.append(row)
    ends = []
    for sense in (1.0, -1.0):
        cost = np.zeros(matrix.shape[1])
        cost[-1] = sense
        found = linprog(cost, rows, np.zeros(len(rows)), matrix, -loads, (None, None), method="highs")
        assert found.status == 0
        ends.append(float(found.x[-1]))
    return ends[0], ends[1]


HEAD = """
title = "T"
question = "Q"
source = "our own"
"""
LADDER = """
asked = ["range of {letter}"]
[symbols]
{letter} = {{ meaning = "to be found", between = {between} }}
[points]
A = ["0 m", "0 m"]
B = {{ from = "A", length = "4 m", angle = "{angle}" }}
F = {{ from = "A", towards = "B", fraction = "{share}" }}
[rods]
AB = {{ ends = ["A", "B"], weight = "{weight} N", through = ["F"] }}
[supports]
quay = {{ kind = "rough floor", at = "A", friction = "{foot}" }}
shed = {{ kind = "rough wall", at = "B", faces = "left", friction = "{top}" }}
[loads]
porter = {{ weight = "{man} N", at = "F" }}
pull = {{ force = "{pull}", at = "A", direction = "right" }}
"""
TRESTLE = """
asked = ["range of P"]
[symbols]
P = {{ meaning = "a pull", between = ["-9000 N", "9000 N"] }}
[points]
A = ["-1 m", "0 m"]
B = ["{b} m", "0 m"]
C = ["0 m", "2 m"]
[rods]
CA = {{ ends = ["C", "A"], weight = "{weight} N" }}
CB = {{ ends = ["C", "B"], weight = "50 N" }}
[supports]
quay = {{ kind = "rough floor", at = ["A", "B"], friction = "{foot}" }}
[loads]
lantern = {{ weight = "{man} N", at = "C" }}
pull = {{ force = "P", at = "C", direction = "right" }}
"""
CRATE = """
asked = ["range of P"]
[symbols]
P = {{ meaning = "a pull", between = ["0 N", "any"] }}
[points]
A = ["0 m", "0 m"]
B = ["{width} m", "0 m"]
C = ["{width} m", "{height} m"]
D = ["0 m", "{height} m"]
[plates]
crate = {{ lamina = ["A", "B", "C", "D"], weight = "{weight} N" }}
[supports]
quay = {{ kind = "rough floor", at = ["A", "B"], friction = "{foot}" }}
[loads]
pull = {{ force = "P", at = "C", direction = "right" }}
"""


def compare(frame: Frame) -> None:
    """The only range of the pull is the one that the linear programme finds."""
    (found,) = find(frame).ranges["P"]
    assert found.low is not None
    assert found.high is not None
    least, greatest = pulls(frame, "P")
    size = max(abs(least), abs(greatest))
    assert found.low.value == pytest.approx(least, abs=CLOSE * size)
    assert found.high.value == pytest.approx(greatest, abs=CLOSE * size)


@pytest.mark.parametrize("seed", range(6))
def test_pulls_between_which_a_ladder_stays(seed: int) -> None:
    """A level pull at the foot of a ladder that is rough at both ends, a porter on it (scipy's linprog)."""
    chance = np.random.default_rng(seed)
    data = {
        "letter": "P",
        "between": '["-9000 N", "9000 N"]',
        "angle": f"{chance.integers(35, 75)} deg",
        "share": f"{chance.integers(1, 9)}/10",
        "weight": int(chance.integers(50, 200)),
        "man": int(chance.integers(50, 900)),
        "foot": f"{chance.integers(1, 7)}/10",
        "top": f"{chance.integers(1, 7)}/10",
        "pull": "P",
    }
    compare(parse_scene(HEAD + LADDER.format(**data)))


@pytest.mark.parametrize("seed", range(4))
def test_pulls_between_which_a_trestle_stands(seed: int) -> None:
    """A level pull at the top of a trestle on rough ground: a foot slips or lifts first (scipy)."""
    chance = np.random.default_rng(seed + 100)
    data = {
        "b": f"{chance.integers(5, 20)}/10",
        "weight": int(chance.integers(20, 200)),
        "man": int(chance.integers(0, 200)),
        "foot": f"{chance.integers(8, 20)}/10",
    }
    compare(parse_scene(HEAD + TRESTLE.format(**data)))


@pytest.mark.parametrize(
    ("foot", "height", "pull", "what"),
    [("1/10", 3, 10.0, "slipping"), ("3/5", 3, 100 * 1 / (2 * 3), "lifting off at A")],
)
def test_a_crate_slides_or_topples(foot: str, height: int, pull: float, what: str) -> None:
    """Pulled at the top edge, a crate slides at P = mu*W or topples at P = W*b/(2*h), whichever is less.

    Common practice, no source: sliding against toppling.
    """
    frame = parse_scene(HEAD + CRATE.format(width=1, height=height, weight=100, foot=foot))
    (found,) = find(frame).ranges["P"]

    assert found.low is None
    assert found.high is not None
    assert found.high.value == pytest.approx(pull)
    assert any(what in words for words in found.limiting[1])


def test_the_steepest_ladder_is_not_limited() -> None:
    """Coefficient 1/2 at both ends: from tan(theta) = (1 - mu^2)/(2 mu) = 3/4 on (from memory)."""
    text = LADDER.format(
        letter="theta",
        between='["0 deg", "90 deg"]',
        angle="theta",
        share="1/2",
        weight=100,
        man=0,
        foot="1/2",
        top="1/2",
        pull="0 N",
    )
    (found,) = find(parse_scene(HEAD + text)).ranges["theta"]

    assert found.high is None
    assert found.low is not None
    assert found.low.exact is not None
    assert degrees(found.low.value) == pytest.approx(degrees(atan(3 / 4)))


def test_the_least_coefficient_of_friction() -> None:
    """A ladder at 60 degrees, rough alike at both ends: mu = tan(15 deg) = 2 - sqrt(3) (from memory)."""
    text = LADDER.format(
        letter="mu",
        between='["0", "any"]',
        angle="60 deg",
        share="1/2",
        weight=100,
        man=0,
        foot="mu",
        top="mu",
        pull="0 N",
    )
    (found,) = find(parse_scene(HEAD + text)).ranges["mu"]

    assert found.low is not None
    assert found.high is None
    assert found.low.value == pytest.approx(2 - sqrt(3))
