"""What a hand does to a frame at a moment."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.frame.model import Name

Point = tuple[float, float]


@dataclass(frozen=True)
class Hand:
    """A hand that holds a place of a frame, and pulls.

    body : the body on which its force acts; point : the named point that it holds, if it is one;
    at : where that place is, to : where the hand is [m]; force : on the body [N]
    """

    body: Name
    point: Name | None
    at: Point
    to: Point
    force: Point
