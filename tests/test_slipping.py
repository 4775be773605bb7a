"""Contacts that slip at once when a brace is taken away, on both roads; discs on kerbs; moving pulleys."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import pytest
from scipy.optimize import brentq
from showings import HEAD, cask

from simlab.collapse import follow
from simlab.frame.model import Frame
from simlab.frame.scene import parse_scene
from simlab.motion.first_instant import first_instant
from simlab.motion.integrate import release
from simlab.results import Key
from simlab.simulation.release import release as simulated
from simlab.simulation.stage import Stage

G = 9.8  # [m/s^2], as a scene has it that says nothing
MU = 0.1
# A pole of 2 m at 60 degrees on a quay with little friction, its top held by a plumb rope.
POLE = """brace = "rope"
[points]
A = ["0", "0"]
B = { from = "A", length = "2 m", angle = "60 deg" }
Z = { from = "B", length = "1 m", direction = "up" }
[rods]
AB = { ends = ["A", "B"], weight = "10 N" }
[members]
rope = { kind = "string", between = ["B", "Z"] }
[supports]
quay = { kind = "rough floor", at = "A", friction = "0.1" }
post = { kind = "hook", at = "Z" }
"""
# A disc between a leaning rod and a smooth wall; a cord holds the rod.
WEDGED = """brace = "cord"
[points]
A = ["0", "0"]
B = { from = "A", length = "3 m", angle = "60 deg" }
T = { from = "A", towards = "B", length = "1.5 m" }
M = { from = "T", square_to = ["A", "B"], side = "up", length = "0.5 m" }
E = { from = "M", length = "0.5 m", direction = "left" }
Z = { from = "B", length = "1 m", direction = "left" }
[rods]
AB = { ends = ["A", "B"], through = ["T"], weight = "10 N" }
[discs]
d = { centre = "M", radius = "0.5 m", weight = "20 N", through = ["T", "E"] }
[contacts]
t = { of = "d", on = "AB", at = "T", friction = "0.3" }
[members]
cord = { kind = "string", between = ["B", "Z"] }
[supports]
hinge = { kind = "fixed hinge", at = "A" }
wall = { kind = "smooth wall", at = "E", faces = "right" }
hook = { kind = "hook", at = "Z" }
"""
# A cask on the edge of a kerb, held back by a rope.
KERB = """brace = "rope"
[points]
O = ["0", "0"]
K = { from = "O", length = "1 m", direction = "down", lean = "60 deg", to = "right" }
T = ["0", "1 m"]
Z = ["3 m", "1 m"]
[discs]
cask = { centre = "O", radius = "1 m", weight = "10 N", through = ["T", "K"] }
[members]
rope = { kind = "string", between = ["T", "Z"] }
[supports]
kerb = { kind = "rough peg", at = "K", friction = "1" }
post = { kind = "hook", at = "Z" }
"""
# A lamp on a ring that runs on a rope between two hooks, tied to one side.
PULLEY = """brace = "tie"
[points]
H = ["0", "0"]
K = ["4 m", "0"]
R = ["1.5 m", "-1 m"]
Z = ["0.5 m", "-1 m"]
[members]
rope = { kind = "string", between = ["H", "K"], over = ["R"] }
tie = { kind = "string", between = ["R", "Z"] }
[loads]
lamp = { weight = "10 N", at = "R" }
[supports]
left = { kind = "hook", at = "H" }
right = { kind = "hook", at = "K" }
post = { kind = "hook", at = "Z" }
"""


def scene(text: str) -> Frame:
    """The frame of one of these texts."""
    return parse_scene(HEAD + text)


def pole() -> tuple[float, float, float]:
    """Push N [N], acceleration of the middle along the quay, angular acceleration (clockwise), by hand.

    m x'' = mu N; m y'' = N - W; moments about the middle N (cos + ... ) with the foot's height kept:
    y'' = -l cos(60) alpha, (m l^2/3) alpha = N l cos(60) - mu N l sin(60), l = 1 m.
    """
    c, s, mass = cos(pi / 3), sin(pi / 3), 10 / G
    n = 10 / (1 + 3 * c * (c - MU * s))
    return n, MU * n / mass, 3 * n * (c - MU * s) / mass


def test_a_pole_slips_in_the_first_instant_as_the_hand_says_it():
    """Exactly, and in the simulation: friction mu N, all the same way as it would have gripped."""
    of, (push, along, turning) = scene(POLE), pole()
    first = first_instant(of)
    x, _, turn = (q.number(first.values) for q in first.accelerations["AB"])
    assert first.slipping == ("quay at A",)
    assert (x, -turn) == pytest.approx((along, turning), rel=1e-12)
    force = first.forces.reactions[Key("AB", "quay at A", "quay")].force
    assert [q.number(first.values) for q in force] == pytest.approx([MU * push, push], rel=1e-12)

    engine = simulated(of, duration=0.01, before=0.0)
    assert engine.instant(0.0).forces.reactions[Key("AB", "quay at A", "quay")].force == pytest.approx(
        (MU * push, push), rel=1e-6
    )
    assert [event.kind for event in engine.events] == ["cut", "slip"]


def test_a_cask_that_slides_at_once_is_told_so():
    """a = g (sin - mu cos), turning 2 mu g cos/r (from memory); after it nothing is compared."""
    of, tilt = cask("0.05"), radians(20)
    first = first_instant(of)
    x, y, turn = (q.number(first.values) for q in first.accelerations["cask"])
    assert hypot(x, y) == pytest.approx(G * (sin(tilt) - 0.05 * cos(tilt)), rel=1e-12)
    assert turn == pytest.approx(2 * 0.05 * G * cos(tilt) / 0.4, rel=1e-12)
    found = follow(of, of.shown, release(of), simulated(of, duration=0.1, before=0.0))
    assert found.agreement == "not comparable"
    assert found.advice == "C slipped on the slip at once: what follows is not compared."


def test_what_would_grip_too_well_does_not_pull_at_the_wall():
    """The disc slides on the rod and stays at the wall: both roads have the same first forces."""
    of = scene(WEDGED)
    first = first_instant(of)
    assert (first.gone, first.slipping) == ((), ("t",))
    engine = simulated(of, duration=0.01, before=0.0).instant(0.0).forces
    for key, reaction in first.forces.reactions.items():
        wanted = [part.number(first.values) for part in reaction.force]
        assert engine.reactions[key].force == pytest.approx(wanted, abs=1e-4), key
    push = engine.reactions[Key("d", "t", "AB")].force
    along = push[0] * cos(pi / 3) + push[1] * sin(pi / 3)
    across = -push[0] * sin(pi / 3) + push[1] * cos(pi / 3)
    assert along == pytest.approx(0.3 * across, rel=1e-6)


def test_a_cask_turns_about_its_kerb_until_it_slips():
    """About K: N = mg (7 cos - 4 cos 60)/3, F = mg sin/3 (rolling energy, from memory); slips at F = N."""
    of = scene(KERB)
    road, engine = release(of), simulated(of, duration=0.5, before=0.0)
    assert follow(of, of.shown, road, engine).agreement == "agree"
    slip = road.events[-1]
    assert slip.kind == "slip"
    x, y = road.poses[-1, 0, :2]
    kx, ky = sin(pi / 3), -cos(pi / 3)
    lean = atan2(kx - x, y - ky)  # of the centre from above the kerb, to the left
    angle = brentq(lambda u: sin(u) - (7 * cos(u) - 4 * cos(pi / 3)), 0.5, 1.5)
    assert degrees(lean) == pytest.approx(degrees(angle), abs=1e-3)
    assert next(e.time for e in engine.events if e.kind == "slip") == pytest.approx(slip.time, abs=1 / 300)


def test_a_lamp_on_a_running_ring_is_shown():
    """Both roads agree on it; it keeps on the ellipse whose foci are the hooks (string construction)."""
    of = scene(PULLEY)
    road, engine = release(of, duration=2.0), simulated(of, duration=2.0, before=0.0)
    found = follow(of, of.shown, road, engine)
    assert found.agreement == "agree", found
    length = hypot(1.5, 1) + hypot(2.5, 1)
    for x, y in engine.pins[:, engine.free_pins.index("R")]:
        assert hypot(x, y) + hypot(4 - x, y) == pytest.approx(length, rel=1e-5)


def test_a_frame_that_does_not_rest_with_its_brace_is_not_compared():
    """A rod whose string would have to push has fallen before the cut: no disagreement is told."""
    of = parse_scene(
        HEAD
        + """brace = "tie"
[points]
A = ["0", "0"]
B = ["2 m", "0"]
Z = ["2 m", "-1 m"]
[rods]
AB = { ends = ["A", "B"], weight = "10 N" }
[members]
tie = { kind = "string", between = ["B", "Z"] }
[supports]
foot = { kind = "fixed hinge", at = "A" }
ring = { kind = "hook", at = "Z" }
"""
    )
    found = follow(of, of.shown, release(of, duration=0.5), simulated(of, duration=0.5, before=0.0))
    assert found.agreement == "not comparable"
    assert "does not rest as it is drawn" in found.advice


def test_a_weight_whose_string_is_cut_is_where_it_falls():
    """Free fall for half a second, in the moment that a picture is drawn from: g t^2/2."""
    of = scene(PULLEY.replace('brace = "tie"', 'brace = "rope"'))
    stage = Stage(of)
    stage.rest_under_load()
    stage.cut("rope")
    stage.cut("tie")
    stage.step(1 + 300)
    x, y = stage.now().pins["R"]
    assert (x, y) == pytest.approx((1.5, -1 - G * 0.25 / 2), abs=1e-3 * sqrt(2))
