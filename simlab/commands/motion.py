"""The part of `simlab check --motion`: the first instant exactly, and the collapse on two roads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from rich.table import Table

from simlab.collapse import LONGEST, follow
from simlab.commands.edge import AGREE, DISAGREE
from simlab.errors import BadInput
from simlab.frame.model import Frame, Name
from simlab.frame.quantity import Quantity
from simlab.results import Key, Statics, in_numbers
from simlab.results.collapse import Collapse
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.first_instant import FirstInstant, Jump
from simlab.results.trace import Trace
from simlab.results.wording import called, capital, figures, in_words

if TYPE_CHECKING:
    from rich.console import Console

    from simlab.pictures.picture import Picture

LATER = 0.1  # [s] that the equations of motion are followed beyond the end of the simulated run
BEFORE = 0.0  # [s] of rest before the cut that the comparison needs
SMALL = 1e-12  # of a number whose expression is not plainly 0

_OF = {"paths": "frame's size", "energy": "weight × size", "forces": "largest force"}


@dataclass(frozen=True)
class Moved:
    """What is known of the motion of a frame without its brace; `advice` where it is not known.

    `roads` are the equations of motion and the simulation that `collapse` compares.
    """

    frame: Frame
    first: FirstInstant | None
    jumps: Mapping[Key | Name, Jump]
    collapse: Collapse | None
    advice: str = ""
    roads: tuple[Trace, Trace] | None = None

    @property
    def code(self) -> int:
        """The exit code: whether the two roads differ."""
        return DISAGREE if self.collapse is not None and self.collapse.agreement == "differ" else AGREE


def moved(statics: Statics) -> Moved:
    """The first instant after the brace is taken away, and the collapse on both roads."""
    from simlab.motion.first_instant import first_instant, jumps
    from simlab.motion.integrate import release
    from simlab.simulation.release import release as simulated

    frame = statics.frame
    if frame.brace is None:
        return Moved(frame, None, {}, None, f"{frame.name} names no brace, so nothing is taken away.")
    try:
        first = first_instant(frame, statics.values)
        jumped = jumps(statics.case.forces, first)
    except BadInput as refused:
        return Moved(frame, None, {}, None, str(refused))
    try:
        engine = simulated(frame, statics.values, duration=LONGEST, before=BEFORE)
    except BadInput as refused:
        return Moved(frame, first, jumped, None, str(refused))
    # After the first event of the simulated run nothing is compared: no need to go much farther.
    ends = [event.time for event in engine.events if event.kind != "cut" and event.time > LATER]
    road = release(frame, statics.values, duration=min([LONGEST, *(end + LATER for end in ends)]))
    both = follow(frame, statics.values, road, engine, first.undetermined)
    return Moved(frame, first, jumped, both, roads=(road, engine))


def draw(statics: Statics, found: Moved) -> Picture:
    """The chart of the collapse. Raises BadInput where there is none to draw."""
    from simlab.pictures.collapse_chart import collapse_chart
    from simlab.results.wording import CAUTION

    both = found.collapse
    if found.roads is None or both is None:
        raise BadInput(f"no chart is drawn: {found.advice}")
    if not both.strays:
        raise BadInput(f"no chart is drawn: {both.advice}")
    before = in_numbers(statics.case.forces, statics.values)
    return collapse_chart(found.frame, statics.values, found.roads, both, before, footnote=CAUTION)


def say(found: Moved, out: Console, conventions: Conventions = HOUSE) -> None:
    """Print all of it."""
    first = found.first
    if first is not None:
        out.print(f"The first instant without {called(first.taken[0])}, at rest:", style="bold")
        if first.accelerations:
            out.print(_accelerations(first))
        for name in first.gone:
            out.print(f"{_what(first.frame, name)} lets go at once.")
        for name in first.slipping:
            contact = first.frame.contacts[name]
            out.print(f"{contact.on.point} slips at once: F = μN there.")
        if found.jumps:
            out.print(_jumps(found, conventions))
    if found.advice:
        out.print(found.advice)
    if found.collapse is not None:
        _say_collapse(found.frame, found.collapse, out)


def _what(frame: Frame, name: Name) -> str:
    """A member or a contact, as a sentence begins with it."""
    contact = frame.contacts.get(name)
    return capital(called(name)) if contact is None else f"The contact at {contact.on.point}"


def _table(*headings: str, numbers: tuple[str, ...]) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="bold", show_edge=False)
    for heading in headings:
        table.add_column(heading, overflow="fold")
    for heading in numbers:
        table.add_column(heading, justify="right", no_wrap=True)
    return table


def _way(value: float, ways: tuple[str, str]) -> str:
    return ways[0] if value > 0 else ways[1]


ACROSS, UP, ROUND = (
    ("to the right", "to the left"),
    ("upwards", "downwards"),
    ("anticlockwise", "clockwise"),
)


def _components(
    quantities: tuple[Quantity, ...], first: FirstInstant
) -> Iterator[tuple[str, Quantity, float]]:
    """Sense in words, size and value of each component that is not nothing."""
    for quantity, ways in zip(quantities, (ACROSS, UP, ROUND), strict=False):
        value = quantity.number(first.values)
        if abs(value) > SMALL:
            yield _way(value, ways), quantity if value > 0 else -quantity, abs(value)


def _accelerations(first: FirstInstant) -> Table:
    """Body, which way its centre starts and it turns, exactly, and in m/s^2 or rad/s^2."""
    table = _table("acceleration of", "way", "exact", numbers=("value",))
    for body, parts in first.accelerations.items():
        rows = list(_components(parts, first)) or [("stays at rest", Quantity.zero(), 0.0)]
        said = ""
        for way, quantity, value in rows:
            unit, what = ("rad/s²", f"{body}, turning") if way in ROUND else ("m/s²", f"{body}, its centre")
            table.add_row("" if what == said else what, way, quantity.plain, f"{figures(value)} {unit}")
            said = what
    return table


def _jumps(found: Moved, conventions: Conventions) -> Table:
    """What each force becomes: exactly, and in words how it jumps."""
    first, frame = found.first, found.frame
    table = _table("force", "way", "just after, exactly", numbers=("before / N", "after / N", "jump"))
    if first is None:
        return table
    for of, jump in found.jumps.items():
        what = in_words(frame, of) if isinstance(of, Key) else f"force in {of}"
        for old, new, change, ways in zip(jump.before, jump.after, jump.change, (ACROSS, UP), strict=True):
            was, now, by = (q.number(first.values) for q in (old, new, change))
            if max(abs(was), abs(now)) <= SMALL:
                continue
            lead = now if abs(now) > SMALL else was
            sign = 1 if lead > 0 else -1
            way = _way(lead, ways if isinstance(of, Key) else ("tension", conventions.thrust))
            table.add_row(
                what,
                way,
                (new if sign > 0 else -new).plain,
                figures(abs(was)),
                figures(abs(now)),
                _jump(was, now, by),
            )
            what = ""
    return table


def _jump(was: float, now: float, by: float) -> str:
    if abs(by) <= SMALL * max(abs(was), abs(now)):
        return "none"
    # What a class gets from the two numbers that stand beside it.
    sizes = [Decimal(figures(abs(one))) for one in (was, now)]
    if was * now < 0:
        return f"turned over, by {sum(sizes)}"
    return f"{'more' if abs(now) > abs(was) else 'less'} by {abs(sizes[0] - sizes[1])}"


def _say_collapse(frame: Frame, both: Collapse, out: Console) -> None:
    out.print(both.advice)
    if not both.strays:
        return
    table = _table(
        "collapse", "farthest apart at", numbers=("time / s", "difference", "allowed", "as a share of")
    )
    for stray in both.strays:
        about = in_words(frame, stray.about) if isinstance(stray.about, Key) else stray.about
        table.add_row(
            stray.respect,
            "the whole frame" if stray.respect == "energy" else about,
            f"{stray.time:.2f}",
            f"{stray.difference:.1e}",
            f"{stray.allowed:.0e}",
            _OF[stray.respect],
            style=None if stray.agrees else "bold red",
        )
    out.print(table)
    verdict = "agree" if both.agreement == "agree" else "differ"
    out.print(f"Equations of motion and simulation {verdict} on the collapse.", style="bold")


def motion_data(found: Moved) -> dict[str, Any]:
    """The same as plain data."""
    first, both = found.first, found.collapse

    def exactly(parts: tuple[Quantity, ...]) -> list[dict[str, Any]]:
        values = {} if first is None else first.values
        return [{"exact": str(q.expr), "value": q.number(values)} for q in parts]

    return {
        "advice": found.advice,
        "accelerations": {} if first is None else {b: exactly(p) for b, p in first.accelerations.items()},
        "let_go_at_once": [] if first is None else list(first.gone),
        "slips_at_once": [] if first is None else list(first.slipping),
        "jumps": [
            {
                "of": of._asdict() if isinstance(of, Key) else of,
                "before": exactly(jump.before),
                "after": exactly(jump.after),
                "change": exactly(jump.change),
            }
            for of, jump in found.jumps.items()
        ],
        "collapse": None
        if both is None
        else {
            "agreement": both.agreement,
            "until": both.until,
            "moments": both.compared,
            "advice": both.advice,
            "differences": {
                s.respect: {"largest": s.difference, "allowed": s.allowed} for s in both.strays
            },
        },
    }
