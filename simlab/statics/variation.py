"""The second variation of the potential energy along the motions left to a frame, exactly.

With the multipliers of the constraints being the forces themselves,

    Q(v) = sum over bodies              w^2 * sum_i F_i . r_i
         + sum over light members       (T/l) * |d'|^2            (over pegs, each part: less (u.d')^2)
         + sum over elastic members     (T/l) * (|d'|^2 - (u.d')^2) + k * (u.d')^2
         + sum over rounded contacts    (N/R) * |v|^2

w: angular velocity of a body; F_i: every force on it, at r_i from its centre; d': difference of the
velocities of a member's ends, u: unit vector along it; v: velocity of a point held to a circle of radius
R about a centre towards which N acts. (A point at r has the second derivative -r*w^2, so a force F there,
dead or of a constraint, gives -F.(-r)*w^2; the constraint (|d|^2 - l^2)/2 with its multiplier T/l gives
in addition (T/l)*|d'|^2; the energy k*(l - natural)^2/2 with T = k*(l - natural) the third line.)
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from simlab.exact.elimination import Vector
from simlab.exact.field import Element
from simlab.frame.model import Contact, Link, Place, Support
from simlab.results.forces import Key
from simlab.statics.balance import Balance
from simlab.statics.equations import Exact
from simlab.statics.laws import is_slack
from simlab.statics.velocity import dot, minus

Form = list[list[Element]]


def second_variation(
    found: Balance, forces: Vector, loaded: bool = False, idle: Collection[int] = ()
) -> Form:
    """Q(v_i, v_j) for the motions v, from the values of the unknowns; with loads and stiffness if `loaded`.

    Elastic members among the `idle` give way.
    """
    equations, motions = found.equations, found.motions
    zero = equations.field.zero
    form = [[zero for _ in motions] for _ in motions]
    for body in equations.frame.bodies:
        turns = [found.turn(motion, body) for motion in motions]
        if all(turn.is_zero for turn in turns):
            continue
        arms = equations.arms_of_loads[body] if loaded else zero
        for unknown, coefficient in equations.arms[body].items():
            if unknown in forces:
                arms = arms + coefficient * forces[unknown]
        add_products(form, [(turn,) for turn in turns], arms)
    for link in equations.frame.links.values():
        number = equations.of_link(link)
        _of_member(form, found, link, forces.get(number, zero))
        if loaded and number in equations.elastic and number not in idle and not is_slack(equations, link):
            _of_stiffness(form, found, link)
    for contact in equations.frame.contacts.values():
        number = equations.number[Key.of(contact), "push"]
        centre = centre_of(found, contact)
        if centre is not None and number in forces:
            inwards = minus(centre, equations.points[contact.on.point])
            density = forces[number] * dot(equations.vec(contact.normal), inwards) / dot(inwards, inwards)
            add_products(form, [found.velocity_at(motion, contact.on) for motion in motions], density)
    return form


def _of_member(form: Form, found: Balance, link: Link, size: Element) -> None:
    """form += the part of a member's tension, from the value of its unknown."""
    if size.is_zero:
        return
    equations = found.equations
    for i, partings in enumerate(
        zip(*(partings_of(found, motion, link) for motion in found.motions), strict=True)
    ):
        if link.over or link.is_given:
            unit, length = equations.stretches(link.name)[i]
            density = size / length if link.over else size
            add_products(form, [(dot(unit, parting),) for parting in partings], -density)
        else:
            density = size
        add_products(form, partings, density)


def _of_stiffness(form: Form, found: Balance, link: Link) -> None:
    """form += k * (rate of length)^2."""
    equations = found.equations
    if link.stiffness is not None:
        rates = [(lengthening(found, motion, link),) for motion in found.motions]
        add_products(form, rates, equations.element(link.stiffness))


def add_products(form: Form, vectors: Sequence[tuple[Element, ...]], weight: Element) -> None:
    """form += weight * (scalar products of the vectors)."""
    for i, u in enumerate(vectors):
        for j, v in enumerate(vectors):
            for a, b in zip(u, v, strict=True):
                form[i][j] = form[i][j] + weight * a * b


def partings_of(found: Balance, motion: Vector, link: Link) -> list[Exact]:
    """For each straight part of a light member, the velocity of its second end less that of its first."""
    speeds = [found.velocity_at(motion, place) for place in link.places]
    return [minus(second, first) for first, second in pairwise(speeds)]


def lengthening(found: Balance, motion: Vector, link: Link) -> Element:
    """The rate at which the length of a member grows whose lengths are adjoined."""
    units = [unit for unit, _ in found.equations.stretches(link.name)]
    parts = zip(units, partings_of(found, motion, link), strict=True)
    return sum((dot(unit, parting) for unit, parting in parts), found.equations.field.zero)


# contacts


def support_of(found: Balance, contact: Contact) -> Support | None:
    """The support that a contact is part of."""
    for support in found.equations.frame.supports.values():
        if contact.name in support.joints_or_contacts:
            return support
    return None


def is_corner(found: Balance, contact: Contact) -> bool:
    """Whether one point of the body stays in contact: a rod's end, a corner of a plate, a pin."""
    equations = found.equations
    body = equations.frame.bodies.get(contact.on.body)
    if body is None:
        return True
    support = support_of(found, contact)
    if support is not None and "peg" in support.kind:
        return False
    return any(equations.vec(end) == equations.points[contact.on.point] for end in body.outline)


def centre_of(found: Balance, contact: Contact) -> Exact | None:
    """The centre of the circle to which a contact holds a point of a body; None where there is none."""
    support = support_of(found, contact)
    if support is None or support.centre is None or not is_corner(found, contact):
        return None
    return found.equations.points[support.centre]


def is_round(found: Balance, contact: Contact) -> bool:
    """Whether the surface is round, or may be: a body's, a cylinder's, a wire's about a centre."""
    if contact.by in found.equations.frame.bodies:
        return True
    support = support_of(found, contact)
    return support is not None and (support.centre is not None or "cylinder" in support.kind)


def slide(found: Balance, motion: Vector, contact: Contact) -> Exact:
    """The velocity of the body at a contact, less that of the other if that is a body."""
    by = Place(found.equations.frame.under(contact), contact.on.point)
    return minus(found.velocity_at(motion, contact.on), found.velocity_at(motion, by))
