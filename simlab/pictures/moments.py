"""Moments: an arc around a point, with a head that shows the sense; of built-in ends and of couples."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

import numpy as np

from simlab.pictures.marks import Arrow, Label, Mark, Name, Point, Stroke
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.results.forces import Key
from simlab.results.trace import Instant

RADIUS = 56.0  # [page units] of every arc: moments are not drawn to scale
SWEEP = np.radians(230)  # of the arc, and the rest is open
SUPPORT, LOAD = ("moment", "support force"), ("couple", "load")  # roles of an arc and of its head
HEAD = 36.0  # [page units] length of the arrow at the arc's end


def moment_arc(
    name: Name,
    point: Point,
    moment: float,
    grain: float,
    text: str = "",
    roles: tuple[str, str] = SUPPORT,
) -> Iterator[Mark]:
    """The arc of a moment [N m], anticlockwise positive, about a point [m], with words above it.

    `roles`: those of the arc, and of its head and words.
    """
    sense = 1.0 if moment > 0 else -1.0
    bearing = np.pi / 2 + sense * np.linspace(-SWEEP / 2, SWEEP / 2, 33)
    arc = point + RADIUS * grain * np.stack([np.cos(bearing), np.sin(bearing)], axis=1)
    yield Stroke(name=f"arc of {name}", role=roles[0], points=arc)
    end = bearing[-1] + sense * np.pi / 2
    x, y = arc[-1]
    yield Arrow(
        name=name,
        role=roles[1],
        tail=(float(x), float(y)),
        vector=(float(HEAD * grain * np.cos(end)), float(HEAD * grain * np.sin(end))),
        measure="length",
    )
    if text:
        top = (point[0], point[1] + RADIUS * grain)
        yield Label(
            name=f"words of {name}",
            role=roles[1],
            anchor=top,
            text=text,
            size=FORCE,
            sides=("n", "ne", "nw"),
        )


def couples(
    plan: Plan,
    grain: float,
    words: Mapping[Key | Name, str],
    instant: Instant | None = None,
    only: Collection[Key | Name] | None = None,
) -> Iterator[Mark]:
    """The arcs of all couples among the loads, or of those among `only`, with words by their names."""
    for name, load in plan.frame.loads.items():
        moment = 0.0 if load.couple is None else load.couple.number(plan.values)
        if moment and (only is None or name in only):
            x, y = plan.at(load.place, instant)
            yield from moment_arc(
                f"couple {name}", (float(x), float(y)), moment, grain, words.get(name, ""), LOAD
            )
