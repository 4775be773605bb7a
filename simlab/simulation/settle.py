"""A frame brought to rest in the engine, and its joint impulses read.

A run (`simlab.simulation.settling`) makes so many steps of so many sweeps under so weak a gravity; then
four tests (`simlab.simulation.stopping`) say whether the reading is accepted. Here is the order in which
settings are tried: quick ones first, for those that a frame cannot bear show it by leaving its shape.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import NamedTuple

import numpy as np
import pymunk

from simlab.errors import SimlabFault
from simlab.frame.model import Frame, Values
from simlab.results import Outcome, Reading, Settings
from simlab.simulation.conditioning import Gaps, Hold
from simlab.simulation.contacts import ways
from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import masses
from simlab.simulation.senses import every, hold_together
from simlab.simulation.settling import STEP, Settling
from simlab.simulation.stopping import shortfall, worst


class Rung(NamedTuple):
    """One run of a ladder: sweeps a step, decimal digits to gain, and how much stronger gravity is than
    what a frame that carries nothing yet can bear."""

    sweeps: int
    digits: int
    stronger: float


# Few sweeps a step bring a frame to rest soonest; below 20 some frames are unstable. What they leave is
# rounding, the less the stronger gravity. Once the joints carry the weights, gravity may be stronger
# without the frame sagging: that settles most frames, the long ones above all.
STRONG = (Rung(20, 6, 1.0), Rung(20, 6, 1e3), Rung(20, 6, 1e3), Rung(20, 6, 1e6))
# A flat frame pressed together would buckle then, for its joints yield while a step has few sweeps. It
# gets gravity as the sweeps allow.
GENTLE = (Rung(20, 12, 1.0), Rung(200, 6, 1.0), Rung(2000, 6, 1.0), Rung(2000, 12, 1.0))
# Gravity is divided by these in turn, when on its way to rest a flat frame snapped through.
WEAKER = (1.0, 30.0, 900.0, 27000.0)
# Most sweeps x joints of a reading, some four seconds of one core. A frame that needs more is not
# settled, and says so, instead of keeping a class waiting.
MOST_WORK = 5e8
CALL = 300  # of a step, besides its sweeps: as many joint solutions take the same time


def settle(frame: Frame, values: Values | None = None) -> Reading:
    """Bring the frame to rest at `values` (the demonstration values if None) and read every force.

    >>> from simlab.frame.scene import read_scene
    >>> reading = settle(read_scene("scenes/kite_lantern.toml"))
    >>> reading.verdict, round(reading.forces.tensions["spreader"], 6)
    ('settled', -14.770316)
    """
    values = frame.shown if values is None else values
    drawn = Drawn(frame, values)
    weighed = masses(drawn, even=True)
    first: Reading | None = None
    for senses in every(drawn):
        gaps = Gaps(drawn, weighed, ways(drawn, senses))
        reading = _reading(gaps)
        first = first or reading
        if reading.forces is not None and hold_together(gaps, reading.forces):
            return reading
    if first is None:
        raise SimlabFault("no way in which friction acts was tried")
    return first


def _reading(gaps: Gaps) -> Reading:
    """The reading of a frame whose contacts push in given ways."""
    self_stress, motions = gaps.freedom()
    if self_stress:
        more = "one force more" if self_stress == 1 else f"{self_stress} forces more"
        decide = f"Rigid rods cannot decide this frame: it has {more} than its balance can fix, and "
        links = gaps.drawn.frame.links.values()
        if any(link.stiffness is not None and not link.is_given for link in links):
            advice = decide + "the small strains that do are nothing to a simulation of rigid rods."
        else:
            advice = decide + "a simulation would only show the order of its joints. Take a member away."
        return _unread(gaps.drawn.values, "refused", advice)
    return Run(gaps, gaps.holds(motions)).reading()


def _unread(values: Values, verdict: Outcome, advice: str) -> Reading:
    """No run was made."""
    nothing = Settings(STEP, 0, 1.0, 1.0, 0.0, 0, 0, pymunk.version)
    return Reading(values, verdict, advice, None, {}, {}, np.zeros((0, 3)), nothing)


class Run:
    """Settling one frame: the ladders, under weaker gravity where it snapped through, until accepted.

    self_stress : states of self-stress, which nothing here decides; only `redundancy.py` has any. What an
    imbalance grows to is unknown then, and it is taken as it is.
    """

    def __init__(self, gaps: Gaps, holds: tuple[Hold, ...], self_stress: int = 0) -> None:
        self.gaps = gaps
        self.holds = holds
        self.slowest = gaps.slowest(self_stress)
        self.growth = np.eye(3 * len(gaps.columns)) if self_stress else gaps.growth()
        self.work = 0.0

    def reading(self) -> Reading:
        """The first accepted reading, or what stood in its way."""
        for weaker in WEAKER:
            settling = self._climb(STRONG, weaker)
            if (
                not self._is_over(settling) and settling.runs > 1
            ):  # it bears this gravity, but no stronger one
                settling = self._climb(GENTLE, weaker)
            if self._is_over(settling) or not settling.is_astray:
                break
        if settling.is_settled:
            return settling.reading()
        if self.work > MOST_WORK:
            return settling.refusal(f"It converges too slowly to be settled in a short time. {_EXTREME}")
        if settling.is_astray:
            return settling.refusal("It snapped through into another shape. Make the frame less flat.")
        return settling.refusal(_ADVICE[worst(settling.tests)])

    def _is_over(self, settling: Settling) -> bool:
        """Whether there is nothing more to be tried."""
        return settling.is_settled or self.work > MOST_WORK

    def _climb(self, ladder: tuple[Rung, ...], weaker: float) -> Settling:
        """A world brought up a ladder: until settled, astray, at rest short of the mark, or out of work."""
        settling = Settling(self.gaps, self.holds, self.slowest, self.growth)
        short, sweeps = inf, 0
        for rung in ladder:
            settling.tune(rung.sweeps, rung.digits, rung.stronger / weaker)
            self.work += settling.n_steps * (rung.sweeps * len(self.gaps.blocks) + CALL)
            if self.work > MOST_WORK:
                break
            settling.run()
            before, short = short, shortfall(settling.tests)
            at_rest = rung.sweeps == sweeps and short > before / 2
            if settling.is_settled or settling.is_astray or at_rest:
                break
            sweeps = rung.sweeps
        return settling


_EXTREME = "Make the frame shorter or less flat, or its lengths and weights less unequal."
_ADVICE: Mapping[str, str] = {
    "balance": f"The rods were not yet in balance. {_EXTREME}",
    "speed": f"It was still moving. {_EXTREME}",
    "change": f"The forces were still changing. {_EXTREME}",
    "shape": "A rounding of its lengths would change the forces too much. Make the frame less flat.",
}
