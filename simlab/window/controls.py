"""Controls: what can be pressed, by which key, what stands on it, and when it refuses and why.

There is one list. A click on a control, its key, and Return on the focused one all end in `press`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from simlab.window.player import Player
from simlab.window.words import brace_of

LONGEST_NAME = 14  # letters of a brace's name that fit on a control; a longer one is called "brace"


@dataclass(frozen=True)
class Control:
    """One thing that the watcher can do.

    keys : what a keyboard sends for it, the first one being the one shown; key_words : its key on the
    control; faces : every text that may stand on it; face : which of them stands there now;
    refuses : whether it cannot be pressed now, and `reason` why not, in a few words; repeats : whether a
    key that is held presses it again and again
    """

    name: str
    keys: tuple[str, ...]
    key_words: str
    faces: tuple[str, ...]
    act: Callable[[Player], None]
    face: Callable[[Player], int] | None = None
    refuses: Callable[[Player], bool] | None = None
    reason: str = ""
    repeats: bool = False

    def words(self, player: Player) -> str:
        """What stands on it now."""
        return self.faces[self.face(player) if self.face else 0]

    def refusal(self, player: Player) -> str:
        """Why it cannot be pressed now, or ""."""
        return self.reason if self.refuses and self.refuses(player) else ""

    def press(self, player: Player) -> bool:
        """Do it, unless it refuses; whether it was done."""
        if self.refusal(player):
            return False
        self.act(player)
        return True


def controls(player: Player) -> tuple[Control, ...]:
    """The controls of a player, in the order in which they stand and are focused."""
    brace = brace_of(player.frame)
    brace = brace if len(brace) <= LONGEST_NAME else "brace"
    return (
        Control(
            "pause",
            ("space",),
            "Space",
            ("Pause", "Play"),
            Player.play_or_pause,
            lambda p: 0 if p.playing else 1,
        ),
        Control("step", (".",), ".  full stop", ("Step",), Player.step_once, repeats=True),
        Control(
            "slower",
            ("-", "−", "_"),
            "−  minus",
            ("Slower",),
            Player.slower,
            refuses=lambda p: p.is_slowest,
            reason="slowest",
        ),
        Control(
            "faster",
            ("+", "="),
            "+  plus",
            ("Faster",),
            Player.faster,
            refuses=lambda p: p.is_fastest,
            reason="fastest",
        ),
        Control("restart", ("r",), "R", ("Restart",), Player.restart),
        Control(
            "brace",
            ("b",),
            "B",
            (f"Release {brace}", f"Restore {brace}"),
            Player.release_or_restore,
            lambda p: 0 if p.is_braced or p.frame.brace is None else 1,
            lambda p: p.frame.brace is None,
            "this frame has none",
        ),
        Control(
            "arrows",
            ("a",),
            "A",
            ("Hide arrows", "Show arrows"),
            Player.arrows_on_or_off,
            lambda p: 0 if p.arrows else 1,
        ),
        Control("quit", ("escape",), "Esc", ("Quit",), Player.quit),
    )


def control_of(key: str, among: tuple[Control, ...]) -> Control | None:
    """The control that a key presses, if it presses any."""
    return next((control for control in among if key in control.keys), None)
