"""The engine's joint impulses as vectors: found by calibration, proved at each reading, and audited."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi

import numpy as np
import pymunk
import pytest
from small_frames import frame as build
from small_frames import polygon, rhombus, rod_at, vec

from simlab.errors import SimlabFault
from simlab.frame.model import GROUND, Frame, Load, Place
from simlab.frame.quantity import FORCE
from simlab.results import Forces, Key, largest
from simlab.simulation import impulses
from simlab.simulation.impulses import Impulse, calibrated
from simlab.simulation.release import release
from simlab.simulation.settle import settle
from simlab.simulation.stage import Stage

KINDS = ("PivotJoint", "PinJoint", "SlideJoint", "GearJoint")


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_joint_has_one_place_for_its_impulse(kind):
    """Six known states leave one place and one sense only."""
    word, sign = calibrated(kind)

    assert 0 < word < 40
    assert sign in (1.0, -1.0)


@pytest.mark.parametrize("swapped", [False, True])
def test_a_pivot_bears_the_weight_that_hangs_on_it(swapped):
    """The vector is the force on body b: up for a hung body, down for the ground it hangs from."""
    space = pymunk.Space()
    space.gravity = (0, -10)
    body = pymunk.Body(3.0, 1.0)
    space.add(body)
    ends = (body, space.static_body) if swapped else (space.static_body, body)
    joint = pymunk.PivotJoint(*ends, (0, 0))
    space.add(joint)
    space.step(0.01)

    x, y = Impulse(joint).read()
    assert (x, y) == pytest.approx((0.0, -0.3 if swapped else 0.3), abs=1e-12)


@pytest.mark.parametrize(("above", "thrust"), [(True, -0.3), (False, 0.3)])
def test_a_link_says_whether_it_pulls_or_pushes(above, thrust):
    """A body hung from a link pulls it; a body standing on a link presses it. Thrust is positive."""
    space = pymunk.Space()
    space.gravity = (0, -10)
    body = pymunk.Body(3.0, 1.0)
    space.add(body)
    joint = pymunk.PinJoint(space.static_body, body, (0, 1 if above else -1), (0, 0))
    space.add(joint)
    space.step(0.01)

    assert Impulse(joint).read()[0] == pytest.approx(thrust, abs=1e-12)


def test_a_wrong_place_is_noticed_at_the_next_reading(monkeypatch):
    """What is read must have the published length; else a fault names the version of pymunk."""
    word, sign = calibrated("PivotJoint")
    monkeypatch.setattr(impulses, "calibrated", lambda kind: (word - 1, sign))

    with pytest.raises(SimlabFault, match=pymunk.version.replace(".", r"\.")):
        settle(rod_at(0.0))


def test_no_place_that_fits_is_a_fault(monkeypatch):
    """If the engine kept its impulses elsewhere, calibration would say so and not guess."""
    monkeypatch.setitem(impulses._WORDS, "PinJoint", 20)
    calibrated.cache_clear()

    with pytest.raises(SimlabFault, match="0 places"):
        calibrated("PinJoint")
    monkeypatch.undo()
    calibrated.cache_clear()


def momentum_gained(frame: Frame, before: np.ndarray, after: np.ndarray) -> np.ndarray:
    """Mass times change of velocity of each rod, shape (rods, 2) [N s]."""
    masses = [body.weight.number() / frame.gravity.number() for body in frame.bodies.values()]
    return np.array(masses)[:, None] * (after - before)[:, :2]


def impulse_on_rods(frame: Frame, forces: Forces[float], dt: float) -> np.ndarray:
    """What the read forces and the weights give to each rod in a step of dt, shape (rods, 2) [N s]."""
    names = list(frame.bodies)
    total = np.array([(0.0, -body.weight.number()) for body in frame.bodies.values()])
    for key, reaction in forces.reactions.items():
        if key.on in names:
            total[names.index(key.on)] += reaction.force
    return total * dt


def test_read_forces_account_for_the_momentum_of_falling_rods():
    """m (v' - v) = (sum of forces + W) dt for every rod, at every step of a collapse, to 1e-12."""
    frame = rhombus(0.6)
    stage = Stage(frame)
    stage.share = 1.0
    stage.step(600)
    stage.cut("brace")
    stage.step()
    names = list(frame.bodies)
    for _ in range(60):
        stage.step()
        before = np.frombuffer(stage.view.before).reshape(-1, 3)[: len(names)]  # of the last engine step
        after = np.array([[*stage.world.bodies[n].velocity, 0.0] for n in names])
        left = momentum_gained(frame, before, after) - impulse_on_rods(frame, stage.forces(), stage.part)
        assert np.abs(left).max() < 1e-12 * 10.0


def with_pair_at_pins(frame: Frame, force: tuple[float, float]) -> Frame:
    """A force on each rod at its pins, and the opposite one on the rod (or ground) it is pinned to."""
    loads = {}
    for joint in frame.joints.values():
        first, *others = joint.bodies
        for body in others:
            name = f"pair at {joint.name} on {body}"
            opposite = tuple(-f for f in force)
            loads[name] = Load(name, "force", Place(body, joint.point), vec(force, FORCE))
            if first != GROUND:
                loads[name + ", back"] = Load(
                    name + ", back", "force", Place(first, joint.point), vec(opposite, FORCE)
                )
    return replace(frame, loads={**frame.loads, **loads})


def test_an_audit_by_published_lengths_alone_gives_the_same_vectors():
    """A pair of forces f at a hinge changes its force J by -f: |J - f|^2 tells the component along f.

    Only the lengths that pymunk publishes are used. A hexagon in a skew position, all hinges at once.
    """
    frame = polygon(6)
    plain = settle(frame).forces
    size = largest(plain)
    found = {}
    for force in ((size, 0.0), (0.0, size)):
        found[force] = settle(with_pair_at_pins(frame, force)).forces
    for joint in frame.joints.values():
        for body in joint.bodies[1:]:
            key = Key(body, joint.name, joint.name)
            length2 = hypot(*plain.reactions[key].force) ** 2
            components = [
                (length2 + size**2 - hypot(*found[force].reactions[key].force) ** 2) / (2 * size)
                for force in found
            ]
            assert components == pytest.approx(list(plain.reactions[key].force), abs=1e-10 * size)


def test_a_swinging_rods_pin_is_read_as_the_law_of_the_pendulum_has_it():
    """Along a rod let go from the horizontal: W cos(a) (1 + 3/2) at the angle a to the vertical.

    3 W/2 cos(a) for the turning (omega^2 = 3 g cos(a)/L), W cos(a) for the weight; common practice.
    """
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "Z": (1.0, 1.0)}
    level = build(points, {"AB": ("AB", 10.0)}, {"stay": ("string", "BZ")}, hooks="AZ", brace="stay")
    trace = release(level, duration=1.0)
    for time in (0.2, 0.35, 0.5):
        moment = trace.instant(time)
        angle = moment.poses[0, 2] + pi / 2  # from hanging straight down
        fx, fy = moment.forces.reactions[Key("AB", "A", "A")].force
        along = -fx * np.sin(angle) + fy * np.cos(angle)

        assert along == pytest.approx(25.0 * np.cos(angle), abs=25.0 * 2e-4)
