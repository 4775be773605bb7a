"""Given data in marks: arcs of angles, lines of lengths and distances."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.pictures.arcs import angle_arcs
from simlab.pictures.distances import distance_lines
from simlab.pictures.marks import Mark
from simlab.pictures.plan import Plan


def dimensions(plan: Plan, grain: float) -> Iterator[Mark]:
    """The marks of all given angles and lengths."""
    yield from angle_arcs(plan, grain)
    yield from distance_lines(plan, grain)
