"""What a film tells of the motion that a brace prevents, and of its force found from that motion."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.film.told import ToldStep
from simlab.frame.model import Name
from simlab.notation.page import Line
from simlab.results.displacement import Displacement
from simlab.results.virtual_work import Moves


@dataclass(frozen=True)
class Moved:
    """Loads that go the same way equally far: their names, which way, the sentence that says how far."""

    loads: tuple[Name, ...]
    moves: Moves
    told: Line


@dataclass(frozen=True)
class Prevented:
    """The motion that the brace prevents: shapes along it, and the working by virtual work.

    pushes : whether the force of the brace is a thrust; step : the equations, the force times its way
    first; loads : of each of the other terms of the first equation; answer : what the force comes to;
    same : whether the balance of forces gives the very same, compared exactly
    """

    displacement: Displacement
    pushes: bool
    step: ToldStep
    loads: tuple[Moved, ...]
    answer: Line
    same: bool

    @property
    def force(self) -> str:
        """What the force of the brace is called."""
        return "thrust" if self.pushes else "tension"

    @property
    def change(self) -> str:
        """What the change of its length is called."""
        return "shortening" if self.pushes else "lengthening"
