"""All forces on one body at a moment, as they are: weights, reactions, loads, a hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from simlab.frame.model import GROUND, Name
from simlab.pictures.arrows import NEGLIGIBLE, arrow_name, role_of
from simlab.pictures.marks import Point
from simlab.pictures.names import point_name
from simlab.pictures.plan import Plan
from simlab.results.forces import Forces, Key, Reaction
from simlab.results.hand import Hand
from simlab.results.trace import Instant
from simlab.results.wording import spaced

HAND = "hand"


@dataclass(frozen=True)
class Acting:
    """One force on a body: the name and role of its arrow, who exerts it, where [m], and how large [N]."""

    name: Name
    role: str
    by: str
    at: Point
    force: Point

    @property
    def size(self) -> float:
        """Its magnitude [N]."""
        return float(np.hypot(*self.force))


def acting(plan: Plan, instant: Instant, body: Name, hand: Hand | None = None) -> list[Acting]:
    """Every force on a body, the weights on it first; none that is as good as nothing.

    A couple, and the moment of a built-in end, are no forces.
    """
    found = [*_loads(plan, instant, body), *_reactions(plan, instant.forces, body)]
    if hand is not None and hand.body == body:
        found.append(Acting("pull of the hand", "load", HAND, hand.at, hand.force))
    least = NEGLIGIBLE * max((one.size for one in found), default=0.0)
    return [one for one in found if one.size > least]


def hung_at(plan: Plan, body: Name) -> tuple[Name, ...]:
    """The hinges of a body at which weights hang that the simulation moves with this body.

    What their masses need to be moved is then part of what is left over of the forces on it.
    """
    pins = {load.place.body for load in plan.frame.loads.values() if load.kind == "weight"}
    joints = (plan.frame.joints[pin] for pin in plan.frame.joints if pin in pins)
    return tuple(joint.point for joint in joints if joint.bodies and joint.bodies[0] == body)


def is_open(plan: Plan, instant: Instant, body: Name) -> bool:
    """Whether some force on the body is not known: rigid bodies leave it open."""
    frame = plan.frame
    keys = {Key.of_joint(joint, body) for joint in frame.joints.values() if body in joint.bodies}
    keys |= {
        Key.of_member(link.name, place)
        for link in frame.links.values()
        if link.name not in instant.absent
        for place in link.places
        if place.body == body
    }
    keys |= {Key.of(c) for c in frame.contacts.values() if body in (c.on.body, c.by)}
    return not keys <= set(instant.forces.reactions)


def _loads(plan: Plan, instant: Instant, body: Name) -> Iterator[Acting]:
    share = instant.load
    if body in plan.weights:
        x, y = plan.centre(body, instant)
        force = (0.0, -share * plan.weights[body])
        yield Acting(arrow_name(body), "weight", "weight", (float(x), float(y)), force)
    for name, (fx, fy) in plan.loads.items():
        load = plan.frame.loads[name]
        if load.place.body == body:
            x, y = plan.at(load.place, instant)
            role = "weight" if load.kind == "weight" else "load"
            at, force = (float(x), float(y)), (share * fx, share * fy)
            yield Acting(arrow_name(name), role, spaced(name), at, force)


def _reactions(plan: Plan, forces: Forces[float], body: Name) -> Iterator[Acting]:
    for key, reaction in forces.reactions.items():
        if key.on == body:
            yield _acting(plan, key, reaction, forces, _exerting(plan, key))
        elif key.by == body:  # it rests on this body, and presses it the other way
            x, y = reaction.force
            other = Reaction((-x, -y), None, reaction.point)
            yield _acting(plan, key, other, forces, _called(plan, key.on))


def _acting(plan: Plan, key: Key, reaction: Reaction[float], forces: Forces[float], by: str) -> Acting:
    return Acting(arrow_name(key), role_of(plan, key, forces), by, reaction.point, reaction.force)


def _exerting(plan: Plan, key: Key) -> str:
    """Who exerts a reaction, in a word or two: "spreader", "hinge L", "quay"."""
    if key.by in plan.frame.joints or key.by == GROUND:
        support = next((s for s in plan.frame.supports.values() if key.at in s.joints_or_contacts), None)
        joint = plan.frame.joints[key.at]
        if support is not None and (key.by == GROUND or len(joint.bodies) == 2):
            return spaced(support.name)
        return f"hinge {point_name(joint.point)}"
    return _called(plan, key.by)


def _called(plan: Plan, name: Name) -> str:
    """A body by its letters, anything else by its words."""
    letters = name in plan.frame.bodies and all(letter in plan.points for letter in name)
    return f"${name}$" if letters else spaced(name)
