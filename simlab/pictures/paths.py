"""Paths of moving joints, fading with age."""

from __future__ import annotations

from simlab.frame.model import Name
from simlab.pictures.marks import Mark, Points, Stroke

PIECES = 12  # of one fading path: more steps than the eye can count
FAINTEST, FULLEST = 0.12, 0.85  # opacity of the oldest and the newest piece


def fading_path(name: Name, points: Points) -> list[Mark]:
    """The path of a point, oldest first, shape (n, 2) [m], as pieces that grow fainter with age."""
    n = len(points)
    marks: list[Mark] = []
    for piece in range(PIECES):
        start, end = piece * (n - 1) // PIECES, (piece + 1) * (n - 1) // PIECES
        if end <= start:
            continue
        opacity = FAINTEST + (FULLEST - FAINTEST) * (piece + 1) / PIECES
        marks.append(
            Stroke(
                name=f"path of {name}.{piece}", role="path", points=points[start : end + 1], opacity=opacity
            )
        )
    return marks
