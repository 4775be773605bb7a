"""Settled readings: right to 1e-9 of the largest force, or a verdict and no number."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from published.balance import Balance
from scenes_at_rest import each_settled
from small_frames import arch, frame, polygon, rhombus, rod_at, row, stepladder, tower

from simlab.frame.change import without
from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.results import Key, Reading
from simlab.simulation.settle import settle
from simlab.simulation.stopping import BOUNDS

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))
ACCURACY = 1e-9  # of the largest force: design, section 6
CLASSROOM = 1e-12  # what frames of a few rods reach


def largest_error(of: Frame, reading: Reading) -> float:
    """Largest difference of any component or moment from a dense least-squares solve, over the largest."""
    assert reading.verdict == "settled", reading.advice
    dense = Balance(of)
    worst = 0.0
    for key, found in reading.forces.reactions.items():
        wanted = dense.forces.reactions[key]
        parts = [*zip(found.force, wanted.force, strict=True)]
        if wanted.moment is not None:
            parts.append((found.moment, wanted.moment))
        worst = max(worst, *(abs(left - right) for left, right in parts))
    for name, tension in reading.forces.tensions.items():
        worst = max(worst, abs(tension - dense.forces.tensions[name]))
    return worst / dense.largest


@each_settled
def test_scenes_settle_to_twelve_figures(of):
    """Every component of every reaction of each scene is that of numpy's least squares.

    The dense solve does not know that friction is at its limit: house_scenes.py has those scenes.
    """
    if any(link.over for link in of.links.values()):
        pytest.skip("the dense solve knows no pegs: test_readings.py")
    if Balance(of).self_stress.shape[1]:
        pytest.skip("the balances alone do not settle it")
    assert largest_error(of, settle(of)) < CLASSROOM


HARD = {
    "flat arch, rise 0.01": arch(0.01),
    "flat arch, rise 0.002": arch(0.002),
    "squashed rhombus, 1:100": rhombus(0.01),
    "squashed rhombus, 1:1000": rhombus(0.001),
    "octagon": polygon(8),
    "ring of 20 rods": polygon(20),
    "tower of 15 rods": tower(5),
    "tower with a beam of 1000 weights on top": tower(5, top=10000.0),
    "steep trestle": stepladder(slope=0.05),
    "flat trestle": stepladder(slope=1.5),
}


@pytest.mark.parametrize("of", HARD.values(), ids=HARD)
def test_hard_frames_settle_to_nine_figures(of):
    """Flat, long and unequal frames too, with braces that carry up to 1000 weights."""
    assert largest_error(of, settle(of)) < ACCURACY


def test_random_frames_settle_to_nine_figures():
    """Fifty random triangles on two hinges with random rods hung on, loads and members (seeded)."""
    rng = np.random.default_rng(7)
    for _ in range(50):
        x, y, u, v = rng.uniform(0.3, 1.5, 4)
        points = {"A": (0.0, 0.0), "B": (x + 1.0, v - 1.0), "C": (x, y), "D": (x + u, y + v)}
        rods = {
            name: (name, float(w))
            for name, w in zip(("AC", "CB", "CD"), rng.uniform(0, 50, 3), strict=True)
        }
        kind = rng.choice(["light rod", "string", "strut"])
        loads = {
            "C": ("weight", (float(rng.uniform(0, 90)),)),
            "D": ("force", tuple(rng.uniform(-9, 9, 2))),
        }
        of = frame(points, rods, {"stay": (kind, "DB")}, hooks="AB", loads=loads)

        assert largest_error(of, settle(of)) < ACCURACY


def test_a_built_in_rod_has_the_moment_of_the_textbook():
    """A rod of weight W and length L built in at an end: force W up, moment W L/2; closed formula."""
    points = {"A": (0.0, 0.0), "B": (1.5, 0.0)}
    reading = settle(frame(points, {"AB": ("AB", 50.0)}, built_in="A"))

    (key,) = reading.forces.reactions
    assert key == Key("AB", "A", "ground")
    reaction = reading.forces.reactions[key]
    assert reaction.force == pytest.approx((0.0, 50.0), abs=1e-12)
    assert reaction.moment == pytest.approx(37.5, abs=1e-12)
    assert reaction.point == pytest.approx((0.0, 0.0), abs=1e-12)


def test_two_bars_share_a_load_as_the_triangle_of_forces_says():
    """A weight P on two ties at 45 degrees: tension P/sqrt(2) in each; closed formula."""
    points = {"A": (-1.0, 0.0), "B": (1.0, 0.0), "C": (0.0, -1.0)}
    members = {"AC": ("string", "AC"), "BC": ("light rod", "BC")}
    reading = settle(frame(points, {}, members, hooks="AB", loads={"C": ("weight", (10.0,))}))

    assert reading.forces.tensions == pytest.approx(dict.fromkeys(("AC", "BC"), 10 / sqrt(2)), abs=1e-11)


def test_one_sided_members_are_read_with_their_sign():
    """A string that would have to push reads a negative tension: others say that it falls out."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "Z": (1.0, -1.0)}
    reading = settle(frame(points, {"AB": ("AB", 10.0)}, {"stay": ("string", "BZ")}, hooks="AZ"))

    assert reading.verdict == "settled"
    assert reading.forces.tensions["stay"] == pytest.approx(-5.0, abs=1e-11)


