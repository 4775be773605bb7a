"""What the equations of motion know: a frame that they do not is refused with a sentence."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.errors import BadInput
from simlab.frame.model import Frame, Values
from simlab.motion.points import Points
from simlab.motion.touches import is_across, is_disc


def known(frame: Frame, values: Values) -> Frame:
    """The frame; raises BadInput for what has no motion here yet, and for a rod of unknown inertia."""
    for body in frame.bodies.values():
        if body.gyration2 is None and not body.is_light:
            raise BadInput(
                f'{frame.name}, rod "{body.name}" is not uniform and gives no radius of gyration, so '
                "its motion is unknown. Add gyration = ... to the rod."
            )
    unknown = ", ".join(dict.fromkeys(_unknown(frame, Points(frame, values))))
    if unknown:
        raise BadInput(
            f"{frame.name}: the equations of motion do not know {unknown} yet. "
            "`simlab forces` solves it exactly."
        )
    return frame


def _unknown(frame: Frame, points: Points) -> Iterator[str]:
    for link in frame.links.values():
        if link.tension is not None:
            yield "strings tightened to a tension"
        elif link.natural is None and link.stiffness is not None:
            yield "members that stretch without a natural length"
    for contact in frame.contacts.values():
        bodies = [name for name in (contact.on.body, contact.by) if name in frame.bodies]
        if len(bodies) == 2 and not any(
            is_disc(frame, name) or is_across(points, contact, name) for name in bodies
        ):
            yield "bodies that press on one another at corners"
