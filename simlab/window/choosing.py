"""Choosing a joint or a rod by the arrow keys: the nearest one in that direction, wherever it is now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from simlab.frame.change import hanging_place
from simlab.frame.model import Name
from simlab.pictures.marks import Point
from simlab.window.player import Player

ASIDE = 2.5  # how much farther something counts that is as far to the side as ahead


@dataclass(frozen=True)
class Target:
    """What is pointed at in the frame: a joint that a lantern can hang on, or a rod."""

    kind: Literal["joint", "rod"]
    name: Name


def targets(player: Player) -> tuple[Target, ...]:
    """All that can be chosen: joints that carry a lantern, then rods."""
    joints = [Target("joint", name) for name in player.joints]
    return (*joints, *(Target("rod", name) for name in player.plan.bodies))


def place_of(player: Player, target: Target) -> Point:
    """Where it is now [m]: the joint, or the middle of the rod."""
    instant = player.now()
    place = hanging_place(player.frame, target.name) if target.kind == "joint" else None
    if place is not None:
        x, y = player.plan.at(place, instant)
    else:
        x, y = player.plan.outline(target.name, instant).mean(axis=0)
    return (float(x), float(y))


def next_target(player: Player, chosen: Target | None, way: Point) -> Target | None:
    """The nearest one from what is chosen, in a direction (y upwards); the first, from nothing."""
    every = targets(player)
    if chosen is None or chosen not in every:
        return every[0] if every else None
    here = np.array(place_of(player, chosen))
    best, least = chosen, np.inf
    for target in every:
        along = np.array(place_of(player, target)) - here
        ahead = float(along @ np.array(way))
        aside = float(np.hypot(*(along - ahead * np.array(way))))
        if target != chosen and ahead > aside / ASIDE and ahead + ASIDE * aside < least:
            best, least = target, ahead + ASIDE * aside
    return best
