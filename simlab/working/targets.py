"""Which unknowns have to be found for what a question asks."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.frame.model import GROUND, Place
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
    images = [reduction.image[number] for number in _asked_for(frame, asked)]
    found = {image[0]: None for image in images if image is not None}
    if not images and asked.measure == "reaction" and asked.at in frame.frame.joints:
        # held there is one light member, which hands on its force
        point = frame.frame.joints[asked.at].point
        held = [one for one in frame.all if Place(GROUND, point) in (one.first, one.second) and one.ways]
        handed = [reduction.image[one.ways[0][0]] for one in held]
        found = {image[0]: None for image in handed if image is not None}
    return list(found)


def is_nothing(frame: Interactions, reduction: Reduction, asked: Asked) -> bool:
    """Whether what is asked is a force that is nothing by symmetry."""
    images = [reduction.image[number] for number in _asked_for(frame, asked)]
    return bool(images) and all(image is None for image in images)


def _asked_for(frame: Interactions, asked: Asked) -> Iterator[int]:
    """The unknowns of the force that is asked for, whatever symmetry says."""
    wanted = SHARES.get(asked.measure, ())
    for one in frame.all:
        numbers = [number for number, _ in one.ways] + ([] if one.turning is None else [one.turning])
        for number in numbers:
            if frame.unknowns[number].share in wanted and _is_asked(frame, one, number, asked):
                yield number


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
