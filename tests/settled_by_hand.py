"""Settling with settings chosen by hand, good or bad, and the error of what is read: for tests."""

from __future__ import annotations

from math import hypot, inf, isfinite

import numpy as np
from published.balance import Balance

from simlab.frame.model import Frame
from simlab.results import Forces, Key, largest
from simlab.simulation.conditioning import Gaps
from simlab.simulation.drawn import Drawn
from simlab.simulation.masses import carrier, masses
from simlab.simulation.settling import Settling


def settling(of: Frame, held: bool = True) -> Settling:
    """A frame about to be settled, its motions held or not; with members to spare, nothing of it grows."""
    drawn = Drawn(of, of.shown)
    gaps = Gaps(drawn, masses(drawn, even=True))
    self_stress, motions = gaps.freedom()
    holds = gaps.holds(motions)
    growth = np.eye(3 * len(gaps.columns)) if self_stress else gaps.growth()
    return Settling(gaps, holds if held else (), gaps.slowest(self_stress), growth)


def run(
    one: Settling,
    steps: int,
    sweeps: int | None = None,
    damping: float | None = None,
    closing: float | None = None,
    gravity: float | None = None,
) -> None:
    """So many steps with these settings; what is not given stays as it was.

    damping : share of velocity kept in a step; closing : share of a joint's gap closed in a step
    """
    space = one.world.space
    space.iterations = space.iterations if sweeps is None else sweeps
    space.damping = space.damping if damping is None else damping
    if closing is not None:
        for joint in space.constraints:
            joint.error_bias = 1 - closing
    if gravity is not None:
        one.world.set_gravity(gravity)
    one.n_steps = steps
    one.run()


def wrong_by(forces: Forces[float], dense: Balance) -> float:
    """The largest error of any force, as a share of the largest force."""
    apart = [
        hypot(found.force[0] - wanted.force[0], found.force[1] - wanted.force[1])
        for found, wanted in ((forces.reactions[key], r) for key, r in dense.forces.reactions.items())
    ]
    worst = max(apart, key=lambda number: number if isfinite(number) else inf)
    return worst / largest(dense.forces) if isfinite(worst) else inf


def wrong_in_a_joint(of: Frame, forces: Forces[float], dense: Balance) -> float:
    """As before, but of one component, and of what a joint of the engine carries alone.

    That is the tension of a member, and the force of a pin on its bodies but the one that it is part of in
    the engine: there, forces are summed up.
    """
    apart = [abs(tension - dense.forces.tensions[name]) for name, tension in forces.tensions.items()]
    for name, joint in of.joints.items():
        for body in joint.bodies:
            if body != carrier(of, name):
                key = Key(body, name, name)
                pair = zip(forces.reactions[key].force, dense.forces.reactions[key].force, strict=True)
                apart += [abs(found - wanted) for found, wanted in pair]
    return float(np.max(apart)) / largest(dense.forces)


def fastest(one: Settling) -> float:
    """The largest speed of any body's centre [m/s]."""
    return max(float(body.velocity.length) for body in one.world.bodies.values())


def drift(one: Settling) -> float:
    """How far anything is from where it was drawn, beside the shortest body."""
    drawn = one.drawn
    away = [
        max(abs(x - drawn.centres[name][0]), abs(y - drawn.centres[name][1]), abs(turn) * drawn.size)
        for name, (x, y, turn) in zip(drawn.frame.bodies, one.world.poses().tolist(), strict=True)
    ]
    return max(away) / drawn.shortest
