"""What a watcher points at, and that nothing that is done, in whatever order, brings a player down."""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np
import pytest
from scenes_at_rest import AT_REST
from small_frames import rhombus

from simlab.errors import BadInput
from simlab.window.letters import steps_of
from simlab.window.player import Player
from simlab.window.words import Texts, line

CALLS = 60  # of a player, at random


def test_the_nearest_joint_for_a_lantern_is_found_where_it_is_now():
    """Within reach only, and not the hook; after a fall where the joint then is."""
    player = Player(rhombus(0.8))

    assert player.joint_at((0.05, -1.58), 0.1) == "C"
    assert player.joint_at((0.05, -1.58), 0.02) is None
    assert player.joint_at((0.0, 0.0), 0.1) is None
    assert player.joint_at((0.3, -0.8), 0.5) == "D"
    player.step_once()
    player.release_or_restore()
    player.run.step(400)
    x, y = player.plan.joint("C", player.now())
    assert player.joint_at((float(x), float(y)), 0.01) == "C"
    assert player.joint_at((0.0, -1.6), 0.01) is None


def test_the_body_under_the_pointer_is_found():
    """A rod within a thirtieth of the frame's size of it; a plate and a disc anywhere within."""
    player = Player(rhombus(0.8))
    assert player.body_at((-0.3, -0.41)) == "AB"
    assert player.body_at((0.0, -0.8)) is None
    assert player.body_at((0.0, -0.8), reach=1.0) in player.frame.bodies

    board = Player(AT_REST["sign_board"])
    centre = board.plan.centres["sign"]
    assert board.body_at((float(centre[0]), float(centre[1]))) == "sign"
    assert board.body_at((-3.0, 3.0)) is None
    cask = Player(AT_REST["slip_cask"])
    x, y = cask.plan.centres["cask"]
    assert cask.body_at((float(x) + 0.39, float(y))) == "cask"
    assert cask.body_at((float(x) + 0.5, float(y))) is None


def test_a_plate_is_held_where_it_is_touched():
    """In the middle of a sign, not at its next corner."""
    board = Player(AT_REST["sign_board"])
    x, y = (float(v) for v in board.plan.centres["sign"])

    assert board.grab((x, y), 0.02)
    assert board.hand is not None
    assert board.hand.at == pytest.approx((x, y))
    assert board.hand.body == "sign"


def test_only_a_body_of_the_frame_can_be_looked_at_alone():
    """The message names them; none is the whole frame again."""
    player = Player(rhombus(0.8))
    player.isolate("AB")
    assert player.isolated == "AB"
    with pytest.raises(BadInput, match=r'"brace" is no body\. Bodies: AB, AD, BC, DC'):
        player.isolate("brace")
    player.isolate(None)
    assert player.isolated is None


def doings(player: Player, chance: random.Random) -> list[Callable[[], object]]:
    """All that can be done to a player, with places and values by chance."""
    body = chance.choice(list(player.frame.bodies))
    x, y = chance.choice(player.plan.outline(body, player.now()).tolist())
    size, letter = player.stage.drawn.size, chance.choice(player.letters)
    to = (x + chance.gauss(0, size), y + chance.gauss(0, size))
    return [
        player.play_or_pause,
        lambda: [player.advance(1 / 60) for _ in range(8)],
        lambda: player.advance(0.1),
        player.release_or_restore,
        player.step_once,
        lambda: player.grab((x, y), 0.1 * size),
        lambda: player.pull_to(to),
        player.let_go,
        lambda: player.hang_on(chance.choice(player.joints), chance.choice((1, -1))),
        player.take_off,
        lambda: player.put(letter.name, chance.choice(steps_of(letter))),
        lambda: player.back(chance.uniform(0, 1)),
        lambda: player.ahead(chance.uniform(0, 1)),
        lambda: player.isolate(chance.choice([None, body])),
        player.restart,
    ]


@pytest.mark.parametrize("name", ["kite_lantern", "five_cane_lantern", "stall_trestle"])
def test_whatever_is_done_in_whatever_order_the_player_goes_on(name: str):
    """At random, from the first step on: numbers stay finite, the moment looked at is within the span."""
    chance = random.Random(name)
    player = Player(AT_REST[name])
    for _ in range(CALLS):
        chance.choice(doings(player, chance))()
        first, last = player.span
        assert np.isfinite(player.now().poses).all()
        assert first - 1e-6 <= player.time <= last + 1e-6
        assert line(player, Texts())
        assert all(np.isfinite(player.trail(joint)).all() for joint in player.trails)
