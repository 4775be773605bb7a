"""simlab check: exact statics, virtual work and a settled simulation, side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from simlab.commands.edge import (
    AGREE,
    DISAGREE,
    ClassFile,
    Json,
    Scenes,
    Set,
    class_at,
    code_of,
    console,
    gravest,
    guarded,
    outcome,
    put_json,
    scene_at,
)
from simlab.errors import BadInput

Motion = Annotated[
    bool, typer.Option("--motion", help="Also let go of the brace: two roads through the fall.")
]

Chart = Annotated[
    Path | None,
    typer.Option(
        "--chart",
        metavar="FILE",
        help="Draw the fall on both roads as .svg, .pdf or .png (with --motion, said or not).",
    ),
]

if TYPE_CHECKING:
    from rich.console import Console

    from simlab.commands.motion import Moved
    from simlab.commands.trials import Trials
    from simlab.frame.model import Frame
    from simlab.results import Comparison, Findings, Reading, Statics
    from simlab.results.conventions import Conventions


@guarded
def command(
    scenes: Scenes,
    changes: Set = None,
    motion: Motion = False,
    chart: Chart = None,
    as_json: Json = False,
    class_file: ClassFile = None,
) -> int:
    """Solve exactly, settle the simulation, compare every component of every force.

    Symbolic answers are compared at the shown values and at two more inside each letter's range.

    --motion adds the first instant after the brace is taken away, and the collapse on two roads; --chart
    draws that collapse.

    Exit code: 0 they agree; 1 they differ or nothing settled; 2 bad input; 3 no unique answer where the
    scene does not expect that; 130 interrupted; 70 a fault of simlab's own; of several the gravest.
    """
    data: list[Any] = []
    codes = []
    if chart is not None:
        _check_chart(scenes, chart)
    rows, conventions = data if as_json else None, class_at(class_file)
    for path in scenes:
        codes.append(
            outcome(lambda path=path: one(path, changes, rows, motion, chart, conventions))  # type: ignore[misc]
        )
    if as_json:
        put_json(data)
    return gravest(codes)


def _check_chart(scenes: list[Path], chart: Path) -> None:
    from simlab.pictures.picture import check_place

    if len(scenes) > 1:
        raise BadInput(f"--chart {chart}: a chart is of one scene. Check the others without it.")
    check_place(chart)


def one(
    path: Path,
    changes: list[str] | None = None,
    data: list[Any] | None = None,
    motion: bool = False,
    chart: Path | None = None,
    conventions: Conventions | None = None,
) -> int:
    """Check one scene: print it, or add it to the data; write the chart of its collapse last."""
    from rich.status import Status
    from rich.text import Text

    frame = scene_at(path, changes, conventions)
    with Status(Text(f"{frame.title}: solving and settling ..."), console=console(to_errors=True)):
        from simlab.commands.trials import tried
        from simlab.statics.shape import find

        findings = find(frame)
        checked = [_checked(frame, state) for state in findings.shapes]
        trials = tried(findings)
    falls = []
    if motion or chart:
        from simlab.commands.motion import motion_data, moved, say

        with Status(Text(f"{frame.title}: letting go ..."), console=console(to_errors=True)):
            falls = [moved(state) for state in findings.shapes]
    borne_out = AGREE if trials.agree else DISAGREE
    code = gravest([_code(frame, checked), borne_out, *(fall.code for fall in falls)])
    if data is not None:
        for i, one in enumerate(checked):
            row = _row(one, trials, code)
            data.append(row | ({"motion": motion_data(falls[i])} if falls else {}))
    else:
        own = class_at(None) if conventions is None else conventions.of(frame)
        out = console(spoken=own.spoken)
        _print(findings, checked, trials, own)
        for fall in falls:
            say(fall, out, own)
    if chart is not None:
        _write_chart(chart, findings, falls, quiet=data is not None)
    return code


def _row(one: Checked, trials: Trials, code: int) -> dict[str, Any]:
    """One shape as plain data."""
    from simlab.commands.tables import comparison_data, statics_data

    compared = [comparison_data(one.statics.frame, c, reading) for c, reading in one.pairs]
    same = {"virtual_work_agrees": dict(one.same)}
    row = {**statics_data(one.statics), **same, "comparisons": compared, "exit_code": code}
    row |= {"trials": trials.data} if any(trials.said) else {}
    return row | ({"built_twice": one.built_twice} if one.built_twice else {})


def _write_chart(path: Path, findings: Findings, falls: list[Moved], quiet: bool) -> None:
    """The chart of the first shape's collapse. Raises BadInput where there is none."""
    from simlab.commands.motion import draw

    if not falls:
        raise BadInput(
            f"no chart is drawn: {findings.advice or f'{findings.frame.name} rests in no shape.'}"
        )
    draw(findings.shapes[0], falls[0]).write(path)
    which = ", in the first shape" if len(falls) > 1 else ""
    console(to_errors=quiet).print(f"{path}: {findings.frame.title}{which}", soft_wrap=True)


