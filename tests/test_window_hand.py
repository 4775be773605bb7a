"""A hand that pulls at a living frame: it holds while braced, folds when it is not, never explodes."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi, tan

import numpy as np
import pytest
from dense import Dense
from scenes_at_rest import AT_REST
from small_frames import cantilever, frame, rhombus, vec

from simlab.frame.model import GROUND, Load, Place
from simlab.frame.quantity import FORCE
from simlab.pictures.acting import acting
from simlab.results import Hand
from simlab.window.player import Player
from simlab.window.run import LETTING_ON
from simlab.window.words import Texts, line

WEIGHT = 10.0  # [N] of each rod
STRONGEST = 3.0  # total weights: what the brief of the hand allows it
REST = 1e-6  # of the largest force: what a hanging frame that is pulled still lacks after three seconds
# Joints are soft once rods hit one another; a frame that is flung about by three times its weight opens
# them by less than a hundredth of its size (0.9 % was the most in 56 runs of all scenes).
SOFT = 0.01
PICTURES = 24  # of a violent run, before the cut and after


def loaded(made, seconds: float = 2.0) -> Player:
    """A player with all of gravity on at once, and the frame at rest."""
    player = Player(made)
    player.run.do("begin", LETTING_ON, 0.0, 0)
    play(player, seconds)
    return player


def play(player: Player, seconds: float) -> None:
    """Let the screen's clock go on, 60 pictures a second."""
    for _ in range(round(seconds * 60)):
        player.advance(1 / 60)


def at(player: Player, joint: str) -> tuple[float, float]:
    """Where a joint is now [m]."""
    x, y = player.plan.joint(joint, player.now())
    return float(x), float(y)


def pulled(player: Player, joint: str, by: tuple[float, float], seconds: float = 3.0) -> Hand:
    """The hand, after a joint was pulled by so much [m] for some seconds."""
    x, y = at(player, joint)
    assert player.grab((x, y), 0.05)
    player.pull_to((x + by[0], y + by[1]))
    play(player, seconds)
    assert player.hand is not None
    return player.hand


def span(player: Player, *joints: str) -> float:
    """The distance of two joints [m]."""
    a, b = (at(player, joint) for joint in joints)
    return hypot(b[0] - a[0], b[1] - a[1])


def test_a_braced_frame_keeps_its_shape_and_an_unbraced_one_follows_the_hand():
    """Pulled down by its lowest corner a rhombus with its strut keeps its width; without it, it closes."""
    player = loaded(rhombus(0.8))
    before, brace = span(player, "B", "D"), player.now().forces.tensions["brace"]
    hand = pulled(player, "C", (0.0, -0.15))

    assert span(player, "B", "D") == pytest.approx(before, abs=1e-6)
    assert player.now().forces.tensions["brace"] < 1.3 * brace < 0
    assert hand.at[1] - hand.to[1] > 0.1
    player.let_go()
    play(player, 2.0)
    assert player.now().forces.tensions["brace"] == pytest.approx(brace, rel=REST)

    player.release_or_restore()
    play(player, 0.05)
    x, y = at(player, "C")
    player.grab((x, y), 0.05)
    player.pull_to((x, y - 0.3))
    play(player, 1.0)
    assert span(player, "B", "D") < 0.6 * before


def test_what_a_hand_adds_to_the_strut_is_what_virtual_work_says():
    """A weight P more at the lowest corner adds P tan(theta) to the strut, and so does a pull P there.

    Source: virtual work by hand; with all rods at theta to the vertical, sides L, and the strut's thrust T,
    T 2 L cos(theta) = (4 W + 2 P) L sin(theta); with P = 0 the classical 2 W tan(theta).
    """
    player = loaded(rhombus(2**-0.5, WEIGHT))
    hand = pulled(player, "C", (0.0, -0.1))
    thrust = -player.now().forces.tensions["brace"]

    assert hand.force[0] == pytest.approx(0.0, abs=1e-6)
    assert -hand.force[1] > WEIGHT
    assert thrust == pytest.approx((2 * WEIGHT - hand.force[1]) * tan(pi / 4), rel=REST)


