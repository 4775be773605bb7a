"""Arrows too long for the page, broken: cut short, with a gap between two strokes across the shaft.

That is how a drawing says that a length is not to its scale (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from math import hypot

import numpy as np

from simlab.pictures.arrows import arrow_name
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Mark, Name, Stroke
from simlab.pictures.obstacles import arrows_on_page
from simlab.results.forces import Forces

WHERE = 0.5  # of the shaft, from its tail
GAP, HALF, SLANT = 8.0, 13.0, 6.0  # [page units] half the gap, half a stroke's length, how far it leans


def shortened(forces: Forces[float], most: float) -> tuple[Forces[float], frozenset[Name]]:
    """The forces with none larger than `most` [N], and the names of the arrows of those that were.

    >>> from simlab.results.forces import Reaction
    >>> at = Key("AB", "A", "A")
    >>> cut, names = shortened(Forces({at: Reaction((30.0, 40.0), None, (0.0, 0.0))}, {}), 5.0)
    >>> cut.reactions[at].force, sorted(names)
    ((3.0, 4.0), ['force on AB at A by A'])
    """
    reactions, names = {}, set()
    for key, reaction in forces.reactions.items():
        (x, y), size = reaction.force, hypot(*reaction.force)
        if size > most:
            names.add(arrow_name(key))
            reaction = replace(reaction, force=(x * most / size, y * most / size))
        reactions[key] = reaction
    return Forces(reactions, forces.tensions), frozenset(names)


def breaks(marks: Iterable[Mark], names: Collection[Name], camera: Camera) -> Iterator[Mark]:
    """The gap in each arrow of a name, and the two strokes beside it."""
    for arrow in marks:
        if not isinstance(arrow, Arrow) or arrow.name not in names:
            continue
        (tail,), (tip,) = arrows_on_page([arrow], camera)
        along = (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-9)
        across = np.array([-along[1], along[0]])
        middle = tail + WHERE * (tip - tail)
        lean = HALF * across + SLANT * along
        ends = [
            [middle + side * GAP * along - lean, middle + side * GAP * along + lean] for side in (-1, 1)
        ]
        corners = np.array(
            [stroke[k] for stroke, order in zip(ends, ((0, 1), (1, 0)), strict=True) for k in order]
        )
        gap = f"gap in {arrow.name}"
        yield Stroke(name=gap, role="break gap", space="page", points=corners, closed=True, filled=True)
        for i, stroke in enumerate(ends):
            yield Stroke(
                name=f"break {i} of {arrow.name}", role="break", space="page", points=np.array(stroke)
            )
