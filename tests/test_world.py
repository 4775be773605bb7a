"""A frame as an engine world: masses, joints, poses, and the names that results are found by."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from pathlib import Path

import numpy as np
import pymunk
import pytest
from published.balance import Balance
from scenes_at_rest import each_settled
from small_frames import frame, polygon, rhombus, stepladder

from simlab.frame.model import GROUND
from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import carrier, masses
from simlab.simulation.settle import settle
from simlab.simulation.world import World

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))


def drawn(of):
    """A frame in numbers at its shown values."""
    return Drawn(of, of.shown)


def world_of(of):
    """Its world, under 10 m/s^2, with true masses."""
    return World(drawn(of), 10.0, masses(drawn(of)))


def test_a_hung_weight_is_a_particle_of_the_rod():
    """Mass, centre and inertia are those of rod and particle together (parallel axes, by hand).

    Rod of 3 kg, 2 m; particle of 1 kg at its end: centre 0.25 m from the middle towards it;
    inertia 3*4/12 + 3*0.0625 + 1*0.5625.
    """
    points = {"A": (0.0, 0.0), "B": (2.0, 0.0)}
    hung = frame(points, {"AB": ("AB", 30.0)}, hooks="A", loads={"B": ("weight", (10.0,))})
    body = world_of(hung).bodies["AB"]

    assert body.mass == pytest.approx(4.0, rel=1e-15)
    assert tuple(body.position) == pytest.approx((1.25, 0.0), abs=1e-15)
    assert body.moment == pytest.approx(1.0 + 3 * 0.0625 + 1 * 0.5625, rel=1e-14)


def test_poses_are_those_of_the_rods_own_centre():
    """A particle moves the engine body's centre, not the pose: (x, y) of the rod's middle, no turn."""
    points = {"A": (0.0, 0.0), "B": (2.0, 0.0)}
    hung = frame(points, {"AB": ("AB", 30.0)}, hooks="A", loads={"B": ("weight", (10.0,))})

    assert world_of(hung).poses() == pytest.approx(np.array([[1.0, 0.0, 0.0]]), abs=1e-15)


def test_poses_turn_anticlockwise():
    """A rod let go about its left end turns clockwise: its turn is negative."""
    points = {"A": (0.0, 0.0), "B": (2.0, 0.0)}
    world = world_of(frame(points, {"AB": ("AB", 30.0)}, hooks="A"))
    for _ in range(100):
        world.step(0.001)

    (_, y, turn), *_ = world.poses()
    assert turn < 0
    assert y < 0


def test_the_weight_of_a_light_rod_is_cancelled():
    """A light rod that nothing touches stays where it is, to the last bit, in any share of gravity."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "C": (0.0, -1.0), "D": (1.0, -1.0)}
    world = world_of(frame(points, {"AB": ("AB", 10.0), "CD": ("CD", 0.0)}, hooks="AB"))
    start = world.poses()[1].tolist()
    for _ in range(1000):
        world.step(0.01)

    assert world.poses()[1] == pytest.approx(np.array(start), abs=1e-12)


def test_a_pin_without_a_rod_is_a_point_that_cannot_turn():
    """A pin that joins light members only gets a body of its own, of infinite moment."""
    points = {"A": (0.0, 0.0), "B": (2.0, 0.0), "C": (1.0, -1.0)}
    members = {"AC": ("light rod", "AC"), "BC": ("light rod", "BC")}
    two_bars = frame(points, {}, members, hooks="AB", loads={"C": ("weight", (10.0,))})
    world = world_of(two_bars)

    assert set(world.bodies) == {"C"}
    assert world.bodies["C"].moment == inf
    assert world.bodies["C"].mass == pytest.approx(1.0)


def test_n_bodies_on_a_pin_take_n_minus_one_pivots():
    """From the ground where the pin is held, from its first rod where it is free."""
    world = world_of(polygon(5))
    pivots = [j for j in world.space.constraints if isinstance(j, pymunk.PivotJoint)]

    assert carrier(world.frame, "A") == GROUND
    assert carrier(world.frame, "C") == "BC"
    assert len(pivots) == 2 + 4


@each_settled
def test_readings_have_the_keys_of_an_outside_list(of):
    """Exactly the reactions and tensions that a dense solve written for the tests lists."""
    listed = Balance(of).forces
    found = settle(of).forces

    assert set(found.reactions) == {key for key in listed.reactions if key.on != GROUND}
    assert set(found.tensions) == set(listed.tensions)


def test_loads_and_members_on_a_pin_are_in_the_pins_balance():
    """Four rods, a string and a hung weight meet at one pin: what acts on the pin adds up to nothing."""
    points = {"O": (0.0, 0.0), "A": (-1.0, 1.0), "B": (1.0, 1.0), "C": (-1.0, -1.0), "D": (1.0, -1.0)}
    rods = {"OA": ("OA", 3.0), "OB": ("OB", 5.0), "OC": ("OC", 7.0), "OD": ("OD", 11.0)}
    star = frame(
        {**points, "Z": (0.0, 3.0)},
        rods,
        {"top": ("string", "OZ"), "left": ("light rod", "AC"), "right": ("light rod", "BD")},
        hooks="ABZ",
        loads={"O": ("weight", (13.0,))},
    )
    # Held at A and B, hung at O besides: once too many. Without the string it is determined.
    star = replace(star, links={name: link for name, link in star.links.items() if name != "top"})
    reading = settle(star)

    assert reading.verdict == "settled"
    on_rods = [r.force for key, r in reading.forces.reactions.items() if key.at == key.by == "O"]
    assert len(on_rods) == 4
    assert np.sum(on_rods, axis=0) == pytest.approx([0.0, -13.0], abs=1e-10)


def test_a_cut_member_is_out_of_the_world():
    """One joint less, one name less, and the forces no longer list it."""
    world = world_of(rhombus(0.6))
    n = len(world.space.constraints)
    world.cut("brace")

    assert len(world.space.constraints) == n - 1
    assert not world.forces(1.0, {}).tensions


def test_weights_stay_when_gravity_is_changed():
    """Masses are weight over gravity, whatever the engine's gravity."""
    world = world_of(stepladder())
    world.set_gravity(0.001)

    assert [body.mass * 0.001 for body in world.bodies.values()] == pytest.approx([10.0, 20.0])


def test_light_bodies_weigh_nothing_and_are_inert_all_the_same():
    """A light rod weighs nothing; its mass is a thousandth of the others', or, read, of their size."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "C": (2.0, 0.0)}
    of = drawn(frame(points, {"AB": ("AB", 10.0), "BC": ("BC", 0.0)}, hooks="AC"))

    for table in (masses(of), masses(of, even=True)):
        assert table["AB"].weight == 10.0
        assert table["BC"].weight == 0.0
    assert masses(of)["BC"].inert == pytest.approx(0.01)
    assert masses(of, even=True)["BC"].inert == pytest.approx(3.0)


def test_a_light_rod_with_a_hung_weight_can_turn():
    """Its weight is all at the hung point, and yet it swings down when nothing else holds it."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0)}
    hung = frame(points, {"AB": ("AB", 0.0)}, hooks="A", loads={"B": ("weight", (10.0,))})
    world = world_of(hung)
    for _ in range(100):
        world.step(0.001)

    assert masses(drawn(hung))["AB"].weight == pytest.approx(10.0)
    # A simple pendulum let go from level: g t^2 / (2 L), but for a 1e-3 of mass (common practice).
    assert world.poses()[0, 2] == pytest.approx(-10 * 0.1**2 / 2, rel=0.02)
