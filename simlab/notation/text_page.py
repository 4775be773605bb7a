"""A page for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from simlab.notation.formulas import Row, rows
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
    Sentence,
    Space,
    Table,
    blocks,
)
from simlab.notation.sentences import said

WIDTH = 100  # [characters] of a line in a terminal: what a printed page or a projected window holds
WIDEST_LABEL = 30  # [characters]: longer ones have a line of their own
INDENT = "  "
BLANK = 16  # [characters] of a rule to write on
STEP = "    "  # under a step's number


def in_text(page: Page) -> Iterator[str]:
    """The lines of a page, none longer than WIDTH where its pieces allow it."""
    labels = [len(p.label) for p in page if isinstance(p, Line) and p.number is None]
    column = min(max(labels, default=0), WIDEST_LABEL) + len(INDENT)
    for part, within in blocks(page):
        yield from _block(part, column, STEP if within else "", part is page[0])


def _block(part: Block, column: int, within: str, is_first: bool) -> Iterator[str]:
    match part:
        case Line():
            yield from _line(part, column, within)
        case tuple():
            yield from _equations(part, within)
        case Heading():
            yield from (part.words,) if is_first else ("", part.words)
        case Figure():
            yield from _figure(part)
        case Beside():
            yield from in_text([*part.parts, part.figure])
        case Table():
            yield from _table(part)
        case Space():
            yield from [""] * part.lines
        case Blanks():
            yield INDENT.join(f"{said(label, 'text')} {'_' * BLANK}" for label in part.labels)
        case Break():
            yield ""


def _figure(part: Figure) -> Iterator[str]:
    yield f"[diagram: {part.alt}]"
    if part.caption:
        yield from _folded(part.caption.split(" "), INDENT, INDENT)


def _line(part: Line, column: int, within: str) -> Iterator[str]:
    texts = part.lead.split(" ") if part.lead else []
    texts += [said(sentence, "text") for sentence in part.parts]
    if part.number is not None:
        label = [f"{part.label}:"] if part.label else []
        yield from _folded([*label, *texts], f"{part.number}. ".ljust(len(STEP)), STEP)
    elif not part.label:
        first = within or (INDENT if part.indent else "")
        yield from _folded(texts, first, first if within else first + INDENT)
    elif len(part.label) > WIDEST_LABEL:
        yield part.label
        yield from _folded(texts, " " * column, " " * column)
    else:
        yield from _folded(texts, part.label.ljust(column), " " * column)


def _folded(texts: Iterable[str], first: str, others: str) -> Iterator[str]:
    """Texts side by side on lines of at most WIDTH characters, where each text alone fits."""
    now, bare = first, True
    for text in texts:
        if text == NEW_LINE:
            yield now
            now, bare = others, True
            continue
        if not bare and len(now) + 1 + len(text) > WIDTH:
            yield now
            now, bare = others, True
        now, bare = now + ("" if bare else " ") + text, False
    yield now.rstrip()


def _equations(formulas: Sequence[Formula], within: str) -> Iterator[str]:
    """Equations with their equals signs below one another, labels and notes after them."""
    found = list(rows(formulas))
    start = within + STEP
    left = max(len(_text(row.left)) for row in found if row.relation)
    texts = [_equation(row, left, start) for row in found]
    end = max(len(text) for text in texts)
    for row, text in zip(found, texts, strict=True):
        tail = INDENT.join(t for t in (f"({row.label})" if row.label else "", row.note) if t)
        if not tail:
            yield text
        elif max(end, len(text)) + len(STEP) + len(tail) <= WIDTH:
            yield text.ljust(end) + STEP + tail
        else:
            yield text
            yield " " * (len(start) + left + len(STEP)) + tail


def _equation(row: Row, left: int, start: str) -> str:
    side = _text(row.left)
    if not row.relation:  # it goes on, or its left side has a line of its own
        return f"{start}{side}" if side else f"{start}{' ' * left}   {_text(row.right)}".rstrip()
    return f"{start}{side.rjust(left)} {row.relation} {_text(row.right)}".rstrip()


def _text(side: Sentence) -> str:
    return said(side, "text").strip()


def _table(table: Table) -> Iterator[str]:
    """Columns side by side, each as wide as its widest text."""
    rows = [list(table.headings), *([said(cell, "text") for cell in row] for row in table.rows)]
    wide = [max(len(row[k]) for row in rows if k < len(row)) for k in range(max(map(len, rows)))]
    for row in rows:
        cells = [t.rjust(wide[k]) if k in table.right else t.ljust(wide[k]) for k, t in enumerate(row)]
        if any(row):
            yield INDENT.join(cells).rstrip()
