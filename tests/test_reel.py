"""Rows of the engine's numbers: what is kept of a run is what was seen while it ran, and is proved."""

from __future__ import annotations

import numpy as np
import pymunk
import pytest
from collapses import sprung_rod
from showings import BALANCE, CASES, showing
from small_frames import rhombus, stepladder

from simlab.errors import SimlabFault
from simlab.frame.model import Frame
from simlab.simulation import stage as stages
from simlab.simulation.impulses import Impulse, Lengths
from simlab.simulation.release import release
from simlab.simulation.stage import RATE, Stage

SAMPLES = 300
FRAMES: dict[str, Frame] = {
    "rhombus": rhombus(0.6),
    "trestle on a floor": stepladder(),
    "rod on a spring": sprung_rod(),
    **{name: showing(case) for name, case in CASES.items()},
}


@pytest.mark.parametrize("name", FRAMES)
def test_what_is_kept_is_what_was_seen(name: str) -> None:
    """A trace, computed from rows in the end, beside a stage that is looked at after every step."""
    of = FRAMES[name]
    trace, live = release(of, duration=SAMPLES / RATE, before=0.0), Stage(of)
    live.rest_under_load()
    live.time = 0.0
    live.cut(of.brace or "")
    for i in range(SAMPLES + 1):
        live.step()
        kept, now = trace.instant(trace.time[i]), live.now()
        size = max(abs(part) for r in now.forces.reactions.values() for part in r.force) or 1.0
        assert kept.time == now.time
        assert kept.poses == pytest.approx(now.poses, abs=1e-12)
        assert trace.velocities[i] == pytest.approx(live.velocities(), abs=1e-11)
        assert kept.energy == pytest.approx(now.energy, abs=1e-10)
        assert kept.absent == now.absent
        there = {key: r for key, r in now.forces.reactions.items() if key.by not in now.absent}
        assert set(kept.forces.reactions) == set(there)
        for key, reaction in there.items():
            assert kept.forces.reactions[key].force == pytest.approx(reaction.force, abs=1e-11 * size)
            assert kept.forces.reactions[key].point == pytest.approx(reaction.point, abs=1e-12)


def joint_at_work() -> pymunk.PivotJoint:
    """A hung body after a step."""
    space = pymunk.Space()
    space.gravity = (0, -10)
    body = pymunk.Body(3.0, 1.0)
    joint = pymunk.PivotJoint(space.static_body, body, (0, 0))
    space.add(body, joint)
    space.step(0.01)
    return joint


def test_one_wrong_reading_among_many_is_noticed() -> None:
    """Lengths 5 and 13 by Pythagoras; the third of three is published otherwise, and is named."""
    impulse = Impulse(joint_at_work())
    x, y = np.array([3.0, 0.0, 5.0]), np.array([4.0, 0.0, 12.0])

    right = impulse.proved((x, y), np.array([5.0, 0.0, 13.0]))
    assert np.abs(right).tolist() == [x.tolist(), y.tolist()]
    with pytest.raises(SimlabFault, match=r"impulse of 13\.001, its memory holds \(5\.0, 12\.0\)"):
        impulse.proved((x, y), np.array([5.0, 0.0, 13.001]))


def test_a_run_with_one_wrong_reading_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """The published lengths are falsified for a single sample of a release, in the middle."""
    told, asked = Lengths.read, []

    def falsified(self: Lengths) -> list[float]:
        asked.append(self)
        lengths = list(told(self))
        return [1.001 * length for length in lengths] if len(asked) == SAMPLES else lengths

    monkeypatch.setattr(stages, "TO_REST", 0.5)
    monkeypatch.setattr("simlab.simulation.scenery.Scenery.touch", lambda *_: None)
    monkeypatch.setattr(Lengths, "read", falsified)
    with pytest.raises(SimlabFault, match="publishes an impulse"):
        release(rhombus(0.6), duration=1.0, before=0.0)
    assert len(asked) > RATE  # it ran to its end


def test_lengths_read_together_are_those_of_the_joints() -> None:
    """0.3 N s: 3 kg for 1/100 s in 10 m/s^2."""
    joint = joint_at_work()
    assert list(Lengths([joint, joint]).read()) == [joint.impulse] * 2 == pytest.approx([0.3, 0.3])


def test_bodies_are_told_apart_when_some_are_gone() -> None:
    """A string over a peg is cut, and its knots go: the engine has its bodies in another order then."""
    stage = Stage(showing(BALANCE))
    stage.rest_under_load()
    stage.cut("rope")
    for _ in range(3):
        seen = stage.seen()
        assert set(seen.moment.states) == {*stage.world.bodies, "ground"}
        for name, body in stage.world.bodies.items():
            state = seen.moment.states[name]
            assert (state.x, state.y, state.angle) == (*body.position, body.angle)
            assert (state.vx, state.vy, state.turning) == (*body.velocity, body.angular_velocity)
        stage.step(5)


def test_after_a_touch_the_engine_tells_nobody_who_meets() -> None:
    """pymunk takes None for "as before": a callback goes only when another takes its place."""
    stage = Stage(stepladder())
    stage.rest_under_load()
    stage.cut("rope")
    stage.step(RATE)

    assert stage.state == "touched"
    assert stage.scenery._met == []