@dataclass(frozen=True)
class Checked:
    """One shape: its exact solution, whether virtual work says the same, and the simulation beside it.

    built_twice : what the simulation gives instead of forces where members are to spare, in a sentence
    """

    statics: Statics
    same: Mapping[str, bool]
    pairs: list[tuple[Comparison, Reading]]
    built_twice: str

    @property
    def differs(self) -> bool:
        """Whether any two roads differ."""
        return not all(self.same.values()) or any(c.agreement == "differ" for c, _ in self.pairs)


def _checked(asked: Frame, statics: Statics) -> Checked:
    """The other roads: virtual work, and the simulation at the values shown and two more."""
    from simlab.commands.redundancy import built_twice
    from simlab.comparison import compare, probes
    from simlab.simulation.settle import settle
    from simlab.statics.second_road import second_road

    frame = statics.frame
    given = set(frame.symbols) - set(statics.found)
    free = bool(given) and not statics.only_here and not set(statics.found) & set(frame.symbols)
    probed = probes(frame) if free else (frame.shown,)
    readings = [settle(frame, values) for values in probed]
    pairs = [(compare(statics, reading), reading) for reading in readings]
    refused = any(reading.verdict == "refused" for reading in readings)
    twice = built_twice(frame, frame.shown) if refused else ""
    return Checked(statics, second_road(asked, statics), pairs, twice)


def _code(frame: Frame, checked: list[Checked]) -> int:
    if any(one.differs for one in checked):
        return DISAGREE
    verdicts = [one.statics.verdict for one in checked] or ["cannot rest"]
    return gravest([code_of(verdict, frame) for verdict in verdicts])


def _print(findings: Findings, checked: list[Checked], trials: Trials, conventions: Conventions) -> None:
    from simlab.commands.tables import values_in_words

    frame, out = findings.frame, console(spoken=conventions.spoken)
    out.print(
        f"{frame.title}  ({frame.name})  {values_in_words(frame, frame.shown)}".rstrip(), style="bold"
    )
    if frame.found:
        from simlab.commands.findings import ranges
        from simlab.notation.page import written

        if findings.advice and len(findings.shapes) != 1:
            out.print(findings.advice)
        for text in written(list(ranges(findings, conventions)), "text"):
            out.print(text, soft_wrap=True)
    for one in checked:
        _print_shape(findings, one, conventions)
    for words in trials.said:
        out.print(words, soft_wrap=True)
    out.print()


def _print_shape(findings: Findings, one: Checked, conventions: Conventions) -> None:
    from simlab.commands.answers import said, unexpected
    from simlab.commands.tables import comparison_table, values_in_words

    statics, pairs, out = one.statics, one.pairs, console(spoken=conventions.spoken)
    frame = statics.frame
    if statics.found:
        from simlab.commands.findings import shape
        from simlab.notation.page import written

        for text in written(list(shape(findings, statics, conventions) or ()), "text"):
            out.print(text, soft_wrap=True)
    else:
        for text in said(statics, conventions):
            out.print(text)
    (comparison, _), *others = pairs
    if comparison.rows:
        out.print(comparison_table(frame, comparison, conventions))
    for other, _ in others:
        if other.rows:
            out.print(f"{values_in_words(frame, other.values)}: {other.agreement}, {other.largest:.1e}")
    for words in _virtual_work(one):
        out.print(words)
    _print_agreement(one, out)
    if unexpected(statics):
        out.print(unexpected(statics))


def _virtual_work(one: Checked) -> Iterator[str]:
    """What the second exact road says."""
    for said, holds in (("gives the same", True), ("gives another", False)):
        members = [
            name for name, same in one.same.items() if same is holds and name in one.statics.frame.links
        ]
        letters = [name for name, same in one.same.items() if same is holds and name in one.statics.found]
        if members:
            yield f"Virtual work {said} force in {', '.join(members)}{', exactly' if holds else ''}."
        if letters:
            yield f"Virtual work {said} shape{', exactly' if holds else ''}."


def _print_agreement(one: Checked, out: Console) -> None:
    statics, pairs = one.statics, one.pairs
    if all(reading.verdict == "not simulated" for _, reading in pairs):
        out.print(pairs[0][0].advice)
    elif all(compared.agreement == "agree" for compared, _ in pairs):
        largest = max(compared.largest for compared, _ in pairs)
        verdict = "" if statics.verdict == "determined" else f" ({statics.verdict})"
        out.print(f"The two roads agree{verdict}, to {largest:.1e} of the largest force.", style="bold")
    else:
        compared, reading = next(pair for pair in pairs if pair[0].agreement != "agree")
        out.print(f"Statics: {statics.verdict}. Simulation: {reading.verdict}.", style="bold")
        out.print(compared.advice if compared.advice != statics.advice else reading.advice)
    if one.built_twice:
        out.print(one.built_twice)
