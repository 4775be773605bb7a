"""What `simlab working` writes: workings, one equation, or a teacher's own way checked line by line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches

from simlab.commands.findings import shown
from simlab.commands.remarks import of_extremes
from simlab.commands.tables import values_in_words
from simlab.errors import BadInput
from simlab.frame.question import Asked
from simlab.lesson.amounts import amount, angle
from simlab.lesson.own_way import checked, single
from simlab.lesson.page import in_class_words, page, sought_words
from simlab.notation.page import Heading, Line, Part, line
from simlab.results.conventions import Conventions
from simlab.results.statics import Findings, Statics
from simlab.results.wording import capital
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
        others = self.find or self.lines or self.by or self.through or self.isolating or self.chain > 1
        if self.part is not None and others:
            raise BadInput("--part writes one equation: leave the options that choose a way out")
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

    def finds(self, state: Statics, asked: Asked) -> bool:
        """Whether something asked is what is to be found."""
        return self.find in (None, asked.words, in_class_words(state, asked.words))

    def check_found(self, state: Statics, sought: Sequence[Working]) -> None:
        """Raises BadInput where nothing is left to be worked."""
        words = [one.words for one in state.frame.asked]
        if self.find is not None and self.find not in words and not sought:
            near = get_close_matches(self.find, words, n=1)
            hint = f' Did you mean "{near[0]}"?' if near else ""
            asked = ", ".join(words)
            raise BadInput(
                f'--find: the question does not ask for "{self.find}". It asks for: {asked}.{hint}'
            )
        if not self.is_plain and self.find is None:
            raise BadInput(
                "--by, --chain, --through, --isolating and --line are for forces: none is asked for"
            )

    @property
    def is_plain(self) -> bool:
        """Whether the whole question is to be worked, in the best way."""
        chosen = self.find or self.by or self.through or self.isolating or self.lines
        return not chosen and self.chain == 1


def pages(
    findings: Findings, state: Statics, choice: Choice, conventions: Conventions, in_terminal: bool = True
) -> Iterator[Part]:
    """The whole page for one shape of the frame; `in_terminal`: with the flags that give other ways."""
    frame = state.frame
    yield Heading(f"{frame.title}  {values_in_words(frame, findings.frame.shown)}".rstrip(), 1)
    workings = Workings(state, choice.by_symmetry)
    if choice.part is not None:
        candidate = equation(workings.survey, choice.part, about=choice.about, along=choice.along)
        yield from single(workings, candidate, conventions)
        return
    letters = [one for one in findings.frame.asked if one.at in state.found and choice.finds(state, one)]
    sought = Sought(findings, state).question() if letters or (choice.is_plain and state.found) else []
    if choice.find is not None:
        sought = [working for working in sought if working.asked in {one.words for one in letters}]
    for working in sought:
        yield from page(working, conventions)
    yield from _unworked(findings, state, choice, sought, conventions)
    if choice.find is None or not letters:
        yield from _forces(workings, choice, conventions, sought, in_terminal)


def _unworked(
    findings: Findings,
    state: Statics,
    choice: Choice,
    sought: Sequence[Working],
    conventions: Conventions,
) -> Iterator[Line]:
    """Letters without a working, and values that follow from letters found: what they come to."""
    if choice.lines or not (choice.is_plain or choice.find):
        return
    worked = {working.asked for working in sought}
    for asked in findings.frame.asked:
        if asked.measure in SHARES or asked.words in worked or not choice.finds(state, asked):
            continue
        answer = state.answers.get(asked.words)
        words = sought_words(state, asked.words)
        if asked.at in state.found:
            value = shown(findings.frame, state.found[asked.at])
            yield line(f"There is no working of {words} here yet. It comes to {value}.")
        elif answer is not None:
            size = angle if answer.is_angle else amount
            yield line(f"{capital(words)} is then ", *size(answer, state.values, conventions), ".")


def _forces(
    workings: Workings,
    choice: Choice,
    conventions: Conventions,
    sought: Sequence[Working],
    in_terminal: bool,
) -> Iterator[Part]:
    """The forces that are asked for, each by the way that is chosen."""
    state = workings.statics
    forces = [one for one in state.frame.asked if one.measure in SHARES and choice.finds(state, one)]
    if not forces:
        choice.check_found(state, sought)
        return
    if choice.lines:
        candidates = [read(workings.survey, text) for text in choice.lines]
        yield from checked(workings, forces[0], candidates, conventions)
        return
    if choice.is_plain:
        told = workings.question()
        for working in told:
            yield from page(_once(working, sought), conventions)
        yield from _open(forces, told, state, conventions)
        yield from of_extremes(extremes(state), state.values, conventions)
    else:
        yield from _chosen(workings, forces, choice, conventions)
    for one in forces:
        yield from _other_ways(workings, one, state, in_terminal)


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


def _open(
    forces: Sequence[Asked], told: Sequence[Working], state: Statics, conventions: Conventions
) -> Iterator[Line]:
    """Forces that balances alone do not give: what they come to."""
    worked = {working.asked for working in told}
    for asked in forces:
        answer = state.answers.get(asked.words)
        if asked.words not in worked and answer is not None:
            words = in_class_words(state, asked.words)
            comes = amount(answer, state.values, conventions)
            yield line(f"The {words} does not follow from balances alone. It comes to ", *comes, ".")


def _chosen(
    workings: Workings, forces: Sequence[Asked], choice: Choice, conventions: Conventions
) -> Iterator[Part]:
    """The workings by one's own rules; every other force once, at the end."""
    if choice.by == "virtual-work":
        yield from _by_virtual_work(workings, forces, conventions)
        return
    through = [read(workings.survey, text) for text in choice.through]
    for asked in forces:
        some = workings.chains(asked, choice.chain, through, lambda one: _is_allowed(workings, one, choice))
        if len(some) < choice.chain:
            count = f"only {len(some)} ways" if len(some) > 1 else "only one way" if some else "no way"
            raise BadInput(f'there is {count} to "{asked.words}" by these rules')
        (working,) = workings.written([(asked, some[choice.chain - 1])])
        yield from page(working, conventions, others=asked is forces[-1])


