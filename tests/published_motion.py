"""Published first instants, falls and forces in motion (published/motion.json) by the equations of motion.

To 1e-9. The frames: motion_frames.py. Small oscillations: published_swings.py. The same by the simulation:
published_motion_simulated.py.
"""

from __future__ import annotations

from math import hypot, pi, sqrt
from pathlib import Path

import motion_frames as frames
import numpy as np
import pytest
from motions import ENTRIES, NEAR, besides, entry, first, force, near, where

from simlab.motion.integrate import release
from simlab.motion.reactions import Reactions
from simlab.motion.system import System
from simlab.results import Key

# first instants


def test_hexagon_midpoint_string_cut():
    """The lowest rod starts downwards with 9g/10. Source: worked out by hand."""
    p, value = entry("hexagon-midpoint-string-cut")
    system, a, _ = first(frames.hexagon(p))
    assert a[system.points.number["DE"]] == near([0.0, -value, 0.0])


def test_hinged_rod_support_removed():
    """mg/4 at the hinge, 3g/(4a). Source: byjus.com."""
    p, value = entry("hinged-rod-support-removed")
    _, a, forces = first(frames.level_rod(p))
    assert force(forces, "AB", "A", "A") == near((0.0, value))
    assert -a[0, 2] == near(besides("hinged-rod-support-removed", "angular"))


def test_inclined_rod_released_on_smooth_floor():
    """mg/(1 + 3 sin^2 theta). Source: classical (Routh, Loney), from memory."""
    p, value = entry("inclined-rod-released-on-smooth-floor")
    forces = first(frames.on_a_smooth_floor(p, 2 * p["a"], p["theta"]))[2]
    assert force(forces, "AB", "floor A at A", "floor A") == near((0.0, value))


def test_rhombus_frame_brace_cut():
    """6g sin^2/(1 + 3 sin^2). Source: worked out by hand from the classical square."""
    p, value = entry("rhombus-frame-brace-cut")
    system, a, _ = first(frames.rhombus(p))
    assert a[system.points.number["C"]] == near([0.0, -value, 0.0])


def test_rod_two_inclined_strings_one_cut():
    """mg sin/(1 + 3 sin^2). Source: classical (Routh, Elementary Rigid Dynamics; Loney), from memory."""
    p, value = entry("rod-two-inclined-strings-one-cut")
    assert first(frames.on_inclined_strings(p))[2].tensions["A"] == near(value)


def test_rod_two_vertical_strings_one_cut():
    """mg/4, half of what it was. Source: aakashsrv1.meritnation.com and others."""
    p, value = entry("rod-two-vertical-strings-one-cut")
    assert first(frames.on_vertical_strings(p))[2].tensions["A"] == near(value)


def test_two_jointed_rods_released_horizontal():
    """Both angular accelerations, both hinges. Source: classical (Routh and others), from memory."""
    name = "two-jointed-rods-released-horizontal"
    p, value = entry(name)
    _, a, forces = first(frames.two_level_rods(p), "B", "C")
    assert (-a[0, 2], a[1, 2]) == near((value, besides(name, "angular acceleration of BC")))
    assert force(forces, "AB", "A", "A") == near((0.0, besides(name, "force at A")))
    assert force(forces, "BC", "B", "B") == near((0.0, -besides(name, "downward force")))


# falls


def test_hinged_rods_collapse_on_smooth_floor():
    """The hinge strikes the floor. Source: Cambridge Tripos IA 2002, paper 4, 12E; value worked out."""
    p, value = entry("hinged-rods-collapse-on-smooth-floor")
    trace = release(frames.trestle(p))
    assert [event.kind for event in trace.events] == ["cut", "contact"]
    assert -2 * trace.velocities[-1, 0, 1] == near(value)  # the hinge falls twice as fast as the middle


def test_rod_topples_on_smooth_floor():
    """Angular speed at 60 degrees; mg/4 at the end. Source: brilliant.org, formula classical."""
    name = "rod-topples-on-smooth-floor"
    p, value = entry(name)
    lean = 1e-5  # "slightly disturbed": its square is below what is asked for
    trace = release(frames.on_a_smooth_floor(p, p["L"], lean), duration=6.0)
    theta = lean - trace.poses[:, 0, 2]
    assert where(p["theta"], theta, -trace.velocities[:, 0, 2]) == near(value)
    assert trace.events[-1].kind == "contact"
    assert trace.forces[-1, trace.keys.index(Key("AB", "floor A at A", "floor A")), 1] == near(
        besides(name, "floor force")
    )


