"""A page as Markdown, with mathematics between dollar signs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.notation.formulas import Row, tables
from simlab.notation.latex_page import aligned
from simlab.notation.parts import (
    NEW_LINE,
    Beside,
    Blanks,
    Block,
    Break,
    Figure,
    Formula,
    Heading,
    Line,
    Page,
    Space,
    Table,
    blocks,
)
from simlab.notation.sentences import said, words

BLANK = r"\_" * 16
STEP = "    "  # what belongs to a numbered step is a paragraph of its list item


def in_markdown(page: Page) -> Iterator[str]:
    """The blocks of a page, an empty line after each."""
    for part, within in blocks(page):
        is_first = isinstance(part, Line) and part.number is not None
        for text in _block(part):
            yield f"{STEP}{text}" if within and not is_first else text
        yield ""


def _block(part: Block) -> Iterator[str]:
    match part:
        case Heading():
            yield f"{'#' * part.level} {words(part.words, 'markdown')}"
        case Line():
            yield _line(part)
        case Figure():
            yield from _figure(part)
        case Beside():
            yield from in_markdown([*part.parts, part.figure])
        case Table():
            yield from _table(part)
        case Space():
            yield "<br>\n" * part.lines
        case Blanks():
            yield " ".join(f"{said(label, 'markdown')} {BLANK}" for label in part.labels)
        case Break():
            yield "---"
        case tuple():
            yield from _equations(part)


def _line(part: Line) -> str:
    text = " ".join(said(sentence, "markdown") for sentence in part.parts if sentence != (NEW_LINE,))
    label = f"**{words(part.label, 'markdown')}:** " if part.label else ""
    lead = f"**{words(part.lead, 'markdown')}** " if part.lead else ""
    number = f"{part.number}.".ljust(len(STEP)) if part.number is not None else ""
    return f"{number}{label}{lead}{text}".rstrip()


def _figure(part: Figure) -> Iterator[str]:
    yield f"![{words(part.alt, 'markdown')}]({part.name}.svg)"
    if part.caption:
        yield from ("", words(part.caption, "markdown"))


def _equations(formulas: Sequence[Formula]) -> Iterator[str]:
    for k, rows in enumerate(tables(formulas)):
        yield from [""] if k else []
        yield from _together(rows)


def _together(rows: Sequence[Row]) -> Iterator[str]:
    yield "$$"
    yield r"\begin{aligned}"
    lines = []
    for row in rows:
        note = rf" \qquad \text{{{row.note}}}" if row.note else ""
        label = rf" \qquad \text{{({row.label})}}" if row.label else ""
        lines.append(f"{aligned(row)}{label}{note}")
    for k, text in enumerate(lines):
        yield text + (r" \\" if k < len(lines) - 1 else "")
    yield r"\end{aligned}"
    yield "$$"


def _table(table: Table) -> Iterator[str]:
    yield f"| {' | '.join(words(head, 'markdown') for head in table.headings)} |"
    yield f"| {' | '.join('---:' if k in table.right else '---' for k in range(len(table.headings)))} |"
    for row in table.rows:
        yield f"| {' | '.join(said(cell, 'markdown') for cell in row)} |"
