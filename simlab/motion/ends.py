"""Where a run ends by rule: what cannot be followed smoothly, or not compared any longer.

Each margin is positive while the run may go on, and continuous; the run ends where the least of them is
zero: a member that lets go, a contact that slips, lands or comes taut again, a frame nearly folded flat.
"""

from __future__ import annotations

from collections.abc import Collection
from math import hypot

import numpy as np

from simlab.frame.model import Name
from simlab.motion.one_sided import LEAST, LOOSE, borne, of_leaving, opening, sense, spare_friction
from simlab.motion.reactions import Reactions
from simlab.motion.system import System
from simlab.results.trace import Event, Floats

FOLDED = 1e-2  # of its start: least singular value of J M^-1/2 of a frame that is nearly folded flat
FLAT = 1e-7  # of the frame's size: what is no higher above a floor stands on it


class Ends:
    """The margins of a run that starts from rest as drawn, without the members `gone` at its start.

    Floors and walls are planes that any corner of any body can reach; rods that would meet one another pass
    freely here, as the thin rods of a question do.
    """

    def __init__(self, system: System, gone: Collection[Name]) -> None:
        self.system = system
        self.reactions = Reactions(system)
        self.open = system.openness(system.start)
        drawn = np.array(list(system.points.drawn.values()))
        self.size = float(np.ptp(drawn, axis=0).max()) or 1.0
        self.whole = System(system.frame, system.values, system.absent - frozenset(gone))
        self.gone = [
            name for name in gone if name in system.frame.contacts or sense(system.frame, name) > 0
        ]
        self._planes()

    def _planes(self) -> None:
        """Each floor and wall, and the corners that are above it at the start."""
        frame, points = self.system.frame, self.system.points
        self.planes: list[tuple[Name, Floats, Floats, list[tuple[int, Floats]]]] = []
        corners = [
            (i, np.array(points.pair(corner)))
            for i, body in enumerate(frame.bodies.values())
            for corner in body.outline
        ]
        for support in frame.supports.values():
            for point, name in zip(support.points, support.joints_or_contacts, strict=True):
                if name in frame.contacts and support.kind.endswith(("floor", "wall")):
                    normal = points.pair(frame.contacts[name].normal)
                elif support.faces is not None:
                    normal = points.pair(support.faces)
                else:
                    continue
                n, at = np.array(normal) / hypot(*normal), np.array(points.drawn[point])
                above = [
                    (i, c - points.start[i, :2]) for i, c in corners if (c - at) @ n > FLAT * self.size
                ]
                self.planes.append((support.name, at, n, above))

    def _heights(self, q: Floats) -> dict[Name, float]:
        """The least height of any corner above each floor or wall, in frame sizes."""
        heights: dict[Name, float] = {}
        for name, at, n, above in self.planes:
            for i, (x, y) in above:
                c, s = np.cos(q[i, 2]), np.sin(q[i, 2])
                corner = q[i, :2] + (c * x - s * y, s * x + c * y)
                heights[name] = min(float((corner - at) @ n) / self.size, heights.get(name, np.inf))
        return heights

    def margins(self, q: Floats, v: Floats) -> list[tuple[float, Event]]:
        """Each margin, and the event where it is zero; times are put by the run."""
        system = self.system
        acting = self.reactions.at(q, v)
        found = [
            (force / system.total + LEAST, of_leaving(system.frame, name, 0.0))
            for name, force in borne(system, acting)
        ]
        found += [
            (spare / system.total + LEAST, Event(0.0, "slip", name))
            for name, spare in spare_friction(system, acting)
        ]
        found += [(height, Event(0.0, "contact", name)) for name, height in self._heights(q).items()]
        if self.gone:
            moving = self.whole.moving(q, v)
            gaps = self.whole.gaps(moving)
            for name in self.gone:
                gap = opening(self.whole, name, gaps) / self.size
                kind = system.frame.contacts.get(name)
                found.append((gap + LOOSE, Event(0.0, "taut" if kind is None else "contact", name)))
        found.append((system.openness(q) / self.open - FOLDED, Event(0.0, "singular", system.frame.name)))
        return found

    def least(self, q: Floats, v: Floats) -> tuple[float, Event]:
        """The least margin and its event."""
        return min(self.margins(q, v), key=lambda margin: margin[0])
