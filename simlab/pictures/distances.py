"""Given distances in marks: along rods, between level or upright points, across and up, and radii."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import combinations

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Name
from simlab.frame.quantity import Quantity
from simlab.pictures.clearings import Beside, Clearings
from simlab.pictures.lengths import NEAR, OFF, GivenLength, given_lengths
from simlab.pictures.marks import Label, Mark, Points, Stroke
from simlab.pictures.mentions import Mention, lengths_in, nearness
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.rests import is_bowl
from simlab.pictures.structure import is_named, sides_towards

TICK = 11.0  # [page units] half length of the tick at the end of a length
ALL_ROUND, BELOW = (40.0, 140.0, -40.0, -140.0), (-40.0, -70.0, -110.0, -140.0)  # [deg] for a radius


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
            said_of = [pair for pair in fitting if set(mention.of) <= set(pair)]
            pair = min(said_of or fitting, key=partial(nearness, frame, mention.at))
            found.setdefault((pair, mention.measured), Distance(pair, mention.text, mention.measured))
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


@lru_cache(maxsize=8)  # a film asks for the same lines in every picture
def distance_lines(plan: Plan, grain: float) -> tuple[Mark, ...]:
    """The marks of all given lengths, distances and radii of a frame with its weights and angles."""
    return tuple(lines_among(plan, Clearings.of(plan, grain)))


def lines_among(plan: Plan, clearings: Clearings) -> Iterator[Mark]:
    """The marks of all given lengths, distances and radii, where other marks leave room.

    The shortest come first and nearest, each on the side where there is most bare paper.
    """
    spans = [
        ("length", [(rod, plan.outlines[rod], plan.centres[rod]) for rod in reversed(g.rods)], f"${g.tex}$")
        for g in _mentioned_lengths(plan)
    ]
    for distance in given_distances(plan):
        ends = np.array([plan.points[name] for name in distance.points])
        if distance.measured == "level":
            ends[:, 1] = ends[:, 1].min()
        elif distance.measured == "upright":
            left = ends.mean(axis=0)[0] < plan.middle[0]
            ends[:, 0] = ends[:, 0].min() if left else ends[:, 0].max()
        where = ("-".join(distance.points), ends, _middle_of_body(plan, distance))
        spans.append((distance.measured or "distance", [where], distance.text))
    spans.sort(key=lambda span: float(np.hypot(*(span[1][0][1][1] - span[1][0][1][0]))))
    for what, places, text in spans:
        lines = [(clearings.best(ends, plan.away(middle)), name) for name, ends, middle in places]
        line, name = min(lines, key=lambda found: found[0].cost)
        clearings.keep(line, text)
        yield from _length_line(f"{what} of {name}", line, text, clearings.grain)
    yield from _radii(plan, clearings)


def _middle_of_body(plan: Plan, distance: Distance) -> Points:
    """The centre of the body that two points are on, so that all its lines are on one side of it."""
    for name, points in plan.bodies.items():
        if not distance.measured and all(point in points for point in distance.points):
            return plan.centres[name]
    return np.mean([plan.points[point] for point in distance.points], axis=0)


def _mentioned_lengths(plan: Plan) -> list[GivenLength]:
    """Lengths of rods in a letter; of a letter that the question mentions, only as it does."""
    mentions = lengths_in(plan.frame)
    letters = {mention.letter for mention in mentions}
    said = {(mention.letter, mention.multiple) for mention in mentions}
    return [g for g in given_lengths(plan) if g.symbol not in letters or (g.symbol, g.multiple) in said]


def _length_line(name: str, line: Beside, text: str, grain: float) -> Iterator[Mark]:
    """A thin line with a tick at each end, and the length beside it."""
    a, b = line.ends
    tick = line.across * TICK * grain
    lift = np.array([np.nan, np.nan])
    points = np.array([a - tick, a + tick, lift, a, b, lift, b - tick, b + tick])
    yield Stroke(name=f"line of {name}", role="given", points=points)
    x, y = a + line.share * (b - a)
    yield Label(
        name=name,
        role="given name",
        anchor=(float(x), float(y)),
        text=text,
        size=FORCE,
        sides=sides_towards(line.across),
        clearance=10.0,
    )


def _radii(plan: Plan, clearings: Clearings) -> Iterator[Mark]:
    """The radius of each disc, bowl and cylinder that the question mentions, where it crosses least."""
    wanted = [mention for mention in lengths_in(plan.frame) if mention.measured == "radius"]
    said: set[str] = set()
    for name, centre, radius, bearings in _rounds(plan):
        for mention in wanted:
            unit = plan.values[mention.letter].number() if mention.letter else 1.0
            if abs(float(mention.multiple) * unit - radius) > NEAR * radius or mention.text in said:
                continue
            said.add(mention.text)
            turns = np.radians(bearings)
            rims = centre + radius * np.stack([np.cos(turns), np.sin(turns)], axis=1)
            lines = [np.array([centre, rim]) for rim in rims]
            line = max(lines, key=lambda line: np.count_nonzero(clearings.is_free(line)))
            yield Stroke(name=f"line of radius of {name}", role="given", points=line)
            x, y = line.mean(axis=0)
            yield Label(
                name=f"radius of {name}",
                role="given name",
                anchor=(float(x), float(y)),
                text=mention.text,
                size=FORCE,
                sides=("se", "nw", "s", "n"),
                clearance=8.0,
            )


def _rounds(plan: Plan) -> Iterator[tuple[Name, Points, float, tuple[float, ...]]]:
    """Every disc and round support: its name, centre, radius [m], and where to draw the radius [deg]."""
    for name, body in plan.frame.bodies.items():
        if body.radius is not None:
            centre = plan.centres[name]
            yield name, centre, float(np.hypot(*(plan.outlines[name][0] - centre))), ALL_ROUND
    for support in plan.frame.supports.values():
        if support.centre is not None and support.points:
            centre, rim = plan.points[support.centre], plan.points[support.points[0]]
            bearings = BELOW if is_bowl(plan, support) else ALL_ROUND
            yield support.name, centre, float(np.hypot(*(rim - centre))), bearings
