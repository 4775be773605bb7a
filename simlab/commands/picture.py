"""simlab picture: one frame, a part of it alone, or the frame taken apart, on one page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

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
from simlab.errors import BadInput

if TYPE_CHECKING:
    from simlab.frame.model import Frame
    from simlab.pictures.picture import Picture
    from simlab.results.conventions import Conventions

Output = Annotated[
    Path, typer.Option("-o", "--output", help="The picture's file: .svg, .pdf or .png.", show_default=False)
]
WithForces = Annotated[
    bool, typer.Option("--forces", help="Draw the exact forces to scale instead of the given data.")
]
OfPart = Annotated[
    str | None,
    typer.Option(
        "--part", help="One part alone, with the letters of the forces on it; --forces: as they came out."
    ),
]
About = Annotated[
    str | None,
    typer.Option("--about", metavar="POINT", help="With --part: the arms of its moments about a point."),
]
Blank = Annotated[bool, typer.Option("--blank", help="With --part: without its forces, to be filled in.")]
Apart = Annotated[
    bool, typer.Option("--apart", help="The frame taken apart, the forces at each hinge on separate rods.")
]


@guarded
def command(
    scene: Scene,
    output: Output,
    forces: WithForces = False,
    part: OfPart = None,
    about: About = None,
    blank: Blank = False,
    apart: Apart = False,
    changes: Set = None,
    class_file: ClassFile = None,
) -> int:
    """Draw a frame: what the question gives, or with --forces every force to one scale.

    With --part or --apart: a part alone, or all of them, for a worked solution.
    """
    from simlab.pictures.picture import check_place, picture

    check_place(output)
    conventions = class_at(class_file)
    asked = scene_at(scene, changes, conventions)
    conventions = conventions.of(asked)
    if part is None and (about is not None or blank):
        raise BadInput("--about and --blank are of a --part: say which, or --part whole")
    if apart and (part is not None):
        raise BadInput("--apart draws every part: leave --part out")
    if part is not None or apart:
        drawn = _parts(asked, part, about, blank, forces, conventions)
        code = AGREE
    elif forces:
        found, code = _forces(in_shape(asked), conventions)
        drawn = found or picture(in_shape(asked))
    else:
        drawn, code = picture(as_asked(asked)), AGREE
    drawn.write(output)
    console().print(f"{output}: {asked.title}", soft_wrap=True)
    return code


def _forces(frame: Frame, conventions: Conventions) -> tuple[Picture | None, int]:
    """Every force to one scale; None where they have no single answer, which is said."""
    from simlab.pictures.picture import picture
    from simlab.results import in_numbers
    from simlab.statics.solution import solve

    statics = solve(frame)
    if statics.verdict != "determined":
        console(to_errors=True).print(conventions.spoken(f"No forces are drawn: {statics.advice}"))
        return None, code_of(statics.verdict, frame)
    numbers = in_numbers(statics.case.forces, statics.values)
    return picture(frame, forces=numbers, conventions=conventions), AGREE


def _parts(
    asked: Frame,
    named: str | None,
    about: str | None,
    blank: bool,
    forces: bool,
    conventions: Conventions,
) -> Picture:
    """A part alone (before, its arms, blank, or after), or the frame taken apart."""
    from simlab.pictures import arm_lines, isolated
    from simlab.pictures.separated import separated
    from simlab.statics.shape import find
    from simlab.working.solution import Workings
    from simlab.working.typed import equation, part_named

    findings = find(asked)
    if not findings.shapes:
        raise BadInput(f"there are no forces to draw: {findings.advice}")
    workings = Workings(findings.shapes[0])
    frame, values = workings.statics.frame, workings.statics.values
    if named is None:
        parts, letters = workings.apart()
        return separated(frame, values, parts, letters if forces else None, conventions=conventions)
    if about is not None:
        lone = workings.lone(equation(workings.survey, named, about=about))
        return arm_lines.arms(frame, values, lone.steps[0].equations[0], conventions=conventions)
    (part,), letters = workings.apart([part_named(workings.survey, named)])
    if blank:
        return isolated.blank(frame, values, part, conventions=conventions)
    if forces:
        scale = isolated.scale_of(values, [part], letters)
        return isolated.after(frame, values, part, letters, scale, conventions=conventions)
    return isolated.before(frame, values, part, conventions=conventions)
