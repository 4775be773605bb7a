"""The line of words under the frame: what happens, in one sentence that a class can read."""

from __future__ import annotations

from dataclasses import dataclass, field

from simlab.frame.model import Frame
from simlab.pictures.arrows import Words
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.wording import spaced
from simlab.window.player import Player

JUMPING = 0.25  # [s] after a release in which a frame that is going to fall has begun to


@dataclass(frozen=True)
class Texts:
    """What the exact road says, ready to be shown; empty where it says nothing.

    at_rest : the sentence under the frame at rest; beside : what stands beside each arrow at rest;
    advice : why the frame cannot rest, or why its forces have no one value; conventions : the class's
    """

    at_rest: str = ""
    beside: Words = field(default_factory=dict)
    advice: str = ""
    conventions: Conventions = HOUSE


def brace_of(frame: Frame) -> str:
    """The brace as a reader would call it: "spreader"."""
    return spaced(frame.brace or "brace")


def line(player: Player, texts: Texts) -> str:
    """What happens now, in the class's words."""
    words = _after_release(player) if player.is_released else _hanging(player, texts)
    return texts.conventions.spoken(words.strip())


def _hanging(player: Player, texts: Texts) -> str:
    trouble = texts.advice or _lost(player)
    if trouble:
        return trouble
    if player.share < 1:
        return f"{_in_place(player)} Gravity is let on: the weights grow, and every force with them."
    if not player.is_still:
        return f"{_in_place(player)} The frame hangs and settles."
    return f"{_in_place(player)} {texts.at_rest or 'At rest: the forces on every rod balance.'}"


def _in_place(player: Player) -> str:
    return f"The {brace_of(player.frame)} is in place." if player.is_braced else ""


def _lost(player: Player) -> str:
    """Which one-sided members have let go of the hanging frame."""
    said = []
    for name, link in player.frame.links.items():
        if name in player.absent:
            only = "pull: it goes slack" if link.kind == "string" else "push: it falls out"
            said.append(f"The {spaced(name)} can only {only}.")
    return " ".join(said)


def _after_release(player: Player) -> str:
    taken = f"The {brace_of(player.frame)} is taken away"
    if player.state == "touched":
        only = " Only the weights are still drawn." if player.arrows else ""
        return f"{taken}: the frame has come down.{only}"
    if player.has_moved:
        return f"{taken}: statics no longer applies."
    cut = next(event.time for event in player.stage.events if event.kind == "cut")
    if player.stage.time - cut < JUMPING:
        return f"{taken}: in that instant every force jumps."
    return f"{taken}, and the frame still stands."
