"""Published first instants, falls and forces in motion (published/motion.json) by the simulation.

Each within its stated bound; the small oscillations: published_swings_simulated.py. The frames:
motion_frames.py. The source of a value stands beside the test of the same name in published_motion.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin, sqrt
from pathlib import Path

import motion_frames as frames
import numpy as np
import pytest
from motions import ENTRIES, besides, entry, where
from scipy.optimize import brentq

from simlab.frame.model import Frame
from simlab.motion.integrate import RATE
from simlab.results import Forces, Key, Trace
from simlab.simulation.release import release
from simlab.simulation.stage import Stage

# Relative bounds. The engine solves the first instant in as many sweeps as leave 1e-11 of the jump, after a
# rest that leaves 1e-9.
AT_ONCE = 1e-8
# Its scheme is of second order: a step of 1/2400 s against the 0.2 s or so, sqrt(a/g), in which these
# frames move is (0.002)^2 = 4e-6.
MOVING = 1e-5
# Read off a cubic that is laid on to a moment after the last of 20 samples: it leaves the fourth power of
# their 1/30 s over the 0.3 s or so in which the forces change.
LAID_ON = 1e-4
STEP = 1 / RATE  # [s] from sample to sample, on every road
EARLY = 0.02  # [s]: the first instants
LAST = 20  # samples before an event that a curve is laid through


def run(of: Frame, duration: float = EARLY) -> Trace:
    """The frame at rest, its brace taken away at the first sample."""
    return release(of, duration=duration, before=0.0)


def first(of: Frame) -> Forces[float]:
    """The forces in the first instant."""
    return run(of).instant(0.0).forces


def start(times: Sequence[float], ways: np.ndarray) -> float:
    """The acceleration from rest: the way is even in time, since the motion might as well run back."""
    share = np.asarray(times)[1:] / times[-1]
    c2, _ = np.linalg.lstsq(np.stack([share**2, share**4], axis=1), ways[1:] - ways[0], rcond=None)[0]
    return float(2 * c2 / times[-1] ** 2)


def of_key(trace: Trace, on: str, at: str, by: str) -> np.ndarray:
    """x, y of a reaction, shape (times, 2)."""
    return trace.forces[:, trace.keys.index(Key(on, at, by)), :2]


def before(trace: Trace, kind: str) -> slice:
    """The last samples before the first event of a kind, but for the one that the event may be in."""
    time = next(event.time for event in trace.events if event.kind == kind)
    last = int(np.searchsorted(trace.time, time - STEP / 2))
    return slice(last - LAST, last)


def laid_on(x: float, xs: np.ndarray, ys: np.ndarray) -> float:
    """y at an x just beyond the samples, on a cubic."""
    return float(np.polynomial.Polynomial.fit(xs, ys, 3)(x))


# first instants


def test_hexagon_midpoint_string_cut():
    """The lowest rod starts downwards with 9g/10; by symmetry it does not sway."""
    p, value = entry("hexagon-midpoint-string-cut")
    trace = run(frames.hexagon(p))
    poses = trace.poses[:, trace.bodies.index("DE")]
    assert [start(trace.time, way) for way in poses.T] == pytest.approx(
        [0.0, -value, 0.0], abs=MOVING * value
    )


def test_hinged_rod_support_removed():
    """mg/4 at the hinge, 3g/(4a)."""
    p, value = entry("hinged-rod-support-removed")
    trace = run(frames.level_rod(p))
    hinge = trace.instant(0.0).forces.reactions[Key("AB", "A", "A")].force
    assert hinge == pytest.approx((0.0, value), abs=AT_ONCE * value)
    turning = besides("hinged-rod-support-removed", "angular")
    assert -start(trace.time, trace.poses[:, 0, 2]) == pytest.approx(turning, rel=MOVING)


def test_inclined_rod_released_on_smooth_floor():
    """mg/(1 + 3 sin^2 theta)."""
    p, value = entry("inclined-rod-released-on-smooth-floor")
    forces = first(frames.on_a_smooth_floor(p, 2 * p["a"], p["theta"]))
    floor = forces.reactions[Key("AB", "floor A at A", "floor A")].force
    assert floor == pytest.approx((0.0, value), abs=AT_ONCE * value)


def test_rhombus_frame_brace_cut():
    """6g sin^2/(1 + 3 sin^2): the lowest corner, from the lower rods' middles and their turn."""
    p, value = entry("rhombus-frame-brace-cut")
    trace = run(frames.rhombus(p))
    x, y, turn = trace.poses[:, trace.bodies.index("BC")].T
    way = turn - p["theta"]  # of BC from straight down, anticlockwise
    lowest = x + p["a"] * np.sin(way), y - p["a"] * np.cos(way)
    wanted = pytest.approx([0.0, -value], abs=MOVING * value)
    assert [start(trace.time, part) for part in lowest] == wanted


