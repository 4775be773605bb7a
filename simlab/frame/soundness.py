"""Whether a frame makes sense at its demonstration values, before any solver sees it."""

from __future__ import annotations

from collections.abc import Callable

from simlab.errors import BadInput
from simlab.frame.model import GROUND, Body, Frame, Vec
from simlab.frame.question import Symbol

Complain = Callable[[str, str, str], BadInput]  # message, table, key

# How far, as a share of a rod's length, a point may lie beside "its" rod: rounding gives 1e-16;
# whoever types three figures instead of an exact expression is off by 1e-4.
BESIDE = 1e-9


def check(frame: Frame, complain: Complain) -> None:
    """Raise what `complain` makes of the first thing that is wrong at the demonstration values."""
    shown = frame.shown

    def at(point: Vec) -> tuple[float, float]:
        return point[0].number(shown), point[1].number(shown)

    for symbol in frame.symbols.values():
        _check_range(symbol, complain)
    for name, point in frame.points.items():
        try:
            at(point)
        except BadInput as error:
            raise complain(str(error), "points", name) from None
    for body in frame.bodies.values():
        if body.kind == "rod":
            _check_rod(body, at, complain)
        if body.weight.number(shown) < 0:
            raise complain(f"its weight {body.weight} is negative.", "rods", body.name)
    for link in frame.links.values():
        (ax, ay), (bx, by) = (at(frame.points[place.point]) for place in link.ends)
        if (ax, ay) == (bx, by):
            raise complain("its two ends are at the same place.", "members", link.name)
    _check_loads(frame, complain)


def _check_loads(frame: Frame, complain: Complain) -> None:
    if frame.gravity.number(frame.shown) <= 0:
        raise complain(f"gravity must be above 0, got {frame.gravity}.", "", "gravity")
    for load in frame.loads.values():
        if load.kind == "weight" and load.value[0].number(frame.shown) < 0:
            message = f"its weight {load.value[0]} is negative. A pull upwards is a force."
            raise complain(message, "loads", load.name)
    if not frame.bodies and all(GROUND in joint.bodies for joint in frame.joints.values()):
        raise complain("nothing here can move or carry: add a rod.", "rods", "")


def _check_range(symbol: Symbol, complain: Complain) -> None:
    value = symbol.shown.number()
    above = symbol.low is None or symbol.low.number() <= value
    below = symbol.high is None or value <= symbol.high.number()
    if not (above and below):
        least = f"at least {symbol.written(symbol.low)}" if symbol.low else ""
        most = f"at most {symbol.written(symbol.high)}" if symbol.high else ""
        bounds = " and ".join(filter(None, (least, most)))
        message = f"the value {symbol.written(symbol.shown)} must be {bounds}."
        raise complain(message, "symbols", symbol.name)


def _check_rod(body: Body, at: Callable[[Vec], tuple[float, float]], complain: Complain) -> None:
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
