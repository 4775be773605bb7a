"""The equations of motion: against Lagrange's equations from sympy, hand results and conservation."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from equations_of_motion import EquationsOfMotion
from lagrange import CASES
from small_frames import frame, polygon, rhombus, rod_at, stepladder, tower

from simlab.errors import BadInput
from simlab.frame.change import without
from simlab.frame.model import GROUND, Frame, Link, Place
from simlab.frame.quantity import FORCE, LENGTH, Quantity
from simlab.frame.scene import read_scene
from simlab.motion.first_instant import first_instant
from simlab.motion.integrate import let_go, release
from simlab.motion.one_sided import leaving
from simlab.motion.reactions import Reactions
from simlab.motion.system import System
from simlab.results import Key, Trace

SCENES = Path(__file__).parent.parent / "scenes"
PATHS = 1e-9  # [m, rad]: both integrations are good to some 1e-11
ENERGY = 1e-10  # of weight times size


def at_rest(system: System) -> np.ndarray:
    """Nothing moves."""
    return np.zeros_like(system.start)


def energy_drift(trace: Trace, weight_times_size: float) -> float:
    """Largest change of the whole energy, as a share."""
    whole = trace.energy.sum(axis=1)
    return float(np.abs(whole - whole[0]).max()) / weight_times_size


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_paths_are_those_of_lagrange_in_minimal_coordinates(case):
    """Every rod is where sympy's Lagrange equations, integrated by scipy, have it, to 1e-9."""
    one = case()
    trace = let_go(one.of, without=one.without, duration=one.seconds)
    assert trace.time[-1] == one.seconds
    assert np.abs(trace.poses - one.poses(trace.time)).max() < PATHS
    assert energy_drift(trace, 10.0) < ENERGY


@pytest.mark.parametrize(
    ("of", "brace"),
    [(rhombus(0.6), "brace"), (stepladder(), "rope"), (tower(3), "brace C"), (polygon(6), "brace D")],
    ids=["rhombus", "trestle", "tower", "hexagon"],
)
def test_first_forces_are_those_of_older_equations(of, brace):
    """Accelerations and pin forces as from equations_of_motion.py, other code on other coordinates."""
    system = System(of, None, (brace,))
    older = EquationsOfMotion(without(of, brace))
    a, _ = system.solve(system.start, at_rest(system))
    still = np.zeros_like(older.start)
    expected = older.solve(older.start, still)[0].reshape(-1, 3)
    assert a[: len(expected)] == pytest.approx(expected, abs=1e-10)
    reactions = Reactions(system)
    acting = reactions.at(system.start, at_rest(system))
    for name, force in older.forces(older.start, still).items():
        if isinstance(name, tuple):
            found = acting.forces[reactions.order[Key(name[0], name[1], name[1])], :2]
            assert found == pytest.approx(force, abs=1e-10)


def test_energy_of_a_lively_chain_is_kept():
    """Three rods from level, 3 s: kinetic and potential energy together, to 1e-10."""
    points = {name: (float(i), 0.0) for i, name in enumerate("ABCD")}
    of = frame(points, {rod: (rod, 10.0) for rod in ("AB", "BC", "CD")}, hooks="A")
    trace = let_go(of)
    assert trace.events == ()
    assert energy_drift(trace, 30.0 * 3.0) < ENERGY


def test_the_load_stays_in_balance_with_the_hook():
    """Sum of forces = d(momentum)/dt: the hook's force on a swinging rod, from differences."""
    trace = let_go(rod_at(1.0), duration=0.5)
    v, hook = trace.velocities[:, 0, :2], trace.forces[:, trace.keys.index(Key("AB", "A", "A")), :2]
    a = (8 * (v[3:-1] - v[1:-3]) - (v[4:] - v[:-4])) / (12 / 600)  # central, of fourth order
    assert hook[2:-2] == pytest.approx(a + np.array([0.0, 10.0]), abs=1e-7)


