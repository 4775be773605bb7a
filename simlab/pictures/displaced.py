"""A frame displaced: pale shapes of where it was, arrows of how far its weights and a member's ends go.

These arrows are lengths, to the scale of the frame, never forces: of a colour of their own, each from a
short stroke across its tail.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

import numpy as np

from simlab.frame.model import Link, Name
from simlab.pictures.marks import Arrow, Label, Mark, Points, Ring, Stroke, faded
from simlab.pictures.palette import SMALL
from simlab.pictures.plan import Plan
from simlab.pictures.structure import CENTRE, sides_towards, structure
from simlab.results.trace import Instant

TICK = 11.0  # [page units] half length of the stroke across an arrow's tail
LEAST = 6.0  # [page units]: a shorter way is not shown
STILL = 1e-6  # of the change of a member's length: an end that moves less is held


def ghost(
    plan: Plan,
    grain: float,
    instant: Instant | None,
    name: Name,
    opacity: float,
    removed: Collection[Name] = (),
) -> list[Mark]:
    """The frame in a shape that it had, pale; `name` tells one such shape from another."""
    marks = structure(plan, grain, instant, names=False, removed=removed)
    return faded([replace(mark, name=f"{mark.name} {name}") for mark in marks], opacity)


def falls(plan: Plan, grain: float, instant: Instant, loads: Collection[Name]) -> Iterator[Mark]:
    """How far the weights of bodies, and loads, have come down, or up, each from where it was."""
    for load in loads:
        before, after = _place(plan, load, None), _place(plan, load, instant)
        tip = np.array([before[0], after[1]])
        yield _dot(f"new place of {load}", after, CENTRE * grain)
        if abs(after[1] - before[1]) >= LEAST * grain:
            yield Stroke(name=f"level of {load}", role="level", points=np.array([tip, after]))
            yield from _way(f"fall of {load}", before, tip - before, grain)


def approach(plan: Plan, grain: float, instant: Instant, link: Link, letter: str = "") -> Iterator[Mark]:
    """How far the ends of a member have come together or apart, along where it would now be.

    `letter` : of the change of its length, as mathematics without dollar signs, to stand beside the arrows
    """
    was, now = (np.array([plan.at(place, at) for place in link.places]) for at in (None, instant))
    lengths = [float(np.hypot(*np.diff(points, axis=0).T).sum()) for points in (was, now)]
    change = lengths[1] - lengths[0]
    yield Stroke(name=f"line of {link.name}", role="reference", points=now)
    moves = [bool(np.hypot(*(now[end] - was[end])) > STILL * abs(change)) for end in (0, -1)]
    for end, inner, is_moved in ((0, 1, moves[0]), (-1, -2, moves[1])):
        outwards = now[end] - now[inner]
        outwards /= max(float(np.hypot(*outwards)), 1e-12)
        way = outwards * change * (is_moved / sum(moves))
        if np.hypot(*way) >= LEAST * grain:
            name, tail = f"way of {link.name} at {link.ends[end].point}", now[end] - way
            yield from _way(name, tail, way, grain)
            if letter:
                text = f"$\\frac{{1}}{{2}}{letter}$" if all(moves) else f"${letter}$"
                yield _words(f"words of {name}", text, tail, way)


def _words(name: Name, text: str, tail: Points, way: Points) -> Label:
    across = np.array([-way[1], way[0]])
    below = across if across[1] < 0 else -across
    return Label(
        name=name,
        role="name",
        anchor=(float(tail[0]), float(tail[1])),
        vector=(float(way[0]), float(way[1])),
        measure="length",
        text=text,
        size=SMALL,
        sides=sides_towards(below),
        stations=(0.5, 0.2, 0.8),
    )


def _place(plan: Plan, load: Name, instant: Instant | None) -> Points:
    """Where a weight or load acts: a body's centre, or the point that it hangs from."""
    if load in plan.frame.loads:
        return plan.at(plan.frame.loads[load].place, instant)
    return plan.centre(load, instant)


def _dot(name: Name, at: Points, radius: float) -> Ring:
    return Ring(name=name, role="centre", centre=(float(at[0]), float(at[1])), radius=radius)


def _way(name: Name, tail: Points, way: Points, grain: float) -> Iterator[Mark]:
    """An arrow of a length, with a stroke across its tail."""
    across = np.array([-way[1], way[0]]) * TICK * grain / np.hypot(*way)
    yield Stroke(name=f"start of {name}", role="way", points=np.array([tail - across, tail + across]))
    yield Arrow(
        name=name,
        role="way",
        tail=(float(tail[0]), float(tail[1])),
        vector=(float(way[0]), float(way[1])),
        measure="length",
    )
