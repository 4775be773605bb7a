"""simlab sheet: a question on paper, for pupils and for their teacher."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from simlab.commands.edge import (
    ClassFile,
    Scene,
    Set,
    class_at,
    code_of,
    console,
    gravest,
    guarded,
    scene_at,
)
from simlab.errors import BadInput

if TYPE_CHECKING:
    from simlab.results import Verdict

KINDS = (".html", ".pdf")
Output = Annotated[
    Path, typer.Option("-o", "--output", help="The sheet's file: .html or .pdf.", show_default=False)
]
For = Annotated[
    Literal["pupils", "teacher", "both"],
    typer.Option("--for", help="The question to work on, the solution, or one after the other."),
]
OnPaper = Annotated[
    Literal["a4", "letter"] | None,
    typer.Option(
        "--paper", help="The size of the paper. [default: A4; HTML: the printer's own]", show_default=False
    ),
]
ToWriteOn = Annotated[
    Literal["ruled", "squared", "none"], typer.Option("--space", help="What pupils write their working on.")
]


@guarded
def command(
    scene: Scene,
    output: Output,
    audience: For = "both",
    paper: OnPaper = None,
    space: ToWriteOn = "ruled",
    class_file: ClassFile = None,
    changes: Set = None,
) -> int:
    """Put a question on paper: its picture, diagrams to complete and room to work; or all of the solution.

    The teacher's sheet has the answers, the working step by step with its diagrams, and the check by
    simulation. HTML is one file that needs no network and prints; PDF needs no other program.
    """
    from rich.status import Status
    from rich.text import Text

    kind = _check_place(output)
    conventions = class_at(class_file)
    frame = scene_at(scene, changes, conventions)
    with Status(Text(f"{frame.title}: solving, settling and drawing ..."), console=console(to_errors=True)):
        from simlab.commands.sheet_parts import sheet_of
        from simlab.pictures.paper import write
        from simlab.statics.shape import find

        findings = find(frame)
        text = scene.read_text() if conventions.keeps_scenes else ""
        sheet = sheet_of(findings, conventions.of(frame), text, audience)
        if kind == ".html":
            from simlab.sheet.web import html

            content = html(sheet, audience, space, paper).encode()
        else:
            from simlab.sheet.press import pdf

            content = pdf(sheet, audience, space, paper or "a4")
        write(output, content)
    console().print(f"{output}: {frame.title}", soft_wrap=True)
    default: Verdict = "determined" if any(findings.ranges.values()) else "cannot rest"
    return gravest(
        [code_of(state.verdict, frame) for state in findings.shapes] or [code_of(default, frame)]
    )


def _check_place(output: Path) -> str:
    """The kind of file that the name says, before anything is solved. Raises BadInput."""
    kind = output.suffix.lower()
    if kind not in KINDS:
        raise BadInput(f'{output}: sheets are written as {" or ".join(KINDS)}, not "{kind}"')
    if not output.parent.is_dir():
        raise BadInput(f"{output} cannot be written: there is no folder {output.parent}. Create it first")
    if output.is_dir():
        raise BadInput(f"{output} is a folder. Choose another name")
    return kind
