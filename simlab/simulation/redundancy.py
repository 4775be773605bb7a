"""A frame with members to spare, built twice with its joints in another order: as a demonstration.

The engine solves its joints one after the other, and those that come first take more. A frame that its
balance decides ends with the same forces in any order; one with states of self-stress does not, and each
of its ends is in balance. No number that comes from here is a result.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from simlab.frame.model import Frame, Name, Values
from simlab.results import Reading
from simlab.results.forces import largest
from simlab.results.redundancy import TwoOrders
from simlab.simulation.conditioning import Gaps
from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import masses
from simlab.simulation.settle import Run

# Of the largest force: two orders less apart than that are alike (by symmetry, say) and show nothing.
ALIKE = 1e-6
Part = TypeVar("Part")


def two_orders(frame: Frame, values: Values | None = None) -> TwoOrders | None:
    """Bring a frame to rest in two orders of its joints; None where that shows nothing.

    That is so for a frame that its balance decides, for one that does not come to rest, and for one that
    both orders happen to give the same forces.
    """
    values = frame.shown if values is None else values
    other = replace(
        frame,
        joints=_reversed(frame.joints),
        links=_reversed(frame.links),
        contacts=_reversed(frame.contacts),
    )
    readings = [_at_rest(one, values) for one in (frame, other)]
    first, second = (None if reading is None else reading.forces for reading in readings)
    if first is None or second is None:
        return None
    left = max(reading.tests["balance"] for reading in readings if reading is not None)
    found = TwoOrders(first, second, left)
    return found if found.apart[1] > ALIKE * largest(first) else None


def _reversed(parts: Mapping[Name, Part]) -> Mapping[Name, Part]:
    return dict(reversed(list(parts.items())))


def _at_rest(frame: Frame, values: Values) -> Reading | None:
    """What a frame with members to spare comes to; None for any other."""
    drawn = Drawn(frame, values)
    gaps = Gaps(drawn, masses(drawn, even=True))
    self_stress, motions = gaps.freedom()
    return Run(gaps, gaps.holds(motions), self_stress).reading() if self_stress else None
