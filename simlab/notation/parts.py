"""What stands on a page: headings, sentences with mathematics in them, equations, pictures, tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

NEW_LINE = "\n"  # a word of its own in a sentence that goes on in a new line of a terminal


@dataclass(frozen=True)
class Maths:
    """An expression in a sentence; `angle`: multiples of pi are written in degrees.

    `factor`: it stands beside a multiplication sign, so that a sum or what has a minus is put in brackets.
    """

    expr: Any
    angle: bool = False
    factor: bool = False


Sentence = tuple[str | Maths, ...]


@dataclass(frozen=True)
class Heading:
    """A title (level 1), or a heading over what follows."""

    words: str
    level: int = 2


@dataclass(frozen=True)
class Line:
    """A sentence of its own; `parts` are never broken, lines are only broken between them.

    `label` stands before it, in a column of labels. `number`: of a step of a working; equations and
    indented lines that follow belong to the step. `lead`: its first words, in bold type. `small`: in
    small type, of what is said beside the matter.
    """

    parts: tuple[Sentence, ...]
    label: str = ""
    indent: bool = False
    number: int | None = None
    lead: str = ""
    small: bool = False


@dataclass(frozen=True)
class Formula:
    """A displayed equation; those that follow one another are aligned at their equals signs.

    In its pieces of text, signs (+ − × = ( ) ✓) are mathematics and anything else is upright words. An
    empty `left` goes on with the equation above. `label`: the number by which it is referred to, without
    brackets; `note`: a remark beside it.
    """

    left: Sentence
    right: Sentence
    label: str = ""
    note: str = ""
    relation: str = "="


@dataclass(frozen=True)
class Figure:
    """A place where a picture goes; `alt` says what it shows.

    `name`: of the picture, without a file's ending; `share`: of the width of the page that it takes.
    """

    name: str
    alt: str
    caption: str = ""
    share: float = 1.0


@dataclass(frozen=True)
class Table:
    """Rows of sentences under headings; `right`: the columns whose texts stand on the right."""

    headings: tuple[str, ...]
    rows: tuple[tuple[Sentence, ...], ...]
    right: tuple[int, ...] = ()


@dataclass(frozen=True)
class Beside:
    """Lines with a picture at their side, where the page is wide enough."""

    parts: tuple[Line, ...]
    figure: Figure


@dataclass(frozen=True)
class Space:
    """Ruled or squared paper to write on, so many lines high."""

    lines: int
    squared: bool = False


@dataclass(frozen=True)
class Blanks:
    """Sentences side by side, each with a rule to write on after it."""

    labels: tuple[Sentence, ...]


@dataclass(frozen=True)
class Break:
    """A new sheet of paper begins here."""


Part = Heading | Line | Formula | Figure | Beside | Table | Space | Blanks | Break
Page = Sequence[Part]


def line(
    *pieces: str | Maths,
    label: str = "",
    indent: bool = False,
    number: int | None = None,
    lead: str = "",
    small: bool = False,
) -> Line:
    """One sentence as a line; words of text may be broken anywhere."""
    parts: list[Sentence] = []
    run: list[str | Maths] = []  # pieces that stand side by side without a space between them
    for piece in pieces:
        if isinstance(piece, Maths):
            run.append(piece)
            continue
        words = piece.split(" ")
        for k, word in enumerate(words):
            if k and run:
                parts.append(tuple(run))
                run = []
            if word:
                run.append(word)
    return Line((*parts, tuple(run)) if run else tuple(parts), label, indent, number, lead, small)


Block = Part | tuple[Formula, ...]  # equations that follow one another are set together


def blocks(page: Page) -> Iterator[tuple[Block, bool]]:
    """The parts of a page, and whether each belongs to a numbered step: its first line, or what follows."""
    within = False
    for block in _runs(page):
        if isinstance(block, Line):
            within = block.number is not None or (within and block.indent)
        elif not isinstance(block, tuple):
            within = False
        yield block, within


def _runs(page: Page) -> Iterator[Block]:
    together: list[Formula] = []
    for part in page:
        if isinstance(part, Formula):
            together.append(part)
            continue
        if together:
            yield tuple(together)
            together = []
        yield part
    if together:
        yield tuple(together)
