"""The agreement table of all published problems: python tests/agreement.py > recordings/agreement.md

Each in its given, or in its published, shape: exact statics beside the settled simulation, component by
component; limits of friction besides tried from both sides, where a scene file asks for them.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from published.entries import Entry
from published_settled import SHAPED, SOLVED, published_shape, reading, statics
from solved import found, scene

from simlab.comparison import compare
from simlab.simulation.bracket import brackets
from simlab.simulation.settle import settle
from simlab.simulation.touching import untouchable

SCENES = Path(__file__).parent / "published" / "scenes"
HEAD = """# Published problems, exact and simulated

Written by `python tests/agreement.py`. *agrees*: every component of every force of the settled simulation
is the exact one, to the share of the largest force in the next column. *bracketed*: simulated with real
contacts, the frame holds a thousandth inside the exact limit and gives way a thousandth outside.

| problem | in its shape | largest difference | limit | source |
| --- | --- | --- | --- | --- |"""


def rows() -> Iterator[tuple[Entry, str, float, str]]:
    """Entry, agreement, largest difference, what became of its limits."""
    for entry in SOLVED:
        compared = compare(statics(entry.id), reading(entry.id))
        yield entry, compared.agreement, compared.largest, limits(entry)
    for entry in SHAPED.values():
        shape = published_shape(entry)
        values = {**shape.frame.shown, **shape.values, **entry.greatest_at}
        compared = compare(shape, settle(shape.frame, values))
        yield entry, compared.agreement, compared.largest, limits(entry)


def limits(entry: Entry) -> str:
    """What the simulation says of the limits that the entry's scene asks for; nothing where it has none."""
    path = SCENES / f"{entry.id}.toml"
    if not path.exists():
        return ""
    frame = scene(path)
    if not any(asked.measure in ("least", "greatest", "range") for asked in frame.asked):
        return ""
    if untouchable(frame):
        return f"cannot be tried: {untouchable(frame)}"
    tried = brackets(found(path))
    return (
        ", ".join(dict.fromkeys(one.verdict for one in tried)) or "cannot be tried: its shape moves with it"
    )


def table() -> Iterator[str]:
    """The lines of the table, and the counts under it."""
    yield HEAD
    counts: Counter[str] = Counter()
    for entry, agreement, largest, limit in sorted(rows(), key=lambda row: row[0].id):
        counts[agreement] += 1
        counts[limit.partition(":")[0]] += bool(limit)
        said = {"agree": "agrees"}.get(agreement, agreement)
        yield f"| {entry.id} | {said} | {largest:.0e} | {limit} | {entry['source']} |"
    told = ", ".join(f"{n} {what}" for what, n in sorted(counts.items()) if what)
    yield f"\nOf {len(SOLVED) + len(SHAPED)} problems: {told}."


if __name__ == "__main__":
    sys.stdout.writelines(f"{line}\n" for line in table())
