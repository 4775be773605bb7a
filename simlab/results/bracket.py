"""What the simulation says of a limit that statics found, and of a shape that it found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Name

Outcome = Literal["holds", "slips", "lifts", "goes slack", "moves", "undecided"]


@dataclass(frozen=True)
class Trial:
    """What a frame of rods with real contacts did when it was let be.

    `about` is the contact or member at which it gave way first, `way` the direction in which what rests
    there slid, or lifted; both empty where it holds. `moved` is how far any named point went, as a share of
    the frame's size.
    """

    outcome: Outcome
    about: Name
    way: str
    moved: float


@dataclass(frozen=True)
class Bracket:
    """A limit between two trials.

    `at` is the exact end (N, m, rad or a ratio) of the letter's range; `inside` the trial at
    at*(1 + margin) if the range begins there, at*(1 - margin) if it ends there; `outside` the other one.
    """

    letter: Name
    at: float
    begins: bool
    margin: float
    inside: Trial
    outside: Trial

    @property
    def verdict(self) -> Literal["bracketed", "not bracketed", "undecided"]:
        """Bracketed: it holds inside and gives way outside."""
        if "undecided" in (self.inside.outcome, self.outside.outcome):
            return "undecided"
        held = self.inside.outcome == "holds" and self.outside.outcome != "holds"
        return "bracketed" if held else "not bracketed"

    def tried(self, inside: bool) -> float:
        """The value of the letter in a trial."""
        up = inside is self.begins
        return self.at * (1 + self.margin if up else 1 - self.margin)


@dataclass(frozen=True)
class Return:
    """A frame let go near a shape that was found, its motion damped.

    Values of the found letters (m, rad): `exact`, as `released`, and as it came to `rest` (those that say
    its pose best); the last two empty where the letters alone do not say a pose. `away` and `apart` are
    the largest distances of a named point from its place in the exact shape, when it was let go and at the
    end, as shares of the frame's size; `allowed` is the bound on the last.
    """

    exact: Mapping[Name, float]
    released: Mapping[Name, float]
    rest: Mapping[Name, float]
    away: float
    apart: float
    allowed: float
    outcome: Literal["returns", "leaves", "undecided"]
    expected: Literal["returns", "leaves"]

    @property
    def agrees(self) -> bool:
        """Whether it does what statics says: a stable shape draws it in, an unstable one lets it go."""
        return self.outcome == self.expected
