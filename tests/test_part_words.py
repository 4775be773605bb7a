"""Every force on a part in words."""

from __future__ import annotations

import pytest
from hand_parts import ByHand, moments
from seen import SCENES
from small_frames import frame

from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.results.conventions import Conventions
from simlab.results.part_words import arms_in_words, in_words


def of(scene: str, *bodies: str) -> tuple[Frame, ByHand, str]:
    """A part of a scene by hand, its forces in their assumed senses in words."""
    read = read_scene(SCENES / f"{scene}.toml")
    hand = ByHand(read)
    return read, hand, in_words(read, read.shown, hand.part(*bodies))


def test_a_leg_before_it_is_solved():
    """Weight at its middle, hinge from the other leg by its components, rope towards U, floor upwards."""
    assert of("stall_trestle", "CB")[2] == (
        "On CB: its weight W, downwards, at its middle; at C from CA, X_C to the left and Y_C downwards; "
        "the tension T₁ in the rope at V, towards U; the reaction N₂ of the square at B, upwards."
    )


def test_a_leg_as_it_came_out():
    """No letter and no negative number: sizes with their true senses."""
    scene, hand, _ = of("stall_trestle", "CB")
    said = in_words(scene, scene.shown, hand.part("CB"), hand.letters)

    # W = 30 N: B bears 49W/20 = 73.5 N (README), so at C CA bears on CB with 73.5 - 30 = 43.5 N.
    # T = 13 W tan θ / 4 = 45.5 N at θ = 25°; together 62.9 N, at arctan(43.5/45.5) = 43.7°.
    assert said == (
        "On CB: its weight W, downwards, at its middle; at C from CA, 45.5 N to the right and 43.5 N "
        "downwards, together 62.9 N, at 43.7° below the horizontal, to the right; the tension 45.5 N in "
        "the rope at V, towards U; the reaction 73.5 N of the square at B, upwards."
    )
    assert "−" not in said
    assert "-" not in said


def test_a_thrust_leads_away():
    """The spreader pushes LB away from Q, and is no force on the whole lantern."""
    scene, hand, said = of("kite_lantern", "LB")

    assert "the thrust S₁ in the spreader at P, away from Q" in said
    assert "spreader" not in in_words(scene, scene.shown, hand.part(*scene.bodies))


def test_the_whole_names_whose_weight_it_is():
    """Of several bodies each weight says whose it is; hung weights and quays go by their names."""
    said = of("gangway", "AC", "CB")[2]

    assert "the weight 3W of AC, downwards, at its middle" in said
    assert "the weight 7W of the porter at F, downwards" in said
    assert "at A from the west quay, X_A to the right and Y_A upwards" in said
    assert "from CB" not in said


def test_oblique_contacts_and_walls():
    """A normal reaction on a slope has its angle; a wall gives the sides their names."""
    cask = of("slip_cask", "cask")[2]  # the slip at 20° to the horizontal

    assert "the normal reaction N₁ of the slip at C, at 70.0° above the horizontal" in cask
    assert "the friction F₁ of the slip at C, at 20.0° above the horizontal" in cask
    assert "away from the wall" in of("banner_bracket", "pole")[2]


def test_what_is_nothing_is_said():
    """A beam on a hinge and a floor: no level force."""
    beam = frame(
        {"A": (0.0, 0.0), "B": (2.0, 0.0)}, {"AB": ("AB", 10.0)}, hooks="A", floors={"B": (0.0, 1.0)}
    )
    hand = ByHand(beam)
    part = hand.part("AB")
    said = in_words(beam, {}, part, hand.letters)

    assert "5 N upwards and no force X_A" in said


def test_a_moment_turns():
    """A built-in end: the moment, anticlockwise, since the rod's weight turns it clockwise."""
    bracket = frame({"A": (0.0, 0.0), "B": (2.0, 0.0)}, {"AB": ("AB", 10.0)}, built_in="A")
    hand = ByHand(bracket)
    part = hand.part("AB")

    assert "the moment M_A at A, anticlockwise" in in_words(bracket, {}, part)
    assert "the moment 10 N m at A, anticlockwise" in in_words(bracket, {}, part, hand.letters)


@pytest.mark.parametrize(
    ("conventions", "words"),
    [
        (Conventions(thrust="compression"), "the compression S₁ in the spreader"),
        (Conventions(hinge="joint"), "at L from KL"),
        (Conventions(angle_to="vertical"), "X_L"),
    ],
)
def test_a_class_hears_its_own_words(conventions, words):
    """Thrust or compression, as the class has it."""
    scene, hand, _ = of("kite_lantern", "LB")

    assert words in in_words(scene, scene.shown, hand.part("LB"), conventions=conventions)


def test_arms_in_words():
    """Moments of the pole about P: what turns it which way, at which arm, and what does not turn it."""
    scene, hand, _ = of("banner_bracket", "pole")
    part = hand.part("pole")
    said = arms_in_words(scene.shown, moments(part, scene.shown, "P", scene.points["P"]))

    # The stay from S, 1.6 m out, to Z, 1.2 m up: 2 m long, so its arm is 1.6 × 1.2 / 2 = 0.96 m.
    assert said.startswith("Moments of pole about P: ")
    assert "T₁, arm 24/25 m, anticlockwise" in said
    assert "arm 2 m, clockwise" in said
    assert said.endswith("; no moment: X_P, Y_P.")
