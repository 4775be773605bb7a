"""The parts into which a frame can be taken: connected bodies and pins, and the frame as a whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.frame.model import GROUND, Name
from simlab.results.wording import called, spaced
from simlab.working.interactions import Interactions

Nodes = frozenset[Name]
MOST_PARTS = 800  # beyond it only the smaller ones are looked at, and the frame as a whole


def parts(frame: Interactions) -> list[Nodes]:
    """Single nodes, then larger connected parts, the whole last; at most `MOST_PARTS`."""
    near = _neighbours(frame)
    whole = frozenset(frame.nodes)
    found: dict[Nodes, None] = {}
    ring = [frozenset((node,)) for node in frame.nodes]
    while ring and len(found) < MOST_PARTS:
        found.update(dict.fromkeys(ring))
        larger: dict[Nodes, None] = {}
        for part in ring:
            for node in frame.nodes:
                if node not in part and near[node] & part:
                    larger[part | {node}] = None
            if len(found) + len(larger) > MOST_PARTS:
                break
        ring = list(larger)
    found.pop(whole, None)
    kept = [part for part in found if _is_natural(frame, part)]
    return [*kept, whole]


def _is_natural(frame: Interactions, part: Nodes) -> bool:
    """Whether one would draw it.

    A pin alone; or bodies with the pins that are wholly inside; or one body with one more pin at its end.
    """
    if len(part) == 1:
        return True
    bodies = {node for node in part if node in frame.frame.bodies}
    edge = 0
    for pin in frame.pins:
        joined = {body for body in frame.frame.joints[pin].bodies if body != GROUND} - frame.light
        if not joined:
            continue
        inside = joined <= bodies
        if pin in part and not joined & bodies:
            return False
        if pin not in part and inside and GROUND not in frame.frame.joints[pin].bodies:
            return False
        edge += pin in part and not inside
    return not edge or (edge == 1 and len(bodies) == 1)


def _neighbours(frame: Interactions) -> dict[Name, set[Name]]:
    near: dict[Name, set[Name]] = {node: set() for node in frame.nodes}
    for one in frame.all:
        a, b = one.first.body, one.second.body
        if a in near and b in near:
            near[a].add(b)
            near[b].add(a)
    return near


def in_words(frame: Interactions, part: Nodes) -> str:
    """A part as one speaks of it: "the whole frame", "CD", "KL and LB together", "the pin B"."""
    names = list(named(frame, part))
    if part == frozenset(frame.nodes) and len(names) > 1:
        return "the whole frame"
    if len(names) == 1:
        return names[0]
    return f"{', '.join(names[:-1])} and {names[-1]} together"


def named(frame: Interactions, part: Nodes) -> Iterator[str]:
    """The bodies of a part in the frame's order; its pins only where they stand alone."""
    bodies = [name for name in frame.frame.bodies if name in part]
    for name in bodies:
        yield called(name)
    if len(bodies) == 1:
        edge = [pin for pin in frame.pins if pin in part and bodies[0] in frame.frame.joints[pin].bodies]
        yield from (f"the pin {spaced(pin)}" for pin in edge if len(part) > 1)
    held = set(bodies)
    for pin in frame.pins:
        if pin in part and not held & set(frame.frame.joints[pin].bodies):
            hung = _hung(frame, pin)
            yield called(hung) if hung else f"the pin {spaced(pin)}"


def _hung(frame: Interactions, pin: Name) -> Name | None:
    """What hangs on a pin that no body turns on: a chest on the end of a rope is called by its name."""
    loads = [load.name for load in frame.frame.loads.values() if load.place.body == pin]
    return loads[0] if len(loads) == 1 and not frame.frame.joints[pin].bodies else None


def given(frame: Interactions, words: str) -> Nodes | None:
    """The part that a teacher names: "whole", or bodies and pins with commas between; else None."""
    if words.strip().lower() in ("whole", "the whole", "whole frame", "the whole frame"):
        return frozenset(frame.nodes)
    hung = {_hung(frame, pin): pin for pin in frame.pins}
    said = [name.strip() for name in words.replace("+", ",").replace(" and ", ",").split(",")]
    names = [hung.get(name) or name for name in said]
    if any(name not in frame.nodes for name in names):
        return None
    return frozenset(names) | _inner(frame, names)


def _inner(frame: Interactions, bodies: Sequence[Name]) -> Nodes:
    """The pins that hold nothing but bodies of a part: they belong to it."""
    inside = set(bodies)
    return frozenset(
        pin
        for pin in frame.pins
        if len(bodies) > 1
        and set(frame.frame.joints[pin].bodies) - frame.light <= inside
        and frame.frame.joints[pin].bodies
    )
