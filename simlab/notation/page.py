"""A page of sentences with mathematics, equations and pictures, for a terminal, LaTeX, Markdown, MathML."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.notation.html_page import Pictures, html_document, in_html
from simlab.notation.latex_page import in_latex, latex_document
from simlab.notation.markdown_page import in_markdown
from simlab.notation.parts import (
    NEW_LINE,
    Beside,
    Blanks,
    Break,
    Figure,
    Formula,
    Heading,
    Line,
    Maths,
    Page,
    Part,
    Sentence,
    Space,
    Table,
    line,
)
from simlab.notation.sentences import Medium, said
from simlab.notation.text_page import INDENT, WIDEST_LABEL, WIDTH, in_text
from simlab.notation.typst_page import in_typst_page

__all__ = [
    "INDENT",
    "NEW_LINE",
    "WIDEST_LABEL",
    "WIDTH",
    "Beside",
    "Blanks",
    "Break",
    "Figure",
    "Formula",
    "Heading",
    "Line",
    "Maths",
    "Medium",
    "Page",
    "Part",
    "Sentence",
    "Space",
    "Table",
    "html_document",
    "latex_document",
    "line",
    "said",
    "written",
]


def written(page: Page, medium: Medium, pictures: Pictures | None = None) -> Iterator[str]:
    """The lines of a page in one medium.

    LaTeX is a fragment (`latex_document` gives a whole document); MathML stands in a fragment of HTML that
    is well-formed XML (`html_document`). `pictures`: SVG by name, to stand in the HTML itself.
    """
    match medium:
        case "text":
            yield from in_text(page)
        case "latex":
            yield from in_latex(page)
        case "markdown":
            yield from in_markdown(page)
        case "typst":
            yield from in_typst_page(page)
        case "mathml":
            yield "<article>"
            yield from in_html(page, pictures)
            yield "</article>"
