"""A teacher's own equations: one written out with what it brings and lacks, or a whole way checked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from simlab.frame.model import Name
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.lesson.page import Sheet, in_class_words, page
from simlab.notation.page import Heading, Maths, Part, line
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.wording import capital, listed, series
from simlab.working.search import ordered
from simlab.working.solution import Workings
from simlab.working.survey import Candidate
from simlab.working.targets import targets


def single(workings: Workings, candidate: Candidate, conventions: Conventions = HOUSE) -> Iterator[Part]:
    """One equation with its arms: which unknowns it brings, and what it lacks to decide one of them."""
    lone = workings.lone(candidate)
    sheet = Sheet(lone, conventions)
    yield from sheet.step(lone.steps[0])
    letters = [lone.letters[n] for n in lone.steps[0].equations[0].brings if n in lone.letters]
    for letter in letters:
        value = sheet.amount(letter.value)
        yield line(Maths(letter.symbol.expr), f" is {letter.words}; it comes to ", *value, ".")
    names = [letter.name for letter in letters]
    yield line(*_lacks(names))


def _lacks(names: Sequence[Name]) -> list[str | Maths]:
    """What an equation decides, or how many more it needs."""
    if len(names) == 1:
        return ["It brings one unknown, ", _letter(names[0]), ", and decides it."]
    said: list[str | Maths] = [f"It brings {len(names)} unknowns, "]
    said += series([_letter(name) for name in names])
    if len(names) == 2:
        more, values = "one more equation with the same two", "one"
    else:
        more, values = f"{len(names) - 1} more equations with these", "all but one"
    return [*said, f": it needs {more}, or the value of {values} of them."]


def _letter(name: Name) -> Maths:
    return Maths(Quantity.symbol(name, positive=False).expr)


def checked(
    workings: Workings, asked: Asked, candidates: Sequence[Candidate], conventions: Conventions = HOUSE
) -> Iterator[Part]:
    """A way of one's own, line by line: what each equation brings, if it is new, and where it leads."""
    known = 0
    kept: list[Candidate] = []
    sought = targets(workings.frame, workings.reduction, asked)
    yield Heading(f"Your way to the {in_class_words(workings.statics, asked.words)}")
    names = workings.letters()
    for k, one in enumerate(candidates):
        said = workings.said(one)
        new = [unknown for unknown in one.unknowns if not known >> unknown & 1]
        follows = not new or _follows(workings, kept, one)
        if follows:
            verdict = "it follows from the equations before and says nothing new."
        else:
            kept.append(one)
            found = _found(kept, known)
            bits = [unknown for unknown in range(found.bit_length()) if found >> unknown & 1]
            gained = [unknown for unknown in bits if not known >> unknown & 1]
            known = found
            verdict = _verdict([names[u] for u in new], [names[u] for u in gained])
        yield line(f"{verdict}", number=k + 1, lead=f"{capital(said)}:")
    lacking = [names[unknown] for unknown in sought if not known >> unknown & 1]
    if lacking:
        yield line(f"These equations are not enough: {listed(lacking)} cannot be found from them.")
        nearest = workings.chains(asked, 1, kept)
        if nearest:
            more = [workings.said(one) for one in nearest[0].equations if one not in kept]
            yield line(f"Add, for example, {listed(more)}.")
        return
    chain = ordered(_needed(kept, sought), 0)
    if chain is not None:
        (working,) = workings.written([(asked, chain)])
        yield from page(working, conventions)


def _verdict(new: Sequence[str], gained: Sequence[str]) -> str:
    brings = f"it brings {listed(new)}"
    if not gained:
        return f"{brings}, and does not decide {'it' if len(new) == 1 else 'them'} yet."
    return f"{brings}, and {listed(gained)} can be found."


def _found(equations: Sequence[Candidate], known: int) -> int:
    """Which unknowns some equations decide, one block after another."""
    while True:
        left = [one for one in equations if one.mask & ~known]
        block = next(_decided(left, known), 0)
        if not block:
            return known
        known |= block


def _decided(left: Sequence[Candidate], known: int) -> Iterator[int]:
    """The unknowns of each group of equations that can be solved now."""
    for size in range(1, len(left) + 1):
        for group in combinations(left, size):
            new = 0
            for one in group:
                new |= one.mask & ~known
            if new.bit_count() == size and ordered(group, known) is not None:
                yield new


def _follows(workings: Workings, kept: Sequence[Candidate], one: Candidate) -> bool:
    """Whether an equation is a combination of those before."""
    return workings.rank([*kept, one]) == len(kept)


def _needed(kept: Sequence[Candidate], sought: Sequence[int]) -> list[Candidate]:
    """The equations without those that are not needed for what is sought."""
    left = list(kept)
    for one in reversed(kept):
        fewer = [other for other in left if other is not one]
        known = _found(fewer, 0)
        if all(known >> unknown & 1 for unknown in sought):
            left = fewer
    return left
