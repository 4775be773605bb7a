"""simlab forces: the exact side alone, as a class writes it down."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from simlab.commands.edge import (
    ClassFile,
    Json,
    Scene,
    Set,
    class_at,
    code_of,
    console,
    guarded,
    put_json,
    scene_at,
)

if TYPE_CHECKING:
    from simlab.notation.page import Heading, Line
    from simlab.results import Statics
    from simlab.results.conventions import Conventions
    from simlab.results.statics import Findings, Verdict

As = Annotated[
    Literal["text", "latex", "mathml"],
    typer.Option("--as", help="How it is written: for a terminal, for LaTeX, as HTML with MathML."),
]


@guarded
def command(
    scene: Scene,
    changes: Set = None,
    as_json: Json = False,
    medium: As = "text",
    class_file: ClassFile = None,
) -> int:
    """Print every force exactly, with its magnitude and direction at the values shown.

    Also for which values all this holds, what the answers tend to, and whether the question is a fair one.
    """
    from simlab.notation.page import written
    from simlab.statics.shape import find

    conventions = class_at(class_file)
    frame = scene_at(scene, changes, conventions)
    findings = find(frame)
    if as_json:
        put_json(_data(findings, scene.read_text() if conventions.keeps_scenes else ""))
    else:
        out = console()
        first, *others = written(_page(findings, scene, conventions.of(frame)), medium)
        out.print(first, style="bold" if medium == "text" else "", soft_wrap=True)
        for text in others:
            out.print(text, soft_wrap=True)
    default: Verdict = "determined" if any(findings.ranges.values()) else "cannot rest"
    codes = [code_of(state.verdict, frame) for state in findings.shapes]
    return max(codes, default=code_of(default, frame))


def _page(findings: Findings, scene: Path, conventions: Conventions) -> list[Heading | Line]:
    """The whole page, in the class's words."""
    from simlab.notation.worded import worded

    return worded(_parts(findings, scene, conventions), conventions.spoken)


def _parts(findings: Findings, scene: Path, conventions: Conventions) -> Iterator[Heading | Line]:
    from simlab.commands.findings import ranges, shape
    from simlab.commands.remarks import of_fairness
    from simlab.commands.tables import values_in_words
    from simlab.notation.page import Heading, line
    from simlab.statics.fairness import fairness

    frame = findings.frame
    yield Heading(f"{frame.title}  {values_in_words(frame, frame.shown)}".rstrip())
    told = len(findings.shapes) == 1 and findings.shapes[0].found  # under the heading of the shape
    if findings.advice and not told:
        yield line(findings.advice)
    yield from ranges(findings, conventions)
    for state in findings.shapes:
        yield from shape(findings, state, conventions) or ()
        yield from _state(state, conventions)
    text = scene.read_text() if conventions.keeps_scenes else ""
    for state in [state for state in findings.shapes if state.rests][:1]:
        unique = state.verdict == "determined"
        yield from of_fairness(fairness(state, text), state.values, unique, conventions)


def _state(statics: Statics, conventions: Conventions) -> Iterator[Heading | Line]:
    """The forces of one solved frame; a frame that cannot be as it is gets sentences only."""
    from simlab.commands.answers import head, unexpected
    from simlab.commands.remarks import of_extremes, of_validity
    from simlab.lesson.forces import entries
    from simlab.notation.page import Heading, line
    from simlab.statics.extremes import extremes
    from simlab.statics.validity import validity

    yield from head(statics, conventions)
    if statics.rests:
        told = list(entries(statics, conventions))
        if told:
            yield Heading("Every force")
        yield from told
    if statics.case.forces.reactions:
        letters = statics.frame.symbols.keys() - statics.frame.gravity.names
        yield from of_validity(validity(statics), bool(letters), statics.rests)
    yield from of_extremes(extremes(statics), statics.values, conventions)
    if statics.rests:
        yield from _by_symmetry(statics)
    if unexpected(statics):
        yield line(unexpected(statics))


def _by_symmetry(statics: Statics) -> Iterator[Heading | Line]:
    """What symmetry alone says, where the frame has any and the forces found without it bear it out."""
    from simlab.notation.page import Heading, line
    from simlab.statics.mirror import symmetry, used

    found = symmetry(statics.frame, statics.values)
    if found is not None and found.sentences and used(found, statics):
        yield Heading("By symmetry")
        for sentence in found.sentences:
            yield line(sentence)


def _data(findings: Findings, text: str) -> Any:
    """Plain data: one object for each shape in which the frame can rest; just the one where it is drawn."""
    from simlab.commands.tables import findings_data, remarks_data, statics_data

    shapes = [{**statics_data(state), **remarks_data(state, text)} for state in findings.shapes]
    if not (findings.advice or findings.ranges) and len(shapes) == 1:
        return shapes[0]
    return {**findings_data(findings), "shapes": shapes}
