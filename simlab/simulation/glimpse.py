"""A moment of a stage, kept small: a row of the engine's numbers, understood when it is looked at again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from simlab.frame.model import Name
from simlab.results import Hand, Instant
from simlab.simulation.reel import numbers
from simlab.simulation.seen import Seen, Sight

if TYPE_CHECKING:
    from simlab.simulation.stage import Stage

State = Literal["hanging", "falling", "touched"]


@dataclass(frozen=True, slots=True)
class Glimpse:
    """What a stage was at a moment.

    time [s]; share : of the load that is on; state : of the stage; gone : members cut or fallen;
    hand : what pulls at it
    """

    time: float
    share: float
    state: State
    gone: frozenset[Name]
    hand: Hand | None
    sight: Sight
    row: bytes

    @classmethod
    def of(cls, stage: Stage) -> Glimpse:
        """The moment that a stage has reached."""
        hand = stage.hand.seen() if stage.hand else None
        row = stage.view.row(stage.time, stage.share)
        return cls(stage.time, stage.share, stage.state, stage.gone, hand, stage.view.sight, row)

    @property
    def absent(self) -> frozenset[Name]:
        """Members that were cut, fallen or slack."""
        return self.sight.absent

    @property
    def kinetic(self) -> float:
        """Kinetic energy [J]."""
        return self._seen().energy()[0]

    def _seen(self) -> Seen[float]:
        return Seen(self.sight, numbers(self.row))

    def instant(self) -> Instant:
        """All that was to be seen."""
        seen = self._seen()
        poses = np.array(seen.moment.poses(), dtype=np.float64).reshape(-1, 3)
        forces, energy, pins = seen.forces(), seen.energy(), seen.pins()
        return Instant(self.time, poses, forces, energy, self.share, self.absent, pins)
