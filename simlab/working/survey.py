"""Every equation that a class could write for a frame, in numbers: which unknowns it brings, what it costs.

A look, not a proof: zeros are exact (a number that is nearly 0 is decided in the field), the rest is rough.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations

from simlab.exact.element import Element
from simlab.exact.price import price
from simlab.exact.rounding import rounded
from simlab.frame.model import Name
from simlab.results.working import Method
from simlab.statics.velocity import dot
from simlab.working import effort
from simlab.working.interactions import Interactions
from simlab.working.lines import Acting, lines
from simlab.working.parts import Nodes, parts
from simlab.working.places import Direction, Spot, crossings, directions, spots
from simlab.working.reduction import Reduction

NEARLY = 1e-9  # of the largest: smaller ones are looked at exactly
BITS = 64
MANY_PARTS = 400  # in a frame of more parts no point is constructed
ALIKE = 3  # equations with the same unknowns that are kept


@dataclass(frozen=True)
class Candidate:
    """An equation that could be written: of a part, about a spot or along a direction.

    `row`: the coefficients of the unknowns left (in numbers); `mask` has a bit for each of them.
    """

    part: Nodes
    method: Method
    place: Spot | Direction
    row: tuple[tuple[int, float], ...]
    cost: float
    mask: int = 0
    same: tuple[float, ...] = field(default=(), compare=False)

    @property
    def unknowns(self) -> list[int]:
        """The unknowns that it brings."""
        return [unknown for unknown, _ in self.row]


class Survey:
    """The equations of a frame, parts smallest first, with what symmetry says put in."""

    def __init__(self, frame: Interactions, reduction: Reduction) -> None:
        self.frame = frame
        self.reduction = reduction
        self.lines = lines(frame)
        self.parts = parts(frame)
        self.spots = spots(frame)
        self.directions = directions(frame)
        self.crossings = crossings(self.lines, self.spots) if len(self.parts) < MANY_PARTS else {}
        self.sizes = [0.0 if line.size is None else _number(line.size) for line in self.lines]
        self._prices: dict[tuple[int, object], float] = {}
        self._known: dict[tuple[int, object], tuple[Element, float]] = {}

    @cached_property
    def candidates(self) -> list[Candidate]:
        """All of them, cheap ones first; of those that say the same only the one that costs least."""
        best: dict[tuple[float, ...], Candidate] = {}
        for part in self.parts:
            for candidate in self.of_part(part):
                known = best.get(candidate.same)
                if known is None or candidate.cost < known.cost:
                    best[candidate.same] = candidate
        alike: dict[int, int] = {}
        kept = []
        for candidate in sorted(best.values(), key=lambda one: one.cost):
            alike[candidate.mask] = alike.get(candidate.mask, 0) + 1
            if alike[candidate.mask] <= ALIKE or not candidate.mask:
                kept.append(candidate)
        return kept

    def of_part(self, part: Nodes) -> Iterator[Candidate]:
        """The equations of one part."""
        acting = self._acting(part)
        near = {node for i, _ in acting for node in self._names(self.lines[i])}
        for spot in self.spots:
            if spot.name in near or spot.nodes & part:
                yield from self._candidate(part, "moments", spot, acting)
        for pair in combinations([i for i, _ in acting], 2):
            if pair in self.crossings:
                yield from self._candidate(part, "moments", self.crossings[pair], acting)
        for direction in self.directions:
            if direction.of is None or direction.of & (part | near):
                yield from self._candidate(part, "resolving", direction, acting)

    @cached_property
    def _is_round_pulleys(self) -> bool:
        """Whether a string of the frame runs over pulleys."""
        return any(link.over for link in self.frame.frame.links.values())

    def one(self, part: Nodes, method: Method, place: Spot | Direction) -> Candidate | None:
        """The equation that somebody asks for; None if nothing at all is in it."""
        acting = self._acting(part)
        return next(self._candidate(part, method, place, acting), None)

    def _acting(self, part: Nodes) -> list[tuple[int, int]]:
        """The lines of action on a part by their numbers, and on which side of each it is."""
        senses = [(i, line.sense_on(part)) for i, line in enumerate(self.lines)]
        return [(i, sense) for i, sense in senses if sense]

    @staticmethod
    def _names(line: Acting) -> tuple[Name, ...]:
        return (line.what,) if line.point is None else (line.what, line.point)

    # one equation

    def share(self, i: int, place: Spot | Direction) -> tuple[Element, float]:
        """What a line of action brings about a spot or along a direction, exactly and in numbers."""
        key = i, place.key
        if key not in self._known:
            line, zero = self.lines[i], self.frame.field.zero
            raw = line.moment(place.at) if isinstance(place, Spot) else line.along(place.way)
            exact = raw if isinstance(raw, Element) else zero + raw
            if line.factor is not None:
                exact = exact * self.frame.element(line.factor)
            self._known[key] = exact, _number(exact)
        return self._known[key]

    def count(self, one: Candidate) -> int:
        """How many forces stand in an equation."""
        return sum(
            bool(line.sense_on(one.part)) and bool(self.share(i, one.place)[1])
            for i, line in enumerate(self.lines)
        )

    def depends_on(self, one: Candidate, letter: Name) -> bool:
        """Whether an equation changes with a letter."""
        for i, line in enumerate(self.lines):
            if line.sense_on(one.part):
                exact = self.share(i, one.place)[0]
                whole = exact if line.size is None else exact * line.size
                if not whole.is_zero and whole.depends_on(letter):
                    return True
        return False

    def price(self, i: int, place: Spot | Direction) -> float:
        """The price of that arm or cosine as it is written."""
        key = i, place.key
        if key not in self._prices:
            self._prices[key] = price(self.frame.printed(self._written(i, place)).expr)
        return self._prices[key]

    def _written(self, i: int, place: Spot | Direction) -> Element:
        """The share per newton of the force, along a unit vector."""
        share, _ = self.share(i, place)
        line = self.lines[i]
        ways = [] if line.turning else [line.way]
        if isinstance(place, Direction):
            ways.append(place.way)
        for way in ways:
            square = dot(way, way)
            if square != 1:
                self.frame.field, length = self.frame.field.with_root(square)
                share = share / length
        return share

    def _candidate(
        self, part: Nodes, method: Method, place: Spot | Direction, acting: Sequence[tuple[int, int]]
    ) -> Iterator[Candidate]:
        sums: dict[int, list[tuple[int, int]]] = {}
        loads: list[tuple[int, int]] = []
        for i, sense in acting:
            unknown = self.lines[i].unknown
            if unknown is None:
                loads.append((i, sense))
                continue
            image = self.reduction.image[unknown]
            if image is not None:
                sums.setdefault(image[0], []).append((i, sense * image[1]))
        row = []
        for unknown, terms in sums.items():
            value = self._sum(place, terms)
            if value:
                row.append((unknown, value))
        load = self._sum(place, loads, weighed=True)
        used = [i for i, _ in acting if self.share(i, place)[1]]
        cost = self._cost(part, method, place, row, used)
        if not row:
            if used and self.frame.by_length:  # it says something of letters that are to be found
                key = hash((tuple(sorted(part)), place.key))
                yield Candidate(part, method, place, (), cost, 0, (key,))
            return
        row.sort()
        scale = max(abs(value) for _, value in row)
        lead = row[0][1] / scale
        ratios = [round(x, 7) for u, v in row for x in (u, v / scale / lead)]
        same = (*ratios, round(load / scale / lead, 7))
        mask = sum(1 << unknown for unknown, _ in row)
        yield Candidate(part, method, place, tuple(row), cost, mask, same)

    def _sum(
        self, place: Spot | Direction, terms: Sequence[tuple[int, int]], weighed: bool = False
    ) -> float:
        """The sum of what some lines bring, in numbers, an exact 0 where it is nothing."""
        total, largest = 0.0, 0.0
        for i, sense in terms:
            value = self.share(i, place)[1] * (self.sizes[i] if weighed else 1.0)
            total, largest = total + sense * value, max(largest, abs(value))
        if abs(total) > NEARLY * largest:
            return total
        if weighed or len(terms) < 2 or not largest:
            return 0.0
        zero = self.frame.field.zero
        exact = sum((self.share(i, place)[0] * sense for i, sense in terms), zero)
        return 0.0 if exact.is_zero else NEARLY * largest

    def _cost(
        self,
        part: Nodes,
        method: Method,
        place: Spot | Direction,
        row: Sequence[tuple[int, float]],
        used: Sequence[int],
    ) -> float:
        whole = len(part) == len(self.frame.nodes) and len(part) > 1
        size = effort.WHOLE if whole else effort.SINGLE
        if len(part) > 1 and not whole:
            bodies = sum(node in self.frame.frame.bodies for node in part) or len(part)
            size = effort.GROUP + effort.FURTHER * max(bodies - 2, 0)
        elif method == "moments" and part <= set(self.frame.pins):
            size += effort.ABOUT_PIN
        total = effort.EQUATION + size + place.price + (effort.MOMENTS if method == "moments" else 0.0)
        given = [i for i in used if self.lines[i].unknown is None]
        # equal weights are written once where forces are resolved, but each has an arm of its own
        distinct = {(self.sizes[i], i if method == "moments" else self.share(i, place)[1]) for i in given}
        total += effort.FORCE * len(distinct)
        total += effort.ROUND_PULLEY if whole and self._is_round_pulleys else 0.0
        total += sum(place.trouble(self.lines[i]) for i in used)
        return total + effort.UNKNOWN * len(row)


def _number(element: Element) -> float:
    return 0.0 if element.is_zero else float(rounded(element, BITS))
