"""How fast errors vanish: with the step in motion, with the number of steps in settling.

In motion the error against the independent road is fitted as a power of the step. Halved velocities in the
step of the cut and whole gaps closed make the engine's scheme of second order: the slope is to be 2.
In settling a decimal digit is to be gained in every 6.6/sqrt(p) steps (the docstring of settling.py).
"""

from __future__ import annotations

import numpy as np
import pytest
from collapses import CASES, RANDOM, in_the_wind, level_chain, sprung_rod
from dense import Dense
from small_frames import arch, rhombus, stepladder, tower

from simlab.collapse import follow
from simlab.frame.model import Frame
from simlab.motion.integrate import RATE as RECORDED
from simlab.motion.integrate import release as integrated
from simlab.results import Key, Reading
from simlab.simulation import release, settle, settling, stage

# The steps: 1/150 to 1/1200 s, a factor of 8; all of them share the moments of the coarsest.
RATES = (150, 300, 600, 1200)
# Terms of the next order change the slope by the square of the coarsest step over the time of a motion,
# (1/150 s / 0.2 s)^2 = 1e-3, times their factor; the band is for factors up to 50 and for the floor that a
# contact has (a bar as long as 1e5 frames, level to 1e-6). A scheme of first or of third order is outside.
SECOND_ORDER = (1.9, 2.1)
DIGITS = range(4, 11)  # asked for; the first few are gained while large motions still die out
SWEEPS = (20, 50)  # a step; of frames so slow that they take away a small share p of the slowest error
FLAT = 0.05  # [m]: rise of an arch whose half span is 1 m
# The settings are near critical damping, so that errors swing as they fall: over seven digits that moves a
# fit by up to a third.
A_DIGIT = (3 / 4, 4 / 3)


def with_steps(monkeypatch: pytest.MonkeyPatch, rate: int) -> None:
    """So many engine steps a second, each of them a sample."""
    for module in (stage, release):
        monkeypatch.setattr(module, "RATE", rate)
    monkeypatch.setattr(stage, "parts", lambda _: 1)
    monkeypatch.setattr(stage, "STEP", 1 / rate)


def settled_for(monkeypatch: pytest.MonkeyPatch, of: Frame, sweeps: int, digits: int) -> Reading:
    """The frame after the steps for so many digits, with so many sweeps each, accepted as it is."""
    monkeypatch.setattr(settle, "STRONG", (settle.Rung(sweeps, digits, 1.0),))
    monkeypatch.setattr(settling.Settling, "is_settled", property(lambda _: True))
    return settle.settle(of)


def slope(xs: object, ys: object) -> float:
    """Of the straight line through logarithms."""
    return float(np.polyfit(np.log(xs), np.log(ys), 1)[0])


# How long each falls before anything touches or is nearly folded [s]
MOVING: dict[str, tuple[Frame, float]] = {
    "two rods from level": (level_chain(2), 0.5),
    "rhombus": (rhombus(0.6), 0.32),
    "ring of six rods": (CASES["hexagon, one brace of three"], 0.32),
    "kite": (CASES["kite_lantern"], 0.2),
    "uneven chain": (RANDOM["random frame 4"], 0.5),
    "trestle on a floor": (stepladder(), 0.4),
    "uneven trestle on a floor": (RANDOM["random frame 5"], 0.5),
}
# Where a load or an elastic member acts besides the weights
PUSHED = {
    "tower in the wind": (CASES["tower of three panels in the wind, top brace"], 0.4),
    "rod on a spring": (sprung_rod(), 0.5),
}


def errors(monkeypatch: pytest.MonkeyPatch, of: Frame, duration: float) -> np.ndarray:
    """Largest error of paths, energy and forces, as shares of their scales, for each step.

    Against the equations of motion, integrated to 1e-12.
    """
    rows, exact = [], integrated(of, duration=duration)
    for rate in RATES:
        with_steps(monkeypatch, rate)
        found = follow(of, of.shown, exact, release.release(of, duration=duration, before=0.0))
        if found.end is not None or found.compared != 1 + round(duration * min(rate, RECORDED)):
            raise ValueError(f"not comparable over the whole fall: {found.advice}")
        rows.append([stray.difference for stray in found.strays])
    return np.array(rows).T


@pytest.mark.parametrize("name", MOVING)
def test_errors_fall_with_the_square_of_the_step(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Paths, energy and forces: slopes of log error against log step."""
    steps = 1 / np.array(RATES)
    paths, energy, forces = errors(monkeypatch, *MOVING[name])
    low, high = SECOND_ORDER
    assert low < slope(steps, paths) < high
    assert low < slope(steps, energy) < high
    assert low < slope(steps, forces) < high


@pytest.mark.parametrize("name", PUSHED)
def test_errors_under_other_forces_fall_with_the_square_of_the_step(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A level push on a tower, a spring on a rod: slopes of paths and forces."""
    paths, _, forces = errors(monkeypatch, *PUSHED[name])
    low, high = SECOND_ORDER
    assert low < slope(1 / np.array(RATES), paths) < high
    assert low < slope(1 / np.array(RATES), forces) < high


def push_in_an_arch(reading: Reading) -> float:
    """Relative error of its level push: W/2 * (half span)/(rise), by moments of one rod about its foot."""
    found = reading.forces.reactions[Key("A", "A", "ground")].force[0]
    wanted = 10.0 / 2 / FLAT
    return abs(found - wanted) / wanted


def tensions_in_a_tower(reading: Reading, of: Frame) -> float:
    """Largest error of its braces, as a share of the largest: against numpy's least squares (dense.py)."""
    exact = Dense(of).solved()
    wanted = np.array([exact[name, "T"] for name in of.links])
    found = np.array([reading.forces.tensions[name] for name in of.links])
    return float(np.abs(found - wanted).max() / np.abs(wanted).max())


@pytest.mark.parametrize("sweeps", SWEEPS)
@pytest.mark.parametrize("panels", [5, 8])
def test_a_settling_tower_gains_the_digits_it_is_given_steps_for(
    panels: int, sweeps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One decimal digit in 6.6/sqrt(p) steps, in the tensions of its braces, pushed aside at the top."""
    of = in_the_wind(tower(panels), "ABCDEFGHI"[panels])
    left = [tensions_in_a_tower(settled_for(monkeypatch, of, sweeps, d), of) for d in DIGITS]
    low, high = A_DIGIT
    assert low < -np.polyfit(DIGITS, np.log10(left), 1)[0] < high


@pytest.mark.parametrize("sweeps", SWEEPS)
def test_a_settling_flat_arch_gains_the_digits_it_is_given_steps_for(
    sweeps: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One decimal digit in 6.6/sqrt(p) steps, in its level push."""
    left = [push_in_an_arch(settled_for(monkeypatch, arch(FLAT), sweeps, d)) for d in DIGITS]
    low, high = A_DIGIT
    assert low < -np.polyfit(DIGITS, np.log10(left), 1)[0] < high
