"""What is pointed at in the frame, and what pulls at it, in marks: a glow, a ring, a cord to the hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from simlab.pictures.bodies import body_marks
from simlab.pictures.camera import Camera
from simlab.pictures.hand import hand_marks
from simlab.pictures.marks import Label, Mark, Ring, Stroke
from simlab.results import Instant
from simlab.window.choosing import Target, place_of
from simlab.window.player import Player
from simlab.window.session import Session

GLOW = 24.0  # [page units] radius of the glow around a joint
BEYOND = 13.0  # [page units] that the glow of a rod reaches beyond it
CHOSEN = 30.0  # [page units] radius of the ring around what keys are on


def pointing(session: Session, camera: Camera, grain: float, instant: Instant) -> Iterator[Mark]:
    """All of it, seen by a camera; `grain` [m/page unit] as of the picture."""
    player = session.player
    if player.hand is not None:
        marks = hand_marks(player.plan, player.hand, camera, with_arrow=player.arrows)
        yield from (m for m in marks if not (isinstance(m, Label) and player.playing))  # nobody can read it
    elif isinstance(session.hover, Target):
        yield from _glow(player, session.hover, grain, instant)
    is_seen = session.focus == "frame" or session.drawer == "joints"
    if session.chosen is not None and is_seen:
        centre = place_of(player, session.chosen)
        yield Ring(name="ring of keys", role="moment point", centre=centre, radius=CHOSEN * grain)
        yield from _glow(player, session.chosen, grain, instant)


def _glow(player: Player, target: Target, grain: float, instant: Instant) -> Iterator[Mark]:
    name = f"glow of {target.kind} {target.name}"
    if target.kind == "joint":
        yield Ring(name=name, role="glow", centre=place_of(player, target), radius=GLOW * grain)
        return
    for mark in body_marks(player.plan, player.frame.bodies[target.name], grain, instant):
        if isinstance(mark, Stroke) and mark.width is not None and mark.role == "rod":
            wider = mark.width + 2 * BEYOND * grain
            yield replace(mark, name=f"{name} {mark.name}", role="glow", width=wider)
        elif isinstance(mark, Stroke) and mark.closed:
            middle = np.nanmean(mark.points, axis=0)
            reach = BEYOND * grain / max(float(np.hypot(*(mark.points - middle).T).max()), BEYOND * grain)
            points = middle + (1 + reach) * (mark.points - middle)
            yield replace(mark, name=f"{name} {mark.name}", role="glow", points=points, filled=True)
