"""What a simulation gives for a frame that rigid bodies cannot decide: one thing and then another."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from simlab.frame.model import Name
from simlab.results.forces import Forces, Key


@dataclass(frozen=True)
class TwoOrders:
    """A frame built twice, its joints in another order, and each brought to rest.

    `left_over` is the most that any body is out of balance in either [of the largest force]. Both are in
    balance under the same loads, so that their difference needs none: it is a state of self-stress.
    """

    first: Forces[float]
    second: Forces[float]
    left_over: float

    @property
    def apart(self) -> tuple[Name | Key, float]:
        """The force of a light member that differs most, or else of any connection, and by how much [N]."""
        members: dict[Name | Key, float] = {
            name: abs(tension - self.second.tensions[name]) for name, tension in self.first.tensions.items()
        }
        others: dict[Name | Key, float] = {}
        for key, left in self.first.reactions.items():
            right = self.second.reactions[key]
            others[key] = hypot(left.force[0] - right.force[0], left.force[1] - right.force[1])
        differing = members if max(members.values(), default=0.0) > 0 else others
        name = max(differing, key=lambda one: differing[one])
        return name, differing[name]
