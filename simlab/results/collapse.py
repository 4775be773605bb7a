"""Two roads through one collapse, side by side."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from simlab.frame.model import Name
from simlab.results.comparison import Agreement
from simlab.results.forces import Key
from simlab.results.trace import Event, Floats

Followed = Literal["paths", "energy", "forces"]


@dataclass(frozen=True)
class Stray:
    """The farthest that the two roads are apart in one respect.

    `about` is the body, the reaction or the member, `time` [s] when; `difference` is a share of `scale`:
    the frame's size [m], total weight times size [J], or the largest force [N]; `allowed` bounds it.
    `course`, shape (times,), is the difference of what is farthest apart at each moment compared.
    """

    respect: Followed
    about: Key | Name
    time: float
    difference: float
    scale: float
    allowed: float
    course: Floats = field(compare=False, repr=False)

    @property
    def agrees(self) -> bool:
        """Whether it is within bounds; what is no number never agrees."""
        return self.difference <= self.allowed


@dataclass(frozen=True)
class Collapse:
    """Where two runs stray from each other, up to `until` [s], which `end` has set (None: the time limit).

    `compared` is the number of moments, `times` [s] are these; `ended` says in words what ended it,
    `advice` in a sentence what that means, or why nothing is compared.
    """

    roads: tuple[str, str]
    until: float
    end: Event | None
    compared: int
    strays: tuple[Stray, ...]
    agreement: Agreement
    advice: str
    ended: str
    times: Floats = field(compare=False, repr=False)
