"""Law: an angle belongs to a range exactly where scipy's linear programme finds forces for it.

Random ladders, props, strings, trestles and pegs, rough and one-sided. The programme's matrix is that of
`published.balance`, assembled apart from simlab's own equations.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction
from math import radians

import numpy as np
import pytest
from published.balance import Balance
from scipy.optimize import linprog

from simlab.frame.change import settled
from simlab.frame.model import Frame
from simlab.frame.quantity import Quantity
from simlab.frame.scene import parse_scene
from simlab.results.forces import Key
from simlab.statics.shape import find

NEAR = 1e-5  # of an end [rad]: there linprog's own tolerance of 1e-7 decides
RANGES = ((0, 90), (0, 180), (-90, 90), (0, 360), (10, 170))  # degrees
N_ANGLES = 37

SCENE = """
title = "T"
question = "Q"
source = "our own"
asked = ["range of theta"]
[symbols]
theta = {{ meaning = "slope", between = ["{low} deg", "{high} deg"] }}
[points]
A = ["0 m", "0 m"]
B = {{ from = "A", length = "2 m", angle = "theta" }}
C = {{ from = "A", towards = "B", fraction = "3/4" }}
{more}
[supports]
{supports}
[loads]
lantern = {{ force = ["{across} N", "{upwards} N"], at = "B" }}
"""
ROD = '[rods]\nAB = {{ ends = ["A", "B"], weight = "{w} N", through = ["C"] }}'
FLOOR = 'quay = {{ kind = "rough floor", at = "A", slope = "{slope} deg", friction = "{mu}" }}\n'
KINDS = {
    "ladder": (
        ROD,
        FLOOR + 'shed = {{ kind = "rough wall", at = "B", faces = "left", friction = "{nu}" }}',
    ),
    "jammed": (
        ROD,
        'left = {{ kind = "rough wall", at = "A", faces = "right", friction = "{mu}" }}\n'
        'right = {{ kind = "rough wall", at = "B", faces = "left", friction = "{nu}" }}',
    ),
    "prop": (
        ROD,
        'foot = {{ kind = "fixed hinge", at = "A" }}\n'
        'roof = {{ kind = "rough floor", at = "C", slope = "{turned} deg", friction = "{mu}" }}',
    ),
    "peg": (ROD, FLOOR + 'peg = {{ kind = "rough peg", at = "C", friction = "{nu}" }}'),
    "string": (
        'H = ["{x} m", "3 m"]\n' + ROD + '\n[members]\ntie = {{ kind = "{link}", between = ["B", "H"] }}',
        FLOOR + 'hook = {{ kind = "hook", at = "H" }}',
    ),
    "trestle": (
        'D = {{ from = "B", length = "2 m", angle = "-theta" }}\n'
        + ROD
        + '\nBD = {{ ends = ["B", "D"], weight = "{v} N" }}',
        FLOOR.replace("{slope}", "0")
        + 'edge = {{ kind = "rough floor", at = "D", friction = "{nu}" }}',
    ),
}  # fmt: skip


def scene(chance: random.Random, kind: str) -> tuple[str, float, float]:
    low, high = chance.choice(RANGES)
    more, supports = KINDS[kind]
    data = {
        "w": chance.randint(5, 60),
        "v": chance.randint(5, 60),
        "x": chance.randint(-3, 3),
        "mu": f"{chance.randint(1, 12)}/8",
        "nu": f"{chance.randint(1, 12)}/8",
        "slope": chance.choice([0, 10, -15]),
        "turned": chance.choice([180, 30, -40, 90]),
        "link": chance.choice(["string", "strut"]),
    }
    across, upwards = (chance.choice([0, chance.randint(-30, 30)]) for _ in "xy")
    filled = more.format(**data), supports.format(**data)
    text = SCENE.format(
        low=low, high=high, more=filled[0], supports=filled[1], across=across, upwards=upwards
    )
    return text, radians(low), radians(high)


def one_sided(frame: Frame, balance: Balance) -> Iterator[list[tuple[int, float]]]:
    """Rows of at most 0, (unknown, factor): contacts press, rub within mu*N, strings pull, struts push."""
    for i, (of, component) in enumerate(balance.unknowns):
        if isinstance(of, Key) and of.at in frame.contacts:
            friction = frame.contacts[of.at].friction
            if not component:
                yield [(i, -1.0)]
            elif friction is not None:
                for sign in (1.0, -1.0):
                    yield [(i, sign), (i - component, -friction.number(frame.shown))]
        elif of in frame.links and frame.links[str(of)].kind in ("string", "strut"):
            yield [(i, -1.0 if frame.links[str(of)].kind == "string" else 1.0)]


def can_rest(frame: Frame, angle: float) -> bool:
    """Whether linprog finds forces at an angle."""
    there = settled(frame, {"theta": Quantity.of(Fraction(angle).limit_denominator(10**6))})
    balance = Balance(there)
    rows = list(one_sided(there, balance))
    matrix = np.zeros((len(rows), len(balance.columns)))
    for k, row in enumerate(rows):
        for i, factor in row:
            matrix[k, i] = factor
    columns = np.column_stack(balance.columns)
    found = linprog(
        np.zeros(matrix.shape[1]), matrix, np.zeros(len(rows)), columns, -balance._loads(), (None, None)
    )
    return bool(found.status == 0)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("kind", KINDS)
def test_an_angle_is_in_a_range_where_linprog_finds_forces(kind: str, seed: int) -> None:
    """At angles spread over the range, but for those next to an end of a stretch."""
    text, low, high = scene(random.Random(f"{kind} {seed}"), kind)
    frame = parse_scene(text)
    stretches = [
        (low if one.low is None else one.low.value, high if one.high is None else one.high.value)
        for one in find(frame).ranges["theta"]
    ]
    for i in range(N_ANGLES):
        angle = low + (high - low) * (i + 0.4137) / N_ANGLES
        if all(abs(angle - end) > NEAR for stretch in stretches for end in stretch):
            inside = any(start <= angle <= end for start, end in stretches)
            assert can_rest(frame, angle) == inside, f"{angle} rad, {stretches}"
