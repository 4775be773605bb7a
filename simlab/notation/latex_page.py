r"""A page for LaTeX: a fragment that needs amsmath and amssymb, or a whole document that compiles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.notation.formulas import Row, tables
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
from simlab.notation.signs import in_tex, tex_signs

HEADS = {1: r"\section*", 2: r"\paragraph", 3: r"\subparagraph"}
RULED = r"\noindent\rule[-7mm]{\linewidth}{0.2pt}\par"
NUMBER = "2.2em"  # the column of a step's number
_HEAD = r"""\documentclass[11pt,a4paper]{article}
\usepackage[T1]{fontenc}
\usepackage[utf8]{inputenc}
\IfFileExists{lmodern.sty}{\usepackage{lmodern}}{}
\usepackage{amsmath,amssymb,graphicx}
\usepackage[margin=22mm]{geometry}
\setlength{\parindent}{0pt}
\setlength{\parskip}{0.6ex plus 0.4ex}
\allowdisplaybreaks
\renewcommand{\arraystretch}{1.5}
\makeatletter  % headings on lines of their own
\renewcommand{\paragraph}{\@startsection{paragraph}{4}{0pt}{2.4ex plus 1ex}{1ex}{\large\bfseries}}
\renewcommand{\subparagraph}{\@startsection{subparagraph}{5}{0pt}{2ex plus 1ex}{0.8ex}{\bfseries}}
\makeatother
\begin{document}"""


def latex_document(page: Page) -> str:
    """A whole document; pictures are NAME.pdf beside it, or what they show in words where there is none."""
    return "\n".join((_HEAD, *in_latex(page), r"\end{document}", ""))


def in_latex(page: Page) -> Iterator[str]:
    """The lines of a page as a fragment of LaTeX."""
    for part, within in blocks(page):
        yield from _block(part, within)


def _block(part: Block, within: bool) -> Iterator[str]:
    match part:
        case Heading():
            yield rf"{HEADS.get(part.level, HEADS[3])}{{{words(part.words, 'latex')}}}"
        case Line():
            yield _line(part, within)
        case Figure():
            yield from _figure(part)
        case Beside():
            yield from in_latex([*part.parts, part.figure])
        case Table():
            yield from _table(part)
        case Space():
            yield from [RULED] * part.lines
        case Blanks():
            rules = (rf"{said(label, 'latex')} \hrulefill" for label in part.labels)
            yield rf"\noindent {' '.join(rules)}\par"
        case Break():
            yield r"\clearpage"
        case tuple():
            yield from _equations(part)


def _line(part: Line, within: bool) -> str:
    text = " ".join(said(sentence, "latex") for sentence in part.parts if sentence != (NEW_LINE,))
    label = rf"\textbf{{{words(part.label, 'latex')}:}} " if part.label else ""
    lead = rf"\textbf{{{words(part.lead, 'latex')}}} " if part.lead else ""
    if part.small:
        return rf"{{\small {label}{lead}{text}\par}}" + "\n"
    if not within:
        return f"{label}{lead}{text}\n"
    number = f"{part.number}." if part.number is not None else ""
    return (
        rf"\par\noindent\hangindent={NUMBER}\hangafter=1\makebox[{NUMBER}][l]{{{number}}}{label}{lead}{text}"
        "\n"
    )


def _equations(formulas: Sequence[Formula]) -> Iterator[str]:
    for rows in tables(formulas):
        yield from _together(rows)


def _together(rows: Sequence[Row]) -> Iterator[str]:
    yield r"\begin{align*}"
    lines = []
    for row in rows:
        note = rf" && \text{{{words(row.note, 'latex')}}}" if row.note else ""
        label = rf" \tag{{{words(row.label, 'latex')}}}" if row.label else ""
        lines.append(f"{aligned(row)}{note}{label}")
    yield " \\\\\n".join(lines)
    yield "\\end{align*}\n"


def aligned(row: Row) -> str:
    """A line of an aligned environment, without its notes."""
    if row.is_left_alone:
        return f"&{in_tex(row.left)}"
    relation = f"{tex_signs(row.relation)} " if row.relation else r"\qquad "
    return f"{in_tex(row.left)} &{relation}{in_tex(row.right)}"


def _figure(part: Figure) -> Iterator[str]:
    """The picture where there is one; what it shows in words where there is none."""
    told = rf"\fbox{{\parbox{{0.8\linewidth}}{{{words(part.alt, 'latex')}}}}}"
    shown = rf"\includegraphics[width={part.share:g}\linewidth]{{{part.name}}}"
    yield r"\begin{center}"
    yield rf"\IfFileExists{{{part.name}.pdf}}{{{shown}}}{{{told}}}"
    if part.caption:
        yield rf"\\ {words(part.caption, 'latex')}"
    yield "\\end{center}\n"


def _table(table: Table) -> Iterator[str]:
    columns = "".join("r" if k in table.right else "l" for k in range(len(table.headings)))
    yield rf"\begin{{center}}\begin{{tabular}}{{{columns}}}"
    if any(table.headings):
        heads = " & ".join(rf"\textbf{{{words(head, 'latex')}}}" for head in table.headings)
        yield rf"{heads} \\ \hline"
    for row in table.rows:
        yield " & ".join(said(cell, "latex") for cell in row) + r" \\"
    yield "\\end{tabular}\\end{center}\n"