def test_contacts_push_along_their_normals():
    """A ladder between a smooth wall and a smooth floor, its foot tied: the reactions are square to both.

    W at 60 degrees to the floor: floor W, wall and tie W cot(60)/2; moments about the foot, by hand.
    """
    points = {"A": (0.5, 0.0), "B": (0.0, sqrt(3) / 2), "O": (0.0, 0.0)}
    floors = {"A": (0.0, 1.0), "B": (1.0, 0.0)}
    of = frame(points, {"AB": ("AB", 10.0)}, {"tie": ("string", "AO")}, hooks="O", floors=floors)
    forces = settle(of).forces

    assert forces.reactions[Key("AB", "floor A at A", "floor A")].force == pytest.approx((0, 10), abs=1e-11)
    wall = 10 / sqrt(3) / 2
    assert forces.reactions[Key("AB", "floor B at B", "floor B")].force == pytest.approx(
        (wall, 0), abs=1e-11
    )
    assert forces.tensions["tie"] == pytest.approx(wall, abs=1e-11)


# What is movable


@pytest.mark.parametrize("angle", [0.0, pi], ids=["hanging", "upside down"])
def test_a_movable_frame_is_read_where_it_is_in_balance(angle):
    """Hanging or balanced on its hinge: W at the hinge, and the temporary hold carries nothing."""
    reading = settle(rod_at(angle))

    assert reading.verdict == "settled"
    assert reading.forces.reactions[Key("A", "A", "ground")].force == pytest.approx((0, 10), abs=1e-13)
    assert list(reading.holds) == ["hold 1"]
    assert abs(reading.holds["hold 1"]) < 1e-9


def test_a_frame_with_two_ways_to_move_gets_two_holds():
    """Two rods hung one under the other: plumb, they are read; aside, they are not."""
    rods = {"AB": ("AB", 10.0), "BC": ("BC", 10.0)}
    plumb = settle(frame({"A": (0.0, 0.0), "B": (0.0, -1.0), "C": (0.0, -2.0)}, rods, hooks="A"))
    aside = settle(frame({"A": (0.0, 0.0), "B": (0.0, -1.0), "C": (1e-3, -2.0)}, rods, hooks="A"))

    assert plumb.verdict == "settled"
    assert len(plumb.holds) == 2
    assert aside.verdict == "no equilibrium in this shape"


