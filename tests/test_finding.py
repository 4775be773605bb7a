"""Shapes that statics finds, tried in the engine: let go nearby, the frame comes to them, or leaves them.

The shapes are worked out by hand beside each test; `published_shapes.py` proves that statics finds them.
"""

from __future__ import annotations

from math import atan, degrees, pi
from pathlib import Path

import pytest
from solved import found

from simlab.frame.scene import parse_scene
from simlab.results.bracket import Return
from simlab.simulation.finding import returns
from simlab.statics.shape import find

PUBLISHED = Path(__file__).with_name("published") / "scenes"
SCENES = Path(__file__).parents[1] / "scenes"

CLOSE = 1e-7  # of an angle [rad]: the poses are within 1e-8 of the frame's size

HEAD = """
title = "T"
question = "Q"
source = "our own"
"""
PULLED = """
asked = ["theta"]
[symbols]
theta = { meaning = "angle to the downward vertical", between = ["0 deg", "360 deg"] }
[points]
A = ["0 m", "0 m"]
B = { from = "A", length = "1 m", direction = "down", lean = "theta", to = "right" }
[rods]
AB = { ends = ["A", "B"], weight = "20 N" }
[supports]
hook = { kind = "hook", at = "A" }
[loads]
boat = { force = "15 N", direction = "right", at = "B" }
"""
BOX = """
asked = ["theta"]
[symbols]
theta = { meaning = "angle of CQ to the horizontal", between = ["20 deg", "70 deg"] }
[points]
P = ["0 m", "0 m"]
Q = ["1 m*DISTANCE", "0 m"]
C = ["1 m*DISTANCE*cos(theta)^2", "-1 m*DISTANCE*cos(theta)*sin(theta)"]
D = { from = "C", towards = "P", length = "2 m" }
E = { from = "C", towards = "Q", length = "2 m" }
F = { from = "D", angle = "90 deg - theta", length = "2 m" }
[plates]
box = { lamina = ["C", "E", "F", "D"], weight = "10 N", through = ["P", "Q"] }
[supports]
p = { kind = "smooth peg", at = "P" }
q = { kind = "smooth peg", at = "Q" }
"""
SIZE = """
asked = ["d"]
[symbols]
d = { meaning = "from A to the weight", between = ["0 m", "2 m"] }
[points]
A = ["-1 m", "0 m"]
O = ["0 m", "0 m"]
B = ["1 m", "0 m"]
F = { from = "A", towards = "B", length = "d" }
[rods]
AB = { ends = ["A", "B"], weight = "10 N", through = ["O"] }
[supports]
hinge = { kind = "hook", at = "O" }
[loads]
lantern = { weight = "10 N", at = "F" }
other = { weight = "5 N", at = "B" }
"""


def only(path: Path) -> Return:
    """The one shape of a scene, let go near."""
    (one,) = returns(found(path))
    return one


def test_a_chain_pulled_sideways_comes_to_rest_at_the_angles_of_statics() -> None:
    """tan alpha = P/(W + W2/2), tan beta = P/(W1/2): moments of each pole about its upper end.

    Here OA weighs 2W and AB W: tan alpha = P/(2W), tan beta = 2P/W, W = 50 N, P = 40 N.
    """
    one = only(SCENES / "tow_chain.toml")

    assert one.outcome == "returns"
    assert one.agrees
    assert one.rest["alpha"] == pytest.approx(atan(40 / 100), abs=CLOSE)
    assert one.rest["beta"] == pytest.approx(atan(80 / 50), abs=CLOSE)
    assert abs(one.released["alpha"] - one.exact["alpha"]) == pytest.approx(pi / 2 / 30)


def test_a_hanging_l_comes_to_rest_with_its_centre_of_gravity_under_the_hook() -> None:
    """L-frame-brace-hung: tan theta = 1/3, from the middles of two equal rods at right angles."""
    one = only(PUBLISHED / "L-frame-brace-hung.toml")

    assert one.outcome == "returns"
    assert one.rest["theta"] == pytest.approx(atan(1 / 3), abs=CLOSE)
    assert one.apart < 1e-8


@pytest.mark.parametrize(
    "scene",
    [
        "three-rod-chain-horizontal-force",
        "hinged-rod-elastic-to-hook-above",
        "semicircular-lamina-hung-from-corner",
        "walking-stick-hung-by-handle",
    ],
)
def test_published_shapes_draw_the_frame_in(scene: str) -> None:
    """Chains, elastic strings, laminas, bent wires: each comes to the shape that is published."""
    one = only(PUBLISHED / f"{scene}.toml")

    assert one.outcome == "returns"
    assert one.agrees
    for letter, exact in one.exact.items():
        assert one.rest[letter] == pytest.approx(exact, abs=CLOSE)


def test_the_shape_that_is_not_stable_is_left() -> None:
    """A rod pulled sideways rests at tan theta = 2P/W, and upside down, opposite: from there it goes."""
    down, up = returns(find(parse_scene(HEAD + PULLED, "rod")))

    assert degrees(down.exact["theta"]) == pytest.approx(degrees(atan(1.5)))
    assert (down.outcome, up.outcome) == ("returns", "leaves")
    assert down.agrees
    assert up.agrees
    assert up.exact["theta"] == pytest.approx(down.exact["theta"] + pi)


@pytest.mark.parametrize(("d", "outcome"), [("2/5", "leaves"), ("6/5", "returns")])
def test_a_box_on_two_pegs_stands_where_they_are_far_apart(d: str, outcome: str) -> None:
    """Its middle is at sqrt(2) cos(u) - (d/2) cos(2u), u from the upright: lowest there if 2d > sqrt(2).

    The second derivative at u = 0 is 2d - sqrt(2): worked out here, for a square of side 2 m.
    """
    (one,) = returns(find(parse_scene(HEAD + BOX.replace("DISTANCE", d), "box")))

    assert one.outcome == outcome
    assert one.agrees


def test_a_chain_whose_letters_do_not_move_alone_is_brought_out_of_its_shape() -> None:
    """five-equal-rods-between-level-points: moved by gravity turned a little; it comes back."""
    one = only(PUBLISHED / "five-equal-rods-between-level-points.toml")

    assert one.agrees
    assert one.away > 1e-4
    assert one.apart < 1e-8


def test_a_letter_that_is_a_size_is_not_moved() -> None:
    """With the weight hung elsewhere it would be another frame, not another pose of it."""
    found = find(parse_scene(HEAD + SIZE, "balance"))

    assert found.shapes[0].found
    assert all(not one.released for one in returns(found))
