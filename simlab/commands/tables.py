"""Results as tables for the terminal, and as plain data for --json."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simlab.frame.model import Frame, Values
from simlab.frame.quantity import Quantity
from simlab.results import Comparison, Key, Reading, Row, Statics
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.statics import Findings, Root
from simlab.results.wording import in_words, member_force

if TYPE_CHECKING:
    from rich.table import Table

_COMPONENTS = {"x": "across", "y": "upwards", "moment": "turning"}
_SHOWN_FIGURES = 9  # of a value beside its simulated twin: as many as the roads must agree to
LEAST_WIDTH = 20  # [characters] of the names of forces: they may be folded, expressions may not


def values_in_words(frame: Frame, values: Values) -> str:
    """'for W = 2 N, α = 20°': every letter, and, if there are masses, the g that makes weights of them."""
    parts = [symbol.said(values[name]) for name, symbol in frame.symbols.items() if not symbol.found]
    if frame.has_masses and not frame.gravity.names:
        parts.append(f"g = {frame.gravity.decimal or frame.gravity.plain} m/s²")
    return f"for {', '.join(parts)}" if parts else ""


def comparison_table(frame: Frame, comparison: Comparison, conventions: Conventions = HOUSE) -> Table:
    """Reaction, exact expression, its value, simulated value, difference; the largest last.

    Without the exact expressions for a class that writes figures alone.
    """
    from rich.table import Table

    table = Table(box=None, padding=(0, 2, 0, 0), header_style="bold", show_edge=False)
    table.add_column("force", overflow="fold", min_width=LEAST_WIDTH)
    table.add_column("component", no_wrap=True)
    if conventions.exact == "surds":
        table.add_column("exact", overflow="fold")  # numbers are never cut for it
    for heading in ("value / N", "simulated / N", "difference"):
        table.add_column(heading, justify="right", no_wrap=True)

    def add(*cells: str, style: str | None = None) -> None:
        what, component, exact, *numbers = (conventions.spoken(cell) for cell in cells)
        shown = [exact] if conventions.exact == "surds" else []
        table.add_row(what, component, *shown, *numbers, style=style)

    before = None
    for row in comparison.rows:
        if row.component == "balance":
            continue
        what = _what(frame, row)
        # A thrust is said to be one, and has no sign.
        sign = -1 if row.component == "tension" and row.left < 0 else 1
        add(
            "" if what == before else what,
            _COMPONENTS.get(row.component, ""),
            _expression(row.exact, sign),
            _number(sign * row.left, row.scale),
            _number(sign * row.right, row.scale),
            f"{row.difference:.1e}",
            style=None if row.agrees else "bold red",
        )
        before = what
    worst = max((row.difference for row in comparison.rows if row.component == "balance"), default=0.0)
    add("balance of every rod and pin", "", "0", "", "", f"{worst:.1e}")
    add("largest difference", "", "", "", "", f"{comparison.largest:.1e}", style="bold")
    return table


def _what(frame: Frame, row: Row) -> str:
    if isinstance(row.what, Key):
        return in_words(frame, row.what)
    return member_force(frame, row.what, row.left, row.scale)


def _expression(exact: Quantity | None, sign: int) -> str:
    if exact is None:
        return ""
    return exact.plain if sign > 0 else (-exact).plain


def _number(value: float, scale: float) -> str:
    """A value to as many decimals as the roads are compared to, in a column that lines up."""
    whole = len(str(int(scale)))
    text = f"{value:.{max(_SHOWN_FIGURES - whole, 0)}f}"
    return text.replace("-", "−") if float(text) else text.lstrip("-")


def statics_data(statics: Statics) -> dict[str, Any]:
    """Exact statics as plain data: expressions that can be typed back, values in N and N m."""
    frame = statics.frame
    freedom = statics.case.freedom
    return {
        "scene": frame.name,
        "verdict": statics.verdict,
        "advice": statics.advice,
        "found": {name: root.value for name, root in statics.found.items()},
        "values": {name: symbol.written(statics.values[name]) for name, symbol in frame.symbols.items()},
        "states_of_self_stress": len(freedom.self_stress),
        "motions": len(freedom.motions),
        "loads_carried": freedom.carried,
        "rest": freedom.rest,
        "answers": {
            words: {"exact": str(q.expr), "value": q.number(statics.values)}
            for words, q in statics.answers.items()
        },
        "tensions": {
            name: {"exact": str(q.expr), "value": q.number(statics.values)}
            for name, q in statics.case.forces.tensions.items()
        },
        "reactions": [
            {
                **key._asdict(),
                "x": {
                    "exact": str(reaction.force[0].expr),
                    "value": reaction.force[0].number(statics.values),
                },
                "y": {
                    "exact": str(reaction.force[1].expr),
                    "value": reaction.force[1].number(statics.values),
                },
            }
            | (
                {}
                if reaction.moment is None
                else {
                    "moment": {
                        "exact": str(reaction.moment.expr),
                        "value": reaction.moment.number(statics.values),
                    }
                }
            )
            for key, reaction in statics.case.forces.reactions.items()
        ],
        "holds_while": [
            {"about": c.about, "positive": str(c.positive.expr), "words": c.words}
            for c in statics.case.holds
        ],
    }


def remarks_data(statics: Statics, scene: str) -> dict[str, Any]:
    """For which values it holds, what the answers tend to, and remarks on the question, as plain data."""
    from dataclasses import is_dataclass

    from simlab.statics.extremes import extremes
    from simlab.statics.fairness import fairness
    from simlab.statics.validity import validity

    def plain(value: Any) -> Any:
        if isinstance(value, Quantity):
            return str(value)
        if isinstance(value, tuple):
            return [plain(one) for one in value]
        if is_dataclass(value) and not isinstance(value, type):
            return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}
        return value

    return {
        "valid_for": plain(validity(statics)),
        "limits": plain(extremes(statics)),
        "fairness": plain(fairness(statics, scene)),
    }


def findings_data(findings: Findings) -> dict[str, Any]:
    """Ranges of letters, as plain data; values in N, m, rad."""

    def end(root: Root | None) -> dict[str, Any] | None:
        if root is None:
            return None
        exact = None if root.exact is None else str(root.exact)
        return {"exact": exact, "equation": [str(side) for side in root.equation], "value": root.value}

    return {
        "scene": findings.frame.name,
        "advice": findings.advice,
        "ranges": {
            name: [
                {
                    "low": end(one.low),
                    "high": end(one.high),
                    "limiting": [list(words) for words in one.limiting],
                    "reached": list(one.reached),
                }
                for one in found
            ]
            for name, found in findings.ranges.items()
        },
    }


def comparison_data(frame: Frame, comparison: Comparison, reading: Reading) -> dict[str, Any]:
    """A comparison as plain data."""
    settings = reading.settings
    return {
        "values": {name: symbol.written(comparison.values[name]) for name, symbol in frame.symbols.items()},
        "simulation": reading.verdict,
        "agreement": comparison.agreement,
        "advice": comparison.advice,
        "largest_difference": comparison.largest,
        "rows": [
            {
                "what": row.what if isinstance(row.what, str) else row.what._asdict(),
                "component": row.component,
                "exact": None if row.exact is None else str(row.exact.expr),
                "value": row.left,
                "simulated": row.right,
                "difference": row.difference,
                "agrees": row.agrees,
            }
            for row in comparison.rows
        ],
        "stopping_tests": dict(reading.tests),
        "settings": {
            "step_s": settings.step,
            "iterations": settings.iterations,
            "damping": settings.damping,
            "bias": settings.bias,
            "gravity": settings.gravity,
            "steps": settings.steps,
            "sweeps": settings.sweeps,
            "pymunk": settings.pymunk,
        },
    }
