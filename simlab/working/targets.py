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
        numbers = [number for number, _ in one.ways]
        if one.turning is not None:
            numbers.append(one.turning)
        for number in numbers:
            image = reduction.image[number]
            unknown = frame.unknowns[number]
            if image is not None and unknown.share in wanted and _is_asked(frame, one, number, asked):
                found[image[0]] = None
    if not found and asked.measure == "reaction" and asked.at in frame.frame.joints:
        # held there is one light member, which hands on its force
        point = frame.frame.joints[asked.at].point
        ends = [p for one in frame.all for p in ((one, one.first), (one, one.second))]
        held = [one for one, place in ends if (place.body, place.point) == (GROUND, point)]
        images = [reduction.image[one.ways[0][0]] for one in held if one.ways]
        found = {image[0]: None for image in images if image is not None}
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
