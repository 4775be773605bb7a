"""Numbers of one moment, or columns of them for many: the formulas are written once, for both."""

from __future__ import annotations

from math import cos, sin
from typing import TypeVar

import numpy as np

from simlab.results import Floats

N = TypeVar("N", float, Floats)


def cos_sin(angle: N) -> tuple[N, N]:
    """Of angles [rad]."""
    if isinstance(angle, float):
        return cos(angle), sin(angle)
    return np.cos(angle), np.sin(angle)


def size(x: N, y: N) -> N:
    """The length of vectors."""
    length: N = (x * x + y * y) ** 0.5
    return length
