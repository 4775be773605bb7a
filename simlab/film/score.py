"""The score of a working: what happens when, from the sentences and the equations of one step.

A sentence stays as long as a class needs to read it; what it speaks of appears meanwhile.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

import numpy as np

from simlab.film.bench import Bench
from simlab.film.board import Written
from simlab.film.told import Spoken, pieces_that_fit, with_names
from simlab.frame.model import Name
from simlab.pictures.camera import Page
from simlab.pictures.cards import fits_caption
from simlab.results.working import Equation, Part

PACE = 2.8  # [words/s] that a class reads while it looks at a drawing
LEAST = 2.0  # [s] that any sentence stays
OUT, HOME = 1.7, 1.5  # [s] in which a part leaves the frame, and goes back
FADE = 0.35  # [s] in which arrows and words of a part go before it does
GROW = 0.6  # [s] in which an arrow grows
NEXT = 0.25  # [s] from one arrow to the next of several
SOON = 0.5  # [s] from the beginning of a sentence to the arrow that it speaks of
RING = 0.5  # [s] in which the ring around a point closes
ARM = 0.6  # [s] in which an arm grows
TERM = 1.3  # [s] at least from one term to the next
WRITE = 0.45  # [s] from the beginning of an arm to the writing of its term
AFTER = 0.9  # [s] after the last term
LINE = 2.0  # [s] at least for a line of algebra
LAST = 1.0  # [s] more for the line that finds something
BOX = 0.9  # [s] in which the answer's box is drawn
MORPH = 1.0  # [s] in which the arrows are redrawn to scale


def reading(sentence: Spoken) -> float:
    """How long a sentence stays [s]."""
    return max(LEAST, sentence.words / PACE)


@dataclass(frozen=True)
class Shown:
    """One term of an equation as it is shown: its number in the line, its arrows and its arm, when [s]."""

    term: int
    arrows: tuple[Name, ...]
    arms: tuple[Name, ...]
    begin: float
    end: float


@dataclass(frozen=True)
class Turn:
    """One equation on the bench: its layout there, its ring, its terms one by one, until it is over [s]."""

    equation: Equation
    layout: int
    begin: float
    shown: tuple[Shown, ...]
    end: float


@dataclass
class Stay:
    """A part on the bench: from when it leaves the frame to when it goes back [s]; when each arrow appears.

    `layout`: the one in which it is before its first equation here.
    """

    bench: Bench
    begin: float
    layout: int = 0
    back: float = np.inf
    arrows: dict[Name, float] = field(default_factory=dict)
    turns: list[Turn] = field(default_factory=list)

    @property
    def out(self) -> float:
        """When it is on the bench."""
        return self.begin + OUT


@dataclass
class Score:
    """What happens in one chapter [s]: sentences, parts on the bench, lines on the board.

    `boxed`: when the answer is boxed; `to_scale`: when the arrows are redrawn to scale.
    """

    page: Page
    rate: int
    seconds: float = 0.0
    lines: list[tuple[float, Spoken]] = field(default_factory=list)
    stays: list[Stay] = field(default_factory=list)
    written: list[Written] = field(default_factory=list)
    moves: list[tuple[float, float]] = field(default_factory=list)
    boxed: float = np.inf
    to_scale: float = np.inf

    def say(self, sentence: Spoken, least: float = 0.0) -> float:
        """Speak a sentence from now on, in as many pieces as need be; the time when it begins."""
        begin = self.seconds
        for piece in pieces_that_fit(sentence, lambda text: fits_caption(text, self.page)):
            self.lines.append((self.seconds, piece))
            self.move(self.seconds, 0.0)
            self.seconds += reading(piece)
        self.seconds = max(self.seconds, begin + least)
        return begin

    def move(self, begin: float, long: float) -> None:
        """Something moves from `begin` on."""
        self.moves.append((begin, begin + long))

    def is_still(self, time: float) -> bool:
        """Whether nothing moves at a time."""
        return not any(begin <= time <= end + PICTURES / self.rate for begin, end in self.moves)


PICTURES = 2  # after a movement, in which the last of it is drawn


def to_scale(part: Part, known: Collection[Name], points: Collection[Name]) -> Spoken:
    """What is said when the arrows on a part are redrawn to scale."""
    others = {action.letter for action in part.actions if action.letter is not None} - set(known)
    text = f"All forces on {part.words} to scale" + (", also those not worked out here." if others else ".")
    return Spoken(with_names(text, points), text)
