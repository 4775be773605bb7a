"""The worked solution that a film tells: of the first thing asked that has one, in a class's words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simlab.errors import BadInput
from simlab.film.told import ToldWorking
from simlab.frame.change import lettered
from simlab.lesson.page import Sheet, page
from simlab.notation.page import Formula, Heading, Line, Part
from simlab.working.solution import Workings
from simlab.working.sought import Sought

if TYPE_CHECKING:
    from simlab.frame.model import Values
    from simlab.results import Findings
    from simlab.results.conventions import Conventions
    from simlab.results.working import Working


def told_working(findings: Findings, conventions: Conventions, chain: int = 1) -> ToldWorking | None:
    """The `chain`-th best working of the first thing asked that has one; None where nothing has.

    A letter that was to be found has one way only. Raises BadInput where there are fewer workings.
    """
    statics = findings.shapes[0]
    if statics.verdict != "determined":
        return None
    if statics.found and chain == 1:
        sought = [one for one in Sought(findings, statics).question() if _can_be_shown(one)]
        if sought:
            return told(sought[0], conventions, _values(findings))
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
    return bool(working.steps) and all(step.equations for step in working.steps)


def _values(findings: Findings) -> Values:
    """The values of letters that were found, and of letters that stand for fixed angles."""
    _, angles = lettered(findings.frame)
    found = findings.shapes[0].found
    return {**angles, **{name: root.near(findings.frame) for name, root in found.items()}}


def told(working: Working, conventions: Conventions, values: Values | None = None) -> ToldWorking:
    """A working with every sentence and every equation of its page; `values` of its own letters."""
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
    return ToldWorking.of(working, title, before, steps, answer, values)


def _next(parts: Iterator[Part], count: int) -> Iterator[Line | Formula]:
    for _ in range(count):
        part = next(parts, None)
        if isinstance(part, Line | Formula):
            yield part
