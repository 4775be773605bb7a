"""simlab check: exact statics and a settled simulation, side by side."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from simlab.commands.edge import (
    DISAGREE,
    Json,
    Scenes,
    Set,
    code_of,
    console,
    gravest,
    guarded,
    outcome,
    put_json,
    scene_at,
)

if TYPE_CHECKING:
    from simlab.frame.model import Frame
    from simlab.results import Comparison, Reading, Statics


@guarded
def command(scenes: Scenes, changes: Set = None, as_json: Json = False) -> int:
    """Solve exactly, settle the simulation, compare every component of every force.

    Symbolic answers are compared at the shown values and at two more inside each letter's range.
    Exit code: 0 they agree; 1 they differ or nothing settled; 2 bad input; 3 no unique answer where the
    scene does not expect that; 130 interrupted; 70 a fault of simlab's own; of several the gravest.
    """
    data: list[Any] = []
    codes = []
    for path in scenes:
        codes.append(outcome(lambda path=path: one(path, changes, data if as_json else None)))  # type: ignore[misc]
    if as_json:
        put_json(data)
    return gravest(codes)


def one(path: Path, changes: list[str] | None = None, data: list[Any] | None = None) -> int:
    """Check one scene: print it, or add it to the data."""
    from rich.status import Status
    from rich.text import Text

    frame = scene_at(path, changes)
    with Status(Text(f"{frame.title}: solving and settling ..."), console=console(to_errors=True)):
        statics, pairs = _roads(frame)
    code = _code(frame, statics, [comparison for comparison, _ in pairs])
    if data is not None:
        from simlab.commands.tables import comparison_data, statics_data

        compared = [comparison_data(frame, comparison, reading) for comparison, reading in pairs]
        data.append({**statics_data(statics), "comparisons": compared, "exit_code": code})
    else:
        _print(frame, statics, pairs)
    return code


def _roads(frame: Frame) -> tuple[Statics, list[tuple[Comparison, Reading]]]:
    """Exact statics, and the simulation at the values shown and, where letters are free, at two more."""
    from simlab.comparison import compare, probes
    from simlab.simulation.settle import settle
    from simlab.statics.solution import solve

    statics = solve(frame)
    probed = probes(frame) if frame.symbols and not statics.only_here else (frame.shown,)
    readings = [settle(frame, values) for values in probed]
    return statics, [(compare(statics, reading), reading) for reading in readings]


def _code(frame: Frame, statics: Statics, comparisons: list[Comparison]) -> int:
    if any(comparison.agreement == "differ" for comparison in comparisons):
        return DISAGREE
    return code_of(statics.verdict, frame)


def _print(frame: Frame, statics: Statics, pairs: list[tuple[Comparison, Reading]]) -> None:
    from simlab.commands.answers import said, unexpected
    from simlab.commands.tables import comparison_table, values_in_words

    out = console()
    out.print(f"{frame.title}  ({frame.name})  {values_in_words(frame, frame.shown)}", style="bold")
    for line in said(statics):
        out.print(line)
    (comparison, _), *others = pairs
    if comparison.rows:
        out.print(comparison_table(frame, comparison))
    for other, _ in others:
        out.print(f"{values_in_words(frame, other.values)}: {other.agreement}, {other.largest:.1e}")
    if all(compared.agreement == "agree" for compared, _ in pairs):
        largest = max(compared.largest for compared, _ in pairs)
        verdict = "" if statics.verdict == "determined" else f" ({statics.verdict})"
        out.print(f"The two roads agree{verdict}, to {largest:.1e} of the largest force.", style="bold")
    else:
        compared, reading = next(pair for pair in pairs if pair[0].agreement != "agree")
        out.print(f"Statics: {statics.verdict}. Simulation: {reading.verdict}.", style="bold")
        out.print(compared.advice if compared.advice != statics.advice else reading.advice)
    if unexpected(statics):
        out.print(unexpected(statics))
    out.print()
