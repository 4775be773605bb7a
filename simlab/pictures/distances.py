"""Given distances in marks: along rods, between level or upright points, across and up, and radii."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Name
from simlab.frame.quantity import Quantity
from simlab.pictures.lengths import NEAR, OFF, given_lengths
from simlab.pictures.marks import Label, Mark, Points, Stroke
from simlab.pictures.mentions import Mention, lengths_in, nearness
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.structure import is_named, sides_towards

# Sizes [page units]
APART = 90.0  # from a rod to the line of a length
FURTHER = 62.0  # from one line to the next one beside the same rod
TICK = 11.0  # half length of the tick at the end of a length
SLOPE = np.radians(40)  # bearing of a radius's line


@dataclass(frozen=True)
class Distance:
    """The distance between two points (or its level or upright part) that a question gives, as written."""

    points: tuple[Name, Name]
    text: str
    measured: str = ""


@lru_cache(maxsize=8)
def given_distances(plan: Plan) -> tuple[Distance, ...]:
    """The distances that the question mentions and that two named points have, whatever the letters are."""
    frame = plan.frame
    factor = Quantity.of(OFF)
    try:
        other = Plan.of(frame, {name: value * factor for name, value in plan.values.items()})
    except BadInput:  # no such shape: then letters cannot be told apart
        return ()
    names = [name for name in plan.points if is_named(plan, name)]
    said = {(g.symbol, g.multiple) for g in given_lengths(plan)}
    found: dict[tuple[tuple[Name, Name], str], Distance] = {}
    for mention in lengths_in(frame):
        if mention.measured == "radius" or (mention.letter, mention.multiple) in said:
            continue
        fitting = [
            pair
            for pair in combinations(names, 2)
            if _is(plan, pair, mention) and _is(other, pair, mention)
        ]
        if fitting:
            pair = min(fitting, key=lambda pair: nearness(frame, mention.at, pair))
            if not any(d.text == mention.text and d.measured == mention.measured for d in found.values()):
                found[pair, mention.measured] = Distance(pair, mention.text, mention.measured)
    return tuple(found.values())


def _is(plan: Plan, pair: tuple[Name, Name], mention: Mention) -> bool:
    """Whether two points have the distance mentioned: along a rod, or level, or upright."""
    a, b = (plan.points[name] for name in pair)
    dx, dy = np.abs(b - a)
    long = float(np.hypot(dx, dy))
    unit = plan.values[mention.letter].number() if mention.letter else 1.0
    value = float(mention.multiple) * unit
    if mention.measured:
        return bool(abs((dx if mention.measured == "level" else dy) - value) < NEAR * value)
    on_one = any(pair[0] in points and pair[1] in points for points in plan.bodies.values())
    straight = min(dx, dy) < NEAR * long
    return (on_one or straight) and abs(long - value) < NEAR * value


def distance_lines(plan: Plan, grain: float) -> Iterator[Mark]:
    """The marks of all given lengths and distances, those beside one rod one outside the other."""
    drawn: list[tuple[Points, Points]] = []
    spans: list[tuple[str, Points, str]] = []
    for distance in given_distances(plan):
        ends = np.array([plan.points[name] for name in distance.points])
        name = f"{distance.measured or 'distance'} {'-'.join(distance.points)}"
        if distance.measured == "level":
            ends[:, 1] = ends[:, 1].min()
        elif distance.measured == "upright":
            left = ends.mean(axis=0)[0] < plan.middle[0]
            ends[:, 0] = ends[:, 0].min() if left else ends[:, 0].max()
        spans.append((name, ends, distance.text))
    for length in given_lengths(plan):
        spans.append((f"length of {length.rod}", plan.outlines[length.rod], f"${length.tex}$"))
    for name, ends, text in sorted(spans, key=lambda span: float(np.hypot(*(span[1][1] - span[1][0])))):
        yield from _length_line(name, plan, ends, text, grain, drawn)
    yield from _radii(plan)


def _length_line(
    name: str, plan: Plan, ends: Points, text: str, grain: float, drawn: list[tuple[Points, Points]]
) -> Iterator[Mark]:
    """A thin line beside two points, on the outer side of the frame, with ticks and its length."""
    along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
    across = np.array([-along[1], along[0]])
    outwards = float(across @ plan.away(ends.mean(axis=0)))
    if outwards < -NEAR or (abs(outwards) <= NEAR and across[1] > 0):
        across = -across
    shift = APART
    while any(_meet(ends + across * shift * grain, other, grain) for other in drawn):
        shift += FURTHER
    a, b = ends + across * shift * grain
    drawn.append((a, b))
    tick = across * TICK * grain
    lift = np.array([np.nan, np.nan])
    points = np.array([a - tick, a + tick, lift, a, b, lift, b - tick, b + tick])
    yield Stroke(name=f"line of {name}", role="given", points=points)
    x, y = (a + b) / 2
    yield Label(
        name=name,
        role="given name",
        anchor=(float(x), float(y)),
        text=text,
        size=FORCE,
        sides=sides_towards(across),
        clearance=10.0,
    )


def _meet(ends: Points, other: tuple[Points, Points], grain: float) -> bool:
    """Whether two parallel lines lie on one another, or so near that their words would."""
    along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
    across = np.array([-along[1], along[0]])
    start, end = (float((point - ends[0]) @ along) for point in other)
    near = max(abs(float((point - ends[0]) @ across)) for point in other) < 0.9 * FURTHER * grain
    long = float(np.hypot(*(ends[1] - ends[0])))
    return near and min(start, end) < long * (1 - NEAR) and max(start, end) > long * NEAR


def _radii(plan: Plan) -> Iterator[Mark]:
    """The radius of each disc, bowl and cylinder that the question mentions."""
    wanted = [mention for mention in lengths_in(plan.frame) if mention.measured == "radius"]
    rounds = [
        (name, plan.centres[name], float(np.hypot(*(plan.outlines[name][0] - plan.centres[name]))))
        for name, body in plan.frame.bodies.items()
        if body.radius is not None
    ]
    for support in plan.frame.supports.values():
        if support.centre is not None and support.points:
            centre = plan.points[support.centre]
            rounds.append(
                (support.name, centre, float(np.hypot(*(plan.points[support.points[0]] - centre))))
            )
    said: set[str] = set()
    for name, centre, radius in rounds:
        for mention in wanted:
            unit = plan.values[mention.letter].number() if mention.letter else 1.0
            if abs(float(mention.multiple) * unit - radius) > NEAR * radius or mention.text in said:
                continue
            said.add(mention.text)
            way = np.array([np.cos(SLOPE), np.sin(SLOPE)])
            rim = centre + radius * way
            yield Stroke(name=f"line of radius of {name}", role="reference", points=np.array([centre, rim]))
            x, y = (centre + rim) / 2
            yield Label(
                name=f"radius of {name}",
                role="given name",
                anchor=(float(x), float(y)),
                text=mention.text,
                size=FORCE,
                sides=("se", "nw", "s", "n"),
                clearance=8.0,
            )
