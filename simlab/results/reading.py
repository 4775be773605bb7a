"""What a settled simulation hands on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Name, Values
from simlab.results.forces import Forces
from simlab.results.trace import Floats

Outcome = Literal["settled", "not settled", "no equilibrium in this shape", "refused", "not simulated"]


@dataclass(frozen=True)
class Settings:
    """How a reading was made: its last run, and the steps and sweeps of all runs up to it.

    step [s], iterations (sweeps of the engine's solver a step), damping (share of velocity kept
    in a second), bias (share of a joint's gap left after a second), gravity [m/s^2], pymunk version.
    """

    step: float
    iterations: int
    damping: float
    bias: float
    gravity: float
    steps: int
    sweeps: int
    pymunk: str


@dataclass(frozen=True)
class Reading:
    """Forces read from the engine's own joint impulses in a frame at rest, or why there are none.

    `forces` is None unless the verdict is "settled". `holds` gives the force [N] in each temporary
    member that kept a movable frame in place; `tests` the measured value of each stopping test.
    """

    values: Values
    verdict: Outcome
    advice: str
    forces: Forces[float] | None
    holds: Mapping[Name, float]
    tests: Mapping[str, float]
    poses: Floats  # shape (bodies, 3): x [m], y [m] of the centre, turn from the drawn pose [rad]
    settings: Settings
