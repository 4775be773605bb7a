"""Contacts and strings in motion: both roads go through a collapse together; handbook results hold."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin

import numpy as np
import pytest
from endurance import harm, random_contacts
from showings import BALANCE, CASES, cask, rolling_in, showing

from simlab.collapse import follow
from simlab.motion.integrate import release
from simlab.results import Key
from simlab.simulation.release import release as simulated
from simlab.simulation.settle import settle
from simlab.simulation.stage import RATE, Stage

G = 9.8  # [m/s^2], as a scene has it that says nothing
# A ring on a wire without an end falls for good: after this time [s] all shares are of a small frame.
SECONDS = {"a ring on a sloping wire": 3}


@pytest.mark.parametrize("name", CASES)
def test_what_slides_rolls_or_runs_follows_the_equations_of_motion(name):
    """Paths, energy and forces within the bounds of design.md, section 6; equal ends of contact."""
    of = showing(CASES[name])
    road, engine = release(of, duration=3.0), simulated(of, duration=3.0, before=0.0)
    found = follow(of, of.shown, road, engine)
    assert found.agreement == "agree", found
    assert found.compared > 200
    ends = [next((e for e in trace.events if e.kind != "cut"), None) for trace in (road, engine)]
    assert ends[0] is None or abs(ends[0].time - ends[1].time) < 2 / RATE
    assert ends[0] is None or (ends[0].kind, ends[0].about) == (ends[1].kind, ends[1].about)


@pytest.mark.parametrize("of", [cask("0.5"), rolling_in("0.2 m", "60 deg")], ids=["slope", "bowl"])
def test_a_disc_that_rolls_follows_the_equations_of_motion(of):
    """Down a slope, and to and fro in a bowl, for three seconds."""
    found = follow(of, of.shown, release(of), simulated(of, duration=3.0, before=0.0))
    assert found.agreement == "agree", found
    assert found.until == 3.0


@pytest.mark.parametrize("name", CASES)
def test_half_a_minute_after_the_cut_nothing_has_come_to_harm(name):
    """No energy gained, no hinge open: `endurance`."""
    assert harm(showing(CASES[name]), SECONDS.get(name, 30), "tie") == ""


@pytest.mark.parametrize("seed", range(7))
def test_random_contacts_come_to_no_harm(seed):
    """Angles and weights by chance; more of them, and a whole minute, by a command: `endurance`."""
    assert harm(random_contacts(seed), 20, "tie") == ""


def let_go(of, brace: str, seconds: float) -> Stage:
    """The frame so long after its brace is cut."""
    stage = Stage(of)
    stage.rest_under_load()
    stage.cut(brace)
    stage.step(1 + round(seconds * RATE))
    return stage


def test_a_cask_rolls_down_a_rough_slope_with_two_thirds_of_the_acceleration():
    """a = (2/3) g sin(alpha), friction W sin(alpha)/3, no slipping (any textbook; from memory)."""
    stage = let_go(cask("0.5"), "rope", 0.5)
    vx, vy, turning = stage.velocities()[0]
    push = stage.forces().reactions[Key("cask", "slip at C", "slip")].force
    along = push[0] * cos(radians(20)) + push[1] * sin(radians(20))

    assert hypot(vx, vy) == pytest.approx(G * sin(radians(20)) / 3, rel=1e-9)  # a t = 2/3 g sin / 2
    assert turning * 0.4 == pytest.approx(hypot(vx, vy), rel=1e-9)
    assert along == pytest.approx(200 * sin(radians(20)) / 3, rel=1e-6)
    assert [event.kind for event in stage.events] == ["cut"]


def test_on_a_slope_too_smooth_the_cask_slides_as_well():
    """a = g (sin - mu cos), angular acceleration 2 mu g cos / r, if mu < tan(alpha)/3 (from memory)."""
    stage = let_go(cask("0.05"), "rope", 0.5)
    vx, vy, turning = stage.velocities()[0]
    tilt = radians(20)

    assert hypot(vx, vy) == pytest.approx(0.5 * G * (sin(tilt) - 0.05 * cos(tilt)), rel=1e-6)
    assert turning == pytest.approx(0.5 * 2 * 0.05 * G * cos(tilt) / 0.4, rel=1e-6)
    assert [event.kind for event in stage.events] == ["cut", "slip"]


def test_two_weights_on_a_string_over_a_peg():
    """Tension 2 P Q/(P + Q), acceleration g (Q - P)/(P + Q), the string straight back (from memory)."""
    stage = Stage(showing(BALANCE))
    stage.rest_under_load()
    assert stage.forces().tensions["rope"] == pytest.approx(30, rel=1e-9)
    stage.cut("tie")
    stage.step()
    assert stage.forces().tensions["rope"] == pytest.approx(24, rel=1e-6)
    stage.step(240)
    assert stage.forces().tensions["rope"] == pytest.approx(24, rel=1e-6)
    assert stage.world.bodies["A"].velocity.y == pytest.approx(0.4 * G / 5, rel=1e-2)  # half a step late
    stage.step(600)
    jammed = next(event for event in stage.events if event.kind == "contact")
    assert jammed.about == "rope"  # A has come up to the peg


def test_the_reading_knows_a_string_that_comes_straight_back():
    """As it hangs: the larger weight is the tension; the tie bears the difference."""
    reading = settle(showing(BALANCE))
    assert reading.forces.tensions == pytest.approx({"rope": 30, "tie": 10}, rel=1e-10)


def test_a_disc_rolls_in_a_bowl_like_a_pendulum():
    """T = 2 pi sqrt(3 (R - r)/(2 g)) for a solid disc that does not slip (any textbook; from memory)."""
    stage = let_go(rolling_in(radius="0.2 m", angle="1 deg"), "tie", 0.0)
    xs, period = [], 2 * pi * (1.5 * 0.8 / G) ** 0.5
    for _ in range(round(2 * period * RATE)):
        stage.step()
        xs.append(stage.world.poses()[0, 0])
    x = np.array(xs)
    i = np.flatnonzero((x[:-1] > 0) != (x[1:] > 0))
    zeros = i + x[i] / (x[i] - x[i + 1])
    assert 2 * np.diff(zeros).mean() / RATE == pytest.approx(period, rel=1e-4)
    assert [event.kind for event in stage.events] == ["cut"]
