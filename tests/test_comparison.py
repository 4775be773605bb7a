"""The comparison: its probes, its rows, and what it refuses to call agreement."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from simlab.comparison import ALLOWED, compare, probes
from simlab.frame.scene import read_scene
from simlab.results import Forces, Key
from simlab.simulation.settle import settle
from simlab.statics.solution import solve

SCENES = Path(__file__).parent.parent / "scenes"


@pytest.fixture(scope="module")
def roads():
    """Both roads of the trestle."""
    frame = read_scene(SCENES / "stall_trestle.toml")
    return solve(frame), settle(frame)


def test_probes_lie_inside_every_range_and_tell_letters_apart():
    """Two further values of each letter, inside its range; no two angles of one range come out equal."""
    frame = read_scene(SCENES / "kite_lantern.toml")
    shown, *others = probes(frame)

    assert frame.shown == shown
    for values in others:
        for name, symbol in frame.symbols.items():
            if symbol.low and symbol.high:
                assert symbol.low.number() < values[name].number() < symbol.high.number()
        assert values["theta"] != values["alpha"]


def test_every_component_and_every_balance_has_a_row(roads):
    """Two components for each reaction, a tension for each member, a balance for each rod and pin."""
    statics, reading = roads
    comparison = compare(statics, reading)
    count = {
        c: sum(row.component == c for row in comparison.rows) for c in ("x", "y", "tension", "balance")
    }

    # Trestle: a pin on two rods, a rope on two rods, two contacts: six reactions. Two rods and one pin.
    assert {"x": 6, "y": 6, "tension": 1, "balance": 3} == count
    assert comparison.largest <= ALLOWED


def test_a_number_that_is_none_never_agrees(roads):
    """NaN in one component is a difference."""
    statics, reading = roads
    key = next(iter(reading.forces.reactions))
    spoiled = replace(reading.forces.reactions[key], force=(float("nan"), 0.0))
    forces = Forces({**reading.forces.reactions, key: spoiled}, reading.forces.tensions)

    assert "differ" == compare(statics, replace(reading, forces=forces)).agreement


def test_a_missing_reaction_is_a_difference_and_is_named(roads):
    """Roads that do not know the same reactions cannot agree."""
    statics, reading = roads
    kept = {key: r for key, r in reading.forces.reactions.items() if key != Key("CA", "C", "C")}
    comparison = compare(statics, replace(reading, forces=Forces(kept, reading.forces.tensions)))

    assert "differ" == comparison.agreement
    assert "C on CA" in comparison.advice


def test_a_reading_that_did_not_settle_is_a_difference(roads):
    """A determined frame whose simulation did not settle is no agreement."""
    statics, reading = roads
    comparison = compare(statics, replace(reading, verdict="not settled", forces=None, advice="Why."))

    assert "differ" == comparison.agreement
    assert "Why." in comparison.advice
