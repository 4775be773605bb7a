"""What the simulation does not know yet, in words."""

from __future__ import annotations

from simlab.errors import BadInput
from simlab.frame.model import Frame


def beyond(frame: Frame) -> str:
    """What of a frame the simulation cannot read forces of, as a list; nothing if it can do all."""
    kinds = (
        (any(body.kind == "disc" for body in frame.bodies.values()), "discs"),
        (any(contact.two_sided for contact in frame.contacts.values()), "rings on wires"),
        (any(c.by in frame.bodies for c in frame.contacts.values()), "bodies that press on one another"),
        (any(link.over for link in frame.links.values()), "strings over pegs"),
        (any(link.is_given for link in frame.links.values()), "elastic or tightened members"),
        (any(link.stiffness is not None for link in frame.links.values()), "members that stretch"),
        (any(load.kind == "couple" for load in frame.loads.values()), "couples"),
    )
    return ", ".join(dict.fromkeys(words for holds, words in kinds if holds))


def unshown(frame: Frame) -> str:
    """What of a frame cannot be set in motion, as a list."""
    rough = any(contact.rough for contact in frame.contacts.values())
    return ", ".join(filter(None, ("rough surfaces" if rough else "", beyond(frame))))


def simulated(frame: Frame) -> Frame:
    """The frame; raises BadInput if there is something in it that the simulation does not know."""
    unknown = unshown(frame)
    if unknown:
        raise BadInput(
            f"{frame.name}: the simulation does not know {unknown} yet, so it cannot be set in motion. "
            "`simlab forces` solves it exactly."
        )
    return frame
