"""What `simlab working` writes: workings, one equation, or a teacher's own way checked line by line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from simlab.commands.remarks import of_extremes
from simlab.commands.tables import values_in_words
from simlab.errors import BadInput
from simlab.frame.question import Asked
from simlab.lesson.own_way import checked, single
from simlab.lesson.page import in_class_words, page
from simlab.notation.page import Heading, Line, Part, line
from simlab.results.conventions import Conventions
from simlab.results.statics import Findings, Statics
from simlab.results.working import Equation, Working
from simlab.statics.extremes import extremes
from simlab.working import parts
from simlab.working.search import Chain
from simlab.working.solution import Workings
from simlab.working.sought import Sought
from simlab.working.survey import Candidate
from simlab.working.targets import SHARES
from simlab.working.typed import equation, read
from simlab.working.virtual import by_work


@dataclass(frozen=True)
class Choice:
    """What a teacher asks for on the command line."""

    find: str | None
    by: str | None
    chain: int
    lines: tuple[str, ...]
    through: tuple[str, ...]
    isolating: str | None
    part: str | None
    about: str | None
    along: str | None
    by_symmetry: bool

    def check(self) -> None:
        """Raises BadInput for what does not go together."""
        if self.part is not None and (self.about is None) == (self.along is None):
            raise BadInput("--part needs --about POINT or --along DIRECTION, one of them")
        if self.part is None and (self.about or self.along):
            raise BadInput(
                "--about and --along are for the equation of a --part; say which, or --part whole"
            )
        if self.lines and (self.through or self.isolating or self.by or self.chain > 1):
            raise BadInput(
                "--line is a way of your own: leave --through, --isolating, --by and --chain out"
            )
        if self.by == "virtual-work" and (self.through or self.isolating):
            raise BadInput(
                "--by virtual-work has no equations of parts: leave --through and --isolating out"
            )

    @property
    def is_plain(self) -> bool:
        """Whether the whole question is to be worked, in the best way."""
        chosen = self.find or self.by or self.through or self.isolating or self.lines
        return not chosen and self.chain == 1


def pages(findings: Findings, state: Statics, choice: Choice, conventions: Conventions) -> Iterator[Part]:
    """The whole page for one shape of the frame."""
    frame = state.frame
    yield Heading(f"{frame.title}  {values_in_words(frame, findings.frame.shown)}".rstrip(), 1)
    workings = Workings(state, choice.by_symmetry)
    if choice.part is not None:
        candidate = equation(workings.survey, choice.part, about=choice.about, along=choice.along)
        yield from single(workings, candidate, conventions)
        return
    sought = Sought(findings, state).question() if choice.is_plain and state.found else []
    for working in sought:
        yield from page(working, conventions)
    if choice.is_plain and not any(one.measure in SHARES for one in state.frame.asked):
        return
    asked = _asked(state, choice.find)
    if choice.lines:
        candidates = [read(workings.survey, text) for text in choice.lines]
        yield from checked(workings, asked[0], candidates, conventions)
        return
    if choice.is_plain:
        for working in workings.question():
            yield from page(_once(working, sought), conventions)
        yield from of_extremes(extremes(state), state.values, conventions)
        for one in asked:
            yield from _other_ways(workings, one, state)
        return
    for one in asked:
        yield from page(_chosen(workings, one, choice), conventions)
        yield from _other_ways(workings, one, state)


def _once(working: Working, before: Sequence[Working]) -> Working:
    """A working without the steps that those before have shown already, letter for letter."""
    shown = {_said(equation) for other in before for equation in other.equations}
    letters = {name for other in before for step in other.steps for name in step.finds}
    steps = [step for step in working.steps if not set(map(_said, step.equations)) <= shown]
    if not steps and set(working.answer.finds) <= letters:
        return replace(working, before=(), steps=())
    return working


def _said(equation: Equation) -> tuple[str, str, str]:
    return equation.part.words, equation.about, equation.along


def _asked(state: Statics, name: str | None) -> Sequence[Asked]:
    """The forces that are asked for, or the one that is named."""
    forces = [one for one in state.frame.asked if one.measure in SHARES]
    if name is None:
        if not forces:
            raise BadInput("the question asks for no force: there is no working of it yet")
        return forces
    found = [one for one in forces if name in (one.words, in_class_words(state, one.words))]
    if not found:
        words = [one.words for one in forces]
        near = get_close_matches(name, words, n=1)
        hint = f' Did you mean "{near[0]}"?' if near else ""
        raise BadInput(
            f'--find: the question does not ask for "{name}". It asks for: {", ".join(words)}.{hint}'
        )
    return found


def _chosen(workings: Workings, asked: Asked, choice: Choice) -> Working:
    """The working by one's own rules."""
    if choice.by == "virtual-work":
        found = by_work(workings.statics, asked)
        if found is None:
            raise BadInput(
                f'"{asked.words}" has no working by virtual work: no single motion works on it alone'
            )
        return found
    some = workings.chains(
        asked,
        max(choice.chain, 1),
        [read(workings.survey, text) for text in choice.through],
        lambda one: _is_allowed(workings, one, choice),
    )
    if len(some) < choice.chain:
        count = f"only {len(some)} ways" if len(some) > 1 else "no such way" if not some else "only one way"
        raise BadInput(f'there is {count} to "{asked.words}" by these rules')
    return workings.written([(asked, some[choice.chain - 1])])[0]


def _is_allowed(workings: Workings, one: Candidate, choice: Choice) -> bool:
    if choice.by is not None and one.method != choice.by:
        return False
    if choice.isolating is None:
        return True
    named = [parts.given(workings.frame, words) for words in choice.isolating.split(";")]
    if None in named:
        which = choice.isolating.split(";")[named.index(None)].strip()
        parts_are = 'parts are "whole" and bodies, "," between them'
        raise BadInput(f'--isolating: there is no part "{which}"; {parts_are}')
    return one.part in named


def _other_ways(workings: Workings, asked: Asked, state: Statics) -> Iterator[Heading | Line]:
    """The three best ways in a line each."""
    ways = workings.chains(asked)
    has_virtual_work = by_work(state, asked) is not None
    if len(ways) < 2 and not has_virtual_work:
        return
    yield Heading(f"Ways to the {in_class_words(state, asked.words)}")
    for k, chain in enumerate(ways):
        yield line(f"{_in_a_line(workings, chain)}", label=f"--chain {k + 1}")
    if has_virtual_work:
        yield line("virtual work", label="--by virtual-work")


def _in_a_line(workings: Workings, chain: Chain) -> str:
    """'the whole frame about A, then CB about C'; what is solved at once is joined by "with"."""
    said = []
    for block in chain.blocks:
        said.append(" with ".join(workings.said(one) for one in block))
    return ", then ".join(said)