@pytest.mark.parametrize("way", [(0.1, -0.05), (-0.02, 0.12)])
def test_every_force_of_a_frame_that_is_pulled_is_that_of_the_balances(way: tuple[float, float]):
    """A cantilever of two panels, pulled by a corner: as with a load there, by least squares."""
    made = cantilever(2)
    player = loaded(made)
    hand = pulled(player, "c", way)
    found = player.now().forces
    pull = Load("pull", "force", Place(hand.body, "c"), vec(hand.force, FORCE))
    wanted = Dense(replace(made, loads={"pull": pull})).solved()
    largest = max(abs(value) for value in wanted.values())

    assert hypot(*hand.force) > WEIGHT
    for link, tension in found.tensions.items():
        assert tension == pytest.approx(wanted[link, "T"], abs=REST * largest)
    for key, reaction in found.reactions.items():
        if key.at in made.joints and key.by == key.at:
            for axis, value in zip("xy", reaction.force, strict=True):
                assert value == pytest.approx(wanted[f"{key.at}/{key.on}", axis], abs=REST * largest)


def test_every_body_of_a_pulled_frame_is_in_balance_with_the_hand():
    """Sum of forces and of moments about the centre, on every cane of the five-cane lantern at rest."""
    player = loaded(AT_REST["five_cane_lantern"])
    hand = pulled(player, next(iter(player.run.places)), (0.03, 0.05))
    plan, instant = player.plan, player.now()
    held = 0
    for body in plan.frame.bodies:
        forces = acting(plan, instant, body, hand)
        centre = plan.centre(body, instant)
        arms = [np.array(one.at) - centre for one in forces]
        moment = sum(a[0] * f.force[1] - a[1] * f.force[0] for a, f in zip(arms, forces, strict=True))
        largest = max(one.size for one in forces)
        held += any(one.by == "hand" for one in forces)
        assert np.abs(np.sum([one.force for one in forces], axis=0)).max() < REST * largest
        assert abs(moment) < REST * largest * player.stage.drawn.size
    assert held == 1


def test_a_strut_that_is_pulled_out_falls_and_the_frame_with_it():
    """A strut can only push: its side corners drawn apart by hand it falls out, and the frame is let go."""
    player = loaded(rhombus(0.8))
    pulled(player, "D", (0.5, 0.0), seconds=1.5)

    assert [event.about for event in player.stage.events if event.kind == "fallen"] == ["brace"]
    assert not player.is_braced
    assert player.is_released
    assert line(player, Texts()).startswith("The brace can only push, and has fallen out")


def test_a_hand_is_no_stronger_than_three_times_the_weight():
    """However far it is, its force is limited; its direction is that to the hand."""
    player = loaded(cantilever(2))
    hand = pulled(player, "c", (30.0, -40.0))

    assert hypot(*hand.force) == pytest.approx(STRONGEST * player.stage.total)
    assert hand.force[1] / hand.force[0] == pytest.approx(-4 / 3, rel=0.05)


def test_there_is_nothing_to_hold_far_from_the_frame_or_on_what_cannot_move():
    """No hand a metre away, nor on the hook; on a rod between its joints the very place is held."""
    player = loaded(rhombus(0.8))

    assert not player.grab((2.0, 0.0), 0.05)
    assert player.hand is None
    assert player.grab((0.02, -0.0), 0.05)
    assert player.hand is not None
    assert player.hand.point is None
    assert player.grab((0.3, -0.4), 0.05)
    assert player.hand.at == pytest.approx((0.3, -0.4), abs=1e-6)
    assert player.hand.body == "AD"


