"""The worked solution that a film tells: of the first thing asked that has one, in a class's words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import takewhile
from typing import TYPE_CHECKING

from simlab.errors import BadInput
from simlab.film.told import Told, ToldWorking
from simlab.frame.change import lettered
from simlab.lesson.page import Sheet
from simlab.notation.page import Heading
from simlab.notation.worded import worded
from simlab.working.solution import Workings
from simlab.working.sought import Sought

if TYPE_CHECKING:
    from simlab.frame.model import Values
    from simlab.results import Findings
    from simlab.results.conventions import Conventions
    from simlab.results.working import Step, Working


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


class _Noted(Sheet):
    """A page that remembers which of its parts belong to which step."""

    def __init__(self, working: Working, conventions: Conventions) -> None:
        super().__init__(working, conventions)
        self.steps: list[list[Told]] = []

    def step(self, step: Step) -> Iterator[Told]:
        """The parts of a step."""
        parts = list(super().step(step))
        self.steps.append(parts)
        yield from parts


def told(working: Working, conventions: Conventions, values: Values | None = None) -> ToldWorking:
    """A working with every sentence and every equation of its page; `values` of its own letters."""
    sheet = _Noted(working, conventions)
    heading, *parts = sheet.all(others=False)
    steps = sheet.steps[: len(working.steps)]
    first = next(k for k, part in enumerate(parts) if part is steps[0][0])
    last = next(k for k, part in enumerate(parts) if part is steps[-1][-1])
    answer = takewhile(lambda part: not isinstance(part, Heading), parts[last + 1 :])

    def spoken(some: Iterable[Heading | Told]) -> list[Told]:
        return worded([part for part in some if not isinstance(part, Heading)], conventions.spoken)

    title = conventions.spoken(heading.words) if isinstance(heading, Heading) else ""
    each = [spoken(step) for step in steps]
    return ToldWorking.of(working, title, spoken(parts[:first]), each, spoken(answer), values)
