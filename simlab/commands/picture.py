"""simlab picture: one frame on one page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

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
from simlab.commands.shapes import as_asked, in_shape

Output = Annotated[
    Path, typer.Option("-o", "--output", help="The picture's file: .svg, .pdf or .png.", show_default=False)
]
WithForces = Annotated[
    bool, typer.Option("--forces", help="Draw the exact forces to scale instead of the given data.")
]


@guarded
def command(
    scene: Scene,
    output: Output,
    forces: WithForces = False,
    changes: Set = None,
    class_file: ClassFile = None,
) -> int:
    """Draw a frame: what the question gives, or with --forces every force to one scale."""
    from simlab.pictures.picture import picture

    conventions = class_at(class_file)
    asked = scene_at(scene, changes, conventions)
    conventions = conventions.of(asked)
    frame = in_shape(asked) if forces else as_asked(asked)
    code = AGREE
    drawn = None
    if forces:
        from simlab.results import in_numbers
        from simlab.statics.solution import solve

        statics = solve(frame)
        if statics.verdict == "determined":
            numbers = in_numbers(statics.case.forces, statics.values)
            drawn = picture(frame, forces=numbers, conventions=conventions)
        else:
            console(to_errors=True).print(conventions.spoken(f"No forces are drawn: {statics.advice}"))
            code = code_of(statics.verdict, frame)
    (drawn or picture(frame)).write(output)
    console().print(f"{output}: {frame.title}", soft_wrap=True)
    return code
