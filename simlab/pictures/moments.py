"""Moments of built-in ends: an arc around the point, with a head that shows the sense."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.pictures.marks import Arrow, Label, Mark, Name, Point, Stroke
from simlab.pictures.palette import FORCE

RADIUS = 56.0  # [page units] of every arc: moments are not drawn to scale
SWEEP = np.radians(230)  # of the arc, and the rest is open
HEAD = 24.0  # [page units] length of the arrow at the arc's end


def moment_arc(name: Name, point: Point, moment: float, grain: float, text: str = "") -> Iterator[Mark]:
    """The arc of a moment [N m], anticlockwise positive, about a point [m], with words above it."""
    sense = 1.0 if moment > 0 else -1.0
    bearing = np.pi / 2 + sense * np.linspace(-SWEEP / 2, SWEEP / 2, 33)
    arc = point + RADIUS * grain * np.stack([np.cos(bearing), np.sin(bearing)], axis=1)
    yield Stroke(name=f"arc of {name}", role="moment", points=arc)
    end = bearing[-1] + sense * np.pi / 2
    x, y = arc[-1]
    yield Arrow(
        name=name,
        role="support force",
        tail=(float(x), float(y)),
        vector=(float(HEAD * grain * np.cos(end)), float(HEAD * grain * np.sin(end))),
        measure="length",
    )
    if text:
        top = (point[0], point[1] + RADIUS * grain)
        yield Label(
            name=f"words of {name}",
            role="support force",
            anchor=top,
            text=text,
            size=FORCE,
            sides=("n", "ne", "nw"),
        )
