"""What stands on a sheet, put together for pupils, for their teacher, or for both."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from simlab.notation.page import (
    Beside,
    Blanks,
    Break,
    Figure,
    Heading,
    Line,
    Page,
    Part,
    Sentence,
    Space,
    line,
)
from simlab.sheet.plate import Plate

Audience = Literal["pupils", "teacher", "both"]
Ruling = Literal["ruled", "squared", "none"]
BESIDE, TALL_BESIDE = 0.45, 0.52  # of the width: a picture that takes no more stands beside the question
FOR_TEACHERS = "for the teacher"
NAME, CLASS, DATE = ("Name",), ("Class",), ("Date",)


@dataclass(frozen=True)
class Task:
    """What pupils do: diagrams to complete, lines to write on, answers to fill in."""

    diagrams: tuple[Figure, ...]
    lines: int
    answers: tuple[Sentence, ...]


@dataclass(frozen=True)
class Sheet:
    """One question, all that is known of it, and the pictures by name.

    question: its sentences; given: the picture of the question; values: of the letters, where the answers
    are put in figures; solution, answers, check, remarks: for the teacher, without their headings; the
    caution and where the question is from stand once at the end of each.
    """

    title: str
    question: Sequence[Line]
    given: Figure
    task: Task
    values: str
    answers: Page
    solution: Page
    check: Page
    remarks: Page
    caution: str
    source: str
    plates: Mapping[str, Plate] = field(default_factory=dict)

    def page(self, audience: Audience = "both", ruling: Ruling = "ruled") -> list[Part]:
        """Everything in reading order."""
        if audience == "pupils":
            return list(self._for_pupils(ruling))
        if audience == "teacher":
            return list(self._for_teachers(with_question=True))
        return [*self._for_pupils(ruling), Break(), *self._for_teachers(with_question=False)]

    @property
    def pictures(self) -> dict[str, str]:
        """Each picture's SVG, by its name."""
        return {name: plate.svg for name, plate in self.plates.items()}

    def _for_pupils(self, ruling: Ruling) -> Iterator[Part]:
        yield Heading(self.title, 1)
        yield Blanks((NAME, CLASS, DATE))
        yield from self._asked()
        yield self._foot()  # here, where it does not need a sheet of its own
        if self.task.diagrams:
            yield Heading("Draw every force")
            yield from self.task.diagrams
        if ruling != "none" and self.task.lines:
            yield Heading("Working")
            yield Space(self.task.lines, squared=ruling == "squared")
        if self.task.answers:
            yield Heading("Answers")
            yield from (Blanks((answer,)) for answer in self.task.answers)

    def _for_teachers(self, *, with_question: bool) -> Iterator[Part]:
        yield Heading(f"{self.title}: {FOR_TEACHERS}", 1)
        if with_question:
            yield from self._asked()
        for heading, page in (
            (f"Answers {self.values}".rstrip(), self.answers),
            ("Worked solution", self.solution),
            ("Checked by simulation", self.check),
            ("About the question", self.remarks),
        ):
            if page:
                yield Heading(heading)
                yield from page
        yield self._foot()

    def _asked(self) -> Iterator[Part]:
        """The question with its picture: beside it, where that is tall and narrow."""
        most = TALL_BESIDE if self.plates[self.given.name].is_tall else BESIDE
        if self.given.share <= most:
            yield Beside(tuple(self.question), self.given)
        else:
            yield from self.question
            yield self.given

    def _foot(self) -> Line:
        return line(f"{self.caution} Question: {self.source}.", small=True)
