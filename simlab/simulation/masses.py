"""What each body of the engine weighs, and where: rods with the weights that hang on them.

A hung weight is a particle fixed at its point, so it is part of the body it hangs on; on a pin it
is part of the body that carries the pin in the engine. A light rod, and a pin that joins light
members only, have no weight; the engine needs a mass for them, and cancels its weight.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot

from simlab.frame.model import GROUND, Frame, Link, Name, Place
from simlab.simulation.drawn import Drawn, Pair

# Mass of a body without weight in the showing, as a share of the mean mass of the others (or of the mean
# load, where nothing has weight): a thousandth shifts the first forces after a cut by less than that.
LIGHT = 0.001
# Mass of a knot of a string in the showing, likewise; what it needs to move is given to it (`running`).
KNOT = 0.1
# In a reading masses do not matter, and even ones converge soonest: the least mass of any body, as a share
# of the mean mass or of the largest applied force, whichever is more.
EVEN = 0.3


@dataclass(frozen=True)
class Mass:
    """What a body of the engine is made of.

    inert : the weight [N] that its mass stands for; centre [m] and square of the radius of gyration
    [m^2] of that mass; lift : the part of `inert` that is no weight [N], which acts at `lifted` [m].
    """

    inert: float
    centre: Pair
    gyration2: float
    lift: float
    lifted: Pair

    @property
    def weight(self) -> float:
        """The weight of the body and of what hangs on it [N]."""
        return self.inert - self.lift


def carrier(frame: Frame, pin: Name) -> Name:
    """The engine body that a pin is part of: the ground, its first rod, or a body of its own."""
    bodies = frame.joints[pin].bodies
    if GROUND in bodies:
        return GROUND
    return bodies[0] if bodies else pin


def home(frame: Frame, place: Place) -> Name:
    """The engine body that a place is part of."""
    return carrier(frame, place.body) if place.body in frame.joints else place.body


def knots(link: Link) -> dict[Name, Place]:
    """The engine bodies that are points of a string at its pegs, two at each.

    None where its tension is known.
    """
    over = () if link.is_given else link.over
    return {
        f"{link.name} over {place.point} ({i + 1}), {side}": place
        for i, place in enumerate(over)
        for side in ("on", "off")
    }


def masses(drawn: Drawn, even: bool = False) -> Mapping[Name, Mass]:
    """The mass of every engine body: the frame's bodies, then pins without a rod, and knots of strings.

    True masses, but for bodies without weight; or, for a reading, more even ones, their excess weight
    lifted.
    """
    frame = drawn.frame
    alone = {name: frame.joints[name].point for name in frame.free_pins}
    tied = {knot: place.point for link in frame.links.values() for knot, place in knots(link).items()}
    alone |= tied
    places = {name: drawn.points[point] for name, point in alone.items()}
    places |= {name: drawn.centres[name] for name in frame.bodies}
    hung: dict[Name, list[tuple[float, Pair]]] = {}
    for load in frame.loads.values():
        if load.kind == "weight":
            point = drawn.points[load.place.point]
            hung.setdefault(home(frame, load.place), []).append((-drawn.loads[load.name][1], point))
    heavy = [weight for weight in drawn.weights.values() if weight > 0]
    loads = [hypot(*force) for force in drawn.loads.values() if force != (0.0, 0.0)]
    typical = _mean(heavy or loads or [1.0])
    light, knot, least = LIGHT * typical, KNOT * typical, 0.0
    if even:
        applied = [hypot(*drawn.loads[load.name]) for load in frame.loads.values() if load.kind != "weight"]
        applied += [abs(couple) / drawn.size for couple in drawn.couples.values()]
        light = knot = least = EVEN * max(typical, *applied, 0.0)
    return {
        name: _merged(drawn, name, places[name], hung.get(name, []), knot if name in tied else light, least)
        for name in (*frame.bodies, *alone)
    }


def _mean(numbers: list[float]) -> float:
    return sum(numbers) / len(numbers)


def _gyration2(outline: list[Pair]) -> float:
    """That of a uniform rod along the first side of an outline [m^2]."""
    (ax, ay), (bx, by) = outline[:2]
    return ((bx - ax) ** 2 + (by - ay) ** 2) / 12


def _merged(
    drawn: Drawn, name: Name, centre: Pair, hung: list[tuple[float, Pair]], light: float, least: float
) -> Mass:
    """A body and the particles fixed to it (parallel axes)."""
    if name in drawn.frame.bodies:
        weight, gyration2 = drawn.weights[name], drawn.gyrations2[name]
        own = max(weight, least) if weight > 0 else light
        if gyration2 is None:  # a body that is settled but never released: any inertia will do
            radius = drawn.radii.get(name)
            gyration2 = _gyration2(drawn.outlines[name]) if radius is None else radius**2 / 2
    else:  # a pin or a knot: a particle, whose inertia must not be left to rounding
        own = light if not hung else 0.0
        weight = sum(part for part, _ in hung)
        return Mass(own + weight, centre, 0.0, own, centre)
    parts = [(own, centre), *hung]
    inert = sum(part for part, _ in parts)
    x = sum(part * p[0] for part, p in parts) / inert
    y = sum(part * p[1] for part, p in parts) / inert
    spread = sum(part * ((p[0] - x) ** 2 + (p[1] - y) ** 2) for part, p in parts)
    return Mass(inert, (x, y), (own * gyration2 + spread) / inert, own - weight, centre)