def test_rod_two_inclined_strings_one_cut():
    """mg sin/(1 + 3 sin^2)."""
    p, value = entry("rod-two-inclined-strings-one-cut")
    assert first(frames.on_inclined_strings(p)).tensions["A"] == pytest.approx(value, rel=AT_ONCE)


def test_rod_two_vertical_strings_one_cut():
    """mg/4, half of what it was."""
    p, value = entry("rod-two-vertical-strings-one-cut")
    assert first(frames.on_vertical_strings(p)).tensions["A"] == pytest.approx(value, rel=AT_ONCE)


def test_two_jointed_rods_released_horizontal():
    """Both strings cut at once: both angular accelerations, both hinges."""
    name = "two-jointed-rods-released-horizontal"
    p, value = entry(name)
    stage = Stage(frames.two_level_rods(p))
    stage.rest_under_load()
    stage.cut("C")
    stage.cut("B")
    stage.step()  # of the cut: no time passes
    forces, moments = stage.forces().reactions, [stage.now()]
    for _ in range(round(EARLY / STEP)):
        stage.step()
        moments.append(stage.now())
    times = [moment.time - moments[0].time for moment in moments]
    turns = np.array([moment.poses[:, 2] for moment in moments])

    other = besides(name, "angular acceleration of BC")
    assert [start(times, turn) for turn in turns.T] == pytest.approx([-value, other], rel=MOVING)
    at_a, at_b = besides(name, "force at A"), besides(name, "downward force")
    assert forces[Key("AB", "A", "A")].force == pytest.approx((0.0, at_a), abs=AT_ONCE * at_a)
    assert forces[Key("BC", "B", "B")].force == pytest.approx((0.0, -at_b), abs=AT_ONCE * at_a)


# falls


def test_hinged_rods_collapse_on_smooth_floor():
    """The hinge strikes the floor: twice the speed of a rod's middle, laid on to no height."""
    p, value = entry("hinged-rods-collapse-on-smooth-floor")
    trace = run(frames.trestle(p), 1.0)
    near = before(trace, "contact")
    height, speed = 2 * trace.poses[near, 0, 1], -2 * trace.velocities[near, 0, 1]
    assert laid_on(0.0, height, speed) == pytest.approx(value, rel=MOVING)


def test_rod_topples_on_smooth_floor():
    """Angular speed at 60 degrees; mg/4 at the end, laid on to lying flat."""
    name = "rod-topples-on-smooth-floor"
    p, value = entry(name)
    lean = 1e-3  # "slightly disturbed": its square, 1e-6, is below the bound
    trace = run(frames.on_a_smooth_floor(p, p["L"], lean), 2.0)
    theta = lean - trace.poses[:, 0, 2]
    assert where(p["theta"], theta, -trace.velocities[:, 0, 2]) == pytest.approx(value, rel=MOVING)
    near = before(trace, "contact")
    floor = of_key(trace, "AB", "floor A at A", "floor A")[near, 1]
    assert laid_on(pi / 2, theta[near], floor) == pytest.approx(besides(name, "floor force"), rel=LAID_ON)


def test_rod_slips_off_table_edge():
    """tan theta = 4 mu/13, seen within two samples."""
    p, value = entry("rod-slips-off-table-edge")
    trace = run(frames.over_an_edge(p), 1.0)
    slip = next(event for event in trace.events if event.kind == "slip")
    assert slip.about == "edge at O"
    moment = int(np.argmin(np.abs(trace.time - slip.time)))
    _, _, turning = np.abs(trace.velocities[moment, 0])
    assert -trace.poses[moment, 0, 2] == pytest.approx(value, abs=2 * STEP * turning)


def test_sliding_ladder_leaves_wall():
    """sin alpha = 2 sin alpha0/3 where the wall's push is laid on to nothing; both speeds then."""
    name = "sliding-ladder-leaves-wall"
    p, value = entry(name)
    trace = run(frames.ladder(p), 0.8)
    lifted = [event for event in trace.events if event.kind == "lifted"]
    assert [event.about for event in lifted] == ["floor B at B"]
    near = before(trace, "lifted")
    push, turns = of_key(trace, "AB", "floor B at B", "floor B")[near, 0], trace.poses[near, 0, 2]
    speeds, speed = trace.velocities[near, 0, 2], besides(name, "angular speed")
    assert laid_on(0.0, push, p["alpha0"] - turns) == pytest.approx(value, rel=LAID_ON)
    assert laid_on(0.0, push, speeds) == pytest.approx(speed, rel=LAID_ON)
    after = trace.velocities[trace.time > lifted[0].time + STEP, 0, 0]
    assert after == pytest.approx(besides(name, "horizontal speed"), rel=LAID_ON)
    assert len(after) > 50


