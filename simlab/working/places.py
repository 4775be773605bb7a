"""Where moments may be taken about, and along which directions forces may be resolved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

import sympy as sp

from simlab.frame.model import GROUND, Name
from simlab.results.wording import called, spaced
from simlab.statics.velocity import Exact, cross, minus
from simlab.working import effort
from simlab.working.interactions import Interactions
from simlab.working.lines import Acting

Nodes = frozenset[Name]


@dataclass(frozen=True)
class Spot:
    """A point about which moments may be taken; `nodes` that it is on; its coordinates as given."""

    name: Name | None
    words: str
    at: Exact = field(compare=False)
    nodes: Nodes = frozenset()
    price: float = 0.0
    given: tuple[Any, Any] | None = field(default=None, compare=False)
    where: dict[Name, tuple[Any, Any]] = field(default_factory=dict, compare=False, hash=False, repr=False)
    mark: int = 0  # tells apart points that are constructed and called alike

    @property
    def key(self) -> object:
        """What tells it from other places."""
        return "about", self.words, self.mark

    def trouble(self, line: Acting) -> float:
        """What the arm of a force costs beyond one plain term."""
        if line.turning or self.given is None or line.point not in self.where:
            return 0.0
        x, y = self.where[line.point]
        level, upright = line.way[1].is_zero, line.way[0].is_zero
        across = 0 if level else _terms(x - self.given[0])
        up = 0 if upright else _terms(y - self.given[1])
        slant = 0.0 if level or upright else effort.SLANT
        return slant + effort.ARM_TERM * max(across + up - 1, 0)


@dataclass(frozen=True)
class Direction:
    """A direction along which forces may be resolved, `way` of any length.

    `of`: the nodes that it belongs to, if it is oblique.
    """

    words: str
    way: Exact = field(compare=False)
    of: Nodes | None = None
    price: float = 0.0

    @property
    def key(self) -> object:
        """What tells it from other places."""
        return "along", self.words

    def trouble(self, line: Acting) -> float:
        """What the component of a force costs."""
        if line.turning:
            return 0.0
        square = (line.way[0] * self.way[0] + line.way[1] * self.way[1]).is_zero
        return 0.0 if square or cross(line.way, self.way).is_zero else effort.SLANT


def _terms(difference: Any) -> int:
    return 0 if difference == 0 else len(sp.Add.make_args(difference))


def spots(frame: Interactions) -> list[Spot]:
    """Every named point at which something acts, hinges and supports first; then centres of weight."""
    model = frame.frame
    where = {name: (p[0].expr, p[1].expr) for name, p in model.points.items()}
    held = {joint.point for joint in model.joints.values()}
    held |= {contact.on.point for contact in model.contacts.values()}
    found = []
    on = _nodes_at(frame)
    for name, at in frame.points.items():
        price = 0.0 if name in held else effort.ODD_POINT
        if name in on:
            found.append(Spot(name, point_words(name), at, frozenset(on[name]), price, where[name], where))
    known = {(spot.at[0], spot.at[1]) for spot in found}
    for body in model.bodies.values():
        centre = frame.centres[body.name]
        if not body.is_light and (centre[0], centre[1]) not in known:
            words = f"the {'middle' if body.kind == 'rod' else 'centre'} of {called(body.name)}"
            exprs = body.centre[0].expr, body.centre[1].expr
            found.append(Spot(None, words, centre, frozenset((body.name,)), effort.ODD_POINT, exprs, where))
    return found


def point_words(name: Name) -> str:
    """A point as one speaks of it: "A", "the middle of AB"."""
    words = spaced(name)
    return f"the {words}" if words.startswith(("middle", "centre", "end")) else words


def _nodes_at(frame: Interactions) -> dict[Name, set[Name]]:
    found: dict[Name, set[Name]] = {}
    for body in frame.frame.bodies.values():
        for point in body.points:
            found.setdefault(point, set()).add(body.name)
    for one in frame.all:
        for place in (one.first, one.second):
            if place.body != GROUND:
                found.setdefault(place.point, set()).add(place.body)
    return found


def crossings(lines: Sequence[Acting], known: Sequence[Spot]) -> dict[tuple[int, int], Spot]:
    """Where the lines of two forces of known direction meet, away from named points; by their numbers."""
    counts: dict[tuple[Name, Name], int] = {}
    for line in lines:
        if line.unknown is not None or line.second is not None:
            counts[line.first.body, line.what] = counts.get((line.first.body, line.what), 0) + 1
    single = [
        i
        for i, line in enumerate(lines)
        if line.unknown is not None and not line.turning and counts[line.first.body, line.what] == 1
    ]
    taken = {(spot.at[0], spot.at[1]) for spot in known}
    found = {}
    for i, j in combinations(single, 2):
        a, b = lines[i], lines[j]
        between = cross(a.way, b.way)
        if a.what == b.what or between.is_zero or between.sign() == 0:
            continue
        along = cross(minus(b.at, a.at), b.way) / between
        at = a.at[0] + along * a.way[0], a.at[1] + along * a.way[1]
        if at not in taken:
            words = f"the point where the lines of {_force(a)} and {_force(b)} meet"
            found[i, j] = Spot(None, words, at, frozenset(), effort.CROSSING, mark=len(lines) * (i + 1) + j)
    return found


def _force(line: Acting) -> str:
    """A force of known direction as one speaks of it: "the rope", "the reaction at B"."""
    is_contact = line.keys[0] is not None and line.keys[0].by != line.what
    return f"the reaction at {spaced(line.first.point)}" if is_contact else called(line.what)


def directions(frame: Interactions) -> list[Direction]:
    """Level and upright, then along and square to every oblique rod and light member."""
    zero, one = frame.field.zero, frame.field.one
    found = [Direction("horizontally", (one, zero)), Direction("vertically", (zero, one))]
    for body in frame.frame.bodies.values():
        if body.kind == "rod" and body.name not in frame.light:
            a, b = (frame.vec(end) for end in body.outline[:2])
            found += _both(called(body.name), minus(b, a), frozenset((body.name,)))
    for held in frame.all:
        what = frame.unknowns[held.ways[0][0]].at if held.ways else ""
        if what in frame.light:
            nodes = frozenset((held.first.body, held.second.body))
            found += _both(called(what), held.ways[0][1], nodes)
    for link in frame.frame.links.values():
        if not link.over:
            found += _both(called(link.name), frame.along(link.name), frozenset((link.name,)))
    return found


def _both(name: str, along: Exact, of: Nodes) -> Iterator[Direction]:
    """Along and square to something, where that is oblique."""
    if along[0].is_zero or along[1].is_zero:
        return
    x, y = along
    yield Direction(f"along {name}", (x, y), of, effort.OBLIQUE)
    yield Direction(f"perpendicular to {name}", (-y, x), of, effort.OBLIQUE)
