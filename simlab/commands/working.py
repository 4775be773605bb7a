"""simlab working: the worked solution of a question, found, written and checked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from simlab.commands.edge import (
    AGREE,
    ClassFile,
    Scene,
    Set,
    class_at,
    code_of,
    console,
    guarded,
    scene_at,
)

if TYPE_CHECKING:
    from simlab.frame.model import Frame
    from simlab.notation.page import Medium, Page
    from simlab.results.statics import Findings

Find = Annotated[
    str | None,
    typer.Option("--find", metavar="NAME", help="Which of the things asked; all, one after another."),
]
Way = Annotated[
    Literal["moments", "resolving", "virtual-work"] | None,
    typer.Option("--by", help="Only moments, only resolving, or virtual work."),
]
Chain = Annotated[
    int, typer.Option("--chain", min=1, help="The second or third best way instead of the best.")
]
Lines = Annotated[
    list[str] | None,
    typer.Option(
        "--line", metavar="EQUATION", help='Your own way, a line each: "CD about B", "whole vertically".'
    ),
]
Through = Annotated[
    list[str] | None,
    typer.Option(
        "--through", metavar="EQUATION", help='The best way that has this equation in it: "CD about B".'
    ),
]
Isolating = Annotated[
    str | None,
    typer.Option("--isolating", metavar="PARTS", help='Only these parts, ";" between them: "whole; CD".'),
]
PartName = Annotated[str | None, typer.Option("--part", help="Write one equation of this part.")]
About = Annotated[
    str | None, typer.Option("--about", metavar="POINT", help="Its moments about this point.")
]
Along = Annotated[
    str | None,
    typer.Option("--along", metavar="DIRECTION", help='Resolve along: "AB", "square to AB", "vertically".'),
]
NoSymmetry = Annotated[bool, typer.Option("--without-symmetry", help="Do not use symmetry.")]
As = Annotated[
    Literal["text", "markdown", "latex", "mathml"],
    typer.Option("--as", help="How it is written: for a terminal, Markdown, LaTeX, HTML with MathML."),
]
Output = Annotated[
    Path | None,
    typer.Option("-o", "--output", metavar="FILE", help="A whole document: .txt, .md, .tex or .html."),
]


@guarded
def command(
    scene: Scene,
    find: Find = None,
    by: Way = None,
    chain: Chain = 1,
    line: Lines = None,
    through: Through = None,
    isolating: Isolating = None,
    part: PartName = None,
    about: About = None,
    along: Along = None,
    without_symmetry: NoSymmetry = False,
    medium: As = "text",
    output: Output = None,
    changes: Set = None,
    class_file: ClassFile = None,
) -> int:
    """Work a question: which part to isolate, which moments to take, every line of algebra, and a check.

    With --part it writes that one equation; with --line it checks a way of your own line by line.
    """
    from simlab.commands.documents import check_place
    from simlab.commands.working_pages import Choice, pages
    from simlab.statics.shape import find as find_shapes

    conventions = class_at(class_file)
    frame = scene_at(scene, changes, conventions)
    choice = Choice(
        find,
        by,
        chain,
        tuple(line or ()),
        tuple(through or ()),
        isolating,
        part,
        about,
        along,
        not without_symmetry,
    )
    choice.check()
    if output is not None:
        check_place(output)
    findings = find_shapes(frame)
    states = [state for state in findings.shapes if state.verdict == "determined"]
    if not states:
        return _nothing_to_work(findings, frame)
    page = [
        part for state in states for part in pages(findings, state, choice, conventions, output is None)
    ]
    put(page, frame.title, medium, output)
    return AGREE


def _nothing_to_work(findings: Findings, frame: Frame) -> int:
    """Say why, and the exit code."""
    said = findings.shapes[0].advice if findings.shapes else findings.advice
    console(to_errors=True).print(f"There is nothing to work: {said}", soft_wrap=True)
    codes = [code_of(state.verdict, frame) for state in findings.shapes]
    return max(codes, default=code_of("cannot rest", frame))


def put(page: Page, title: str, medium: Medium, output: Path | None) -> None:
    """A page to the terminal, or as a whole document to a file."""
    from simlab.notation.page import written

    if output is None:
        for text in written(page, medium):
            console().print(text, soft_wrap=True, markup=False, highlight=False)
        return
    from simlab.commands.documents import write

    write(output, page, title)
    console().print(f"{output}: {title}", soft_wrap=True)