def test_more_members_than_needed_leave_forces_open_but_not_the_motion():
    """A second light rod beside the first: how they share is open (NaN, named); accelerations are not."""
    of = polygon(6)
    twin = replace(of.links["brace E"], name="twin")
    double = replace(of, links={**of.links, "twin": twin})
    one, two = System(of, None, ("brace D",)), System(double, None, ("brace D",))
    reactions = Reactions(two)
    acting = reactions.at(two.start, at_rest(two))
    assert {"brace E", "twin"} <= two.undetermined
    assert "brace C" not in two.undetermined
    assert np.isnan(acting.tensions[reactions.links.index("twin")])
    assert one.undetermined == frozenset()
    assert two.solve(two.start, at_rest(two))[0] == pytest.approx(
        one.solve(one.start, at_rest(one))[0], abs=1e-9
    )


def hung_level() -> Frame:
    """A level rod on strings at A and at P, 1/2 m from its middle, and a brace at B."""
    points = {"A": (0.0, 0.0), "P": (0.5, 0.0), "B": (2.0, 0.0)}
    points |= {"a": (0.0, 1.0), "p": (0.5, 1.0), "b": (2.0, 1.0)}
    ties = {"A": ("string", "Aa"), "P": ("string", "Pp"), "B": ("string", "Bb")}
    return frame(points, {"AB": ("ABP", 10.0)}, ties, "apb", brace="B")


def test_a_string_that_would_have_to_push_goes_slack_at_once():
    """The rod turns about P, T = W k^2/(k^2 + d^2) with k^2 = 1/3, d = 1/2 m (by hand); A goes slack."""
    system, gone = leaving(hung_level(), {}, ("B",))
    assert gone == ("A",)
    acting = Reactions(system).at(system.start, at_rest(system))
    assert acting.tensions[1] == pytest.approx(10 * (1 / 3) / (1 / 3 + 1 / 4), rel=1e-12)
    assert [event.kind for event in release(hung_level(), duration=0.05).events] == ["cut", "slack"]


def test_a_string_comes_taut_and_ends_the_run():
    """A bob's rod falls from level, its loose tie catches it: where tie and rod are in line, by hand."""
    points = {"A": (0.0, 0.0), "P": (0.5, 0.0), "B": (2.0, 0.0), "b": (2.0, 1.0)}
    points |= {"a": (0.0, 1.0), "p": (0.5, 1.0)}
    trace = release(hung_level(), duration=3.0)
    last = trace.events[-1]
    assert (last.kind, last.about) == ("taut", "A")
    x, y, turn = trace.poses[-1, 0]
    end = np.array([x - np.cos(turn), y - np.sin(turn)])
    assert np.hypot(*(end - points["a"])) == pytest.approx(1.0, abs=1e-8)


def test_a_nearly_flat_fold_ends_the_run():
    """The rhombus folds: the last sample has the side corners almost together."""
    trace = release(rhombus(0.6))
    assert trace.events[-1].kind == "singular"
    across = trace.poses[-1, list(trace.bodies).index("AD"), 0]
    assert abs(across) < 0.05


def test_a_corner_that_reaches_the_floor_ends_the_run():
    """The trestle's top lands with its legs flat: height nothing."""
    trace = release(stepladder((10.0, 10.0)))
    assert trace.events[-1].kind == "contact"
    assert trace.poses[-1, :, 1] == pytest.approx(0.0, abs=1e-9)


def test_what_is_absent_has_no_numbers():
    """The keys are those of the whole frame; the brace's forces and tension are NaN from the cut on."""
    of = rhombus(0.6)
    trace = release(of, duration=0.05)
    brace = [i for i, key in enumerate(trace.keys) if key.by == "brace"]
    assert len(brace) == 2
    assert np.isnan(trace.forces[:, brace]).all()
    assert np.isnan(trace.tensions).all()
    others = [i for i in range(len(trace.keys)) if i not in brace]
    assert np.isfinite(trace.forces[:, others, :2]).all()


def test_the_same_run_twice_is_the_same_to_the_last_bit():
    """Equal arrays, equal hashes; another value, another hash."""
    first, second = (release(rhombus(0.6), duration=0.1) for _ in range(2))
    assert first.hash == second.hash
    assert np.array_equal(first.forces, second.forces, equal_nan=True)
    assert release(rhombus(0.601), duration=0.1).hash != first.hash


