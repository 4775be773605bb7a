"""Spread loads in marks: a thin bar along the body, and a row of small equal arrows from it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.frame.model import Load
from simlab.pictures.bodies import thickness
from simlab.pictures.marks import Arrow, Mark, Points, Stroke
from simlab.pictures.plan import Plan
from simlab.results.trace import Instant

# Sizes [page units]
SMALL_ARROW = 44.0  # length of a small arrow
APART = 44.0  # from one to the next
FEWEST = 3  # arrows


def bar_of(plan: Plan, load: Load, grain: float, instant: Instant | None = None) -> Points:
    """The ends of a spread load's bar, shape (2, 2) [m]: on the side that the load comes from."""
    points = plan.bodies[load.place.body]
    poses = None if instant is None else instant.poses
    ends = np.array([points[name] for name in load.spread or ()])
    ends = plan.moved(load.place.body, ends, poses)
    force = np.array(plan.loads[load.name])
    way = force / max(float(np.hypot(*force)), 1e-12)
    along = (ends[1] - ends[0]) / max(float(np.hypot(*(ends[1] - ends[0]))), 1e-12)
    steep = max(abs(float(way[0] * along[1] - way[1] * along[0])), 0.3)  # of the load to the body
    depth = thickness(plan, load.place.body) / steep + SMALL_ARROW
    return np.asarray(ends - way * depth * grain)


def spread(plan: Plan, load: Load, grain: float, instant: Instant | None = None) -> Iterator[Mark]:
    """The bar and the row of arrows of a spread load; not to scale."""
    force = np.array(plan.loads[load.name])
    if load.spread is None or not np.hypot(*force):
        return
    bar = bar_of(plan, load, grain, instant)
    yield Stroke(name=load.name, role="spread", points=bar)
    x, y = force / np.hypot(*force) * SMALL_ARROW * grain
    count = max(FEWEST, round(float(np.hypot(*(bar[1] - bar[0]))) / (APART * grain)) + 1)
    for i, share in enumerate(np.linspace(0, 1, count)):
        tail = bar[0] + share * (bar[1] - bar[0])
        yield Arrow(
            name=f"{load.name}.{i}",
            role="spread",
            tail=(float(tail[0]), float(tail[1])),
            vector=(float(x), float(y)),
            measure="length",
        )
