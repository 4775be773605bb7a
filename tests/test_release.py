"""Runs that are kept: gravity let on, a brace taken away, everything recorded and repeatable."""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from pathlib import Path

import numpy as np
import pytest
from scenes_at_rest import each_shown
from small_frames import arch, frame, rhombus, stepladder

from simlab.errors import BadInput
from simlab.frame.model import Frame
from simlab.frame.scene import read_scene
from simlab.results import Key, Trace, largest
from simlab.simulation.release import hang, release
from simlab.simulation.settle import settle
from simlab.simulation.stage import Stage

SCENES = sorted((Path(__file__).parent.parent / "scenes").glob("*.toml"))
KITE = SCENES[0].parent / "kite_lantern.toml"
BRACED = [path for path in SCENES if read_scene(path).brace]
each_braced = pytest.mark.parametrize("path", BRACED, ids=lambda path: path.stem)


@each_shown
def test_the_showing_comes_to_rest_at_the_reading(of):
    """Gravity is let on from 0 to 1; in the end every live force is the reading's, to 1e-9.

    A frame with elastic members moves while gravity is let on, and is not quite at rest so soon. What rigid
    bodies leave open is not handed on.
    """
    trace, reading = hang(of, ramp=2.0, rest=2.0), settle(of)
    close = 1e-4 if any(link.natural is not None for link in of.links.values()) else 1e-9
    end = trace.instant(trace.time[-1]).forces

    assert (trace.load[0], trace.load[-1]) == (0.0, 1.0)
    assert np.all(np.diff(trace.load) >= 0)
    decided = set(reading.forces.reactions) - Stage(of).open
    assert set(end.reactions) == decided
    for key in decided:
        both = reading.forces.reactions[key].force, end.reactions[key].force
        apart = hypot(*(a - b for a, b in zip(*both, strict=True)))
        assert apart < close * largest(reading.forces), key
    assert end.tensions == pytest.approx(reading.forces.tensions, abs=close * largest(reading.forces))


def test_forces_grow_with_the_weight_while_it_is_let_on():
    """Half-way up the ramp the hook carries half the frame, all but the little that it still swings."""
    trace = hang(read_scene(KITE), ramp=4.0, rest=1.0)
    key = Key("K", "K", "ground")
    half = trace.instant(2.0).forces.reactions[key].force[1]
    full = trace.instant(5.0).forces.reactions[key].force[1]

    assert half == pytest.approx(full / 2, rel=1e-2)


@each_braced
def test_a_release_records_every_step(path):
    """600 samples a second, arrays of one length, the names of the frame, the cut at time 0."""
    of = read_scene(path)
    trace = release(of, duration=1.0, before=0.25)
    n, keys = 150 + 601, len(trace.keys)

    assert trace.road == "simulation"
    assert trace.bodies == tuple(of.bodies)
    assert trace.links == tuple(of.links)
    assert trace.time[0] == pytest.approx(-0.25)
    assert trace.time[-1] == pytest.approx(1.0)
    assert np.diff(trace.time) == pytest.approx(1 / 600)
    assert trace.poses.shape == trace.velocities.shape == (n, len(of.bodies), 3)
    assert trace.forces.shape == (n, keys, 3)
    assert trace.points.shape == (n, keys, 2)
    assert trace.tensions.shape == (n, len(of.links))
    assert trace.energy.shape == (n, 2)
    assert np.all(trace.load == 1.0)
    assert (trace.events[0].time, trace.events[0].kind, trace.events[0].about) == (0.0, "cut", of.brace)


def test_the_brace_is_there_before_the_cut_and_absent_from_it_on():
    """Its forces and tension are numbers before time 0 and none after; the instant lists it as absent."""
    of = read_scene(KITE)
    trace = release(of, duration=0.1, before=0.1)
    before, after = trace.instant(-1 / 600), trace.instant(0.0)
    brace_keys = {key for key in trace.keys if key.by == "spreader"}

    assert len(brace_keys) == 2
    assert brace_keys <= set(before.forces.reactions)
    assert not brace_keys & set(after.forces.reactions)
    assert before.absent == frozenset()
    assert after.absent == {"spreader"}
    assert np.isfinite(trace.tensions[trace.time < 0]).all()
    assert np.isnan(trace.tensions[trace.time >= 0]).all()


