"""The check by simulation, as a sheet tells it: exact beside simulated, and what their agreement proves."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.commands.answers import is_asked
from simlab.commands.closing import in_figures
from simlab.frame.quantity import Quantity
from simlab.lesson.amounts import exactly, opposite
from simlab.notation.page import Part, Sentence, Table, line
from simlab.results import Comparison, Key, Reading, Row, Statics
from simlab.results.conventions import Conventions
from simlab.results.wording import NOTHING, figures, in_words, member_force, scaled, sense, sides

MODEL = "That bears out the algebra, not the model."
MOST = 12  # rows, where nothing that is asked can be set beside the simulation
HEADINGS = ("force", "acting", "exact", "value", "simulated")
RIGHT = (3, 4)


def checked(
    statics: Statics, comparison: Comparison, reading: Reading, conventions: Conventions
) -> Iterator[Part]:
    """The two roads side by side where they can be compared; else the sentence that says why not."""
    if comparison.agreement != "agree" or not comparison.rows:
        words = comparison.advice if comparison.advice != statics.advice else reading.advice
        if words and words != statics.advice:  # which the answers have said
            yield line(words)
        return
    rows = [row for row in comparison.rows if _is_asked(statics, row)]
    if not rows:
        rows = [row for row in comparison.rows if row.component != "balance"][:MOST]
    told = [_row(statics, row, conventions) for row in rows if abs(row.left) > NOTHING * row.scale]
    if told:
        yield (
            _without_exact(told) if conventions.exact == "figures" else Table(HEADINGS, tuple(told), RIGHT)
        )
    count = sum(row.component != "balance" for row in comparison.rows)
    yield line(
        f"All {count} components of all forces were compared. "
        f"{in_figures(statics.frame, comparison.largest)} {MODEL}"
    )


def _is_asked(statics: Statics, row: Row) -> bool:
    if row.component == "balance":
        return False
    if isinstance(row.what, Key):
        return any(is_asked(asked, row.what) for asked in statics.frame.asked)
    return any(asked.at == row.what for asked in statics.frame.asked)


def _without_exact(rows: list[tuple[Sentence, ...]]) -> Table:
    """The same for a class that writes values alone."""
    kept = [k for k, heading in enumerate(HEADINGS) if heading != "exact"]
    cells = tuple(tuple(row[k] for k in kept) for row in rows)
    return Table(tuple(HEADINGS[k] for k in kept), cells, tuple(kept.index(k) for k in RIGHT))


def _row(statics: Statics, row: Row, conventions: Conventions) -> tuple[Sentence, ...]:
    """Which force, which way, exactly, in figures, as simulated; never a bare negative number."""
    frame, to = statics.frame, sides(statics.frame)
    sign = 1 if row.left > 0 else -1
    match row.component:
        case "x":
            way = sense(sign, 0, to)
        case "y":
            way = sense(0, sign, to)
        case "moment":
            way = "anticlockwise" if sign > 0 else "clockwise"
        case _:
            way = ""
    what = (
        in_words(frame, row.what)
        if isinstance(row.what, Key)
        else member_force(frame, row.what, row.left, row.scale)
    )
    exact = row.exact if row.exact is not None else Quantity.zero()
    exact = exact if sign > 0 else opposite(exact)
    scale, unit = scaled(exact, row.left)
    digits = conventions.figures_of(exact.dim)
    values = (f"{figures(abs(v) / scale, digits)}{unit}" for v in (row.left, row.right))
    return ((what,), (way,), tuple(exactly(exact, statics.values)), *((value,) for value in values))
