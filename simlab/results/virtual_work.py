"""A force found by virtual work: the motion that it alone prevents, and the sum that gives it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Name, Place, Vec
from simlab.frame.quantity import Quantity

Part = Literal["tension", "normal", "friction", "across", "upwards", "moment"]
Moves = Literal["falls", "goes across", "goes upwards", "turns", "shortens"]


@dataclass(frozen=True)
class Term:
    """The work of one load: `size` [N], or [N m] if it turns, times `by`, how far it goes.

    A weight "falls"; a force has a term for its component across and one for that upwards; a couple "turns"
    anticlockwise; a member of given tension "shortens".
    """

    load: Name
    moves: Moves
    size: Quantity
    by: Quantity


@dataclass(frozen=True)
class VirtualWork:
    """A force by virtual work: with what holds by it taken out, the frame moves, and

        force * 1 = sum of size * by,

    where the point of application yields by 1 against the force (a member lengthens by 1 against its
    tension, a contact gives way by 1, a built-in end turns clockwise by 1 against its moment).

    `force` is None where there is no such motion, or where loads move the frame whatever the force;
    `reason` then says so. `velocity` of each place where something acts and `turn` of each body,
    anticlockwise, are that motion's. `only_here`: the shape is special at the values, which were put for
    its letters.
    """

    of: Name
    part: Part
    force: Quantity | None
    velocity: Mapping[Place, Vec]
    turn: Mapping[Name, Quantity]
    terms: tuple[Term, ...]
    reason: str = ""
    only_here: bool = False
