"""A page as a whole document in a file: .txt, .md, .tex or .html, written whole or not at all."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from simlab.errors import BadInput
from simlab.notation.page import Page, html_document, latex_document, line, written
from simlab.pictures.paper import write as put
from simlab.results.wording import CAUTION

KINDS = (".txt", ".md", ".tex", ".html")
STYLE = (
    "body{max-width:44rem;margin:2rem auto;padding:0 1rem;font:1.1rem/1.5 Georgia,serif}"
    "math{font-size:1.05em}h1,h2{line-height:1.2}"
)


def check_place(path: Path) -> str:
    """The kind of document that a file's name says; raises BadInput for other names."""
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise BadInput(f'{path}: a working is written as {", ".join(KINDS)}, not "{kind}"')
    if not path.parent.is_dir():
        raise BadInput(f"{path} cannot be written: there is no folder {path.parent}. Create it first")
    return kind


def write(path: Path, page: Page, title: str) -> None:
    """Write a page as its file's name says, the caution at its end."""
    page = [*page, replace(line(CAUTION), small=True)]
    match check_place(path):
        case ".tex":
            text = latex_document(page)
        case ".html":
            text = html_document(page, title, style=STYLE)
        case ".md":
            text = "\n".join(written(page, "markdown")) + "\n"
        case _:
            text = "\n".join(written(page, "text")) + "\n"
    put(path, text.encode())
