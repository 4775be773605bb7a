"""Whether a frame makes sense at its demonstration values, before any solver sees it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise

from simlab.errors import BadInput
from simlab.frame.model import GROUND, Body, Frame, Vec
from simlab.frame.quantity import Quantity
from simlab.frame.question import Name, Symbol

Complain = Callable[[str, str, str], BadInput]  # message, table, key
Places = Callable[[Vec], tuple[float, float]]
Number = Callable[[Quantity], float]

# How far, as a share of a rod's length, a point may lie beside "its" rod: rounding gives 1e-16;
# whoever types three figures instead of an exact expression is off by 1e-4.
BESIDE = 1e-9


def check(frame: Frame, complain: Complain, number: Number | None = None) -> None:
    """Raise what `complain` makes of the first thing that is wrong at the demonstration values.

    number : gives a quantity's number there, if it is known more quickly than it can be worked out
    """
    shown = frame.shown
    number = number or (lambda quantity: quantity.number(shown))

    def at(point: Vec) -> tuple[float, float]:
        return number(point[0]), number(point[1])

    for symbol in frame.symbols.values():
        _check_range(symbol, shown, complain)
    for name, point in frame.points.items():
        try:
            at(point)
        except BadInput as error:
            raise complain(str(error), "points", name) from None
    for body in frame.bodies.values():
        if body.kind == "rod":
            _check_rod(body, at, complain)
        if body.kind == "disc":
            _check_disc(body, frame, at, number, complain)
        if number(body.weight) < 0:
            raise complain(f"its weight {body.weight} is negative.", f"{body.kind}s", body.name)
    _check_links(frame, at, complain)
    _check_loads(frame, number, complain)


def _check_links(frame: Frame, at: Places, complain: Complain) -> None:
    for link in frame.links.values():
        for a, b in pairwise(link.places):
            if at(frame.points[a.point]) == at(frame.points[b.point]):
                what = "its two ends" if not link.over else f"{a.point} and {b.point}"
                raise complain(f"{what} are at the same place.", "members", link.name)


def _check_loads(frame: Frame, number: Number, complain: Complain) -> None:
    if number(frame.gravity) <= 0:
        raise complain(f"gravity must be above 0, got {frame.gravity}.", "", "gravity")
    for load in frame.loads.values():
        if load.kind == "weight" and number(load.value[0]) < 0:
            message = f"its weight {load.value[0]} is negative. A pull upwards is a force."
            raise complain(message, "loads", load.name)
    if not frame.bodies and all(GROUND in joint.bodies for joint in frame.joints.values()):
        raise complain("nothing here can move or carry: add a rod.", "rods", "")


def _check_range(symbol: Symbol, shown: Mapping[Name, Quantity], complain: Complain) -> None:
    value = symbol.shown.number()
    if symbol.found:
        if symbol.low and symbol.high and symbol.low.number(shown) >= symbol.high.number(shown):
            message = f"its range is empty: {symbol.high} is not above {symbol.low}."
            raise complain(message, "symbols", symbol.name)
        return
    above = symbol.low is None or symbol.low.number() <= value
    below = symbol.high is None or value <= symbol.high.number()
    if not (above and below):
        least = f"at least {symbol.written(symbol.low)}" if symbol.low else ""
        most = f"at most {symbol.written(symbol.high)}" if symbol.high else ""
        bounds = " and ".join(filter(None, (least, most)))
        message = f"the value {symbol.written(symbol.shown)} must be {bounds}."
        raise complain(message, "symbols", symbol.name)


def _check_rod(body: Body, at: Places, complain: Complain) -> None:
    (ax, ay), (bx, by) = (at(end) for end in body.outline)
    length2 = (bx - ax) ** 2 + (by - ay) ** 2
    if length2 == 0:
        raise complain("its two ends are at the same place; a rod needs a length.", "rods", body.name)
    for name, point in {**body.points, "its centre": body.centre}.items():
        x, y = at(point)
        beside = ((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length2
        along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length2
        if abs(beside) > BESIDE or not -BESIDE <= along <= 1 + BESIDE:
            raise complain(f"{name} does not lie on the rod.", "rods", body.name)


def _check_disc(body: Body, frame: Frame, at: Places, number: Number, complain: Complain) -> None:
    """Its points within it, and those where it touches something on its rim."""
    if body.radius is None:
        return
    radius = number(body.radius)
    (cx, cy) = at(body.centre)
    touching = {c.on.point for c in frame.contacts.values() if body.name in (c.on.body, c.by)}
    for name, point in body.points.items():
        x, y = at(point)
        gap = ((x - cx) ** 2 + (y - cy) ** 2) ** 0.5 / radius - 1
        if gap > BESIDE or (name in touching and gap < -BESIDE):
            where = "within it" if gap > BESIDE and name not in touching else "on its rim"
            raise complain(f"{name} is not {where}: its radius is {body.radius}.", "discs", body.name)
