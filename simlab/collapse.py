"""Joins two runs of one collapse by time, up to the first event after which none can be compared.

The bounds hold at 600 samples a second. The comparison stops by rule: at the first contact made or lost,
string slack or taut, strut fallen, slip or nearly flat fold on either road, and at 3 s: later than that a
chaotic frame cannot be predicted by anyone, and what touches or jerks depends on more than rigid rods.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import dist, inf

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values, Vec
from simlab.results.collapse import Collapse, Followed, Stray
from simlab.results.comparison import Agreement
from simlab.results.forces import Key
from simlab.results.trace import Event, Floats, Trace
from simlab.results.wording import called, capital

PATHS = 3e-4  # of the frame's size
ENERGY = 2e-4  # of total weight times size
FORCES = 5e-4  # of the largest force
LONGEST = 3.0  # [s]
SAME = 1e-9  # [s]: times that are one
AT_ONCE = 0.01  # [s]: a member that lets go at the cut is seen a few steps later where time is stepped
STILL = 1e-3  # of sqrt(size g): a frame that moves faster at the cut was not at rest
GUARD = 2  # samples before an event: where time is stepped it is seen that much late, or early
FEWEST = 10  # moments, or there is nothing to speak of

_MEANS: dict[str, str] = {
    "slack": "{} went slack",
    "taut": "{} came taut",
    "fallen": "{} fell out",
    "lifted": "{} lifted off",
    "slip": "{} slipped",
    "singular": "the frame was nearly folded flat",
}
_LEAVES: dict[str, str] = {"lifted": "lifted off", "slip": "slipped on"}


def follow(
    frame: Frame, values: Values, left: Trace, right: Trace, open_forces: Collection[Key | Name] = ()
) -> Collapse:
    """Compare two runs of one frame after the same cut, both from time 0.

    `open_forces` are those that rigid bodies leave open: they are compared with nothing.
    """
    if set(left.keys) != set(right.keys) or left.bodies != right.bodies or left.values != right.values:
        raise BadInput("the two runs are not of the same frame at the same values. Run both again.")
    drawn = _Drawn(frame, values)
    end = _end(left, right)
    limit = LONGEST if end is None else end.time
    i, j = _common(left.time, right.time, limit, end is not None)
    roads = left.road, right.road
    times, ended = left.time[i], _in_words(frame, end)
    advice = _unlike(drawn, left, right, end)
    if not advice and len(i) < FEWEST:
        moments = "moment" if len(i) == 1 else "moments"
        advice = f"Only {len(i)} {moments} before {ended}: too few to compare."
    if advice:
        return Collapse(roads, limit, end, len(i), (), "not comparable", advice, ended, times)
    bodies = left.bodies
    away = np.abs(left.poses[i] - right.poses[j])
    paths = (
        np.hypot(away[..., 0], away[..., 1]) + away[..., 2] * drawn.reach
    )  # of the farthest corner, at most
    wandered = np.hypot(*np.moveaxis(left.pins[i] - right.pins[j], -1, 0))
    paths, followed = np.hstack([paths, wandered]), (*bodies, *left.free_pins)
    energy = np.abs(left.energy[i].sum(axis=1) - right.energy[j].sum(axis=1))[:, None]
    scale = _largest(left.forces[i]) or 1.0
    found = (
        _worst("paths", followed, times, paths, drawn.size, PATHS),
        _worst("energy", [frame.name], times, energy, drawn.weight * drawn.size, ENERGY),
        _forces(left, right, i, j, scale, open_forces),
    )
    strays = tuple(stray for stray in found if stray is not None)
    agrees = all(stray.agrees for stray in strays)
    until = float(times[-1])
    advice = f"Compared at {len(i)} moments, " + (
        f"for the whole {until:.2f} s." if end is None else f"up to {until:.2f} s: then {ended}."
    )
    agreement: Agreement = "agree" if agrees else "differ"
    return Collapse(roads, until, end, len(i), strays, agreement, advice, ended, times)


def _unlike(drawn: _Drawn, left: Trace, right: Trace, end: Event | None) -> str:
    """Why two runs do not start alike, or end as they start; nothing if they can be compared."""
    starts = [int(np.searchsorted(trace.time, -SAME)) for trace in (left, right)]
    first, second = (trace.poses[i] for trace, i in zip((left, right), starts, strict=True))
    moving = max(
        float(np.abs(trace.velocities[i] * drawn.lengths).max(initial=0.0))
        for trace, i in zip((left, right), starts, strict=True)
    )
    apart = float(np.abs((first - second) * drawn.lengths).max(initial=0.0))
    if apart > PATHS * drawn.size or moving > STILL * (drawn.size * drawn.gravity) ** 0.5:
        return "With all its members in place the frame does not rest as it is drawn: nothing is compared."
    if end is not None and end.kind == "slip" and end.time <= AT_ONCE:
        return f"{capital(_in_words(drawn.frame, end))} at once: what follows is not compared."
    return ""


def _in_words(frame: Frame, end: Event | None) -> str:
    if end is None:
        return "the three seconds, or the shorter run, were over"
    if end.kind == "contact" and end.about in frame.joints:
        return f"neighbours met at {end.about}"
    if end.about in frame.links and end.kind in ("contact", "lifted"):
        what = "had its end at its peg" if end.kind == "contact" else "came off its peg"
        return f"{called(end.about)} {what}"
    if end.kind == "contact":
        met = [_thing(frame, name) for name in end.about.split(", ")]
        return f"{' and '.join(met)} met" if len(met) > 1 else f"{met[0]} was met"
    contact = frame.contacts.get(end.about)
    if contact is not None and end.kind == "off":
        return f"{contact.on.body} slid off {called(contact.by)}"
    if contact is not None and end.kind in _LEAVES:
        return f"{contact.on.point} {_LEAVES[end.kind]} {called(contact.by)}"
    return _MEANS[end.kind].format(called(end.about))


def _thing(frame: Frame, name: Name) -> str:
    """What is met, as one speaks of it; the wall that a hinge or hook is on."""
    support = frame.supports.get(name)
    return called(name) if support is None or support.faces is None else "the wall"


def _end(left: Trace, right: Trace) -> Event | None:
    """The first event that ends it; what lets go at the cut on both roads does not."""

    def telling(trace: Trace) -> list[Event]:
        return [event for event in trace.events if event.kind != "cut" and event.time >= 0]

    at_once = [{(e.kind, e.about) for e in telling(trace) if e.time <= AT_ONCE} for trace in (left, right)]
    both = at_once[0] & at_once[1]
    ends = [
        event
        for trace in (left, right)
        for event in telling(trace)
        if (event.kind == "slip" or not (event.time <= AT_ONCE and (event.kind, event.about) in both))
        and event.time < LONGEST
    ]
    return min(ends, key=lambda event: event.time, default=None)


def _common(left: Floats, right: Floats, limit: float, guarded: bool) -> tuple[list[int], list[int]]:
    """The samples of both roads at the same times from 0 on, before the limit."""
    pairs = []
    for i, time in enumerate(left):
        j = int(np.searchsorted(right, time - SAME))
        if -SAME <= time <= limit + SAME and j < len(right) and abs(right[j] - time) <= SAME:
            pairs.append((i, j))
    if guarded:
        pairs = pairs[: len(pairs) - GUARD]
    return [i for i, _ in pairs], [j for _, j in pairs]


def _largest(forces: Floats) -> float:
    """The largest force of all that act [N]."""
    sizes = np.hypot(forces[..., 0], forces[..., 1])
    return float(np.nanmax(sizes, initial=0.0))


class _Drawn:
    """Of what the bounds are shares: the frame's size [m] and weight [N]; how far each body reaches [m]."""

    def __init__(self, frame: Frame, values: Values) -> None:
        def pair(vec: Vec) -> tuple[float, float]:
            return vec[0].number(values), vec[1].number(values)

        points = np.array([pair(vec) for vec in frame.points.values()])
        self.size = float(np.ptp(points, axis=0).max()) or 1.0
        weights = [body.weight.number(values) for body in frame.bodies.values()]
        weights += [abs(part.number(values)) for load in frame.loads.values() for part in load.value]
        self.weight = sum(weights) or 1.0
        self.frame, self.gravity = frame, frame.gravity.number(values)
        self.lengths = np.array([1.0, 1.0, self.size])  # turns count by the frame's size
        self.reach = np.array(
            [
                max((dist(pair(body.centre), pair(corner)) for corner in body.outline), default=0.0)
                for body in frame.bodies.values()
            ]
        )


