"""The chains that are offered: each needed to its last equation, no two the same, by one's own rules."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice

from simlab.working import effort
from simlab.working.search import Chain, chains, ordered
from simlab.working.survey import Candidate, Survey

OFFERED = 3
CLOSE = 1.5  # chains that cost no more than this above the best are looked at
FAR = 5.0  # the same, where there are too few of those
TELLING = 3  # forces in an equation that checks something
MOST_PRICED = 6
MOST_STATES = 4000  # that are looked at for the ways to one thing asked
LOOKED_THROUGH = 400  # chains; further ones cost far more than the first


def offered(
    survey: Survey,
    targets: Sequence[int],
    count: int = OFFERED,
    start: Sequence[Candidate] = (),
    allows: Callable[[Candidate], bool] | None = None,
    known: Sequence[int] = (),
) -> list[Chain]:
    """The best chains to the targets, of equations that are allowed; `start` must be among them.

    `known`: unknowns that have been found already.
    """
    candidates = [one for one in survey.candidates if allows is None or allows(one)]
    found: list[Chain] = []
    for within in (CLOSE, FAR):
        found_so_far = chains(candidates, targets, _mask(known), start, within, MOST_STATES)
        found = list(_distinct(found_so_far, targets, not start))
        if len(found) >= count:
            break
    if not found and not start:
        found = _plodding(survey, candidates, targets, known)
    if len(found) == 1:
        return found
    priced = [replace(chain, effort=chain.effort + awkwardness(survey, chain)) for chain in found]
    return sorted(priced, key=lambda chain: chain.effort)[:count]


def _plodding(
    survey: Survey, candidates: Sequence[Candidate], targets: Sequence[int], known: Sequence[int]
) -> list[Chain]:
    """The chain that finds one unknown after another, without what is not needed; for large frames."""
    before = (tuple(known),) if known else ()
    whole = completed(survey, Chain((), before, 0.0), candidates)
    needed, blocks = set(targets), []
    for block, finds in reversed(list(zip(whole.blocks, whole.finds[bool(known) :], strict=True))):
        if needed & set(finds):
            blocks.append(block)
            needed |= {unknown for one in block for unknown in one.unknowns}
    found = {unknown for finds in whole.finds for unknown in finds}
    if not needed <= found:
        return []
    chain = ordered([one for block in reversed(blocks) for one in block], _mask(known))
    return [] if chain is None else [chain]


def _distinct(some: Iterator[Chain], targets: Sequence[int], only_needed: bool) -> Iterator[Chain]:
    """The first few chains, no two of the same equations, each needed to the last."""
    seen: set[frozenset[object]] = set()
    for chain in islice(some, LOOKED_THROUGH):
        said = frozenset((one.part, one.method, one.place.words) for one in chain.equations)
        if said not in seen and not (only_needed and not _is_needed(chain, targets)):
            seen.add(said)
            yield chain
            if len(seen) == MOST_PRICED:
                return


def awkwardness(survey: Survey, chain: Chain) -> float:
    """What the arms and cosines of a chain cost as they are written; more where equations hold at once."""
    total = 0.0
    for block in chain.blocks:
        for one in block:
            for i, line in enumerate(survey.lines):
                if line.sense_on(one.part) and survey.share(i, one.place)[1]:
                    beyond = max(survey.price(i, one.place) - effort.PLAIN_ARM, 0.0)
                    total += len(block) * effort.AWKWARD * beyond
    return total


def _is_needed(chain: Chain, targets: Sequence[int]) -> bool:
    """Whether every block finds something that the targets or a later block need."""
    needed = set(targets)
    for block, finds in zip(reversed(chain.blocks), reversed(chain.finds), strict=True):
        if not needed & set(finds):
            return False
        needed |= {unknown for one in block for unknown in one.unknowns}
    return True


def completed(survey: Survey, chain: Chain, candidates: Sequence[Candidate] | None = None) -> Chain:
    """The chain carried on to every other unknown, one cheap equation after another."""
    usable = survey.candidates if candidates is None else candidates
    known = _mask(unknown for finds in chain.finds for unknown in finds)
    everything = _mask(survey.reduction.free)
    blocks, finds = list(chain.blocks), list(chain.finds)
    by_cost = sorted(usable, key=lambda one: one.cost)
    while known & everything != everything:
        one = next((c for c in by_cost if (c.mask & ~known).bit_count() == 1), None)
        if one is not None:
            blocks.append((one,))
            finds.append(((one.mask & ~known).bit_length() - 1,))
        else:
            target = next(u for u in survey.reduction.free if everything & ~known & (1 << u))
            further = next(chains(usable, [target], known), None)
            if further is None:  # nothing decides it: go on with the others
                everything &= ~(1 << target)
                continue
            blocks += further.blocks
            finds += further.finds
        known = _mask(unknown for some in finds for unknown in some)
    return replace(chain, blocks=tuple(blocks), finds=tuple(finds))


def _mask(unknowns: Iterable[int]) -> int:
    """A number with a bit for each unknown."""
    total = 0
    for unknown in unknowns:
        total |= 1 << unknown
    return total


def for_check(survey: Survey, used: Sequence[Candidate]) -> list[Candidate]:
    """Equations not used yet, of another part or point, cheap ones first: any one checks the whole."""
    said = {one.same for one in used}
    places = {(one.part, one.place.words) for one in used}
    parts = {one.part for one in used}
    fresh = [
        one
        for one in survey.candidates
        if one.same not in said and (one.part, one.place.words) not in places and len(one.row) > 1
    ]

    def price(one: Candidate) -> tuple[bool, bool, float]:
        short = survey.count(one) < TELLING  # X = X says little
        return short, one.part in parts and len(one.part) > 1, one.cost

    return sorted(fresh, key=price)
