"""Where the arrows of forces begin: at a body's centre, below a hung weight, on a rod's side of a hinge."""

from __future__ import annotations

import numpy as np

from simlab.frame.model import Name
from simlab.pictures.marks import Point, Points
from simlab.pictures.plan import Plan
from simlab.pictures.weights import foot_of
from simlab.results.forces import Key, Reaction
from simlab.results.trace import Instant

INSET = 52.0  # [page units] from a hinge along its rod to the tail of the pin's force on it
ABEAM = 0.15  # cosine between a force and its rod, within which the arrow slides from its tail to its tip


def loading(plan: Plan, share: float = 1.0) -> list[tuple[Name, Point]]:
    """Name and force [N] of every weight and load, of which a share is let on."""
    weights = [(body, (0.0, -share * weight)) for body, weight in plan.weights.items()]
    return [*weights, *((name, (share * x, share * y)) for name, (x, y) in plan.loads.items())]


def weights(plan: Plan, instant: Instant | None, grain: float) -> list[tuple[Name, Points, Point]]:
    """Name, tail [m] and force [N] of every weight and load, by the share that is let on."""
    tails = [plan.centre(body, instant) for body in plan.weights]
    for load in (plan.frame.loads[name] for name in plan.loads):
        is_weight = load.kind == "weight"
        tails.append(foot_of(plan, load, grain, instant) if is_weight else plan.at(load.place, instant))
    forces = loading(plan, 1.0 if instant is None else instant.load)
    return [(name, tail, force) for (name, force), tail in zip(forces, tails, strict=True)]


def tail_of(
    plan: Plan, key: Key, reaction: Reaction[float], instant: Instant | None, grain: float, reach: float
) -> Points:
    """Where a reaction's arrow begins [m]; `reach` [m/N] is the length of arrows.

    A pin's force on a rod is drawn on that rod's side of the hinge: from the rod, where it points along
    it; up to the rod, where it points away. So the arrows of two hinged rods do not cross over. Where a
    force turns, its arrow slides from the one to the other.
    """
    point = np.array(reaction.point)
    if key.on not in plan.bodies or key.by not in plan.frame.joints or key.by != key.at:
        return point
    along, force = _along_rod(plan, key.on, point, instant), np.array(reaction.force)
    on_rod = point + along * INSET * grain
    size = float(np.hypot(*force))
    cosine = float(force @ along) / size if size > 0 else 0.0
    share = min(max(0.5 - cosine / (2 * ABEAM), 0.0), 1.0)
    return np.asarray(on_rod - share * force * reach)


def _along_rod(plan: Plan, body: Name, point: Points, instant: Instant | None) -> Points:
    """The unit vector from a point of a body towards the body's centre, shape (2,)."""
    along = plan.centre(body, instant) - point
    long = float(np.hypot(*along))
    if long == 0:  # pinned at its centre: along the rod
        a, b = plan.outline(body, instant)[:2]
        along, long = b - a, float(np.hypot(*(b - a)))
    return np.asarray(along / long)
