"""Looking back at what a living frame did, and going on from there: the very same run again."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from small_frames import rhombus

from simlab.frame.scene import read_scene
from simlab.window.history import MOST
from simlab.window.player import Player
from simlab.window.run import LETTING_ON

SCENES = Path(__file__).parent.parent / "scenes"
PICTURE = 1 / 60  # [s]


def player_of(scene: str = "kite_lantern") -> Player:
    """A player of a scene under its whole weight."""
    player = Player(read_scene(SCENES / f"{scene}.toml"))
    player.run.do("begin", LETTING_ON, 0.0, 60)
    return player


def play(player: Player, pictures: int) -> None:
    """Let so many pictures pass."""
    for _ in range(pictures):
        player.advance(PICTURE)


def seen(player: Player) -> list[object]:
    """All that a picture of the moment depends on, bit for bit."""
    instant = player.now()
    reactions = repr(sorted(instant.forces.reactions.items()))
    trails = [player.trail(name).tobytes() for name in sorted(player.trails)]
    standing = (player.time, player.share, player.state, player.is_braced, player.has_moved, player.gone)
    return [instant.poses.tobytes(), reactions, instant.energy, player.hand, *trails, standing]


def handled(player: Player) -> None:
    """Some seconds in which a joint is pulled, the brace taken away, put back, and taken away again."""
    x, y = player.plan.joint("L", player.now())
    play(player, 10)
    player.grab((x, y), 0.05)
    for k in range(12):
        player.pull_to((x - 0.01 * k, y))
        play(player, 1)
    player.let_go()
    player.release_or_restore()
    play(player, 20)
    player.release_or_restore()
    play(player, 6)
    player.release_or_restore()
    play(player, 25)


def test_every_moment_is_seen_again_as_it_was():
    """Through a pull, two cuts and a restoring: what was noted at a picture is what is seen there again."""
    player = player_of()
    noted = []
    take = player.run.step

    def noting(n: int) -> None:
        take(n)
        noted.append(seen(player))

    player.run.step = noting  # type: ignore[method-assign]
    handled(player)
    player.run.step = take  # type: ignore[method-assign]
    moments = [moment.time for moment in player.history.moments]
    times = [standing[0] for *_, standing in noted]
    alone = [i for i, t in enumerate(times) if np.sum(np.abs(np.array(moments) - t) < 1e-9) == 1]
    assert len(alone) > 50  # all but those right before something was done
    for i in alone[::7]:
        player.seek(times[i])
        assert seen(player) == noted[i]


def test_a_run_goes_on_from_the_past_as_it_did_at_first():
    """Resumed at a moment of the first fall, of the pull and of the second fall: the same bits follow."""
    first = player_of()
    handled(first)
    for back in (1.4, 0.95, 0.3):
        player = player_of()
        handled(player)
        player.back(back)
        assert player.is_past
        assert not player.playing
        moment = player.history.seen
        assert moment is not None
        before = seen(player)
        player.run.go_back(moment)
        player.history.cut_off()
        assert seen(player) == before
        later = player.run.steps, [deed for deed in first.run.deeds if deed.step >= player.run.steps]
        again = [d for d in later[1] if first.run.deeds.index(d) >= moment.deeds]
        for deed in again:
            player.run.step(deed.step - player.run.steps)
            player.run.do(deed.name, *deed.what)
        player.run.step(first.run.steps - player.run.steps)
        assert seen(player) == seen(first)


def test_playing_in_the_past_forgets_what_came_after():
    """Play looks at the past no more: it is now, and the span ends there and grows again."""
    player = player_of()
    handled(player)
    end = player.span[1]
    player.back(0.5)
    at, poses = player.time, player.now().poses.tobytes()
    assert player.span[1] == end
    player.play_or_pause()

    assert not player.is_past
    assert player.span[1] == player.time == pytest.approx(at)
    assert player.now().poses.tobytes() == poses
    play(player, 3)
    assert player.span[1] == pytest.approx(at + 3 * PICTURE, abs=0.01)


def test_what_is_done_in_the_past_is_done_there():
    """In the middle of a past fall the brace is put back: the frame hangs, the rest of it is gone."""
    player = player_of()
    player.release_or_restore()
    play(player, 40)
    player.back(0.4)
    at = player.time
    assert player.is_released
    player.release_or_restore()

    assert not player.is_past
    assert player.is_braced
    assert player.time == pytest.approx(at, abs=0.01)


def test_looking_about_changes_nothing():
    """Back, ahead, step by step, to the end: all is as it was, and nothing was simulated."""
    player = player_of()
    handled(player)
    before, steps = seen(player), player.run.steps
    player.back(1.0)
    first = player.time
    player.step_once()
    assert player.time > first
    player.ahead(0.25)
    player.back(99.0)
    assert player.time == player.span[0]
    player.ahead(99.0)

    assert not player.is_past
    assert seen(player) == before
    assert player.run.steps == steps


def test_step_after_the_end_of_the_past_goes_on():
    """At the last moment kept "step" is a step of the frame again."""
    player = player_of()
    play(player, 3)
    player.back(PICTURE)
    player.step_once()
    assert not player.is_past
    steps = player.run.steps
    player.step_once()
    assert player.run.steps > steps


def test_a_hand_of_the_past_does_not_pull_on():
    """Whoever resumes in the middle of a pull does not hold the frame: the mouse is elsewhere."""
    player = player_of()
    x, y = player.plan.joint("L", player.now())
    player.grab((x, y), 0.05)
    player.pull_to((x - 0.1, y))
    play(player, 20)
    player.back(0.1)
    assert player.hand is not None
    assert player.hand.to == pytest.approx((x - 0.1, y))
    player.pull_to((9.0, 9.0))  # nobody's hand
    player.play_or_pause()

    assert player.hand is None


def test_the_moment_of_the_cut_is_there_with_and_without_the_brace():
    """Both moments have the same time; one step back from the jump shows the forces before it."""
    player = Player(rhombus(0.8))
    player.run.do("begin", LETTING_ON, 0.0, 60)
    play(player, 2)
    player.release_or_restore()
    after = player.now()
    player.history.by(-1)

    assert player.is_past
    assert player.now().time == after.time
    assert "brace" in player.now().forces.tensions
    assert "brace" not in after.forces.tensions
    assert player.is_braced


def test_memory_is_bounded_and_older_moments_are_thinned():
    """After many more moments than are kept: no more than MOST, from the very first to now, in order."""
    player = Player(rhombus(0.8))
    glimpse = player.run.moment()
    first = player.history.moments[0]
    for k in range(1, 3 * MOST):
        moment = type(glimpse)(k, 1, k * PICTURE, glimpse.glimpse, False, glimpse.trails, 0)
        player.history.keep(moment)
    times = np.array([moment.time for moment in player.history.moments])

    assert len(times) <= MOST
    assert player.history.moments[0] is first
    assert times[-1] == (3 * MOST - 1) * PICTURE
    assert (np.diff(times) > 0).all()
    assert np.diff(times[-MOST // 3 :]).max() < 1.5 * PICTURE
    assert np.diff(times[1:]).max() < 1.0


def test_a_frame_that_was_changed_begins_a_history_of_its_own():
    """Its plan is another one: what was before cannot be shown on it. The clock goes on."""
    player = player_of()
    play(player, 30)
    time = player.time
    player.hang_on("B")

    assert player.span == (player.time, player.time)
    assert player.time == pytest.approx(time)
    assert player.edition == 1


def test_a_frame_that_hangs_at_rest_sleeps_and_is_gone_back_over_quickly():
    """After five minutes of talking a brace is taken away: going back into the fall takes few engine steps.

    Asleep the clock goes on and forces stay; what is done wakes the frame.
    """
    player = player_of()
    play(player, 200)
    assert player.is_asleep
    forces, time = repr(player.now().forces), player.time
    for _ in range(5 * 60 * 10):
        player.advance(0.1)
    assert player.time == pytest.approx(time + 300, abs=0.1)
    assert repr(player.now().forces) == forces
    player.release_or_restore()
    assert not player.is_asleep
    play(player, 40)
    end, fallen = player.time, player.now().poses.tobytes()
    assert player.is_released
    player.back(0.3)
    taken, step = [], player.stage.step
    player.stage.step = lambda n=1: (taken.append(n), step(n))  # type: ignore[assignment, method-assign]
    player.play_or_pause()

    assert sum(taken) < 4000
    while player.time < end - 1e-6:
        player.advance(min(PICTURE, end - player.time))
    assert player.now().poses.tobytes() == fallen
