"""A frame that is played: what each control does to it, and that nothing else decides where it is."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import hypot, pi, tan
from pathlib import Path

import numpy as np
import pytest
from small_frames import frame, rhombus, stepladder

from simlab.frame.model import Frame
from simlab.frame.quantity import FORCE, Quantity
from simlab.frame.scene import read_scene
from simlab.results import Forces
from simlab.window.player import MOST_STEPS, SPEEDS, Player
from simlab.window.words import Texts, line

SCENES = Path(__file__).parent.parent / "scenes"
WEIGHT = 10.0  # [N]
PICTURE = 1 / 60  # [s]


def hung_level() -> Frame:
    """A level rod of 1 m on a hook at one end and a string at the other."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "Z": (1.0, 1.0)}
    return frame(points, {"AB": ("AB", WEIGHT)}, {"cord": ("string", "BZ")}, hooks="AZ", brace="cord")


def at_rest(made: Frame) -> Player:
    """A player with all of gravity on, and the frame at rest."""
    player = Player(made)
    play(player, 6.0)
    return player


def play(player: Player, seconds: float, pictures: int = 60) -> None:
    """Let the screen's clock go on for `seconds`, so many pictures a second."""
    for _ in range(round(seconds * pictures)):
        player.advance(1 / pictures)


def pull(forces: Forces[float], at: str) -> float:
    """The size of the force of a support on the pin it holds [N]."""
    return next(
        hypot(*r.force) for key, r in forces.reactions.items() if key.at == at and key.by == "ground"
    )


def test_gravity_is_let_on_evenly_in_four_seconds():
    """0 % at the start, half after two seconds of the frame's own time, all of it after four, and stays."""
    player = Player(rhombus(0.8))
    shares = [player.share]
    for _ in range(3):
        play(player, 2.0)
        shares.append(player.share)

    assert shares == pytest.approx([0.0, 0.5, 1.0, 1.0], abs=0.01)
    assert player.time == pytest.approx(6.0, abs=0.01)


def test_forces_grow_with_gravity_to_those_of_statics():
    """A strut across a square of four rods W hung by a corner carries 2 W tan(45 deg).

    Source: classical rhombus, ratio table R of the teaching notes; at half of gravity it is half.
    """
    player = Player(rhombus(2**-0.5, WEIGHT))
    play(player, 2.0)
    half = -player.now().forces.tensions["brace"] / player.share
    play(player, 4.0)
    whole = -player.now().forces.tensions["brace"]

    assert half == pytest.approx(2 * WEIGHT * tan(pi / 4), rel=1e-3)
    assert whole == pytest.approx(2 * WEIGHT * tan(pi / 4), rel=1e-6)
    assert player.is_still


def test_no_time_passes_while_it_is_held():
    """Pausing stops the clock and the frame; what passed meanwhile is not caught up afterwards."""
    player = Player(rhombus(0.8))
    play(player, 1.0)
    player.play_or_pause()
    before = player.time
    play(player, 5.0)

    assert not player.playing
    assert player.time == before
    player.play_or_pause()
    player.advance(PICTURE)
    assert player.time == pytest.approx(before + PICTURE, abs=1e-9)


def test_one_step_is_a_sixtieth_of_a_second_and_holds():
    """At real speed a press of "step" moves on by 1/60 s; at the slowest speed by one step of 1/600 s."""
    player = Player(rhombus(0.8))
    player.step_once()

    assert not player.playing
    assert player.time == pytest.approx(1 / 60, abs=1e-12)
    for _ in SPEEDS:
        player.slower()
    player.step_once()
    assert player.time == pytest.approx(1 / 60 + 1 / 600, abs=1e-12)


@pytest.mark.parametrize(("change", "times"), [(Player.slower, 0.125), (Player.faster, 2.0)])
def test_speed_has_five_places_with_ends(change: Callable[[Player], None], times: float):
    """From 1/8 to twice real speed by factors of 2, and no further; time then passes so much faster."""
    player = Player(rhombus(0.8))
    for _ in range(9):
        change(player)
    play(player, 1.0)

    assert float(player.speed) == times
    assert player.time == pytest.approx(times, abs=0.01)
    assert (player.is_slowest, player.is_fastest) == (times < 1, times > 1)


