"""A force as magnitude and direction, exactly."""

from __future__ import annotations

from dataclasses import dataclass

from simlab.frame.quantity import Quantity


@dataclass(frozen=True)
class Vector:
    """The size of a force [N], the acute angle of its line to the horizontal [rad], and its senses.

    `right` is 1 to the right, -1 to the left, `up` 1 upwards, -1 downwards; 0 neither.
    """

    size: Quantity
    angle: Quantity
    right: int
    up: int