def test_it_starts_from_the_settled_frame_at_rest():
    """Up to the cut nothing moves and every force is the reading's."""
    of = stepladder()
    trace, reading = release(of, duration=0.05, before=0.1), settle(of)
    moment = trace.instant(-1 / 600)

    assert np.abs(trace.velocities[trace.time < 0]).max() < 1e-9
    for key, reaction in reading.forces.reactions.items():
        assert moment.forces.reactions[key].force == pytest.approx(reaction.force, abs=1e-8)


def test_the_forces_jump_at_the_cut_but_nothing_has_moved_yet():
    """At time 0 the frame is where it was, at rest, under other forces."""
    trace = release(rhombus(0.6), duration=0.05, before=0.05)
    cut = int(np.argmin(np.abs(trace.time)))
    i = trace.keys.index(Key("A", "A", "ground"))

    assert trace.time[cut] == 0.0
    assert trace.poses[cut] == pytest.approx(trace.poses[cut - 1], abs=1e-12)
    assert np.abs(trace.velocities[cut]).max() < 1e-9
    assert trace.forces[cut - 1, i, 1] == pytest.approx(40.0, rel=1e-9)
    assert trace.forces[cut, i, 1] < 30.0


def test_a_slack_string_has_no_tension_in_the_trace():
    """While a string is slack its tension is no number, and the instant calls it absent."""
    trace = release(read_scene(SCENES[0].parent / "ring_lantern.toml"), brace="spreader", duration=0.6)
    slack = next(event.time for event in trace.events if event.kind == "slack")
    taut = next(event.time for event in trace.events if event.kind == "taut")
    i = trace.links.index("tie")
    between = (trace.time > slack + 1e-3) & (trace.time < taut - 1e-3)

    assert between.any()
    assert np.isnan(trace.tensions[between, i]).all()
    assert "tie" in trace.instant((slack + taut) / 2).absent
    assert (trace.tensions[trace.time < 0, i] > 0).all()


def test_another_member_can_be_taken_away():
    """The member to release may be named."""
    of = read_scene(SCENES[0].parent / "ring_lantern.toml")
    trace: Trace = release(of, brace="spreader", duration=0.1, before=0.0)

    assert trace.events[0].about == "spreader"


def test_a_frame_without_a_brace_has_nothing_to_release():
    """A sentence says what to add."""
    with pytest.raises(BadInput, match="names no brace to release"):
        release(arch(0.3))


def test_an_unknown_member_cannot_be_released():
    """The message lists what is there."""
    with pytest.raises(BadInput, match=r'"bracket".*brace'):
        release(rhombus(0.6), brace="bracket")


def test_a_non_uniform_rod_without_gyration_cannot_be_released():
    """It can be settled; its motion is not known."""
    of = rhombus(0.6)
    rod = replace(of.bodies["AB"], gyration2=None)
    unknown = replace(of, bodies={**of.bodies, "AB": rod})

    assert settle(unknown).verdict == "settled"
    with pytest.raises(BadInput, match='rod "AB" is not uniform'):
        release(unknown)


def garland(lanterns: int) -> Frame:
    """Square lanterns of four rods hung one below the other on a corner, each kept open by a strut."""
    points, rods, struts = {"A": (0.0, 0.0)}, {}, {}
    names = iter("BCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijk")
    top = "A"
    for i in range(lanterns):
        left, right, low = (next(names) for _ in range(3))
        points |= {left: (-1.0, -1.0 - 2 * i), right: (1.0, -1.0 - 2 * i), low: (0.0, -2.0 - 2 * i)}
        rods |= {ends: (ends, 1.0) for ends in (top + left, top + right, left + low, right + low)}
        struts[f"spreader {i}"] = ("strut", left + right)
        top = low
    return frame(points, rods, struts, hooks="A", brace="spreader 0")