def test_a_hung_weight_is_a_particle_at_its_point():
    """A light rod with a bob falls from level like a particle: force at the pivot 0, acceleration g."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0)}
    of = frame(points, {"AB": ("AB", 0.0)}, hooks="A", loads={"B": ("weight", (10.0,))})
    system = System(of)
    a, _ = system.solve(system.start, at_rest(system))
    forces = Reactions(system).at(system.start, at_rest(system)).forces
    assert a[0, 2] == pytest.approx(-10.0)
    assert forces[0, :2] == pytest.approx([0.0, 0.0], abs=1e-12)


def test_what_has_no_motion_is_refused_with_a_sentence():
    """No brace, an unknown member, unknown inertia, a light part left free, a kind that is not known."""
    of = rhombus(0.6)
    with pytest.raises(BadInput, match="names no brace"):
        release(rod_at(0.3))
    with pytest.raises(BadInput, match="no light member"):
        release(of, brace="bracket")
    odd = replace(of.bodies["AB"], gyration2=None)
    with pytest.raises(BadInput, match="not uniform"):
        release(replace(of, bodies={**of.bodies, "AB": odd}))
    light = frame({"A": (0.0, 0.0), "B": (1.0, 0.0)}, {"AB": ("AB", 0.0)}, hooks="A")
    with pytest.raises(BadInput, match='"AB" has no weight and is free'):
        let_go(light)
    tight = replace(of.links["brace"], tension=Quantity.of(3, FORCE))
    with pytest.raises(BadInput, match="tightened"):
        let_go(replace(of, links={"brace": tight}))


def test_an_elastic_string_pulls_with_its_stiffness():
    """A bob on an elastic string of stiffness 100 N/m, released unstretched: y = -(W/k)(1 - cos wt)."""
    points = {"A": (0.0, 0.0), "B": (0.0, -1.0), "C": (1.0, -1.0)}
    of = frame(points, {"BC": ("BC", 0.0)}, loads={"B": ("weight", (10.0,))}, hooks="A")
    stiffness = Quantity.of(100, (1, -1, 0))
    string = Link(
        "cord",
        "elastic string",
        (Place("A", "A"), Place("BC", "B")),
        natural=Quantity.of(Fraction(1), LENGTH),
        stiffness=stiffness,
    )
    heavy = replace(of, links={"cord": string}, bodies={}, joints={"A": of.joints["A"]})
    pinned = replace(of.joints["A"], name="B", point="B", bodies=())
    bob = replace(of.loads["load B"], place=Place("B", "B"))
    string = replace(string, ends=(Place(GROUND, "A"), Place("B", "B")))
    heavy = replace(heavy, joints={"B": pinned}, loads={"load B": bob}, links={"cord": string}, supports={})
    trace = let_go(heavy, duration=0.5)
    pull = trace.tensions[:, 0]
    assert pull == pytest.approx(10.0 * (1 - np.cos(10.0 * trace.time)), abs=1e-8)


@pytest.mark.parametrize("name", ["kite_lantern", "stall_trestle", "banner_bracket"])
def test_scenes_keep_their_energy(name):
    """The scenes with a brace, let go: to 1e-10 of weight times size."""
    of = read_scene(SCENES / f"{name}.toml")
    trace = release(of, duration=0.4)
    weight = sum(body.weight.number(of.shown) for body in of.bodies.values())
    assert energy_drift(trace, weight) < ENERGY


def test_a_string_tied_with_both_ends_at_one_place_pulls_there_twice():
    """A loop from a rod's end over two level hooks, symmetrical: upwards, W in all (the rod rests)."""
    points = {"B": (0.0, -1.0), "P": (-1.0, 0.0), "Q": (1.0, 0.0), "C": (0.0, -2.0)}
    of = frame(points, {"BC": ("BC", 10.0)})
    ends = Place("BC", "B"), Place("BC", "B")
    loop = Link("loop", "string", ends, (Place(GROUND, "P"), Place(GROUND, "Q")))
    system = System(replace(of, links={"loop": loop}))
    reactions = Reactions(system)
    acting = reactions.at(system.start, at_rest(system))
    assert reactions.keys == (Key("BC", "loop at B", "loop"),)
    assert acting.forces[0, :2] == pytest.approx([0.0, 10.0])
    assert acting.tensions[0] == pytest.approx(10.0 / 2**0.5)
    first = first_instant(replace(of, links={"loop": loop}))
    assert first.forces.reactions[reactions.keys[0]].force[1].number() == pytest.approx(10.0)