def test_a_slow_machine_sees_slow_motion():
    """However long a picture took, only so many steps are taken, and the rest is never caught up."""
    player = Player(rhombus(0.8))

    assert player.advance(3600.0) == MOST_STEPS
    assert player.advance(0.0) <= 1


def states(player: Player) -> list[bytes]:
    """Everything that a picture depends on, bit for bit."""
    instant = player.now()
    forces = [value for reaction in instant.forces.reactions.values() for value in reaction.force]
    trails = [player.trail(name).tobytes() for name in sorted(player.trails)]
    return [instant.poses.tobytes(), np.array(forces).tobytes(), *trails]


def story(player: Player, seconds: float) -> list[bytes]:
    """A run with a release at the same step, played in pictures of some length."""
    while player.time < 2.0 - 1e-9:
        player.advance(min(seconds, 2.0 - player.time))
    player.release_or_restore()
    start = player.time
    while player.time < start + 0.5 - 1e-9:
        player.advance(min(seconds, start + 0.5 - player.time))
    return states(player)


def test_only_the_steps_decide_where_the_frame_is():
    """Sixty pictures a second or seven: the same steps give the same poses, forces, paths, bit for bit."""
    made = read_scene(SCENES / "kite_lantern.toml")

    assert story(Player(made), 1 / 60) == story(Player(made), 1 / 7)


def test_a_restart_gives_the_same_run():
    """After any handling, Restart begins the run that a new player begins."""
    made = read_scene(SCENES / "kite_lantern.toml")
    player = Player(made)
    first = story(player, PICTURE)
    player.release_or_restore()
    play(player, 0.3)
    player.restart()

    assert (player.time, player.share, player.is_braced, player.trails) == (0.0, 0.0, True, {})
    assert story(player, PICTURE) == first


def test_at_the_release_forces_jump_before_anything_moves():
    """A level rod loses one of its two supports: the hinge's force falls from W/2 to W/4 at once.

    Source: tests/published/motion.json, "m*g/4 (half of what it was)"; classical.
    """
    player = at_rest(hung_level())
    before = player.now()
    player.play_or_pause()
    player.release_or_restore()
    after = player.now()

    assert pull(before.forces, "A") == pytest.approx(WEIGHT / 2, rel=1e-6)
    assert pull(after.forces, "A") == pytest.approx(WEIGHT / 4, rel=1e-6)
    assert after.time == before.time
    assert np.array_equal(after.poses, before.poses)
    assert "every force jumps" in line(player, Texts())


def test_after_the_release_it_falls_and_its_joints_leave_paths():
    """The apex of a stepladder whose rope is taken away comes down; its path ends where it is."""
    player = at_rest(stepladder())
    player.release_or_restore()
    play(player, 0.3)
    path, joint = player.trail("C"), player.plan.joint("C", player.now())

    assert "statics no longer applies" in line(player, Texts())
    assert path[-1, 1] < path[0, 1] - 0.05
    assert path[-1] == pytest.approx(joint, abs=0.05)
    assert player.is_released
    assert not player.is_braced


def test_a_rod_without_moving_joints_leaves_the_path_of_its_free_end():
    """What falls from its string turns about its hook: the free end stays at one rod's length from it."""
    player = at_rest(hung_level())
    player.release_or_restore()
    play(player, 0.3)
    path = player.trail("B")

    assert len(path) > 10
    assert np.hypot(*path.T) == pytest.approx(1.0, abs=1e-3)


def test_restoring_puts_the_frame_together_again_and_time_goes_on():
    """The brace is back, the forces are those of statics (W/2 on each end), the clock does not run back."""
    player = at_rest(hung_level())
    player.release_or_restore()
    play(player, 0.5)
    time = player.time
    player.release_or_restore()

    assert player.is_braced
    assert not player.is_released
    assert player.trails == {}
    assert player.share == 1.0
    assert player.time == pytest.approx(time, abs=1e-9)
    assert pull(player.now().forces, "A") == pytest.approx(WEIGHT / 2, rel=1e-6)
    play(player, 0.5)
    assert player.time == pytest.approx(time + 0.5, abs=0.01)


