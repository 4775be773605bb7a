"""What a teacher should know of a question before setting it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Name
from simlab.frame.quantity import Quantity


@dataclass(frozen=True)
class Unstated:
    """Something that is taken for granted and that the text does not say: "smooth", "uniform", "light"."""

    word: str
    about: str  # in words: "the hinges", "the rods"


@dataclass(frozen=True)
class Placed:
    """A strut that is merely placed between rods: at an end on a sloping rod it needs notches or friction.

    `friction` is the least coefficient of friction, the tangent of the angle between the strut and the
    rod's normal; `said` is whether the text gives notches, or friction.
    """

    strut: Name
    rod: Name
    friction: Quantity
    said: bool


@dataclass(frozen=True)
class Unused:
    """A letter, or a number in the text, on which no answer depends."""

    what: str
    why: Literal["drops out", "is used nowhere"]


@dataclass(frozen=True)
class Blind:
    """What is so at the values shown (`what`) that a `slip` gives the right answer all the same.

    `better` is a better angle [rad], `tangent` its tangent where that is the short one; None where no
    better one is known.
    """

    what: str
    slip: str
    tangent: Quantity | None = None
    better: Quantity | None = None


@dataclass(frozen=True)
class Fairness:
    """All remarks on a question; nothing at all where there is nothing to say."""

    unstated: tuple[Unstated, ...]
    placed: tuple[Placed, ...]
    unused: tuple[Unused, ...]
    blind: tuple[Blind, ...]
