"""Loads as the question gives them, and the parts of forces at rough contacts."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from small_frames import vec

from simlab.frame.quantity import FORCE
from simlab.frame.scene import read_scene
from simlab.pictures.arrows import force_arrows, role_of, scale_for
from simlab.pictures.beside import exact_words
from simlab.pictures.camera import Camera
from simlab.pictures.given_loads import given_weights
from simlab.pictures.marks import Arrow, Label, Mark
from simlab.pictures.plan import Plan
from simlab.pictures.structure import structure
from simlab.results.forces import Forces, Key, Reaction

PICTURED = Path(__file__).parent / "pictured"
GRAIN = 0.004  # [m/page unit]


def plan_of(name: str) -> Plan:
    """The plan of a scene made for these tests."""
    return Plan.of(read_scene(PICTURED / f"{name}.toml"))


def named(marks: list[Mark]) -> dict[str, Mark]:
    """Marks by their names, which are all different."""
    assert len({mark.name for mark in marks}) == len(marks)
    return {mark.name: mark for mark in marks}


def test_a_force_to_be_found_has_its_letter():
    """The pull F on the board, 30 degrees below the level, is an arrow that way, with F beside it."""
    marks = named(given_weights(plan_of("pennant_board"), GRAIN))
    arrow, words = marks["weight of pull"], marks["words of weight of pull"]

    assert isinstance(arrow, Arrow)
    assert isinstance(words, Label)
    assert np.degrees(np.arctan2(arrow.vector[1], arrow.vector[0])) == pytest.approx(-30)
    assert words.text == "$F$"


def test_a_couple_is_an_arc_with_its_letter_in_its_sense():
    """The clockwise couple M at D: the arc's head is on its right end and points down."""
    marks = named(given_weights(plan_of("pennant_board"), GRAIN))
    head, words = marks["couple twist"], marks["words of couple twist"]

    assert isinstance(head, Arrow)
    assert isinstance(words, Label)
    assert head.tail[0] > 0  # D is the origin of x
    assert head.vector[1] < 0
    assert words.text == "$M$"


def test_a_spread_load_is_a_row_of_equal_arrows_over_its_part():
    """From D to B, 2 m to 5 m, downwards onto the plank; 120 N per metre stands over the middle."""
    plan = plan_of("loaded_gangplank")
    row = [m for m in structure(plan, GRAIN) if isinstance(m, Arrow) and m.role == "spread"]
    words = named(given_weights(plan, GRAIN))["words of weight of stack"]

    assert {tuple(np.round(m.vector, 9)) for m in row} == {(0.0, round(row[0].vector[1], 9))}
    assert row[0].vector[1] < 0
    assert [row[0].tail[0], row[-1].tail[0]] == pytest.approx([2.0, 5.0])
    assert len(row) >= 3
    assert isinstance(words, Label)
    assert words.text == "120 N per metre"
    assert words.anchor[0] == pytest.approx(3.5)


def test_blocks_and_lanterns_go_by_their_names():
    """The crane's chest is a block, its lantern a lantern."""
    roles = {m.name: m.role for m in structure(plan_of("quay_crane"), GRAIN)}

    assert (roles["chest"], roles["lantern"]) == ("block", "lantern")


def test_points_made_by_the_program_have_no_names():
    """The middle of a spread load is a point of the plank, without a letter."""
    labels = {m.text for m in structure(plan_of("loaded_gangplank"), GRAIN) if isinstance(m, Label)}

    assert labels == {f"${letter}$" for letter in "ABCDE"}


def forces_at_the_prop() -> tuple[Plan, Forces[float]]:
    """Made-up forces on the prop: at its rough top, by the plank, and at its rough foot."""
    top, foot = (3.0, 0.0), (3.6, -1.6)
    return plan_of("loaded_gangplank"), Forces(
        {
            Key("EC", "top", "AB"): Reaction((30.0, -100.0), None, top),
            Key("AB", "top", "EC"): Reaction((-30.0, 100.0), None, top),
            Key("EC", "stones at E", "stones"): Reaction((-30.0, 160.0), None, foot),
        },
        {},
    )


def test_the_force_of_a_rough_contact_has_its_parts_dashed():
    """Normal part and friction, at right angles, make up the force; no words beside them."""
    plan, forces = forces_at_the_prop()
    marks = named(force_arrows(plan, forces, Camera((0, 0), (0, 0), 250.0, scale_for(160.0))))
    parts = [m for n, m in marks.items() if n.endswith("part of force on EC at stones at E by stones")]

    assert {m.role for m in parts} == {"component"}
    assert sorted(m.vector for m in parts if isinstance(m, Arrow)) == [(-30.0, 0.0), (0.0, 160.0)]


def test_bodies_that_touch_have_a_force_each():
    """The force of the plank on the prop is no pin's; of the two opposite forces one is named."""
    plan, forces = forces_at_the_prop()
    one, other = Key("EC", "top", "AB"), Key("AB", "top", "EC")

    assert role_of(plan, one, forces) == role_of(plan, other, forces) == "contact force"
    exact = {key: Reaction(vec(r.force, FORCE), None, vec(r.point)) for key, r in forces.reactions.items()}
    words = exact_words(plan, Forces(exact, {}), forces)
    assert one in words
    assert other not in words
