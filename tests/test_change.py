"""Pure edits of a frame."""

from __future__ import annotations

from pathlib import Path

import pytest

from simlab.errors import BadInput
from simlab.frame.change import showing, without
from simlab.frame.scene import read_scene

KITE = Path(__file__).parent.parent / "scenes" / "kite_lantern.toml"


def test_a_frame_without_its_brace_keeps_everything_else():
    """Only the member, and what was asked of it, is gone; the old frame is as it was."""
    frame = read_scene(KITE)
    left = without(frame, "spreader")

    assert "spreader" in frame.links
    assert not left.links
    assert left.brace is None
    assert frame.joints == left.joints
    assert ["force at L on LB"] == [asked.words for asked in left.asked]


def test_an_unknown_member_cannot_be_taken_away():
    """The message names the members there are."""
    with pytest.raises(BadInput, match="Light members: spreader"):
        without(read_scene(KITE), "rope")


def test_other_values_are_read_exactly():
    """Half a newton more is half a newton more; other letters keep their values."""
    frame = showing(read_scene(KITE), {"W": "2.5 N"})

    assert "5/2" == str(frame.shown["W"])
    assert "1/2" == str(frame.shown["a"])


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"beta": "3 deg"}, "no letter"),
        ({"W": "3 m"}, "here goes a force"),
        ({"alpha": "4 deg"}, "at least 5 deg"),
        ({"a": "0 m"}, "not above 0"),
        ({"a": "1/0"}, "divide"),
    ],
)
def test_values_that_cannot_be_shown_are_refused(values, message):
    """Unknown letters, other dimensions, values out of range."""
    with pytest.raises(BadInput, match=message):
        showing(read_scene(KITE), values)
