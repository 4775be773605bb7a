"""The chain of equations with least effort: a shortest-path search backwards from what is asked.

A chain is closed when it has as many equations as unknowns. From a set U of unknowns that k equations
bring, each further equation can close the gap |U| - k by one at most, so

    effort so far + (|U| - k) * (least price of an equation)

never overestimates what a chain will cost (A*; P. Hart, N. Nilsson, B. Raphael, A Formal Basis for the
Heuristic Determination of Minimum Cost Paths, IEEE Trans. Systems Science and Cybernetics, 1968).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import combinations, count
from math import inf

from simlab.working import effort
from simlab.working.survey import Candidate

MOST_GAP = 4  # unknowns that may be open at once
MOST_LOOKED_AT = 12000  # states; then what has been found is offered
SINGULAR = 1e-8  # above what the survey keeps of a sum that is nothing at the values only

Block = tuple[Candidate, ...]  # equations that hold at once


@dataclass(frozen=True)
class Chain:
    """Blocks of equations in the order in which they are solved, and the unknowns each one finds."""

    blocks: tuple[Block, ...]
    finds: tuple[tuple[int, ...], ...]
    effort: float

    @property
    def equations(self) -> list[Candidate]:
        """All of them in order."""
        return [one for block in self.blocks for one in block]


def chains(
    candidates: Sequence[Candidate],
    targets: Sequence[int],
    known: int = 0,
    start: Sequence[Candidate] = (),
    within: float = inf,
    most: int = MOST_LOOKED_AT,
) -> Iterator[Chain]:
    """The chains that determine all targets, those of least effort first (nearly).

    `known`: a mask of unknowns that are known already; `start`: equations that must be in it; `within`: how
    much more than the best one may cost; `most`: states that are looked at.
    """
    needed = 0
    for target in targets:
        needed |= 1 << target
    for one in start:
        needed |= one.mask
    search = _Search(candidates, known, within)
    search.add(0.0, _cost(start), needed & ~known, tuple(start))
    yield from search.run(most)


class _Search:
    """The states still to be looked at, those that may be cheapest first, and the chains found."""

    def __init__(self, candidates: Sequence[Candidate], known: int, within: float) -> None:
        self.known = known
        self.within = within
        self.usable = _by_unknown(candidates, known)
        self.lowest = min((some[0].cost for some in self.usable.values()), default=effort.EQUATION)
        self.best = inf
        self._order = count()  # of two that cost the same the older one comes first
        self._queue: list[tuple[float, int, float, int, Block]] = []
        self._seen: set[frozenset[int]] = set()
        self._closed: list[tuple[float, int, Chain]] = []

    def add(self, bound: float, cost: float, union: int, used: Block) -> None:
        """A state: equations used, the unknowns they bring, their cost; a chain costs `bound` at least."""
        heappush(self._queue, (bound, next(self._order), cost, union, used))

    def run(self, most: int) -> Iterator[Chain]:
        """The chains, each as soon as none that is still open can cost less."""
        for _ in range(most):
            if not self._queue:
                break
            bound, _, cost, union, used = heappop(self._queue)
            while self._closed and self._closed[0][0] <= bound:
                yield heappop(self._closed)[2]
            if bound > self.best + self.within:
                break
            if union.bit_count() == len(used):
                self._close(used)
            else:
                self._extend(cost, union, used)
        while self._closed:
            yield heappop(self._closed)[2]

    def _close(self, used: Block) -> None:
        """As many equations as unknowns: a chain, unless they are dependent."""
        chain = ordered(used, self.known)
        if chain is not None:
            self.best = min(self.best, chain.effort)
            heappush(self._closed, (chain.effort, next(self._order), chain))

    def _extend(self, cost: float, union: int, used: Block) -> None:
        """The states with one equation more."""
        parts = {one.part for one in used}
        for one in _next(self.usable, union, used):
            wider = union | (one.mask & ~self.known)
            gap = wider.bit_count() - len(used) - 1
            total = cost + one.cost + (0.0 if one.part in parts else effort.DRAWING)
            bound = total + gap * self.lowest
            if gap > MOST_GAP or bound > self.best + self.within:
                continue
            key = frozenset((*map(id, used), id(one)))
            if key not in self._seen:
                self._seen.add(key)
                self.add(bound, total, wider, (*used, one))


def _cost(start: Sequence[Candidate]) -> float:
    return sum(one.cost for one in start) + effort.DRAWING * len({one.part for one in start})


def _by_unknown(candidates: Sequence[Candidate], known: int) -> dict[int, list[Candidate]]:
    """The candidates by each unknown that is not known yet, cheap ones first."""
    found: dict[int, list[Candidate]] = {}
    for one in sorted(candidates, key=lambda c: c.cost):
        left = one.mask & ~known
        if 0 < left.bit_count() <= MOST_GAP:
            for unknown in one.unknowns:
                if left >> unknown & 1:
                    found.setdefault(unknown, []).append(one)
    return found


def _next(usable: dict[int, list[Candidate]], union: int, used: Sequence[Candidate]) -> Iterator[Candidate]:
    """Equations with the first open unknown that fewest equations of the chain have."""
    shares = {}
    for unknown in usable:
        if union >> unknown & 1:
            shares[unknown] = sum(one.mask >> unknown & 1 for one in used)
    offered: set[int] = set()
    fewest = min(shares.values(), default=0)
    for unknown, share in shares.items():
        if share == fewest:
            for one in usable[unknown]:
                if id(one) not in offered and one not in used:
                    offered.add(id(one))
                    yield one


def ordered(equations: Sequence[Candidate], known: int) -> Chain | None:
    """The equations in the order in which they can be solved, few at once; None if they are dependent."""
    left = list(equations)
    blocks: list[Block] = []
    finds: list[tuple[int, ...]] = []
    while left:
        block = _solvable(left, known)
        if block is None:
            return None
        new = 0
        for one in block:
            new |= one.mask & ~known
            left.remove(one)
        blocks.append(block)
        finds.append(tuple(_bits(new)))
        known |= new
    total = sum(one.cost for one in equations) + sum(effort.together(len(block)) for block in blocks)
    total += effort.DRAWING * len({one.part for one in equations})
    return Chain(tuple(blocks), tuple(finds), total)


def _solvable(left: Sequence[Candidate], known: int) -> Block | None:
    """The smallest group of equations that can be solved next."""
    for size in range(1, len(left) + 1):
        for group in combinations(left, size):
            new = 0
            for one in group:
                new |= one.mask & ~known
            if new.bit_count() == size and _is_regular(group, list(_bits(new))):
                return group
    return None


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def _is_regular(group: Block, unknowns: Sequence[int]) -> bool:
    """Whether the equations of a block decide its unknowns."""
    return _rank(_matrix(group, unknowns)) == len(unknowns)


def rank(equations: Sequence[Candidate]) -> int:
    """How many of some equations are independent, whatever is known."""
    unknowns = sorted({unknown for one in equations for unknown in one.unknowns})
    return _rank(_matrix(equations, unknowns))


def _matrix(equations: Sequence[Candidate], unknowns: Sequence[int]) -> list[list[float]]:
    """The coefficients of some unknowns, a row for each equation, over its largest coefficient."""
    rows = []
    for one in equations:
        row = dict(one.row)
        largest = max(map(abs, row.values()), default=1.0)
        rows.append([row.get(unknown, 0.0) / largest for unknown in unknowns])
    return rows


def _rank(rows: list[list[float]]) -> int:
    """The rank by elimination with the largest pivots."""
    done = 0
    for column in range(len(rows[0]) if rows else 0):
        pivot = max(range(done, len(rows)), key=lambda i: abs(rows[i][column]), default=None)
        if pivot is None or abs(rows[pivot][column]) < SINGULAR:
            continue
        rows[done], rows[pivot] = rows[pivot], rows[done]
        for i in range(done + 1, len(rows)):
            factor = rows[i][column] / rows[done][column]
            rows[i] = [a - factor * b for a, b in zip(rows[i], rows[done], strict=True)]
        done += 1
    return done
