"""What stands on a sheet, from what was found: question, diagrams, answers, working, check, remarks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from simlab.commands.answers import head, unexpected
from simlab.commands.findings import ranges, shape
from simlab.commands.remarks import of_extremes, of_fairness, of_validity
from simlab.commands.shapes import drawn_as_asked
from simlab.commands.sheet_check import checked
from simlab.commands.sheet_diagrams import Diagrams
from simlab.commands.tables import values_in_words
from simlab.comparison import compare
from simlab.frame.model import Frame
from simlab.lesson.forces import entries
from simlab.lesson.page import page
from simlab.notation.page import Heading, Line, Maths, Part, Sentence, line
from simlab.notation.worded import worded
from simlab.pictures.names import pieces
from simlab.results import Statics
from simlab.results.conventions import Conventions
from simlab.results.statics import Findings
from simlab.results.wording import CAUTION
from simlab.results.working import Working
from simlab.sheet.sheet import Audience, Sheet, Task
from simlab.simulation.settle import settle
from simlab.statics.extremes import extremes
from simlab.statics.fairness import fairness
from simlab.statics.mirror import symmetry, used
from simlab.statics.validity import validity
from simlab.working.solution import Workings
from simlab.working.sought import Sought
from simlab.working.targets import SHARES

CODES = "For that, follow your local codes and ask a licensed engineer."
PER_EQUATION = 2  # lines to write on: which part and which point, and the arms
LEAST_LINES, MOST_LINES = 10, 60
_PARTS = re.compile(r"\s+(?=\((?:i{1,3}|iv|vi{0,3}|[a-h])\)\s)")


def sheet_of(findings: Findings, conventions: Conventions, text: str, audience: Audience = "both") -> Sheet:
    """What an audience needs of a sheet; `text`: of the scene file, for what is left unsaid in it."""
    frame = findings.frame
    states = [state for state in findings.shapes if state.rests]
    workings = _workings(findings)
    diagrams = Diagrams(findings, conventions)
    drawn = drawn_as_asked(findings) if findings.shapes else frame
    (given,) = worded([diagrams.question(drawn)], conventions.spoken)
    blanks = () if audience == "teacher" else diagrams.blanks(workings)

    def spoken(parts: Iterable[Part]) -> list[Part]:
        """For the teacher: nothing of it is worked out for a sheet that is for pupils only."""
        told = () if audience == "pupils" else worded(parts, conventions.spoken)
        return [_lower(part) for part in told]

    return Sheet(
        title=frame.title,
        question=tuple(worded(_question(frame), conventions.spoken)),
        given=given,
        task=Task(
            tuple(worded(blanks, conventions.spoken)),
            _lines(workings),
            tuple(_pieces(f"{conventions.spoken(asked.words)} =", frame) for asked in frame.asked),
        ),
        values=values_in_words(frame, frame.shown),
        answers=spoken(_answers(findings, conventions)),
        solution=spoken(_solution(states, workings, diagrams, conventions)),
        check=spoken(_check(states, conventions)),
        remarks=spoken(_remarks(findings, states, conventions, text)),
        caution=f"{CAUTION} {CODES}",
        source=frame.source,
        plates=diagrams.plates,
    )


def _workings(findings: Findings) -> list[Working]:
    """The working of least effort of each thing asked, in the first shape that is determined, if any."""
    state = next((state for state in findings.shapes if state.verdict == "determined"), None)
    if state is None:
        return []
    found = Sought(findings, state).question() if state.found else []
    if any(asked.measure in SHARES for asked in state.frame.asked):
        found += Workings(state).question()
    return found


def _question(frame: Frame) -> Iterator[Line]:
    """The question in paragraphs, each of its parts (i), (ii) a line of its own."""
    for paragraph in frame.question.split("\n\n"):
        for sentence in _PARTS.split(" ".join(paragraph.split())):
            if sentence:
                yield line(*_pieces(sentence, frame))


def _pieces(text: str, frame: Frame) -> Sentence:
    """A text with its letters and points as mathematics."""
    found = pieces(text, frame.symbols, frame.points)
    return tuple(piece if isinstance(piece, str) else Maths(piece.expr) for piece in found)


def _lines(workings: Sequence[Working]) -> int:
    """Lines to write on: as many as the working has, and some more."""
    steps = [step for working in workings for step in working.steps]
    written = sum(len(step.lines) + PER_EQUATION * len(step.equations) for step in steps)
    return min(max(written, LEAST_LINES), MOST_LINES)


def _answers(findings: Findings, conventions: Conventions) -> Iterator[Part]:
    """What was asked, answered; or the sentences that say why there is no answer."""
    told = len(findings.shapes) == 1 and findings.shapes[0].found  # under the heading of the shape
    if findings.advice and not told:
        yield line(findings.advice)
    yield from ranges(findings, conventions)
    for state in findings.shapes:
        yield from shape(findings, state, conventions) or ()
        yield from head(state, conventions)
        if unexpected(state):
            yield line(unexpected(state))


def _solution(
    states: Sequence[Statics], workings: Sequence[Working], diagrams: Diagrams, conventions: Conventions
) -> Iterator[Part]:
    """Each working with its diagrams, before and after; then every force."""
    for working in workings:
        heading, *steps = page(working, conventions, others=False)
        yield heading
        yield from diagrams.before(working)
        yield from steps
    solved = list(diagrams.after(workings))
    if solved:
        yield Heading("The forces as they came out")
        yield from solved
        yield from diagrams.apart(workings[0])
    for state in states:
        found = list(entries(state, conventions))
        if found:
            yield Heading("Every force")
        yield from found


def _check(states: Sequence[Statics], conventions: Conventions) -> Iterator[Part]:
    """The simulation beside statics, in each shape in which the frame rests."""
    for state in states:
        reading = settle(state.frame)
        yield from checked(state, compare(state, reading), reading, conventions)


def _remarks(
    findings: Findings, states: Sequence[Statics], conventions: Conventions, text: str
) -> Iterator[Part]:
    """For which values it holds, what the answers tend to, symmetry, and whether the question is fair."""
    for state in findings.shapes:
        if state.case.forces.reactions:
            letters = state.frame.symbols.keys() - state.frame.gravity.names
            yield from of_validity(validity(state), bool(letters), state.rests)
        yield from of_extremes(extremes(state), state.values, conventions)
    for state in states[:1]:
        found = symmetry(state.frame, state.values)
        if found is not None and found.sentences and used(found, state):
            yield from (line(sentence) for sentence in found.sentences)
        unique = state.verdict == "determined"
        yield from of_fairness(fairness(state, text), state.values, unique, conventions)


def _lower(part: Part) -> Part:
    """A heading of a section of the sheet, under the section's own."""
    return replace(part, level=part.level + 1) if isinstance(part, Heading) else part
