"""Reactions and tensions, by the same keys on every road."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import Generic, NamedTuple, TypeVar

from simlab.frame.model import GROUND, Contact, Joint, Name, Place, Values, Vec
from simlab.frame.quantity import Quantity

S = TypeVar("S")  # Quantity on exact roads, float on numerical ones


class Key(NamedTuple):
    """Which reaction: the force `on` a body or pin, `at` a connection, `by` whatever exerts it.

    Every road uses exactly these keys, so comparing two roads is a join:

    - ``Key(rod, pin, pin)``: force of a pin on a rod that turns on it;
    - ``Key(pin, pin, "ground")``: force of a fixed support on its pin (or, built in, on the rod);
    - ``Key(rod or pin, "DE at D", "DE")``: force of a light member on what it is tied to;
    - ``Key(rod or pin, "quay at A", "quay")``: force of a contact on what rests there.
    """

    on: Name
    at: Name
    by: Name

    @classmethod
    def of(cls, contact: Contact) -> Key:
        """The force of a contact on what rests there."""
        return cls(contact.on.body, contact.name, contact.by)

    @classmethod
    def of_member(cls, link: Name, place: Place) -> Key:
        """The force of a light member on what it is tied to at a place."""
        return cls(place.body, f"{link} at {place.point}", link)

    @classmethod
    def of_joint(cls, joint: Joint, body: Name) -> Key:
        """The force of a joint on one of its bodies; of the ground, on the pin that it holds."""
        if body == GROUND:
            return cls(joint.name, joint.name, GROUND)
        return cls(body, joint.name, GROUND if joint.kind == "built-in" else joint.name)


@dataclass(frozen=True)
class Reaction(Generic[S]):
    """One reaction: force (x right, y up) [N], moment anticlockwise [N m] if it has one, point [m]."""

    force: tuple[S, S]
    moment: S | None
    point: tuple[S, S]


@dataclass(frozen=True)
class Forces(Generic[S]):
    """Every reaction of a frame, and the tension of every light member (tension positive)."""

    reactions: Mapping[Key, Reaction[S]]
    tensions: Mapping[Name, S]


def in_numbers(forces: Forces[Quantity], values: Values) -> Forces[float]:
    """Exact forces as numbers: newtons, newton metres and metres at the given values."""

    def pair(vector: Vec) -> tuple[float, float]:
        return vector[0].number(values), vector[1].number(values)

    return Forces(
        {
            key: Reaction(
                pair(reaction.force),
                None if reaction.moment is None else reaction.moment.number(values),
                pair(reaction.point),
            )
            for key, reaction in forces.reactions.items()
        },
        {name: tension.number(values) for name, tension in forces.tensions.items()},
    )


def largest(forces: Forces[float]) -> float:
    """The largest force of all [N]; 1 when nothing carries any, so that it may divide."""
    sizes = [hypot(*reaction.force) for reaction in forces.reactions.values()]
    return max([*sizes, *map(abs, forces.tensions.values())], default=0.0) or 1.0
