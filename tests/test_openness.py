"""Which forces rigid bodies leave open, in frames whose states of self-stress are told by hand."""

from __future__ import annotations

from pathlib import Path

from small_frames import frame

from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.results import Key
from simlab.simulation.conditioning import Gaps
from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import masses
from simlab.simulation.openness import open_forces

SCENES = Path(__file__).parent.parent / "scenes"


def opened(of: Frame) -> set[object]:
    """Keys and light members that rigid bodies leave open."""
    drawn = Drawn(of, of.shown)
    return set(open_forces(Gaps(drawn, masses(drawn))))


def bracket(ties: int) -> Frame:
    """A rod hinged to a wall at A, its end B tied to a hook C above A, by one tie or more side by side."""
    return frame(
        {"A": (0.0, 0.0), "B": (2.0, 0.0), "C": (0.0, 1.5)},
        {"AB": ("AB", 20.0)},
        {f"tie {i}": ("string", "BC") for i in range(ties)},
        hooks="AC",
    )


def test_a_frame_held_by_just_enough_leaves_no_force_open() -> None:
    """Simply stiff: as many unknown forces as equations (by hand: 3 for the rod, 2 at A and 1 tie)."""
    assert opened(bracket(1)) == set()
    assert opened(read_scene(SCENES / "kite_lantern.toml")) == set()


def test_how_two_ties_side_by_side_share_their_pull_is_open() -> None:
    """By hand: only the sum of their tensions enters any equation; the hinge at A is found by moments."""
    found = opened(bracket(2))

    assert {"tie 0", "tie 1"} <= found
    assert {key.by for key in found if isinstance(key, Key)} >= {"tie 0", "tie 1"}
    assert found.isdisjoint({Key("AB", "A", "A"), Key("A", "A", "ground")})


def test_a_ladder_rough_at_both_ends_leaves_both_its_reactions_open() -> None:
    """By hand: equal and opposite forces along the ladder, one at each end, are in balance with no load."""
    ladder = read_scene(SCENES / "shed_ladder.toml")

    assert opened(ladder) == {Key.of(contact) for contact in ladder.contacts.values()}
