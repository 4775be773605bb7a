"""Arrows too long for the page, broken: cut short, with a gap between two strokes across the shaft.

That is how a drawing says that a length is not to its scale (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from math import hypot

import numpy as np

from simlab.pictures.arrows import arrow_name
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Mark, Name, Stroke
from simlab.pictures.obstacles import arrow_on_page
from simlab.results.forces import Forces

WHERE = 0.5  # of the shaft, from its tail
OPENING = 0.2  # of the longest length: as much more, and the break is wholly open
GAP, HALF, SLANT = 8.0, 13.0, 6.0  # [page units] half the gap, half a stroke's length, how far it leans


def shortened(forces: Forces[float], most: float) -> tuple[Forces[float], Mapping[Name, float]]:
    """The forces with none larger than `most` [N]; of those that were, by the names of their arrows, how
    wide the break is, 0 to 1: it opens as a force outgrows the page.

    >>> from simlab.results.forces import Key, Reaction
    >>> at = Key("AB", "A", "A")
    >>> cut, names = shortened(Forces({at: Reaction((30.0, 40.0), None, (0.0, 0.0))}, {}), 5.0)
    >>> cut.reactions[at].force, names
    ((3.0, 4.0), {'force on AB at A by A': 1.0})
    """
    reactions, names = {}, dict[Name, float]()
    for key, reaction in forces.reactions.items():
        (x, y), size = reaction.force, hypot(*reaction.force)
        if size > most:
            names[arrow_name(key)] = min((size / most - 1) / OPENING, 1.0)
            reaction = replace(reaction, force=(x * most / size, y * most / size))
        reactions[key] = reaction
    return Forces(reactions, forces.tensions), names


def breaks(marks: Iterable[Mark], names: Mapping[Name, float], camera: Camera) -> Iterator[Mark]:
    """The gap in each arrow of a name, as wide as it says, and the two strokes beside it."""
    for arrow in marks:
        if not isinstance(arrow, Arrow) or arrow.name not in names:
            continue
        tail, tip = np.array(arrow_on_page(arrow, camera))
        along = (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-9)
        across = np.array([-along[1], along[0]])
        middle = tail + WHERE * (tip - tail)
        wide = names[arrow.name]
        lean = wide * (HALF * across + SLANT * along)
        gap_half = wide * GAP * along
        ends = [[middle + side * gap_half - lean, middle + side * gap_half + lean] for side in (-1, 1)]
        corners = np.array(
            [stroke[k] for stroke, order in zip(ends, ((0, 1), (1, 0)), strict=True) for k in order]
        )
        gap = f"gap in {arrow.name}"
        yield Stroke(name=gap, role="break gap", space="page", points=corners, closed=True, filled=True)
        for i, stroke in enumerate(ends):
            yield Stroke(
                name=f"break {i} of {arrow.name}", role="break", space="page", points=np.array(stroke)
            )
