"""Tricks played on the stopping test in the engine: a weaker one accepts a wrong reading, ours does not.

Each frame is run with settings that invite one kind of wrong reading. The wrong amount is measured against
numpy's least squares (`published.balance`), or a closed formula where one is named.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isnan, pi, sin, tan

import pytest
from published.balance import Balance
from settled_by_hand import drift, fastest, run, settling, wrong_by
from small_frames import arch, bow, cantilever, frame, polygon, rhombus, rod_at

from simlab.results import Key
from simlab.simulation.settle import STRONG, settle
from simlab.simulation.stopping import BOUNDS, is_settled

SLOW = 1e-10  # m/s, and share of the largest force: what a weaker test would be content with


def passes(tests: Mapping[str, float], *names: str) -> bool:
    """Whether these tests alone are passed: a weaker test."""
    return all(tests[name] < BOUNDS[name] for name in names)


def test_too_few_sweeps_leave_a_thin_arch_at_rest_and_out_of_balance() -> None:
    """It does not move and its forces do not change, and they are wrong by five times the largest."""
    of = bow(8, thin=True)
    one = settling(of)
    run(one, 4000, sweeps=10, damping=0.5, closing=0.9, gravity=0.0073)

    assert passes(one.tests, "speed", "change")
    assert wrong_by(one.forces, Balance(of)) > 5
    assert not one.is_settled
    assert settle(of).verdict == "settled"


def test_joints_left_open_leave_a_hexagon_sagging() -> None:
    """At rest, unchanging, with forces of the shape to which it sagged: wrong by 4e-5 of the largest."""
    of = polygon(6)
    one = settling(of)
    one.tune(20, 12)
    run(one, 300, closing=0.0)

    assert passes(one.tests, "speed", "change")
    assert wrong_by(one.forces, Balance(of)) > 4e-5
    assert not one.is_settled


def test_a_slow_creep_looks_like_rest_from_one_step_to_the_next() -> None:
    """Joints that close by a ten-millionth a step: wrong by 4e-5, and hardly less so a step later."""
    of = polygon(6)
    one = settling(of)
    one.tune(20, 12)
    run(one, 300, closing=0.0)
    run(one, 3, closing=1e-7)  # the last third of three steps is one

    assert passes(one.tests, "change")
    assert fastest(one) < SLOW
    assert wrong_by(one.forces, Balance(of)) > 4e-5
    assert not one.is_settled

    run(one, 3000)  # of these, a thousand

    assert not passes(one.tests, "change")


def test_a_frame_only_just_built_is_still_in_its_drawn_shape() -> None:
    """After one step it has hardly moved, and its forces are wrong by nine tenths of the largest."""
    of = cantilever(5)
    one = settling(of)
    run(one, 1, sweeps=1, gravity=1e-13)

    assert drift(one) < SLOW
    assert fastest(one) < SLOW
    assert wrong_by(one.forces, Balance(of)) > 0.9
    assert not one.is_settled


def test_a_jitter_of_two_steps_is_not_seen_over_an_even_number_of_them() -> None:
    """A ring of 40 rods on three sweeps a step: the same forces every second step, wrong by a quarter."""
    of = polygon(40)
    one = settling(of)
    run(one, 1500, sweeps=3, damping=0.0, closing=0.5, gravity=0.01)
    run(one, 30)
    even = one.tests["change"]
    run(one, 33)

    assert even < SLOW
    assert one.tests["change"] > 1e-3
    assert wrong_by(one.forces, Balance(of)) > 0.25
    assert not one.is_settled


def test_a_mechanism_drifts_to_another_place_and_rests_there() -> None:
    """Two rods hung aslant at 0.3 rad, not held, come to hang plumb: at rest, unchanging.

    Drawn as they are they cannot rest: about the hook, their weights have a moment of 4 W sin(0.3) (by
    hand). What is read is 2 W, straight up.
    """
    x, y = sin(0.3), sin(0.3) / tan(0.3)
    points = {"A": (0.0, 0.0), "B": (x, -y), "C": (2 * x, -2 * y)}
    of = frame(points, {"AB": ("AB", 10.0), "BC": ("BC", 10.0)}, hooks="A")
    one = settling(of, held=False)
    one.tune(20, 12)
    run(one, 20000, damping=0.9)

    assert passes(one.tests, "speed", "change")
    assert one.forces.reactions[Key("A", "A", "ground")].force == pytest.approx((0, 20), abs=1e-9)
    assert drift(one) > 0.5
    assert not one.is_settled
    assert settle(of).verdict == "no equilibrium in this shape"


def test_an_arch_snaps_through_and_is_in_perfect_balance() -> None:
    """Hung below its hinges: balance, speed and change are passed, with forces wrong by 200 %.

    The true arch pushes its hinges apart with W/(2 tan) = 500 N, 100 m of rod a metre of rise (by hand).
    """
    of = arch(0.01)
    one = settling(of)
    one.tune(20, 12)
    run(one, 15000, gravity=30 * one.world.gravity)
    pushed = one.forces.reactions[Key("A", "A", "ground")].force[0]

    assert passes(one.tests, "balance", "speed", "change")
    assert wrong_by(one.forces, Balance(of)) > 1.9
    assert pushed == pytest.approx(-500, rel=1e-3)
    assert not one.is_settled
    assert settle(of).forces.reactions[Key("A", "A", "ground")].force[0] == pytest.approx(500, rel=1e-9)


def test_a_very_flat_rhombus_is_drawn_to_ten_figures_and_wrong_in_the_eighth() -> None:
    """A drift of 4e-11 rods is nothing, but not where braces carry 6667 weights.

    The thrust is 2 W/tan of the rods' slope (joints, by hand): a slope of 0.0003 off by 2e-11 is off by
    more than 2e-8 of itself.
    """
    of = rhombus(0.0003)
    one = settling(of)
    for rung in STRONG:
        one.tune(rung.sweeps, rung.digits, rung.stronger / 30)
        one.run()

    assert passes(one.tests, "balance", "speed", "change")
    assert drift(one) < SLOW
    assert wrong_by(one.forces, Balance(of)) > 2e-8
    assert not one.is_settled


@pytest.mark.parametrize("base", [0.0, pi], ids=["hanging", "upside down"])
def test_a_rod_tilted_by_a_milliradian_passes_all_four_tests(base: float) -> None:
    """Only the hold shows that it cannot rest: it carries W sin(0.001)/2 (moments, by hand)."""
    of = rod_at(base + 0.001)
    reading = settle(of)

    assert is_settled(reading.tests)  # held, it is at rest, and its forces are those that go with the hold
    assert reading.verdict == "no equilibrium in this shape"
    assert reading.forces is None
    assert "cannot rest" in reading.advice
    assert abs(reading.holds["hold 1"]) == pytest.approx(10 * sin(0.001) / 2, rel=1e-3)


def test_members_to_spare_pass_every_test_with_any_share_of_their_self_stress() -> None:
    """Without the count of joints, both orders of a panel with two diagonals would be readings.

    Both balance the loads; the diagonals differ by W/20, so that one of them at least is wrong by half of
    that (test_redundancy.py shows that the difference is a state of self-stress).
    """
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "C": (1.0, 1.0), "D": (0.0, 1.0)}
    rods = {name: (name, 10.0) for name in ("AD", "DC", "BC")}
    of = frame(points, rods, {"AC": ("light rod", "AC"), "BD": ("light rod", "BD")}, hooks="AB")
    thrusts = []
    for joints in (of.joints, dict(reversed(of.joints.items()))):
        one = settling(replace(of, joints=joints))
        one.tune(20, 12)
        one.run()

        assert one.is_settled
        thrusts.append(-one.forces.tensions["AC"])

    assert abs(thrusts[0] - thrusts[1]) > 0.05 * 10
    assert settle(of).verdict == "refused"


def test_a_run_that_blows_up_exceeds_no_bound() -> None:
    """No number is larger than any other: "no test exceeds its bound" would accept it."""
    of = polygon(20)
    one = settling(of)
    run(one, 15000, sweeps=1, damping=1.0, closing=1.0, gravity=10.0)

    assert all(isnan(value) for value in one.tests.values())
    assert not any(value > BOUNDS[name] for name, value in one.tests.items())
    assert not one.is_settled
