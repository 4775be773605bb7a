"""A working as it is told: every sentence in a class's words, every equation, step by step."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace

from simlab.errors import SimlabFault
from simlab.frame.model import Name, Values
from simlab.notation.latex import latex
from simlab.notation.page import Formula, Line, Maths, said
from simlab.pictures.names import prose
from simlab.results.working import Step, Working

Told = Line | Formula


@dataclass(frozen=True)
class Spoken:
    """A sentence: on the screen (mathematics between dollar signs), and as plain text for the track."""

    screen: str
    plain: str

    @property
    def words(self) -> int:
        """How many words are to be read; an expression is one."""
        return len(_MATHEMATICS.sub("x", self.screen).split())


@dataclass(frozen=True)
class ToldStep:
    """One step: why forces act as they do; each equation announced, with its arms; the algebra; the end."""

    step: Step
    reasons: tuple[Line, ...]
    said: tuple[Line, ...]  # one for each equation
    arms: tuple[Line | None, ...]  # one for each equation
    formulas: tuple[Formula, ...]  # one for each of the step's lines
    closing: tuple[Line, ...]

    @classmethod
    def of(cls, step: Step, parts: Sequence[Told]) -> ToldStep:
        """Sort the lines and equations of a step as its page has them."""
        first, last = len(step.reasons), len(parts) - len(step.closing)
        reasons = tuple(part for part in parts[:first] if isinstance(part, Line))
        closing = tuple(part for part in parts[last:] if isinstance(part, Line))
        said, arms, formulas = list[Line](), list[Line | None](), list[Formula]()
        for part in parts[first:last]:
            if isinstance(part, Formula):
                formulas.append(part)
            elif not part.indent:
                said.append(part)
                arms.append(None)
            elif arms:
                arms[-1] = part
        if len(said) != len(step.equations) or len(formulas) != len(step.lines):
            raise SimlabFault("a step of the working is not told as it was worked")
        return cls(step, reasons, tuple(said), tuple(arms), tuple(formulas), closing)


@dataclass(frozen=True)
class ToldWorking:
    """A worked solution in a class's words: its title, what holds throughout, the steps, the answer.

    `values`: of letters that are written in it, but are not in the frame of the film.
    """

    working: Working
    title: str
    before: tuple[Line, ...]
    steps: tuple[ToldStep, ...]
    answer: tuple[Told, ...]
    values: Values = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        working: Working,
        title: str,
        before: Sequence[Told],
        steps: Sequence[Sequence[Told]],
        answer: Sequence[Told],
        values: Values | None = None,
    ) -> ToldWorking:
        """A working with the parts of its page: what is before the steps, each step, the answer.

        Where nothing comes after the steps, what the last one closes with is the answer.
        """
        told = [ToldStep.of(step, parts) for step, parts in zip(working.steps, steps, strict=True)]
        lines = tuple(line for line in before if isinstance(line, Line))
        if not answer:
            answer, told[-1] = told[-1].closing, replace(told[-1], closing=())
        return cls(working, title, lines, tuple(told), tuple(answer), values or {})

    @property
    def knows_all(self) -> bool:
        """Whether every force on its parts is known in the end."""
        actions = [action for part in self.working.parts for action in part.actions]
        return all(action.letter is None or action.letter in self.working.letters for action in actions)


SO = "So "  # how a result begins


def result(told: ToldWorking) -> Line | None:
    """The sentence that says what was asked: the last that begins with "So", or else the last."""
    lines = [part for part in told.answer if isinstance(part, Line)]
    so = [line for line in lines if f"{line.lead} {spoken(line, ()).plain}".strip().startswith(SO)]
    return next(iter(reversed(so or lines)), None)


def spoken(line: Line, points: Collection[Name], lead: bool = True) -> Spoken:
    """A line of a page as a sentence; names of points and rods become mathematics on the screen.

    >>> from simlab.notation.page import line
    >>> spoken(line("Moments about A:"), ["A", "B"])
    Spoken(screen='Moments about $A$.', plain='Moments about A.')
    """
    screen = _joined(line, lambda part: "".join(on_screen(piece) for piece in part))
    plain = _joined(line, lambda part: said(part, "text"))
    if line.lead and lead:
        screen, plain = f"{line.lead} {screen}", f"{line.lead} {plain}"
    return Spoken(with_names(_ended(screen), points), _ended(plain))


def _joined(line: Line, write: Callable[[tuple[str | Maths, ...]], str]) -> str:
    return " ".join(text for part in line.parts if (text := write(part)))


def on_screen(piece: str | Maths) -> str:
    """A piece of a sentence as it is typeset."""
    if isinstance(piece, str):
        return piece
    return f"${latex(piece.expr, angle=piece.angle, factor=piece.factor)}$"


def in_text(piece: str | Maths) -> str:
    """A piece of a sentence as plain text."""
    return said((piece,), "text")


def _ended(text: str) -> str:
    """A sentence on its own: no colon at its end."""
    return text.removesuffix(":") + "." if text.endswith(":") else text


_MATHEMATICS = re.compile(r"(\$[^$]*\$)")
_AS_IT_IS = re.compile(r"(\$[^$]*\$|\d\s(?:N|kN|kg|m)\b)")  # mathematics; units after a number


def with_names(text: str, points: Collection[Name]) -> str:
    """A text with the names of points and rods as mathematics; mathematics and units stay.

    >>> with_names("At N on MN it is 5 N.", ["M", "N"])
    'At $N$ on $MN$ it is 5 N.'
    """
    parts = _AS_IT_IS.split(text)
    return "".join(part if k % 2 else prose(part, (), points) for k, part in enumerate(parts))


def pieces_that_fit(sentence: Spoken, fits: Callable[[str], bool]) -> Iterator[Spoken]:
    """The sentence, or where it is too long its parts, cut after a stop, a semicolon, a colon, a comma."""
    if fits(sentence.screen):
        yield sentence
        return
    for sign in (". ", "; ", ": ", ", "):
        k = _middle(sentence.plain, sign)
        if k is not None and sentence.screen.count(sign) == sentence.plain.count(sign):
            for part in zip(_cut(sentence.screen, sign, k), _cut(sentence.plain, sign, k), strict=True):
                yield from pieces_that_fit(Spoken(*part), fits)
            return
    yield sentence


def _middle(text: str, sign: str) -> int | None:
    """Which of the signs in a text is nearest to its middle, if there is one."""
    ends = [match.end() for match in re.finditer(re.escape(sign), text)]
    return min(range(len(ends)), key=lambda k: abs(ends[k] - len(text) / 2)) if ends else None


def _cut(text: str, sign: str, k: int) -> tuple[str, str]:
    """A text in two, cut after its k-th sign."""
    parts = text.split(sign)
    return sign.join(parts[: k + 1]) + sign.rstrip(), sign.join(parts[k + 1 :])
