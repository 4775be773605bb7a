"""Which unknowns have to be found for what a question asks."""

from __future__ import annotations

from simlab.frame.model import GROUND
from simlab.frame.question import Asked
from simlab.working.interactions import Interaction, Interactions, Share
from simlab.working.reduction import Reduction

SHARES: dict[str, tuple[Share, ...]] = {
    "thrust": ("pull",),
    "tension": ("pull",),
    "across": ("across", "pull"),
    "upwards": ("upwards", "pull"),
    "normal": ("normal",),
    "friction": ("friction",),
    "coefficient": ("normal", "friction"),
    "moment": ("moment",),
    "force": ("across", "upwards", "normal", "friction", "pull"),
    "reaction": ("across", "upwards", "normal", "friction", "pull"),
}


def targets(frame: Interactions, reduction: Reduction, asked: Asked) -> list[int]:
    """The unknowns left that have to be known for something asked; none where it is no force."""
    wanted = SHARES.get(asked.measure, ())
    found: dict[int, None] = {}
    for one in frame.all:
        numbers = [*(number for number, _ in one.ways), *([one.turning] if one.turning is not None else [])]
        for number in numbers:
            image = reduction.image[number]
            unknown = frame.unknowns[number]
            if image is not None and unknown.share in wanted and _is_asked(frame, one, number, asked):
                found[image[0]] = None
    return list(found)


def _is_asked(frame: Interactions, one: Interaction, number: int, asked: Asked) -> bool:
    """Whether an interaction is the force that is asked for."""
    unknown = frame.unknowns[number]
    if asked.measure in ("thrust", "tension"):
        return unknown.at == asked.at
    if asked.on is not None and asked.on in frame.light:  # a hinge's force on a light rod is along it
        return unknown.at == asked.on
    nodes = (one.first.body, one.second.body)
    if unknown.at != asked.at:
        return False
    if asked.on is None:
        return GROUND in nodes or unknown.at in frame.frame.contacts
    return asked.on in nodes