@pytest.mark.parametrize("lanterns", [2, 8, 10])
def test_a_long_frame_folds_like_a_short_one(lanterns):
    """Nothing touches until a hinge has folded to half its right angle, in frames of 8 to 40 rods."""
    stage = Stage(garland(lanterns))
    stage.share = 1.0
    stage.step(60)
    stage.cut("spreader 0")
    while not any(event.kind == "contact" for event in stage.events) and stage.time < 1.0:
        stage.step()

    assert stage.events[-1].kind == "contact"
    assert stage.time > 0.3
    assert 0.35 < np.abs(stage.world.poses()[:, 2]).max() < np.pi / 4


def jib(
    pole: float = 0.0, hung: float = 0.0, force: float = 10.0, arm: float | None = None, brace: bool = True
) -> Frame:
    """A pole on a hinge, held by a stay, pulled down at its tip; perhaps with a weight or an arm."""
    points = {"P": (0.0, 0.0), "E": (2.0, 0.0), "Z": (0.0, 1.5), "M": (1.0, 0.0)}
    rods = {"pole": ("PEM", pole)}
    if arm is not None:
        points["F"] = (2.0, -1.0)
        rods["arm"] = ("EF", arm)
    loads: dict[str, tuple[str, tuple[float, ...]]] = {"E": ("force", (0.0, -force))}
    if hung:
        loads["M"] = ("weight", (hung,))
    stay = {"stay": ("string", "EZ")}
    return frame(points, rods, stay, hooks="PZ", loads=loads, brace="stay" if brace else None)


@pytest.mark.parametrize("of", [jib(), jib(arm=0.0)], ids=["alone", "with a light arm"])
def test_a_force_that_nothing_with_weight_resists_cannot_be_shown(of):
    """A light pole under a force alone has no inertia: F = m a gives no motion. It can be settled."""
    with pytest.raises(BadInput, match=r'load "load E": without stay .* "pole" .*Give the rod a weight'):
        release(of)
    with pytest.raises(BadInput, match="motion is unknown"):
        hang(of)
    if "arm" not in of.bodies:
        reading = settle(of)
        assert reading.verdict == "settled"
        # Moments about the hinge by hand: T * 0.6 * 2 m = 10 N * 2 m.
        assert reading.forces.tensions["stay"] == pytest.approx(10.0 / 0.6, rel=1e-9)


def test_a_force_on_a_light_rod_that_stays_held_is_shown():
    """Without a brace to release the pole rests, and its stay bears 10 N / 0.6; cutting it is refused."""
    of = jib(brace=False)
    trace = hang(of, ramp=0.5, rest=1.0)

    assert trace.tensions[-1, 0] == pytest.approx(10.0 / 0.6, rel=1e-9)
    with pytest.raises(BadInput, match="without stay"):
        release(of, brace="stay")


@pytest.mark.parametrize(
    ("of", "acceleration"),
    [
        (jib(pole=6.0), (2 * 10.0 + 6.0) / (0.6 * 4 / 3)),
        (jib(hung=5.0), (2 * 10.0 + 5.0) / 0.5),
        (jib(hung=5.0, force=0.0), 5.0 / 0.5),
        (jib(arm=3.0), (2 * 10.0 + 2 * 3.0) / (0.3 * 4)),
    ],
    ids=["heavy pole", "weight on the pole", "weight alone", "heavy arm"],
)
def test_a_force_on_what_has_inertia_moves_it(of, acceleration):
    """Moments over moment of inertia about the hinge, by hand, g = 10: a light rod has 1/1000 of mass."""
    trace = release(of, duration=0.02, before=0.0)

    assert -trace.velocities[-1, 0, 2] == pytest.approx(acceleration * 0.02, rel=1e-2)


def test_progress_is_told():
    """Shares that rise to 1."""
    told: list[float] = []
    hang(rhombus(0.6), ramp=0.2, rest=0.1, progress=told.append)

    assert told == sorted(told)
    assert told[-1] == pytest.approx(1.0)