def test_the_hand_acts_on_the_rod_that_is_looked_at_alone():
    """At a hinge of two rods it is on the one that is isolated, so that it is among the forces there."""
    player = loaded(rhombus(0.8))
    for body in ("BC", "DC"):
        player.isolate(body)
        player.grab(at(player, "C"), 0.05)
        assert player.hand is not None
        assert player.hand.body == body
        assert player.hand.point == "C"
        player.let_go()


def test_a_light_pin_can_be_held_and_does_not_run_away():
    """A knot of three strings with a weight below it has no mass to speak of: pulled, it comes to rest."""
    points = {"A": (-1.0, 0.0), "B": (1.0, 0.0), "C": (0.0, -1.0), "D": (0.0, -2.0), "E": (0.4, -2.0)}
    cords = {"left": ("string", "AC"), "right": ("string", "BC"), "down": ("string", "CD")}
    player = loaded(frame(points, {"DE": ("DE", WEIGHT)}, cords, hooks="AB"))
    hand = pulled(player, "C", (0.05, -0.1))

    assert np.isfinite(hand.force).all()
    assert hypot(*hand.force) > 1.0
    assert hand.point == "C"


def flung(player: Player, rng: np.random.Generator, pictures: int = PICTURES) -> float:
    """Grab here and there and fling the hand about; the largest gap of a joint seen, in frame sizes."""
    plan, size, middle = player.plan, player.stage.drawn.size, np.array(player.plan.middle)
    worst = 0.0
    for k in range(pictures):
        if k % 8 == 0:
            player.let_go()
            body = list(plan.frame.bodies)[rng.integers(len(plan.frame.bodies))]
            corners = plan.outline(body, player.now())
            x, y = corners[rng.integers(len(corners))]
            player.grab((float(x), float(y)), 0.05 * size)
        if k % 2 == 0:
            x, y = middle + rng.normal(0, 1.5, 2) * size
            player.pull_to((float(x), float(y)))
        player.advance(1 / 60)
        instant = player.now()
        forces = [value for reaction in instant.forces.reactions.values() for value in reaction.force]
        assert np.isfinite(instant.poses).all()
        assert np.isfinite(forces).all()
        assert player.hand is None or hypot(*player.hand.force) <= STRONGEST * player.stage.total * 1.000001
        worst = max(worst, gap(player))
    return worst


def gap(player: Player) -> float:
    """The largest distance of two bodies at the hinge that they share, in frame sizes."""
    plan, instant, found = player.plan, player.now(), [0.0]
    for joint in plan.frame.joints.values():
        places = [
            plan.points[joint.point]
            if body == GROUND
            else plan.moved(body, plan.bodies[body][joint.point], instant.poses)
            for body in joint.bodies
        ]
        found += [float(np.hypot(*(place - places[0]))) for place in places[1:]]
    return max(found) / player.stage.drawn.size


@pytest.mark.parametrize("name", AT_REST)
def test_no_violence_of_the_hand_makes_a_frame_explode(name: str):
    """Flung about, braced and then not: all numbers finite, the hand's force bounded, the hinges closed."""
    rng = np.random.default_rng(sum(map(ord, name)))
    player = loaded(AT_REST[name], 0.3)

    assert flung(player, rng) < SOFT
    if player.frame.brace and player.is_braced:
        player.release_or_restore()
    assert flung(player, rng) < SOFT
    kinetic, _ = player.stage.energy()
    assert kinetic < 5 * player.stage.total * player.stage.drawn.size


def test_the_same_pulls_at_the_same_steps_give_the_same_run():
    """Two players, bit for bit, through grabbing, pulling, letting go and the cut."""

    def run() -> bytes:
        player = loaded(AT_REST["kite_lantern"], 0.5)
        pulled(player, "L", (-0.1, 0.05), seconds=0.4)
        player.let_go()
        player.release_or_restore()
        pulled(player, "B", (0.2, 0.1), seconds=0.4)
        return player.now().poses.tobytes() + repr(player.now().forces).encode()

    assert run() == run()
