"""The mirror of a frame, what follows from it, and that a solution without it bears it out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from published.entries import read_entries
from published.frames import frame_of
from scenes_at_rest import AT_REST

from simlab.frame.model import Frame, Load, Place
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.symmetry import mirror
from simlab.statics.mirror import symmetry, used
from simlab.statics.solution import solve

SYMMETRIC = ("five_cane_lantern", "kite_lantern", "ring_lantern")
LOPSIDED = ("gangway", "stall_trestle", "banner_bracket", "tow_chain")


@pytest.mark.parametrize("name", SYMMETRIC)
def test_symmetric_scenes_are_seen_to_be_so(name: str) -> None:
    """Lanterns that are the same on both sides; the statements hold of the solution found without them."""
    frame = AT_REST[name]
    found = symmetry(frame, frame.shown)

    assert found is not None
    assert found.mirror.is_upright
    assert found.reactions
    assert used(found, solve(frame))


@pytest.mark.parametrize("name", LOPSIDED)
def test_lopsided_scenes_have_no_symmetry(name: str) -> None:
    """A weight, a length or a support is on one side only."""
    assert mirror(AT_REST[name]) is None


def kite() -> Frame:
    """The kite lantern: its lowest hinge B is on the axis and carries nothing."""
    return AT_REST["kite_lantern"]


def test_the_hinge_on_the_axis_carries_no_upright_force() -> None:
    """Common practice: by symmetry and the third law the mutual force at the lowest hinge is level."""
    frame = kite()
    found = symmetry(frame, frame.shown)

    assert found is not None
    assert found.hinges == ("B",)
    assert any("at B is level" in sentence for sentence in found.sentences)


def test_a_loaded_hinge_on_the_axis_is_left_out() -> None:
    """With a weight hung on its pin the argument fails (teaching.md), though the frame is symmetric."""
    frame = kite()
    weight = Load("candle", "weight", Place("B", "B"), (Quantity.of(1, FORCE),))
    loaded = replace(frame, loads={"candle": weight})
    found = symmetry(loaded, loaded.shown)

    assert found is not None
    assert found.hinges == ()
    assert used(found, solve(loaded))


def test_unequal_weights_break_the_symmetry() -> None:
    """One cane a millionth heavier: the mirror is no mirror."""
    frame = kite()
    heavier = frame.bodies["KL"].weight * (Quantity.of(1) + Quantity.of(1) / Quantity.of(10**6))
    bodies = {**frame.bodies, "KL": replace(frame.bodies["KL"], weight=heavier)}

    assert symmetry(replace(frame, bodies=bodies), frame.shown) is None


def test_symmetry_at_the_values_only_is_none() -> None:
    """Two letters that happen to be equal where they are shown make no symmetry in letters."""
    frame = kite()
    other = replace(frame.symbols["W"], name="V")
    weight = Quantity.symbol("V", FORCE)
    bodies = {**frame.bodies, "KL": replace(frame.bodies["KL"], weight=weight)}
    special = replace(frame, bodies=bodies, symbols={**frame.symbols, "V": other})

    assert mirror(special) is not None
    assert symmetry(special, special.shown) is None


@pytest.mark.parametrize(
    "name", [entry.id for entry in read_entries().values() if not entry.raw.get("unknowns")]
)
def test_published_problems_bear_their_symmetry_out(name: str) -> None:
    """Whatever symmetry says of a published problem is true of its solution."""
    frame = frame_of(read_entries()[name])
    found = symmetry(frame, frame.shown)
    if found is not None:
        assert used(found, solve(frame))


def test_many_published_problems_are_symmetric() -> None:
    """Rhombuses, hexagons, pentagons, trestles: at least ten have an axis."""
    entries = [entry for entry in read_entries().values() if not entry.raw.get("unknowns")]

    assert sum(mirror(frame_of(entry)) is not None for entry in entries) >= 10
