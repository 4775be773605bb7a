"""What hangs in the drawers: time, the letters of the question, joints and rods, and how it is shown."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from simlab.window.control import Control, Item, Slider
from simlab.window.letters import Letter, by_name, said, steps_of
from simlab.window.player import Player
from simlab.window.session import Session

LOOK = 1 / 60  # [s] that one press of "back" looks back


def of_player(do: Callable[[Player], object]) -> Callable[[Session], None]:
    """What a press does to the player."""

    def act(session: Session) -> None:
        do(session.player)

    return act


def of_time() -> tuple[Item, ...]:
    """Restart, step, back, slower and faster."""
    return (
        Control(
            "restart",
            ("r",),
            "R",
            "begin again, no weight on",
            ("Restart",),
            of_player(Player.restart),
            drawer="time",
        ),
        Control(
            "step",
            (".",),
            ".  full stop",
            "let 1/60 s pass",
            ("Step",),
            of_player(Player.step_once),
            repeats=True,
            drawer="time",
        ),
        Control(
            "earlier",
            (",",),
            ",  comma",
            "look 1/60 s back",
            ("Back",),
            lambda s: s.player.back(LOOK),
            refuses=lambda s: s.player.time <= s.player.span[0],
            reason="beginning",
            repeats=True,
            drawer="time",
        ),
        Control(
            "slower",
            ("-", "−", "_"),
            "−  minus",
            "half the speed",
            ("Slower",),
            of_player(Player.slower),
            refuses=lambda s: s.player.is_slowest,
            reason="slowest",
            drawer="time",
        ),
        Control(
            "faster",
            ("+", "="),
            "+  plus",
            "twice the speed",
            ("Faster",),
            of_player(Player.faster),
            refuses=lambda s: s.player.is_fastest,
            reason="fastest",
            drawer="time",
        ),
    )


def of_letters(player: Player) -> tuple[Item, ...]:
    """A slider for each given letter."""
    return tuple(_slider(letter) for letter in player.letters)


def _slider(letter: Letter) -> Slider:
    name = letter.name

    def value(session: Session) -> Fraction:
        return by_name(session.player.letters, name).value

    def text(value: Fraction) -> str:
        return f"${letter.tex}$ = {said(letter, value)}"

    return Slider(
        f"letter {name}",
        steps_of(letter),
        text,
        value,
        lambda s, v: s.put(name, v),
        drawer="letters",
        told="move the slider in the ring",
    )


def of_joints() -> tuple[Item, ...]:
    """What the mouse does in the frame, by keys."""

    def on_joint(s: Session) -> bool:
        return s.chosen is not None and s.chosen.kind == "joint"

    def on_rod(s: Session) -> bool:
        return s.chosen is not None and s.chosen.kind == "rod"

    return (
        Control(
            "choose",
            ("p",),
            "P",
            "choose a joint or rod: then arrows",
            ("Choose",),
            Session.choose,
            is_on=lambda s: s.focus == "frame",
            drawer="joints",
        ),
        Control(
            "hang",
            ("n",),
            "N",
            "one lantern more on the chosen joint",
            ("Hang one",),
            lambda s: s.hang(1),
            refuses=lambda s: not on_joint(s),
            reason="choose a joint",
            drawer="joints",
        ),
        Control(
            "unhang",
            ("m",),
            "M",
            "one lantern fewer there",
            ("Take one",),
            lambda s: s.hang(-1),
            refuses=lambda s: not on_joint(s),
            reason="choose a joint",
            drawer="joints",
        ),
        Control(
            "bare",
            ("x",),
            "X",
            "all lanterns off",
            ("All off",),
            of_player(Player.take_off),
            refuses=lambda s: not s.player.lanterns,
            reason="none hangs",
            drawer="joints",
        ),
        Control(
            "pull",
            ("g",),
            "G",
            "hold what is chosen: arrows pull",
            ("Pull", "Let go"),
            Session.pull_or_let_go,
            lambda s: 0 if s.player.hand is None else 1,
            refuses=lambda s: s.chosen is None,
            reason="choose first",
            drawer="joints",
        ),
        Control(
            "alone",
            ("o",),
            "O",
            "the chosen rod alone, with its forces",
            ("One rod", "Whole frame"),
            Session.alone_or_whole,
            lambda s: 0 if s.player.isolated is None else 1,
            refuses=lambda s: not on_rod(s) and s.player.isolated is None,
            reason="choose a rod",
            drawer="joints",
        ),
    )


def of_view() -> tuple[Item, ...]:
    """How it is shown, and leaving."""
    return (
        Control(
            "arrows",
            ("a",),
            "A",
            "show the forces, or leave them out",
            ("Arrows",),
            of_player(Player.arrows_on_or_off),
            is_on=lambda s: s.player.arrows,
            drawer="view",
        ),
        Control(
            "board",
            ("d",),
            "D",
            "light, dark, black on white",
            ("Board",),
            Session.next_board,
            drawer="view",
        ),
        Control(
            "large",
            ("z",),
            "Z",
            "type and tags larger, for a long room",
            ("Large type",),
            Session.large_or_not,
            is_on=lambda s: s.display.large,
            drawer="view",
        ),
        Control(
            "calm",
            ("k",),
            "K",
            "nothing glides or fades",
            ("Calm",),
            Session.calm_or_not,
            is_on=lambda s: s.display.calm,
            drawer="view",
        ),
        Control(
            "full",
            ("f", "f11"),
            "F",
            "the whole screen, or a window",
            ("Full screen",),
            Session.full_or_not,
            is_on=lambda s: s.display.full,
            drawer="view",
        ),
        Control("quit", ("q",), "Q", "leave", ("Quit",), of_player(Player.quit), drawer="view"),
    )
