"""A force as magnitude and direction, exactly."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.frame.quantity import Quantity


@dataclass(frozen=True)
class OnSlope:
    """A force at a rough sloping contact: its parts across and along the surface [N], and its way.

    Both are positive; `up`: whether friction acts up the slope on what rests there.
    """

    normal: Quantity
    friction: Quantity
    up: bool


@dataclass(frozen=True)
class Vector:
    """The size of a force [N], the acute angle of its line to the horizontal [rad], and its senses.

    `right` is 1 to the right, -1 to the left, `up` 1 upwards, -1 downwards; 0 neither.
    """

    size: Quantity
    angle: Quantity
    right: int
    up: int
