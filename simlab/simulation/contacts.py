"""A contact at rest as light bars between what rests and what it rests on, each force read from the engine.

A smooth contact is one bar along its normal, a rough one a second bar along its tangent (the normal turned
clockwise). Where it is about to slip, the push N and the friction F = mu N make a fixed angle, the angle of
friction (common practice): the whole reaction is that of one bar, along

    n + s mu t,    s = 1 where friction acts along the tangent t, -1 where it acts against it

so that no guess at N comes in. Where it is about to lift there is no bar, and no force.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from simlab.frame.model import Contact, Name
from simlab.simulation.bars import Bar
from simlab.simulation.drawn import Drawn, Pair, unit
from simlab.simulation.masses import home

if TYPE_CHECKING:
    from simlab.simulation.world import World

Ways = Mapping[Name, tuple[Pair, ...]]  # unit vectors along which the bars of each contact push


def tangent(normal: Pair) -> Pair:
    """The normal turned clockwise through a right angle."""
    return normal[1], -normal[0]


def ways(drawn: Drawn, senses: Mapping[Name, int] | None = None) -> Ways:
    """Along what each contact pushes; `senses` of friction (1 or -1), for contacts about to slip.

    Without `senses`, those push as if they were not about to.
    """
    return {name: _ways(drawn, contact, senses or {}) for name, contact in drawn.frame.contacts.items()}


def _ways(drawn: Drawn, contact: Contact, senses: Mapping[Name, int]) -> tuple[Pair, ...]:
    normal = drawn.normals[contact.name]
    along = tangent(normal)
    if contact.about_to == "lift":
        return ()
    if not contact.rough:
        return (normal,)
    if contact.friction is not None and contact.name in senses:
        share = senses[contact.name] * drawn.number(contact.friction)
        return (unit((normal[0] + share * along[0], normal[1] + share * along[1])),)
    return normal, along


class Resting:
    """A contact in a world: its bars."""

    def __init__(self, world: World, contact: Contact, ways: tuple[Pair, ...]) -> None:
        on, by = home(world.frame, contact.on), world.frame.under(contact)
        point, reach = world.drawn.points[contact.on.point], world.drawn.size
        # Nothing moves in the end, so that the length of a bar does not matter.
        self.bars = [Bar(world, on, point, way, reach, by) for way in ways]

    def force(self, dt: float) -> Pair:
        """The force on what rests there in the last step [N]."""
        pushes = [bar.push(dt)[2] for bar in self.bars]
        return sum(x for x, _ in pushes), sum(y for _, y in pushes)
