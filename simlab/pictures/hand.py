"""A hand that holds a frame: the place that it holds, a line to where it is, the arrow of its force."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.pictures.arrows import LEAST
from simlab.pictures.camera import Camera
from simlab.pictures.marks import Arrow, Label, Mark, Ring, Stroke
from simlab.pictures.palette import FORCE
from simlab.pictures.plan import Plan
from simlab.pictures.structure import sides_towards
from simlab.results.hand import Hand
from simlab.results.wording import figures

GRIP, TIP = 17.0, 7.0  # [page units] radii of the ring around the place held, and of the hand's own


def holding(hand: Hand, grain: float) -> Iterator[Mark]:
    """The place that is held and the line to where the hand is."""
    points = np.array([hand.at, hand.to], dtype=np.float64)
    yield Stroke(name="pull", role="reference", points=points)
    yield Ring(name="grip", role="moment point", centre=hand.at, radius=GRIP * grain)
    yield Ring(name="hand", role="small hinge", centre=hand.to, radius=TIP * grain)


def hand_marks(plan: Plan, hand: Hand, camera: Camera, *, with_arrow: bool = True) -> list[Mark]:
    """A hand on the frame, with its force on it to the camera's scale: "hand 4.2 N"."""
    marks = list(holding(hand, camera.grain))
    size = float(np.hypot(*hand.force))
    if with_arrow and size * camera.per_newton >= LEAST:
        away = np.array(hand.force) / size + 0.5 * plan.away(np.array(hand.at))
        marks.append(Arrow(name="pull of the hand", role="load", tail=hand.at, vector=hand.force))
        marks.append(
            Label(
                name="words of pull of the hand",
                role="load",
                anchor=hand.at,
                vector=hand.force,
                text=f"hand {figures(size)} N",
                size=FORCE,
                sides=sides_towards(away),
            )
        )
    return marks