def test_without_the_brace_a_rhombus_is_no_equilibrium():
    """The hold that takes the brace's place carries a force."""
    reading = settle(without(rhombus(0.6), "brace"))

    assert reading.verdict == "no equilibrium in this shape"
    assert reading.forces is None


# What is refused, or does not settle


def test_a_frame_with_a_member_too_many_is_refused():
    """Rigid bodies would give the redundant forces by the order of their joints."""
    once_braced = rhombus(0.6)
    twice = replace(once_braced.links["brace"], name="second", kind="light rod")
    reading = settle(replace(once_braced, links={**once_braced.links, "second": twice}))

    assert reading.verdict == "refused"
    assert reading.forces is None
    assert "one force more" in reading.advice


def test_redundant_and_movable_at_once_is_refused():
    """Three hinges in line: a state of self-stress and a motion."""
    reading = settle(arch(0.0))

    assert reading.verdict == "refused"


def test_a_nearly_straight_arch_does_not_settle_and_says_what_to_do():
    """Rise 1e-5 of the span: it would carry 50,000 weights; no number is given."""
    reading = settle(arch(1e-5))

    assert reading.verdict == "not settled"
    assert reading.forces is None
    assert "less flat" in reading.advice


@pytest.mark.parametrize("rise", [1e-6, 1e-8, 1e-9, 3e-10, 1e-10, 1e-12])
def test_an_arch_that_is_all_but_straight_gets_a_verdict(rise):
    """Between what cannot be settled and what counts as straight there is no gap to fall into."""
    reading = settle(arch(rise))

    assert reading.verdict in ("not settled", "refused")
    assert reading.forces is None


def test_a_tower_of_hundreds_of_rods_is_not_begun_and_says_what_to_do():
    """It would take minutes: no step is made, no number given."""
    reading = settle(tower(133))

    assert reading.verdict == "not settled"
    assert reading.forces is None
    assert reading.settings.steps == 0
    assert "too slowly" in reading.advice
    assert "shorter" in reading.advice


def test_a_row_of_hundreds_of_rods_settles():
    """400 of them on hangers: W in each hanger but the last, which bears W/2 (moments of each rod)."""
    tensions = [*settle(row(400)).forces.tensions.values()]

    assert tensions[:-1] == pytest.approx([10.0] * 399, rel=ACCURACY)
    assert tensions[-1] == pytest.approx(5.0, rel=ACCURACY)


def test_every_accepted_reading_has_passed_four_tests():
    """Balance, speed, change and shape, all named and all below the bound."""
    reading = settle(stepladder())

    assert set(reading.tests) == {"balance", "speed", "change", "shape"}
    assert all(value < BOUNDS[name] for name, value in reading.tests.items())


def test_a_light_frame_without_loads_carries_nothing():
    """No weights, no loads: settled, and every force is zero."""
    points = {"A": (0.0, 0.0), "B": (2.0, 0.0), "C": (1.0, 1.0)}
    reading = settle(frame(points, {"AC": ("AC", 0.0), "CB": ("CB", 0.0)}, hooks="AB"))

    assert reading.verdict == "settled"
    assert all(hypot(*r.force) < 1e-12 for r in reading.forces.reactions.values())


def test_the_same_frame_is_read_with_the_same_bits():
    """Two readings of one frame are equal, not nearly."""
    first, second = settle(polygon(8)), settle(polygon(8))

    assert first.forces == second.forces
    assert first.tests == second.tests
    assert first.settings == second.settings
    assert np.array_equal(first.poses, second.poses)


def test_values_other_than_the_shown_ones_are_used():
    """Twice the weight, twice the forces."""
    of = read_scene(SCENES[0].parent / "kite_lantern.toml")
    doubled = {**of.shown, "W": of.shown["W"] + of.shown["W"]}
    once, twice = settle(of), settle(of, doubled)

    assert twice.values["W"] == doubled["W"]
    assert twice.forces.tensions["spreader"] == pytest.approx(
        2 * once.forces.tensions["spreader"], rel=1e-11
    )
