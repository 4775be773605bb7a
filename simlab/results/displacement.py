"""A displacement: a motion that one member prevents, followed some way with that member taken out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from simlab.frame.model import Frame, Name
from simlab.results.forces import Forces
from simlab.results.trace import Floats, Instant


@dataclass(frozen=True)
class Displacement:
    """Shapes of a frame from the drawn one on, in which everything holds but the member `of`.

    poses, shape (n, bodies, 3): x, y of each centre [m], turn from the drawn pose [rad], bodies in the
    frame's order; pins, shape (n, free pins, 2) [m]; lengths, shape (n,): of the member along its way [m].
    """

    of: Name
    poses: Floats
    pins: Floats
    lengths: Floats

    @property
    def shortens(self) -> bool:
        """Whether the member gets shorter."""
        return bool(self.lengths[-1] < self.lengths[0])

    def instant(self, frame: Frame, share: float) -> Instant:
        """The shape a `share` (0 to 1) of the way, without the member and without forces."""
        way = min(max(share, 0.0), 1.0) * (len(self.poses) - 1)
        k = min(int(way), len(self.poses) - 2)
        poses, pins = (rows[k] + (way - k) * (rows[k + 1] - rows[k]) for rows in (self.poses, self.pins))
        places = {name: (float(x), float(y)) for name, (x, y) in zip(frame.free_pins, pins, strict=True)}
        return Instant(
            0.0, np.asarray(poses), Forces({}, {}), (0.0, 0.0), 1.0, frozenset({self.of}), places
        )