def test_rod_slips_off_table_edge():
    """tan theta = 4 mu/13. Source: Edexcel M5 Q6, a.simonm.io/question/31671."""
    p, value = entry("rod-slips-off-table-edge")
    trace = release(frames.over_an_edge(p))
    assert [(event.kind, event.about) for event in trace.events[1:]] == [("slip", "edge at O")]
    assert -trace.poses[-1, 0, 2] == near(value)


def test_sliding_ladder_leaves_wall():
    """sin alpha = 2 sin alpha0/3; both speeds then. Source: published, see motion.json."""
    name = "sliding-ladder-leaves-wall"
    p, value = entry(name)
    trace = release(frames.ladder(p))
    assert [(event.kind, event.about) for event in trace.events[1:]] == [("lifted", "floor B at B")]
    assert p["alpha0"] - trace.poses[-1, 0, 2] == near(value)
    assert trace.velocities[-1, 0, 2] == near(besides(name, "angular speed"))
    assert trace.velocities[-1, 0, 0] == near(besides(name, "horizontal speed"))


# forces in motion


def test_falling_chimney_breaking_point():
    """Greatest bending moment at L/3, mgL sin/27 (a cubic in the height). Source: see motion.json."""
    name = "falling-chimney-breaking-point"
    p, value = entry(name)
    heights = np.array([0.0, 0.2, 0.4, 0.6, 0.8]) * p["L"]
    tensions = [first(frames.chimney(p, h / p["L"]))[2].tensions["side"] for h in heights[1:]]
    moments = [0.0, *(abs(tension) * frames.ARM for tension in tensions)]
    cubic = np.poly1d(np.polyfit(heights, moments, 3))
    assert cubic(heights) == near(moments)
    greatest = min(cubic.deriv().roots.real)
    assert greatest == near(value)
    assert cubic(greatest) == near(besides(name, "largest"))


def test_hinged_rod_greatest_sideways_force():
    """9mg/8, at 45 degrees. Source: published, see motion.json; the force worked out by hand."""
    name = "hinged-rod-greatest-sideways-force"
    p, value = entry(name)
    trace = release(frames.level_rod(p), duration=0.6)
    sideways = trace.forces[:, trace.keys.index(Key("AB", "A", "A")), 0]
    most = int(np.argmax(np.abs(sideways)))
    near_it = slice(most - NEAR // 2, most + NEAR // 2)
    angle = pi / 2 + trace.poses[near_it, 0, 2] - value
    curve = np.polynomial.Polynomial.fit(angle, np.abs(sideways[near_it]), 9)
    top = min(curve.deriv().roots(), key=abs).real
    assert top == pytest.approx(0.0, abs=1e-7)  # where the curve is flat, a derivative of differences
    assert curve(top) == near(besides(name, "greatest"))


def test_rod_pivot_one_third_force_perpendicular():
    """sqrt(g/a). Source: published, see motion.json."""
    p, value = entry("rod-pivot-one-third-force-perpendicular")
    lean = 1e-5
    trace = release(frames.on_its_third(p, lean), duration=4.0)
    turn = trace.poses[:, 0, 2]
    along = np.stack([np.sin(lean - turn), np.cos(lean - turn)], axis=1)
    pull = (trace.forces[:, trace.keys.index(Key("AB", "P", "P")), :2] * along).sum(axis=1)
    assert where(0.0, pull, np.abs(trace.velocities[:, 0, 2])) == near(value)


def test_rod_turned_steadily_force_on_axis():
    """2mg |cos(theta/2)|: the couple that keeps it steady is put on it. Source: see motion.json."""
    p, value = entry("rod-turned-steadily-force-on-axis")
    system = System(frames.driven(p, p["theta"]), None, ("tie",))
    rate = sqrt(p["g"] / p["a"])
    v = np.zeros_like(system.start)
    v[0] = (-rate * system.start[0, 1], rate * system.start[0, 0], rate)
    reactions = Reactions(system)
    assert system.solve(system.start, v)[0][0, 2] == pytest.approx(0.0, abs=1e-9)
    forces = reactions.table(reactions.at(system.start, v))
    assert hypot(*force(forces, "AB", "A", "A")) == near(value)


def test_every_entry_is_tested():
    """One test for each of the 21 entries, here or in published_swings.py."""
    here = Path(__file__).parent
    text = "".join((here / name).read_text() for name in ("published_motion.py", "published_swings.py"))
    missing = [name for name in ENTRIES if f"def test_{name.lower().replace('-', '_')}(" not in text]
    assert missing == []
    assert len(ENTRIES) == 21
