"""What each body of the engine weighs, and where: rods with the weights that hang on them.

A hung weight is a particle fixed at its point, so it is part of the body it hangs on; on a pin it
is part of the body that carries the pin in the engine. A light rod, and a pin that joins light
members only, have no weight; the engine needs a mass for them, and cancels its weight.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot

from simlab.frame.model import GROUND, Frame, Name, Place
from simlab.simulation.drawn import Drawn, Pair

# Mass of a body without weight, as a share of the mean mass of the others (or of the mean load, where
# nothing has weight): small enough not to be seen in the showing, large enough not to spoil the engine's
# convergence.
LIGHT = 0.02


@dataclass(frozen=True)
class Mass:
    """Weight [N], centre [m], and the square of the radius of gyration about it [m^2].

    `inert` is the weight that the body's mass stands for: `weight`, or a small stand-in for a light body.
    """

    weight: float
    centre: Pair
    gyration2: float
    inert: float


def carrier(frame: Frame, pin: Name) -> Name:
    """The engine body that a pin is part of: the ground, its first rod, or a body of its own."""
    bodies = frame.joints[pin].bodies
    if GROUND in bodies:
        return GROUND
    return bodies[0] if bodies else pin


def home(frame: Frame, place: Place) -> Name:
    """The engine body that a place is part of."""
    return carrier(frame, place.body) if place.body in frame.joints else place.body


def masses(drawn: Drawn) -> Mapping[Name, Mass]:
    """The mass of every engine body: the frame's bodies in their order, then pins without a rod."""
    frame = drawn.frame
    alone = [joint.name for joint in frame.joints.values() if not joint.bodies]
    hung: dict[Name, list[tuple[float, Pair]]] = {}
    for load in frame.loads.values():
        if load.kind == "weight":
            point = drawn.points[load.place.point]
            hung.setdefault(home(frame, load.place), []).append((-drawn.loads[load.name][1], point))
    merged = {}
    for name in (*frame.bodies, *alone):
        merged[name] = _merged(drawn, name, hung.get(name, []))
    heavy = [mass.weight for mass in merged.values() if mass.weight > 0]
    heavy = heavy or [hypot(*force) for force in drawn.loads.values() if force != (0.0, 0.0)] or [1.0]
    typical = sum(heavy) / len(heavy)
    return {
        name: mass if mass.weight > 0 else Mass(0.0, mass.centre, mass.gyration2, LIGHT * typical)
        for name, mass in merged.items()
    }


def _merged(drawn: Drawn, name: Name, hung: list[tuple[float, Pair]]) -> Mass:
    """A body and the particles fixed to it (parallel axes)."""
    if name in drawn.frame.bodies:
        own = drawn.weights[name]
        centre, gyration2 = drawn.centres[name], drawn.gyrations2[name]
        if gyration2 is None:  # a rod that is settled but never released: any inertia will do
            (ax, ay), (bx, by) = drawn.outlines[name][:2]
            gyration2 = ((bx - ax) ** 2 + (by - ay) ** 2) / 12
    else:
        own, centre, gyration2 = 0.0, drawn.points[name], 0.0
    total = own + sum(weight for weight, _ in hung)
    if total == 0:
        return Mass(0.0, centre, gyration2, 0.0)
    parts = [(own, centre), *hung]
    x = sum(weight * p[0] for weight, p in parts) / total
    y = sum(weight * p[1] for weight, p in parts) / total
    spread = sum(weight * ((p[0] - x) ** 2 + (p[1] - y) ** 2) for weight, p in parts)
    return Mass(total, (x, y), (own * gyration2 + spread) / total, total)