def _by_virtual_work(
    workings: Workings, forces: Sequence[Asked], conventions: Conventions
) -> Iterator[Part]:
    """The workings by virtual work of those forces that have one."""
    found = [(asked, by_work(workings.statics, asked)) for asked in forces]
    if all(working is None for _, working in found):
        names = ", ".join(f'"{asked.words}"' for asked in forces)
        raise BadInput(f"{names}: no working by virtual work: no single motion works on it alone")
    for asked, working in found:
        if working is None:
            words = in_class_words(workings.statics, asked.words)
            yield line(f"The {words} is not found by virtual work: no single motion works on it alone.")
        else:
            yield from page(working, conventions)


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


def _other_ways(
    workings: Workings, asked: Asked, state: Statics, in_terminal: bool
) -> Iterator[Heading | Line]:
    """The best ways in a line each."""
    ways = workings.chains(asked)
    has_virtual_work = by_work(state, asked) is not None
    if len(ways) + has_virtual_work < 2 or not ways[0].blocks:
        return
    yield Heading(f"Ways to the {in_class_words(state, asked.words)}")
    for k, chain in enumerate(ways):
        said = _in_a_line(workings, chain)
        yield line(said, label=f"--chain {k + 1}") if in_terminal else line(capital(f"{said}."))
    if has_virtual_work:
        yield line("virtual work", label="--by virtual-work") if in_terminal else line("Virtual work.")


def _in_a_line(workings: Workings, chain: Chain) -> str:
    """'the whole frame about A, then CB about C'; what is solved at once is joined by "with"."""
    said = []
    for block in chain.blocks:
        said.append(" with ".join(workings.said(one) for one in block))
    return ", then ".join(said)
