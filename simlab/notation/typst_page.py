"""A page for typst: markup that calls functions, which a document defines as it likes.

step(number, body), indented(body), labelled(label, body), small(body), equations(body),
maths(alt, it, tall: false), drawn(name, alt, caption, share), in-rows(body), beside(left, right, share),
values(columns, sides, ..cells), ruled(lines, squared), blanks(..labels), new-sheet
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from simlab.notation.formulas import Row, tables
from simlab.notation.parts import (
    NEW_LINE,
    Beside,
    Blanks,
    Block,
    Break,
    Figure,
    Heading,
    Line,
    Page,
    Space,
    Table,
    blocks,
)
from simlab.notation.sentences import said, words
from simlab.notation.signs import in_typst, typst_signs
from simlab.notation.typst import quoted


def in_typst_page(page: Page) -> Iterator[str]:
    """The blocks of a page; a numbered step with all that belongs to it is one, and a row of pictures."""
    for kind, parts in _gathered(page):
        texts = [_block(part, kind == "step").strip() for part in parts]
        first = parts[0]
        if isinstance(first, Line) and first.number is not None:
            inside = "\n\n".join(texts)
            yield f"#step([{first.number}\\.], [{inside}])\n"
        elif kind == "row":
            inside = "\n".join(texts)
            yield f"#in-rows([\n{inside}\n])\n"
        else:
            yield f"{texts[0]}\n"


def _gathered(page: Page) -> Iterator[tuple[Literal["step", "row", "alone"], list[Block]]]:
    """The parts of each step together, pictures that may stand side by side together, others alone."""
    kind: Literal["step", "row", "alone"] = "alone"
    now: list[Block] = []
    for part, within in blocks(page):
        begins = isinstance(part, Line) and part.number is not None
        is_in_row = isinstance(part, Figure) and part.share < 1
        of: Literal["step", "row", "alone"] = "step" if within else "row" if is_in_row else "alone"
        if now and (begins or of != kind or of == "alone"):
            yield kind, now
            now = []
        kind = of
        now.append(part)
    if now:
        yield kind, now


def _block(part: Block, within: bool) -> str:
    match part:
        case Heading():
            return f"#heading(level: {part.level})[{_words(part.words)}]\n"
        case Line():
            return _line(part, within)
        case Figure():
            return f"#{_figure(part)}\n"
        case Beside():
            left = "\n\n".join(in_typst_page(part.parts))
            return f"#beside([\n{left}\n], {_figure(part.figure, 1)}, {part.figure.share:g})\n"
        case Table():
            return _table(part)
        case Space():
            return f"#ruled({part.lines}, {'true' if part.squared else 'false'})\n"
        case Blanks():
            labels = "".join(f"[{said(label, 'typst')}], " for label in part.labels)
            return f"#blanks({labels})\n"
        case Break():
            return "#new-sheet\n"
        case _:
            return "\n".join(map(_equations, tables(part if isinstance(part, tuple) else (part,))))


def _line(part: Line, within: bool) -> str:
    text = " ".join(said(sentence, "typst") for sentence in part.parts if sentence != (NEW_LINE,))
    lead = f"#strong[{_words(part.lead)}] " if part.lead else ""
    if part.small:
        return f"#small[{lead}{text}]\n"
    if part.label:
        return f"#labelled([{_words(part.label)}], [{lead}{text}])\n"
    if part.indent and not within:
        return f"#indented([{lead}{text}])\n"
    return f"{lead}{text}\n"


def _figure(part: Figure, share: float | None = None) -> str:
    caption = f"[{_words(part.caption)}]" if part.caption else "none"
    wide = part.share if share is None else share
    return f"drawn({quoted(part.name)}, {quoted(part.alt)}, {caption}, {wide:g})"


def _table(table: Table) -> str:
    n = len(table.headings)
    sides = ", ".join("right" if k in table.right else "left" for k in range(n))
    heads = ", ".join(f"[{_words(head)}]" for head in table.headings)
    top = f"table.header({heads}), " if any(table.headings) else ""
    cells = ", ".join(f"[{said(cell, 'typst')}]" for row in table.rows for cell in row)
    return f"#values({n}, ({sides},), {top}{cells})\n"


def _equations(rows: Sequence[Row]) -> str:
    lines = []
    for row in rows:
        right = f"{typst_signs(row.relation) if row.relation else 'quad'} {in_typst(row.right)}"
        text = f"& {in_typst(row.left)}" if row.is_left_alone else f"{in_typst(row.left)} &{right}"
        tail = [f"({row.label})" if row.label else "", row.note]
        note = " quad ".join(quoted(text) for text in tail if text)
        lines.append(f"{text} && quad {note}" if note else text)
    body = " \\\n".join(lines)
    told = " ".join(_told(row) for row in rows)
    return f"#equations(maths({quoted(told)}, $ {body} $))\n"


def _told(row: Row) -> str:
    return f"{said(row.left, 'text')} {row.relation} {said(row.right, 'text')}".strip()


def _words(text: str) -> str:
    return words(text, "typst")