# forces in motion


def test_falling_chimney_breaking_point():
    """Greatest bending moment at L/3, mgL sin/27: a cubic in the height through five cuts."""
    name = "falling-chimney-breaking-point"
    p, value = entry(name)
    heights = np.array([0.0, 0.2, 0.4, 0.6, 0.8]) * p["L"]
    tensions = [first(frames.chimney(p, h / p["L"])).tensions["side"] for h in heights[1:]]
    moments = [0.0, *(abs(tension) * frames.ARM for tension in tensions)]
    cubic = np.poly1d(np.polyfit(heights, moments, 3))
    greatest, moment = min(cubic.deriv().roots.real), besides(name, "largest")
    assert cubic(heights) == pytest.approx(moments, abs=MOVING * moment)
    assert greatest == pytest.approx(value, rel=MOVING)
    assert cubic(greatest) == pytest.approx(moment, rel=MOVING)


def test_hinged_rod_greatest_sideways_force():
    """9mg/8, at 45 degrees: the top of a curve through the samples beside it."""
    name = "hinged-rod-greatest-sideways-force"
    p, value = entry(name)
    trace = run(frames.level_rod(p), 0.6)
    sideways = np.abs(of_key(trace, "AB", "A", "A")[:, 0])
    most = int(np.argmax(sideways))
    near = slice(most - LAST, most + LAST)
    curve = np.polynomial.Polynomial.fit(pi / 2 + trace.poses[near, 0, 2] - value, sideways[near], 6)
    top = min(curve.deriv().roots(), key=abs).real
    assert top == pytest.approx(0.0, abs=MOVING)
    assert curve(top) == pytest.approx(besides(name, "greatest"), rel=MOVING)


def test_rod_pivot_one_third_force_perpendicular():
    """sqrt(g/a), where the pull along the rod passes through nothing."""
    p, value = entry("rod-pivot-one-third-force-perpendicular")
    lean = 1e-3  # from rest nearly upright: its square, 1e-6, is below the bound
    trace = run(frames.on_its_third(p, lean), 3.0)
    turn = trace.poses[:, 0, 2]
    along = np.stack([np.sin(lean - turn), np.cos(lean - turn)], axis=1)
    pull = (of_key(trace, "AB", "P", "P") * along).sum(axis=1)
    assert where(0.0, pull, np.abs(trace.velocities[:, 0, 2])) == pytest.approx(value, rel=MOVING)


def test_rod_turned_steadily_force_on_axis():
    """2mg |cos(theta/2)|: let go where it gets to theta at the steady speed, with no acceleration there."""
    p, value = entry("rod-turned-steadily-force-on-axis")
    theta = p["theta"]

    def lacking(at: float) -> float:
        """Work of the couple and the weight up to theta over mga, less 2/3: the energy at sqrt(g/a)."""
        return sin(theta) * (theta - at) - (cos(at) - cos(theta)) - 2 / 3

    at = float(brentq(lacking, -1.0, theta))
    trace = run(frames.driven(p, at), 1.0)
    angle, force = at + trace.poses[:, 0, 2], np.hypot(*of_key(trace, "AB", "A", "A").T)
    turning = trace.velocities[:, 0, 2]
    assert where(theta, angle, turning) == pytest.approx(sqrt(p["g"] / p["a"]), rel=MOVING)
    gathering = where(theta, angle, np.gradient(turning, trace.time))
    assert gathering == pytest.approx(0.0, abs=MOVING * p["g"] / p["a"])
    assert where(theta, angle, force) == pytest.approx(value, rel=MOVING)


def test_every_entry_is_tested():
    """One test for each of the 21 entries, here or in published_swings_simulated.py."""
    here = Path(__file__).parent
    files = ("published_motion_simulated.py", "published_swings_simulated.py")
    text = "".join((here / name).read_text() for name in files)
    missing = [name for name in ENTRIES if f"def test_{name.lower().replace('-', '_')}(" not in text]
    assert missing == []
    assert len(ENTRIES) == 21