def test_gravity_goes_on_being_let_on_after_a_release():
    """A brace taken away at half of gravity and restored later: the share never falls back."""
    player = Player(rhombus(0.8))
    play(player, 2.0)
    player.release_or_restore()
    play(player, 0.2)
    share = player.share
    player.release_or_restore()

    assert player.share == share > 0.5
    play(player, 2.5)
    assert player.share == 1.0


def test_a_frame_without_a_brace_has_nothing_to_release():
    """The gangway names no brace: the control does nothing to it."""
    player = Player(read_scene(SCENES / "gangway.toml"))
    play(player, 0.5)
    before = states(player)
    player.release_or_restore()

    assert states(player) == before
    assert not player.is_released


def test_a_frame_that_stands_without_its_brace_is_said_to_stand():
    """A rod hung level by two strings and a hook loses the spare string, and nothing moves."""
    points = {"A": (0.0, 0.0), "B": (1.0, 0.0), "M": (0.5, 0.0), "Y": (0.5, 1.0), "Z": (1.0, 1.0)}
    cords = {"cord": ("string", "BZ"), "spare": ("string", "MY")}
    player = at_rest(frame(points, {"AB": ("ABM", WEIGHT)}, cords, hooks="AYZ", brace="spare"))
    player.release_or_restore()
    play(player, 1.0)

    assert line(player, Texts()) == "The spare is taken away, and the frame still stands."


def test_the_line_of_words_follows_what_happens():
    """Let on, at rest with the exact answer, released, come down: each in a sentence."""
    player = Player(read_scene(SCENES / "kite_lantern.toml"))
    texts = Texts(asked="$T$", answer=Quantity.of(Fraction(74, 5), FORCE))
    play(player, 1.0)
    assert line(player, texts).startswith("The spreader is in place. Gravity is let on")
    play(player, 5.0)
    assert line(player, texts) == "The spreader is in place. At rest: $T$ = 14.8\u00a0N."
    player.release_or_restore()
    play(player, 0.1)
    assert line(player, texts) == "The spreader is taken away: statics no longer applies."
    play(player, 3.0)
    assert line(player, texts).startswith("The spreader is taken away: the frame has come down.")


def test_trouble_is_said_before_anything_else():
    """What exact statics advises against is said from the start; a string that goes slack, once it does."""
    made = rhombus(0.8)
    player = Player(made)
    assert line(player, Texts(advice="It folds.")) == "It folds."

    hung = Player(rhombus(0.8))
    hung.hang_on("B")
    folds = Texts(advice="It folds. Add a brace.", verdict="cannot rest")
    moves = "the frame cannot rest as drawn: it moves to another position."
    assert line(hung, folds) == f"With the lantern at $B$ {moves}"
    hung.hang_on("D")
    assert line(hung, folds) == f"With the lanterns at $B$ and $D$ {moves}"
    hung.take_off()
    assert line(hung, folds) == folds.advice

    pulled = frame(
        {"A": (0.0, 0.0), "B": (-0.6, -0.8), "C": (0.0, -1.6), "D": (0.6, -0.8)},
        {name: (name, WEIGHT) for name in ("AB", "AD", "BC", "DC")},
        {"cord": ("string", "BD")},
        hooks="A",
        brace="cord",
    )
    player = Player(pulled)
    play(player, 2.0)
    assert line(player, Texts()) == "The cord can only pull: it goes slack."


def test_forces_that_rigid_bodies_leave_open_are_said_to_be_missing():
    """A ladder between two rough places rests, with no force drawn but weights: no balance is spoken of."""
    scene = read_scene(SCENES / "shed_ladder.toml")
    player = Player(scene)
    play(player, 6.0)
    assert not player.now().forces.reactions
    assert (
        line(player, Texts()) == "At rest. Rigid bodies leave some forces open here: those are not drawn."
    )
