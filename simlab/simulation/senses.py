"""Which way friction acts at contacts that are about to slip.

Friction opposes the slipping that the question tells of. Where it tells of none (or at a ring, which may
press from either side), each way is tried in turn, and the first that holds together is the one: every
contact presses, strings pull and struts push, friction elsewhere is enough, and all the contacts can slip
in one motion, each against its friction.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from simlab.errors import BadInput
from simlab.frame.model import Contact, Name
from simlab.results import Forces, Key, largest
from simlab.simulation.conditioning import Gaps
from simlab.simulation.contacts import tangent, ways
from simlab.simulation.drawn import Drawn, Pair

Senses = Mapping[Name, int]  # of friction along the tangent (1) or against it (-1), by contact

ROUNDING = 1e-9  # of the largest force (the accuracy of a reading), or of a motion's size: less is nothing


def every(drawn: Drawn) -> Iterator[Senses]:
    """Every choice of ways, with those that the question tells; just one, if it leaves none open."""
    limiting = [contact for contact in drawn.frame.contacts.values() if contact.is_limiting]
    told = {contact.name: _opposing(drawn, contact) for contact in limiting}
    unsaid = [contact.name for contact in limiting if contact.is_open]
    for choice in product((1, -1), repeat=len(unsaid)):
        yield {**told, **dict(zip(unsaid, choice, strict=True))}


def _opposing(drawn: Drawn, contact: Contact) -> int:
    """The way of friction that opposes the slipping that the question tells of."""
    if contact.slips is None:
        return 1
    along = _dot(drawn.pair(contact.slips), tangent(drawn.normals[contact.name]))
    if abs(along) < ROUNDING:
        raise BadInput(f'"{contact.name}" is to slip across its own surface: say a way along it')
    return -1 if along > 0 else 1


def hold_together(gaps: Gaps, forces: Forces[float]) -> bool:
    """Whether forces that were read with a choice of ways are possible."""
    nothing = ROUNDING * largest(forces)
    for name, link in gaps.drawn.frame.links.items():
        pulls = forces.tensions[name]
        if ("string" in link.kind and pulls < -nothing) or (link.kind == "strut" and pulls > nothing):
            return False
    rubs = {}
    for name, contact in gaps.drawn.frame.contacts.items():
        force = forces.reactions[Key.of(contact)].force
        normal = gaps.drawn.normals[name]
        push, rubs[name] = _dot(force, normal), _dot(force, tangent(normal))
        if not _is_possible(gaps.drawn, contact, push, rubs[name], nothing):
            return False
    return _slip_together(gaps, rubs, nothing)


def _is_possible(drawn: Drawn, contact: Contact, push: float, rub: float, nothing: float) -> bool:
    """Whether a contact presses, with enough friction, and friction on the right side."""
    if push < -nothing and not contact.two_sided:
        return False
    if contact.is_limiting:
        return contact.slips is None or rub * _opposing(drawn, contact) >= -nothing
    return contact.friction is None or abs(rub) <= drawn.number(contact.friction) * abs(push) + nothing


def _slip_together(gaps: Gaps, rubs: Mapping[Name, float], nothing: float) -> bool:
    """Whether one motion makes all contacts slip that are about to, each against its friction.

    Taken for granted where only one is, or where the frame without their friction has several motions.
    """
    drawn = gaps.drawn
    limiting = [contact for contact in drawn.frame.contacts.values() if contact.is_limiting]
    if len(limiting) < 2:
        return True
    smooth = {contact.name: (drawn.normals[contact.name],) for contact in limiting}
    free = Gaps(drawn, gaps.masses, {**ways(drawn), **smooth})
    _, motions = free.freedom()
    if motions.shape[1] != 1:
        return True
    signs = set()
    for contact in limiting:
        speed = float((free.over(contact, tangent(drawn.normals[contact.name])) @ motions)[0])
        if abs(speed) > ROUNDING and abs(rubs[contact.name]) > nothing:
            signs.add(speed * rubs[contact.name] > 0)
    return len(signs) < 2


def _dot(a: Pair, b: Pair) -> float:
    return a[0] * b[0] + a[1] * b[1]
