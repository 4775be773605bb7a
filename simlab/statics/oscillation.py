"""Small oscillations about a stable rest, exactly: the second variation beside the kinetic energy.

    sum over bodies of  W (v_i.v_j + k^2 w_i w_j),   of hung weights  W v_i.v_j,   all over g

v, w: velocities of the motions left; k: radius of gyration. (Rayleigh, The Theory of Sound, chapter 4.)
"""

from __future__ import annotations

from simlab.exact.element import Element
from simlab.exact.form import textbook
from simlab.frame.quantity import LENGTH, Quantity
from simlab.results.oscillation import Form, Oscillation
from simlab.results.statics import Statics
from simlab.statics.balance import Balance, balance
from simlab.statics.solution import in_motion
from simlab.statics.variation import add_products, second_variation


def oscillation(statics: Statics) -> Oscillation | None:
    """The small oscillations of a frame that comes back when pushed; None for any other.

    None too where friction acts, since it does not give way a little, and for rods of unknown inertia.
    """
    frame = statics.frame
    known = all(body.gyration2 is not None or body.is_light for body in frame.bodies.values())
    rough = any(contact.rough for contact in frame.contacts.values())
    if statics.verdict != "determined" or statics.case.freedom.rest != "stable" or rough or not known:
        return None
    found = balance(frame, statics.values, near=bool(statics.found))
    stiffness = second_variation(found, found.unknowns, loaded=True)
    inertia = _inertia(found)
    pendulum = None
    if len(found.motions) == 1:
        (((q,),), ((k,),)) = stiffness, inertia
        pendulum = Quantity(textbook(k / q), LENGTH)
    return Oscillation(
        tuple(in_motion(found, motion) for motion in found.motions),
        _printed(stiffness),
        _printed(inertia),
        frame.gravity,
        pendulum,
    )


def _printed(form: list[list[Element]]) -> Form:
    return tuple(tuple(Quantity(entry.expr()) for entry in row) for row in form)


def _inertia(found: Balance) -> list[list[Element]]:
    """The kinetic energy of each two motions together, times 2 g."""
    equations, motions = found.equations, found.motions
    form = [[equations.field.zero for _ in motions] for _ in motions]

    for name, body in equations.frame.bodies.items():
        weight = equations.element(body.weight)
        add_products(form, [found.velocity(motion, name) for motion in motions], weight)
        if body.gyration2 is not None:
            turns: list[tuple[Element, ...]] = [(found.turn(motion, name),) for motion in motions]
            add_products(form, turns, weight * equations.element(body.gyration2))
    for load in equations.frame.loads.values():
        if load.kind == "weight":
            weight = equations.element(load.value[0])
            add_products(form, [found.velocity_at(motion, load.place) for motion in motions], weight)
    return form
