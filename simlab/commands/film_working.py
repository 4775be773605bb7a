"""The worked solution that a film tells: of the first thing asked that has one, in a class's words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simlab.errors import BadInput
from simlab.film.told import ToldWorking
from simlab.lesson.page import Sheet, page
from simlab.notation.page import Formula, Heading, Line, Part
from simlab.working.solution import Workings

if TYPE_CHECKING:
    from simlab.results import Statics
    from simlab.results.conventions import Conventions
    from simlab.results.working import Working


def told_working(statics: Statics, conventions: Conventions, chain: int = 1) -> ToldWorking | None:
    """The `chain`-th best working of the first thing asked that has one; None where nothing has.

    Raises BadInput where there are fewer workings than that.
    """
    if statics.verdict != "determined":
        return None
    workings = Workings(statics)
    for asked in statics.frame.asked:
        found = [one for one in workings.of(asked, chain) if _can_be_shown(one)]
        if len(found) >= chain:
            return told(found[chain - 1], conventions)
        if found:
            raise BadInput(f'--working-chain {chain}: there are only {len(found)} ways to "{asked.words}"')
    return None


def _can_be_shown(working: Working) -> bool:
    """Whether every step has a part with equations, and what was asked comes of it."""
    return bool(working.steps) and all(step.equations and step.finds for step in working.steps)


def told(working: Working, conventions: Conventions) -> ToldWorking:
    """A working with every sentence and every equation of its page."""
    parts = list(page(working, conventions, others=False))
    counts = [len(list(Sheet(working, conventions).step(step))) for step in working.steps]
    title = parts[0].words if isinstance(parts[0], Heading) else ""
    taken = iter(parts[1:])
    before = list(_next(taken, len(working.before)))
    steps = [list(_next(taken, count)) for count in counts]
    answer: list[Line | Formula] = []
    for part in taken:
        if isinstance(part, Heading):
            break
        if isinstance(part, Line | Formula):
            answer.append(part)
    return ToldWorking.of(working, title, before, steps, answer)


def _next(parts: Iterator[Part], count: int) -> Iterator[Line | Formula]:
    for _ in range(count):
        part = next(parts, None)
        if isinstance(part, Line | Formula):
            yield part
