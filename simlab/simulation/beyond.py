"""What the simulation does not know yet, in words: for a reading at rest, and for a showing in motion."""

from __future__ import annotations

from simlab.errors import BadInput
from simlab.frame.model import Frame
from simlab.simulation.drawn import Drawn
from simlab.simulation.strings import doubled_back


def unread(drawn: Drawn) -> str:
    """What of a frame in its drawn shape no forces can be read of; nothing if all can be read."""
    return doubled_back(drawn)


def unshown(frame: Frame) -> str:
    """What of a frame cannot be set in motion, as a list; nothing if it all can."""
    kinds = (
        (any(body.kind == "disc" for body in frame.bodies.values()), "discs"),
        (any(contact.rough for contact in frame.contacts.values()), "rough surfaces"),
        (any(contact.two_sided for contact in frame.contacts.values()), "rings on wires"),
        (any(c.by in frame.bodies for c in frame.contacts.values()), "bodies that press on one another"),
        (any(link.over for link in frame.links.values()), "strings over pegs"),
        (
            any(link.stiffness is not None and not link.is_given for link in frame.links.values()),
            "members that stretch without a natural length",
        ),
    )
    return ", ".join(dict.fromkeys(words for holds, words in kinds if holds))


def simulated(frame: Frame) -> Frame:
    """The frame; raises BadInput if there is something in it that cannot be set in motion."""
    unknown = unshown(frame)
    if unknown:
        raise BadInput(
            f"{frame.name}: the simulation does not know {unknown} yet, so it cannot be set in motion. "
            "`simlab forces` solves it exactly."
        )
    return frame
