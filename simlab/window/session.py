"""The session: all that the watcher's presses change: the player, how it is shown, what lies open over it.

It knows no screen: what is pressed ends here, and the screen shows what it finds here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from simlab.errors import BadInput
from simlab.frame.model import Name
from simlab.pictures.schemes import SCHEMES
from simlab.window.choosing import Target, next_target, place_of
from simlab.window.player import Player
from simlab.window.takes import Takes

BOARDS = tuple(SCHEMES)  # as a key goes through them
NEAR = 0.02  # of the frame's size, within which keys take hold of what is chosen
Focus = Literal["bench", "time", "frame"]  # where keys go: a tag, the line of time, a joint or rod
FOCI: tuple[Focus, ...] = ("bench", "time", "frame")


@dataclass
class Display:
    """How a frame is shown.

    board : "light", "dark" or "stark" (high contrast, for poor projectors and weak eyes); large : type
    and tags larger, for a long room; calm : nothing glides or fades, it jumps; full : on the whole screen
    """

    board: str = "light"
    large: bool = False
    calm: bool = False
    full: bool = False

    @property
    def next_board(self) -> str:
        """The board that comes after this one."""
        return BOARDS[(BOARDS.index(self.board) + 1) % len(BOARDS)]


class Session:
    """A player and all that is around it.

    display : how it is shown; drawer : the drawer that is open, or ""; has_help : whether the card of keys
    lies over everything; takes : what is recorded, None where nothing can be; focus : where keys go;
    hover : what the pointer is over in the frame, or the line of time; chosen : what keys are on there;
    refused : why what was tried last cannot be
    """

    def __init__(self, player: Player, display: Display | None = None, takes: Takes | None = None) -> None:
        self.player = player
        self.display = display or Display()
        self.takes = takes
        self.drawer = ""
        self.has_help = False
        self.focus: Focus = "bench"
        self.hover: Target | Literal["time"] | None = None
        self.chosen: Target | None = None
        self.refused = ""

    # ------------------------------------------------------------ what lies open

    def open_or_close(self, drawer: str) -> None:
        """Open a drawer, or close it where it is open; one is open at a time."""
        self.drawer = "" if self.drawer == drawer else drawer
        self.focus = "bench"

    def help_or_not(self) -> None:
        """Lay the card of keys over everything, or take it away; time is held under it."""
        self.has_help = not self.has_help

    def back(self) -> None:
        """One step back: what was begun or opened last is ended."""
        if self.has_help:
            self.has_help = False
        elif self.player.hand is not None:
            self.player.let_go()
        elif self.player.isolated is not None:
            self.player.isolate(None)
        elif self.focus == "frame":
            self.focus, self.chosen = "bench", None
        elif self.drawer:
            self.drawer = ""
        elif self.display.full:
            self.display.full = False

    @property
    def is_running(self) -> bool:
        """Whether time passes: the player plays, and no card lies over it."""
        return self.player.playing and not self.has_help

    # ------------------------------------------------------------ the frame

    def choose(self) -> None:
        """Keys go to the frame: arrows choose a joint or rod there. Or back to the controls."""
        if self.focus == "frame":
            self.focus = "bench"
        else:
            self.focus = "frame"
            self.chosen = self.chosen or next_target(self.player, None, (0.0, 0.0))

    def hang(self, by: int) -> None:
        """One lantern more, or fewer, on the chosen joint."""
        if self.chosen is not None and self.chosen.kind == "joint":
            name = self.chosen.name
            self.try_to(lambda: self.player.hang_on(name, by))

    def pull_or_let_go(self) -> None:
        """Take hold of what is chosen, for the arrow keys to pull; or let it go."""
        if self.player.hand is not None:
            self.player.let_go()
        elif self.chosen is not None:
            self.player.grab(place_of(self.player, self.chosen), NEAR * self.player.stage.drawn.size)
            self.focus = "frame"
            self.player.playing = True

    def alone_or_whole(self) -> None:
        """The chosen rod alone, or the whole frame again."""
        if self.player.isolated is not None:
            self.player.isolate(None)
        elif self.chosen is not None and self.chosen.kind == "rod":
            self.player.isolate(self.chosen.name)

    def put(self, letter: Name, value: Fraction) -> None:
        """Another value for a letter."""
        self.try_to(lambda: self.player.put(letter, value))

    def listen(self) -> None:
        """Something is done next: what was said of the last thing has been read."""
        self.refused = ""
        if self.takes is not None:
            self.takes.said = ""

    def try_to(self, do: Callable[[], object]) -> None:
        """Do something to the frame; where that cannot be, say why, and leave all as it was."""
        try:
            do()
            self.refused = ""
        except BadInput as error:
            self.refused = str(error)

    # ------------------------------------------------------------ recording

    @property
    def is_recording(self) -> bool:
        """Whether a film is being taken."""
        return self.takes is not None and self.takes.is_on

    def record_or_stop(self) -> None:
        """Begin to record what is shown, or end it."""
        if self.takes is not None:
            self.takes.start_or_stop()

    def note(self, what: str) -> None:
        """Something was done: a chapter of the film."""
        if self.takes is not None:
            self.takes.note(what)

    # ------------------------------------------------------------ how it is shown

    def next_board(self) -> None:
        """Another board: light, dark, stark, and light again."""
        self.display.board = self.display.next_board

    def large_or_not(self) -> None:
        """Type and tags larger, or as they were."""
        self.display.large = not self.display.large

    def calm_or_not(self) -> None:
        """Nothing glides, or all of it again."""
        self.display.calm = not self.display.calm

    def full_or_not(self) -> None:
        """On the whole screen, or in a window."""
        self.display.full = not self.display.full
