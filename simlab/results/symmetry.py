"""What follows from a frame's being the same on both sides of an axis."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.frame.model import Name
from simlab.frame.symmetry import Mirror
from simlab.results.forces import Key


@dataclass(frozen=True)
class Symmetry:
    """Statements that follow from symmetry alone; `sentences` say them as a teacher would.

    `reactions`: pairs that are mirror images of each other. `members`: light members of equal tension.
    `hinges`: hinges on the axis at which the two bodies push on each other without a component along it.
    """

    mirror: Mirror
    reactions: tuple[tuple[Key, Key], ...]
    members: tuple[tuple[Name, Name], ...]
    hinges: tuple[Name, ...]
    sentences: tuple[str, ...]
