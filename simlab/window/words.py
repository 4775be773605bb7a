"""The line of words under the frame: what happens, in one sentence that a class can read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import degrees
from typing import TYPE_CHECKING

from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.pictures.acting import is_open
from simlab.pictures.arrows import Words
from simlab.pictures.names import exact, point_name
from simlab.results import Verdict
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.wording import figures, scaled, spaced
from simlab.window.choosing import Target
from simlab.window.player import Player

if TYPE_CHECKING:
    from simlab.window.session import Session

JUMPING = 0.25  # [s] after a release in which a frame that is going to fall has begun to
FIXED_SPACE = "\u00a0"  # no line is broken between a number and its unit
CANNOT_REST: Verdict = "cannot rest"
BALANCE = "At rest: the forces on every rod balance."
FOLDS = "Pulled by hand: let go, and see where it swings."
PULLED = "Pulled by hand: as long as every rod and brace is there, the shape holds."
LEFT_OPEN = "At rest. Rigid bodies leave some forces open here: those are not drawn."
NEWTONS = " N"  # at the end of what stands beside an arrow: a number, which another value makes another


@dataclass(frozen=True)
class Texts:
    """What the exact road says, ready to be shown; empty where it says nothing.

    asked, answer : the first thing asked, in words, and what it is; beside : what stands beside each arrow
    at rest; advice : why the frame cannot rest, or why its forces have no one value; conventions : the
    class's; verdict : of statics
    """

    asked: str = ""
    answer: Quantity | None = None
    beside: Words = field(default_factory=dict)
    advice: str = ""
    conventions: Conventions = HOUSE
    verdict: str = ""

    def at_rest(self, values: Values) -> str:
        """The sentence under the frame at rest, or ""."""
        if self.answer is None:
            return ""
        own, number = self.conventions, self.answer.number(values)
        scale, unit = scaled(self.answer, number)
        value = f"{figures(number / scale, own.figures_of(self.answer.dim))}{unit}".replace(
            " ", FIXED_SPACE
        )
        if self.answer.is_angle:
            value = f"{figures(degrees(number))}°"
        is_exact = self.answer.names and own.exact == "surds"
        answer = f"{exact(self.answer)} ={FIXED_SPACE}{value}" if is_exact else value
        return f"At rest: {self.asked} = {answer}."

    @property
    def in_letters(self) -> Texts:
        """What of it stays true when the letters have other values, until it is worked out again."""
        kept = {what: text for what, text in self.beside.items() if not text.endswith(NEWTONS)}
        return replace(self, beside=kept, advice="")

    @property
    def unknown(self) -> Texts:
        """Nothing: another frame was asked about."""
        return Texts(conventions=self.conventions)


def brace_of(frame: Frame) -> str:
    """The brace as a reader would call it: "spreader"."""
    return spaced(frame.brace or "brace")


def spoken_line(session: Session, texts: Texts) -> str:
    """The line of words: what a press would do, what was done last, or else what happens."""
    takes = session.takes
    told = session.refused or hint(session) or (takes.said if takes is not None else "")
    return texts.conventions.spoken(told) if told else line(session.player, texts)


def hint(session: Session) -> str:
    """What would be done to the thing under the pointer, or to the one that keys are on; or ""."""
    player = session.player
    if player.isolated is not None:
        rod = _rod(player.isolated)
        if player.state == "touched" or is_open(player.plan, player.now(), player.isolated):
            return f"What is known of the forces on {rod}. Click: the whole frame."
        return f"Every force on {rod}, and the same forces tip to tail. Click: the whole frame."
    if player.hand is not None:
        return FOLDS if player.is_released else PULLED
    if session.hover == "time":
        return "Pull the bead along the cord to look back; Play goes on from there."
    if isinstance(session.hover, Target):
        return _by_mouse(player, session.hover)
    if session.focus == "frame" and session.chosen is not None:
        return _by_keys(player, session.chosen)
    return ""


def _by_mouse(player: Player, target: Target) -> str:
    if target.kind == "rod":
        return f"Click: {_rod(target.name)} alone, with the forces on it. Pull it to move the frame."
    less = " With the right button: one fewer." if player.lanterns.get(target.name) else ""
    return f"Click: hang one more lantern at {point_name(target.name)}.{less} Pull it to move the frame."


def _by_keys(player: Player, target: Target) -> str:
    if target.kind == "rod":
        return f"{_rod(target.name)} is chosen. Enter: it alone, with the forces on it. G: pull it."
    less = " M: one fewer." if player.lanterns.get(target.name) else ""
    return f"{point_name(target.name)} is chosen. Enter: hang one more lantern.{less} G: pull it."


def _rod(name: Name) -> str:
    """A rod as a reader calls it."""
    return f"${name}$" if name.isalpha() and name.isupper() else f"the {spaced(name)}"


def line(player: Player, texts: Texts) -> str:
    """What happens now, in the class's words."""
    words = _after_release(player) if player.is_released else _hanging(player, texts)
    return texts.conventions.spoken(words.strip())


def _hanging(player: Player, texts: Texts) -> str:
    trouble = _swung(player, texts) or texts.advice or _lost(player)
    if trouble:
        return trouble
    if player.share < 1:
        return f"{_in_place(player)} Gravity is let on: the weights grow, and every force with them."
    if not player.is_still:
        return f"{_in_place(player)} The frame hangs and settles."
    told = texts.at_rest(player.values) or (LEFT_OPEN if _has_open(player) else BALANCE)
    return f"{_in_place(player)} {told}"


def _has_open(player: Player) -> bool:
    """Whether forces are missing in the picture, as rigid bodies leave them open."""
    return any(is_open(player.plan, player.now(), body) for body in player.frame.bodies)


def _swung(player: Player, texts: Texts) -> str:
    """What lanterns hung by hand do to a frame that cannot rest with them; "" where that is not so."""
    if not player.lanterns or texts.verdict != CANNOT_REST:
        return ""
    lanterns = "lantern" if sum(player.lanterns.values()) == 1 else "lanterns"
    there = " and ".join(point_name(point) for point in player.lanterns)
    return f"With the {lanterns} at {there} the frame cannot rest as drawn: it moves to another position."


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
    if player.is_braced:
        taken = "The frame is pulled away from where it rests"
    elif any(event.kind == "fallen" and event.about == player.frame.brace for event in player.stage.events):
        taken = f"The {brace_of(player.frame)} can only push, and has fallen out"
    if player.state == "touched":
        only = " Only the weights are still drawn." if player.arrows else ""
        return f"{taken}: the frame has come down.{only}"
    if player.has_moved:
        return f"{taken}: statics no longer applies."
    cut = next((event.time for event in player.stage.events if event.kind == "cut"), 0.0)
    if player.is_past or player.stage.time - cut < JUMPING:
        return f"{taken}: in that instant every force jumps."
    return f"{taken}, and the frame still stands."
