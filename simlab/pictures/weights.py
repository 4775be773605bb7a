"""Hung weights in marks: a paper lantern where the load is called one, else a plain block of slate."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.frame.model import Load, Name
from simlab.pictures.marks import Mark, Points, Stroke
from simlab.pictures.members import ROD
from simlab.pictures.plan import Plan
from simlab.results.trace import Instant

# Sizes [page units]
CORD, LONG_CORD = 44.0, 128.0  # from a point down to its weight; long: past a rod's own weight there
LANTERN = (21.0, 27.0)  # half width and half height of a lantern
BLOCK = (20.0, 26.0, 27.0)  # half width of a block above and below, and its half height
BESIDE = 62.0  # between two weights at one point
HEIGHT = 2.1 * LANTERN[1]  # of a lantern or a block with what is above and below it


def hung(plan: Plan, load: Load, grain: float, instant: Instant | None = None) -> Iterator[Mark]:
    """The marks of a hung weight."""
    point, cord = plan.at(load.place, instant), cord_of(plan, load, grain, instant)
    draw = lantern if "lantern" in load.name.lower() else block
    yield from draw(load.name, point, grain, cord, _aside(plan, load))


def _aside(plan: Plan, load: Load) -> float:
    """How far to the right a weight is drawn of others that hang at its point [page units]."""
    loads = plan.frame.loads.values()
    there = [one.name for one in loads if one.kind == "weight" and one.place.point == load.place.point]
    return BESIDE * there.index(load.name)


def cord_of(plan: Plan, load: Load, grain: float, instant: Instant | None) -> float:
    """The length of a weight's cord [page units]: long, if a rod's own weight is drawn from its point.

    Where a floor is nearer, the weight comes to stand on it, its cord slack (a length below zero).
    """
    point = plan.points[load.place.point]
    shared = any(np.allclose(plan.centres[body], point) for body in plan.weights)
    long = LONG_CORD if shared else CORD
    height = float(plan.at(load.place, instant)[1]) - plan.floor + ROD / 2 * grain
    return long if height > (long + HEIGHT) * grain else height / grain - HEIGHT


def foot_of(plan: Plan, load: Load, grain: float, instant: Instant | None) -> Points:
    """The lowest point of a hung weight, shape (2,) [m], from which its arrow is drawn."""
    long = cord_of(plan, load, grain, instant) + HEIGHT
    return plan.at(load.place, instant) + np.array([_aside(plan, load) * grain, -long * grain])


def lantern(
    name: Name, point: Points, grain: float, cord: float = CORD, aside: float = 0.0
) -> Iterator[Mark]:
    """A paper lantern hung by a cord from a point [m], so far below it and to its right [page units]."""
    half_wide, half_high = (v * grain for v in LANTERN)
    middle = point + np.array([aside * grain, -cord * grain - half_high])
    angle = np.linspace(0, 2 * np.pi, 33)[:-1]
    round_shape = np.stack([np.cos(angle) * half_wide, np.sin(angle) * half_high], axis=1)
    levels = np.array([-0.45, 0.0, 0.45]) * half_high
    ribs = []
    for level in levels:
        reach = half_wide * float(np.sqrt(1 - (level / half_high) ** 2))
        ends = np.array([[-reach, level], [reach, level]])
        ribs += [*(middle + ends), np.array([np.nan, np.nan])]
    cap = np.array([[-0.42, 0.86], [0.42, 0.86], [0.42, 1.1], [-0.42, 1.1]]) * (half_wide, half_high)
    foot = cap * (0.8, -1.0)
    yield Stroke(name=f"cord of {name}", role="cord", points=np.array([point, middle]))
    yield Stroke(name=name, role="lantern", points=middle + round_shape, closed=True, filled=True)
    yield Stroke(name=f"ribs of {name}", role="lantern rib", points=np.array(ribs[:-1]))
    yield Stroke(name=f"cap of {name}", role="lantern cap", points=middle + cap, closed=True, filled=True)
    yield Stroke(name=f"foot of {name}", role="lantern cap", points=middle + foot, closed=True, filled=True)


def block(
    name: Name, point: Points, grain: float, cord: float = CORD, aside: float = 0.0
) -> Iterator[Mark]:
    """A block of slate, a little wider below, hung by a cord as a lantern is."""
    narrow, wide, high = (v * grain for v in BLOCK)
    middle = point + np.array([aside * grain, -cord * grain - high])
    yield Stroke(name=f"cord of {name}", role="cord", points=np.array([point, middle]))
    corners = np.array([[-narrow, high], [narrow, high], [wide, -high], [-wide, -high]])
    yield Stroke(name=name, role="block", points=middle + corners, closed=True, filled=True)
