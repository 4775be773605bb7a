"""Frame -> Statics: the verdict, every force in textbook form, on what it holds, what was asked."""

from __future__ import annotations

from dataclasses import replace

from simlab.errors import SimlabFault
from simlab.exact.elimination import Vector
from simlab.frame.model import GROUND, Frame, Name, Values
from simlab.frame.quantity import LENGTH, Quantity
from simlab.results.forces import Forces
from simlab.results.statics import Case, Freedom, Motion, Rest, Statics, Verdict
from simlab.statics import advice, friction
from simlab.statics.answers import answered
from simlab.statics.balance import Balance, balance
from simlab.statics.bounds import of_bounds
from simlab.statics.conditions import conditions
from simlab.statics.equations import Equations
from simlab.statics.friction import Grip, grips
from simlab.statics.limits import Limits
from simlab.statics.one_sided import OneSided, one_sided, unknowns_of
from simlab.statics.reactions import Reactions
from simlab.statics.rest import rest
from simlab.statics.sliding import slide_together


def solve(frame: Frame, values: Values | None = None, near: bool = False) -> Statics:
    """The exact equilibrium of a frame in its drawn shape.

    Signs and the verdict are decided at `values` (the frame's shown values, where none is given);
    the forces hold wherever the conditions of the case do. Where the shape or the loads are special
    at the values (three hinges in line, loads that balance only by their sizes), the values are put
    for the letters first, and the advice says so. `near`: the values are only near those of a shape that
    was found, in which the loads are carried.

    "determined": loads carried, every force unique; "not determined": loads carried, some forces not
    settled by statics; "cannot rest": the loads move the frame; "falls out": a one-sided member
    would have to act the other way; "slips": friction would have to be more than it can. One that carries
    nothing just here is no failure: the advice and its condition say so. `only_here` is set where the
    values were put. Where the question does not say which way a contact is about to slip, the
    first way that can be is taken.

    Raises BadInput for a shape that has no exact form (a square root of something negative ...).
    """
    values = {**frame.shown, **(values or {})}
    tried: list[Statics] = []
    for senses in Equations.senses_of(frame):
        state = _state(balance(frame, values, senses, near))
        if state.rests:
            return state
        tried.append(state)
    if not tried:
        raise SimlabFault("no way in which friction acts was tried")
    for state in tried:
        if state.advice == friction.NOT_TOGETHER:  # then the question has it so, and the teacher is told
            return replace(state, verdict="determined")
    return next((state for state in tried if state.verdict != "cannot rest"), tried[0])


def _state(found: Balance) -> Statics:
    """The verdict on a balance."""
    frame, values = found.equations.frame, found.equations.values
    if not found.carried:
        nothing: Forces[Quantity] = Forces({}, {})
        case = Case(nothing, frozenset(), (), _freedom(found, "undecided"))
        words = advice.of_motion(found) + advice.of_slack(found)
        return Statics(frame, values, "cannot rest", case, {}, words, found.special)
    unsure = frozenset(i for i in range(len(found.equations.unknowns)) if not found.is_unique(i))
    reactions = Reactions(found.equations, found.unknowns, unsure)
    members = one_sided(reactions)
    gripping = grips(reactions)
    idle = [member for member in members if member.idle]
    rests = rest(found, unknowns_of(found.equations, idle))
    forces = reactions.table()
    holds = (*conditions(reactions, members), *friction.conditions(reactions, gripping))
    answers, answers_hold = answered(reactions, frame.asked)
    case = Case(forces, reactions.undetermined, (*holds, *answers_hold), _freedom(found, rests))
    verdict, words = _verdict(found, reactions, members, gripping)
    if not words:
        words = advice.of_rest(found, rests) + advice.of_idle(found, idle) + advice.of_slack(found)
        words += friction.of_limit(grip for grip in gripping if grip.spare.sign() == 0)
    elif verdict == "not determined":
        words += advice.of_idle(found, idle)
    return Statics(frame, values, verdict, case, answers, words, found.special)


def _verdict(
    found: Balance, reactions: Reactions, members: list[OneSided], gripping: list[Grip]
) -> tuple[Verdict, str]:
    """The verdict where the loads are carried, and the advice where something is amiss."""
    falling = [member for member in members if member.fails]
    if falling:
        return "falls out", advice.of_falling_out(falling)
    slipping = [grip for grip in gripping if grip.spare.sign() < 0]
    if slipping:
        return "slips", friction.of_slipping(reactions, slipping)
    helping = friction.helping(reactions)
    if helping:
        return "slips", friction.of_helping(helping)
    if not slide_together(reactions):
        return "slips", friction.NOT_TOGETHER
    if reactions.undetermined:
        return _open(found, reactions)
    return "determined", ""


def _open(found: Balance, reactions: Reactions) -> tuple[Verdict, str]:
    """The verdict where forces are not all settled: one-sided members and friction may bound them.

    Or they contradict each other, and then it cannot rest.
    """
    limits = Limits(found.equations, found.elimination)
    is_rough = any(contact.friction is not None for contact in found.equations.frame.contacts.values())
    if not limits.can_hold:
        return ("slips", friction.TOO_LITTLE) if is_rough else ("falls out", advice.NOT_ALL_ONE_SIDED)
    bounded = of_bounds(reactions, limits)
    if is_rough:
        return "not determined", friction.OPEN + bounded + advice.of_settled_parts(reactions)
    return "not determined", advice.of_unsettled(found, reactions) + bounded


def _freedom(found: Balance, rests: Rest) -> Freedom:
    states = tuple(Reactions(found.equations, state).table() for state in found.self_stress)
    return Freedom(states, tuple(in_motion(found, m) for m in found.motions), found.carried, rests)


def in_motion(found: Balance, motion: Vector) -> Motion:
    """The velocities of the bodies, and of the pins that no body turns on."""
    frame = found.equations.frame
    bare = [name for name in found.equations.pins if not set(frame.joints[name].bodies) - {GROUND}]
    velocity: dict[Name, tuple[Quantity, Quantity, Quantity]] = {}
    for name in (*frame.bodies, *bare):
        x, y = (Quantity(part.expr(), LENGTH) for part in found.velocity(motion, name))
        turn = Quantity(found.turn(motion, name).expr()) if name in frame.bodies else Quantity.zero()
        velocity[name] = x, y, turn
    return Motion(velocity)
