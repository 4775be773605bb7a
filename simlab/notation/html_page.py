"""A page as HTML with MathML: a fragment that is well-formed XML, or a whole document."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Mapping, Sequence
from html import escape

from simlab.notation.formulas import Row, tables
from simlab.notation.mathml import element
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
from simlab.notation.sentences import said
from simlab.notation.signs import in_mathml, mathml_signs

LINE = 8  # [mm] between the lines of ruled paper
TOGETHER = 4  # lines of ruled paper that are not parted
SQUARE = 18.9  # [px] of squared paper: 5 mm
_OWN_BLOCK = (
    "display: inline-block; width: 100%; box-sizing: border-box; overflow-x: auto; vertical-align: top"
)
Pictures = Mapping[str, str]  # name of a picture -> SVG document


def html_document(
    page: Page, title: str, *, pictures: Pictures | None = None, style: str = "", language: str = "en"
) -> str:
    """A whole document that needs nothing else: pictures and style are in it. It is well-formed XML too."""
    head = (
        "<!DOCTYPE html>",
        f'<html xmlns="http://www.w3.org/1999/xhtml" lang="{language}">',
        "<head>",
        '<meta charset="utf-8"/>',
        '<meta name="viewport" content="width=device-width, initial-scale=1"/>',
        f"<title>{escape(title)}</title>",
        f"<style>{style}</style>" if style else "",
        "</head>",
        "<body>",
        "<main>",
    )
    return "\n".join((*filter(None, head), *in_html(page, pictures), "</main>", "</body>", "</html>", ""))


def in_html(page: Page, pictures: Pictures | None = None) -> Iterator[str]:
    """The lines of a page; a picture that is not among `pictures` is linked as NAME.svg."""
    in_step = False
    for part, within in blocks(page):
        is_first = isinstance(part, Line) and part.number is not None
        if in_step and (is_first or not within):
            yield "</li>"
        if in_step and not within:
            yield "</ol>"
        if within and not in_step:
            yield "<ol>"
        if isinstance(part, Line) and part.number is not None:
            yield f'<li value="{part.number}">'
        in_step = within
        yield from _block(part, pictures or {})
    if in_step:
        yield from ("</li>", "</ol>")


def _block(part: Block, pictures: Pictures) -> Iterator[str]:
    match part:
        case Heading():
            yield f"<h{part.level}>{escape(part.words)}</h{part.level}>"
        case Line():
            yield _line(part)
        case Figure():
            yield from _figure(part, pictures)
        case Beside():
            yield from ('<div class="beside">', "<div>")
            yield from in_html(part.parts, pictures)
            yield "</div>"
            yield from _figure(part.figure, pictures)
            yield "</div>"
        case Table():
            yield from _table(part)
        case Space():
            yield _squared(part.lines) if part.squared else _ruled(part.lines)
        case Blanks():
            blanks = (f"<span><span>{said(label, 'mathml')}</span></span>" for label in part.labels)
            yield f'<p class="blanks">{"".join(blanks)}</p>'
        case Break():
            yield '<div class="break"></div>'
        case tuple():
            yield from _equations(part)


def _line(part: Line) -> str:
    text = " ".join(said(sentence, "mathml") for sentence in part.parts if sentence != (NEW_LINE,))
    label = f"<b>{escape(part.label)}:</b> " if part.label else ""
    lead = f"<b>{escape(part.lead)}</b> " if part.lead else ""
    kind = ' class="small"' if part.small else ' class="indented"' if part.indent else ""
    return f"<p{kind}>{label}{lead}{text}</p>"


def _figure(part: Figure, pictures: Pictures) -> Iterator[str]:
    drawn = pictures.get(part.name)
    source = f"{part.name}.svg"
    if drawn is not None:
        source = f"data:image/svg+xml;base64,{b64encode(drawn.encode()).decode()}"
    width = "" if part.share == 1 else f' style="--share: {part.share:.3f}"'
    yield f"<figure{width}>"
    yield f'<img src="{escape(source)}" alt="{escape(part.alt)}"/>'
    if part.caption:
        yield f"<figcaption>{escape(part.caption)}</figcaption>"
    yield "</figure>"


def _ruled(lines: int) -> str:
    """Rules, the first few in a block that stays with the heading over them."""
    first = min(lines, TOGETHER)
    return f'<div class="space"><div>{"<hr/>" * first}</div>{"<hr/>" * (lines - first)}</div>'


def _squared(lines: int) -> str:
    """Squared paper as a drawing, which browsers print even where they leave out backgrounds."""
    cell = (
        f'<pattern id="squares" width="{SQUARE}" height="{SQUARE}" patternUnits="userSpaceOnUse">'
        f'<path d="M {SQUARE} 0 H 0 V {SQUARE}" fill="none" stroke="#8f8f9b" stroke-width="0.5"/></pattern>'
    )
    high = lines * LINE
    return (
        f'<svg class="space" width="100%" height="{high}mm" aria-hidden="true"><defs>{cell}</defs>'
        '<rect width="100%" height="100%" fill="url(#squares)"/></svg>'
    )


def _table(table: Table) -> Iterator[str]:
    sides = [' style="text-align: right"' if k in table.right else "" for k in range(len(table.headings))]
    yield '<div class="wide"><table>'
    if any(table.headings):
        heads = zip(sides, table.headings, strict=True)
        yield "<thead><tr>"
        yield from (f'<th scope="col"{side}>{escape(head)}</th>' for side, head in heads)
        yield "</tr></thead>"
    yield "<tbody>"
    for row in table.rows:
        cells = (f"<td{side}>{said(cell, 'mathml')}</td>" for side, cell in zip(sides, row, strict=False))
        yield f"<tr>{''.join(cells)}</tr>"
    yield "</tbody>"
    yield "</table></div>"


def _equations(formulas: Sequence[Formula]) -> Iterator[str]:
    for rows in tables(formulas):
        yield from _together(rows)


def _together(rows: Sequence[Row]) -> Iterator[str]:
    """One table: left sides, equals signs and right sides, numbers and notes.

    In a block of its own: browsers line up the baselines of a table that may be broken on screen only.
    """
    yield f'<div class="equations" style="{_OWN_BLOCK}">'
    yield '<table role="presentation">'
    for row in rows:
        left, right = in_mathml(row.left), in_mathml(row.right)
        if row.is_left_alone:
            left, right = "", left
        else:
            right = (mathml_signs(row.relation) if row.relation else '<mspace width="2em"/>') + right
        tail = "\u2003".join(filter(None, (f"({row.label})" if row.label else "", row.note)))
        cells = (
            f'<td style="text-align: right">{_shown(left)}</td>',
            f"<td>{_shown(right)}</td>",
            f"<td>{escape(tail)}</td>" if tail else "",
        )
        yield f"<tr>{''.join(cells)}</tr>"
    yield "</table>"
    yield "</div>"


def _shown(inside: str) -> str:
    return element(inside, display=True) if inside else ""
