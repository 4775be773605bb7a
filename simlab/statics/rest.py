"""How a frame rests on the motions left to it, by the second variation Q (`statics.variation`).

Q > 0 on all motions: stable. Q < 0 on one: unstable. A one-sided member that carries nothing holds one
way only: it leaves half of a motion more.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from simlab.exact.elimination import Vector
from simlab.exact.field import Element
from simlab.exact.quadratic import inertia
from simlab.frame.model import GROUND, Contact, Name, Place
from simlab.results.forces import Key
from simlab.results.statics import Rest
from simlab.statics.balance import Balance, at_values, loosened
from simlab.statics.variation import (
    centre_of,
    is_corner,
    is_round,
    partings_of,
    second_variation,
    slide,
)


def rest(found: Balance, idle: Collection[int] = ()) -> Rest:
    """The kind of rest of a frame whose loads are carried; `idle`: unknowns of one-sided members at 0.

    With several idle members only half of each further motion is open, and which parts of the whole
    are, is not looked into: what the whole would fail by is then "undecided". So is a frame about to slip,
    whose friction cannot grow.
    """
    if found.equations.senses:
        return "undecided"
    held = _rest(found)
    if not idle or held == "unstable":
        return held
    if found.near:  # values of 30 figures cannot be put for letters exactly
        return "undecided"
    loose = _rest(loosened(found, idle), idle)
    return loose if loose == "stable" or len(idle) == 1 else "undecided"


def _rest(found: Balance, idle: Collection[int] = ()) -> Rest:
    """The kind of rest of a frame all of whose members hold both ways, but for elastic ones among the idle.

    "undecided" where forces that statics does not settle have a part in it, where a contact moves along
    both of the bodies that touch there, or where the second variation vanishes without the frame being
    plainly free to move.
    """
    motions = found.motions
    if not motions:
        return "fixed"
    if any(
        not e.is_zero for state in found.self_stress for row in second_variation(found, state) for e in row
    ):
        return "undecided"
    if any(_wanders(found, motion, contact) for contact in _pressing(found) for motion in motions):
        return "undecided"
    signs = inertia(second_variation(found, found.unknowns, loaded=True, idle=idle))
    if signs is None:
        return "undecided" if found.near else _rest(at_values(found), idle)
    if signs.negative:
        return "unstable"
    if not signs.kernel:
        return "stable"
    flat = [_combined(motions, weights) for weights in signs.kernel]
    return "neutral" if all(_is_free(found, motion) for motion in flat) else "undecided"


def _combined(motions: tuple[Vector, ...], weights: tuple[Element, ...]) -> Vector:
    total: dict[int, Element] = {}
    for motion, weight in zip(motions, weights, strict=True):
        for i, value in motion.items():
            total[i] = total[i] + weight * value if i in total else weight * value
    return total


def _turns(found: Balance, motion: Vector, body: Name) -> bool:
    return body in found.equations.frame.bodies and not found.turn(motion, body).is_zero


def _moves(found: Balance, motion: Vector, contact: Contact) -> bool:
    return any(not part.is_zero for part in slide(found, motion, contact))


def _pressing(found: Balance) -> Iterator[Contact]:
    """Contacts that carry a force: of the others it does not matter where they are."""
    for contact in found.equations.frame.contacts.values():
        key = Key.of(contact)
        numbers = [found.equations.number.get((key, part)) for part in ("push", "rub")]
        if any(number in found.unknowns for number in numbers):
            yield contact


def _wanders(found: Balance, motion: Vector, contact: Contact) -> bool:
    """Whether the second variation does not tell what a contact does on a motion.

    It is told where one point of the body stays on something flat, or on a circle of known centre, and
    where a body slides along something flat without turning.
    """
    by = found.equations.frame.under(contact)
    if by != GROUND:
        turning = _turns(found, motion, by) or _turns(found, motion, contact.on.body)
        return turning or _moves(found, motion, contact)
    if is_corner(found, contact):
        unknown = is_round(found, contact) and centre_of(found, contact) is None
        return unknown and _moves(found, motion, contact)
    if _turns(found, motion, contact.on.body):
        return True
    return is_round(found, contact) and _moves(found, motion, contact)


def _places(found: Balance) -> Iterator[Place]:
    """Every place at which something acts on a body."""
    frame = found.equations.frame
    for joint in frame.joints.values():
        yield from (Place(body, joint.point) for body in joint.bodies)
    for link in frame.links.values():
        yield from link.places
    for contact in frame.contacts.values():
        yield from (contact.on, Place(frame.under(contact), contact.on.point))
    yield from (load.place for load in frame.loads.values())


def _is_free(found: Balance, motion: Vector) -> bool:
    """Whether nothing at all changes along a motion, however far it goes.

    So it is where all that moves is shifted without a turn along what is flat and no light member's ends
    part, or turns about its own centre with nothing acting on it elsewhere.
    """
    frame = found.equations.frame
    turning = {body for body in frame.bodies if _turns(found, motion, body)}
    if any(not part.is_zero for body in turning for part in found.velocity(motion, body)):
        return False
    for place in _places(found):
        if place.body in turning and any(not part.is_zero for part in found.equations.arm(place)):
            return False
    if any(is_round(found, c) and _moves(found, motion, c) for c in frame.contacts.values()):
        return False
    partings = [p for link in frame.links.values() for p in partings_of(found, motion, link)]
    return all(part.is_zero for parting in partings for part in parting)