def _worst(
    respect: Followed,
    names: Sequence[Key | Name],
    times: Floats,
    apart: Floats,
    scale: float,
    allowed: float,
) -> Stray | None:
    """The largest of apart, shape (times, names); a number on one road only is infinitely far."""
    if not names:  # particles on strings: no body to follow
        return None
    i, j = (int(k) for k in np.unravel_index(int(np.argmax(apart)), apart.shape))
    course = apart.max(axis=1) / scale
    return Stray(respect, names[j], float(times[i]), float(course[i]), scale, allowed, course)


def _forces(
    left: Trace, right: Trace, i: list[int], j: list[int], scale: float, open_forces: Collection[Key | Name]
) -> Stray | None:
    """The farthest reaction or tension, of those that the two know."""
    keys = [key for key in left.keys if key not in open_forces]
    links = [name for name in left.links if name not in open_forces]
    if not keys and not links:
        return None
    sides = []
    for trace, rows in ((left, i), (right, j)):
        columns = [trace.keys.index(key) for key in keys]
        members = [trace.links.index(name) for name in links]
        sides.append((trace.forces[rows][:, columns, :2], trace.tensions[rows][:, members]))
    (f, t), (g, u) = sides
    apart = np.hstack([_apart(f - g, f, g).max(axis=2, initial=0.0), _apart(t - u, t, u)])
    return _worst("forces", [*keys, *links], left.time[i], apart, scale, FORCES)


def _apart(difference: Floats, one: Floats, other: Floats) -> Floats:
    """Sizes; nothing where neither road has a number, infinite where only one has."""
    none, single = np.isnan(one) & np.isnan(other), np.isnan(one) ^ np.isnan(other)
    return np.asarray(np.where(none, 0.0, np.where(single, inf, np.abs(difference))), np.float64)
