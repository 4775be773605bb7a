"""Whether contacts that are about to slip can all slip at once, against their friction.

Slipping at several contacts is one motion of the frame, and friction opposes it at each of them: with
the motion's speed w along the tangent at a contact and the friction F there, F*w < 0 at all of them (or,
the motion turned round, F*w > 0 at all).
"""

from __future__ import annotations

from dataclasses import replace

from simlab.frame.model import Contact, Frame, Place
from simlab.statics.balance import Balance, balance
from simlab.statics.reactions import Reactions
from simlab.statics.velocity import dot, minus


def slide_together(reactions: Reactions) -> bool:
    """Whether one motion makes all contacts slip that are about to, each against its friction.

    Taken for granted where the frame would have several motions, or only one such contact.
    """
    frame = reactions.equations.frame
    limiting = [c for c in frame.contacts.values() if c.is_limiting and c.name in reactions.rubs]
    if len(limiting) < 2:
        return True
    found = balance(_smooth(frame, limiting), reactions.equations.values)
    if len(found.motions) != 1:
        return True
    signs = {_speed(found, contact) * reactions.rubs[contact.name].sign() for contact in limiting}
    return len(signs - {0}) <= 1


def _smooth(frame: Frame, contacts: list[Contact]) -> Frame:
    """The frame with some of its contacts smooth."""
    changed = {c.name: replace(c, rough=False, friction=None, about_to=None, slips=None) for c in contacts}
    return replace(frame, contacts={**frame.contacts, **changed})


def _speed(found: Balance, contact: Contact) -> int:
    """The sign of the speed along the tangent of what rests there over what it rests on."""
    (motion,) = found.motions
    speed = found.velocity_at(motion, contact.on)
    if contact.by in found.equations.frame.bodies:
        speed = minus(speed, found.velocity_at(motion, Place(contact.by, contact.on.point)))
    x, y = found.equations.vec(contact.normal)
    return dot(speed, (y, -x)).sign()
