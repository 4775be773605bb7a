"""The list of controls: what can be pressed, by which key, what stands on it, and when it refuses and why.

One row is always there; the rest hang in drawers, one of which can be open. Keys work whether or not their
control is seen.
"""

from __future__ import annotations

from simlab.window.control import Control, Item
from simlab.window.drawers import of_joints, of_letters, of_player, of_time, of_view
from simlab.window.player import Player
from simlab.window.session import Session
from simlab.window.words import brace_of

LONGEST_NAME = 14  # letters of a brace's name that fit on a control; a longer one is called "brace"


def controls(session: Session) -> tuple[Item, ...]:
    """The controls of a session, in the order in which they stand and are focused."""
    player = session.player
    return (*_row(player), *of_time(), *of_letters(player), *of_joints(), *of_view())


def control_of(key: str, among: tuple[Item, ...]) -> Control | None:
    """The control that a key presses, if it presses any."""
    return next((item for item in among if isinstance(item, Control) and key in item.keys), None)


def _drawer(name: str, key: str, words: str, told: str) -> Control:
    return Control(
        name,
        (key,),
        key.upper(),
        told,
        (words,),
        lambda s: s.open_or_close(name),
        refuses=(lambda s: not s.player.letters) if name == "letters" else None,
        reason="has none" if name == "letters" else "",
        is_on=lambda s: s.drawer == name,
    )


def _row(player: Player) -> tuple[Item, ...]:
    """What is always there."""
    brace = brace_of(player.frame)
    brace = brace if len(brace) <= LONGEST_NAME else "brace"
    return (
        Control(
            "pause",
            ("space",),
            "Space",
            "hold time, and let it go on",
            ("Pause", "Play"),
            of_player(Player.play_or_pause),
            lambda s: 0 if s.player.playing else 1,
        ),
        Control(
            "brace",
            ("b",),
            "B",
            f"take {brace} away, or restore it",
            (f"Release {brace}", f"Restore {brace}"),
            of_player(Player.release_or_restore),
            lambda s: 0 if s.player.is_braced or s.player.frame.brace is None else 1,
            lambda s: s.player.frame.brace is None,
            "has none",
            short=("Release", "Restore"),
        ),
        _drawer("time", "t", "Time", "step, speed, look back, restart"),
        _drawer("letters", "l", "Letters", "sliders for the letters"),
        _drawer("joints", "j", "Joints", "lanterns, pulling, one rod alone"),
        _drawer("view", "v", "View", "board, type, full screen"),
        Control(
            "record",
            ("c",),
            "C",
            "take a film of what is done here",
            ("Record", "Stop"),
            Session.record_or_stop,
            lambda s: 1 if s.is_recording else 0,
            lambda s: s.takes is None,
            "not here",
            is_on=lambda s: s.is_recording,
        ),
        Control(
            "help",
            ("h", "?", "f1"),
            "H",
            "this card",
            ("Keys",),
            Session.help_or_not,
            is_on=lambda s: s.has_help,
        ),
    )
