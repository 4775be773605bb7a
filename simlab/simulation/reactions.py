"""Every reaction of a world at one moment or many, from the engine's own impulses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Generic

from simlab.frame.model import GROUND, Joint, Name, Place
from simlab.results import Forces, Key, Reaction
from simlab.simulation.columns import N, size
from simlab.simulation.masses import carrier
from simlab.simulation.reel import Moment

if TYPE_CHECKING:
    from simlab.simulation.world import World


def forces(
    moment: Moment[N],
    contacts: Mapping[Name, tuple[N, N]],
    share: N,
    touching: Mapping[Name, tuple[N, N]],
) -> Forces[N]:
    """Every reaction, by the keys of `simlab.results.forces`, at the positions of the moment.

    contacts : force of each on what rests there [N]; share : of the loads that is on; touching : where
    contacts act [m]; where they are not given, at the drawn points of their bodies
    """
    found = _Found(moment)
    found.add_members()
    for name, force in contacts.items():
        contact = moment.world.frame.contacts[name]
        found.act(Key.of(contact), contact.on, force, touching.get(name))
    found.add_loads(share)
    for joint in moment.world.frame.joints.values():
        if joint.kind == "built-in":
            found.add_built_in(joint)
        else:
            found.add_pin(joint)
    return Forces(found.reactions, found.tensions)


class _Found(Generic[N]):
    """Reactions as they are found; what acts on pins is kept for their balance."""

    def __init__(self, moment: Moment[N]) -> None:
        self.moment: Moment[N] = moment
        self.world: World = moment.world
        self.frame = moment.world.frame
        self.reactions: dict[Key, Reaction[N]] = {}
        self.tensions: dict[Name, N] = {}
        self.on_pins: dict[Name, list[tuple[N, N]]] = {name: [] for name in self.frame.joints}

    def act(self, key: Key, place: Place, force: tuple[N, N], where: tuple[N, N] | None = None) -> None:
        """A force on a body or a pin."""
        self.reactions[key] = Reaction(force, None, where or self.moment.where(place))
        if place.body in self.on_pins:
            self.on_pins[place.body].append(force)

    def add_members(self) -> None:
        """Light members: bars and strings, then those that are no single joint of the engine."""
        for name, impulse in self.moment.script.links.items():
            tension = -self.moment.force(impulse)[0]
            (ax, ay), (bx, by) = at = [self.moment.where(place) for place in self.frame.links[name].ends]
            length = size(bx - ax, by - ay)
            x, y = tension * (bx - ax) / length, tension * (by - ay) / length
            self._add_pulls(name, tension, [(x, y), (-x, -y)], at)
        for name, member in self.moment.members.items():
            at = [self.moment.where(place) for place in self.frame.links[name].places]
            self._add_pulls(name, member.tension, member.pulls, at)

    def _add_pulls(self, name: Name, tension: N, pulls: list[tuple[N, N]], at: list[tuple[N, N]]) -> None:
        self.tensions[name] = tension
        for place, pull, where in zip(self.frame.links[name].places, pulls, at, strict=True):
            if place.body != GROUND:
                self.act(Key.of_member(name, place), place, pull, where)

    def add_loads(self, share: N) -> None:
        """Loads on pins: no reactions, but part of the pins' balance."""
        for load in self.frame.loads.values():
            if load.place.body in self.on_pins:
                fx, fy = self.world.drawn.loads[load.name]
                self.on_pins[load.place.body].append((share * fx, share * fy))

    def add_built_in(self, joint: Joint) -> None:
        """Force and moment of a wall."""
        pivot, gear = self.world.built_in[joint.name]
        x, y = self.moment.force(pivot)
        (couple,) = self.moment.force(gear)
        self.reactions[Key.of_joint(joint, joint.bodies[1])] = Reaction((x, y), couple, self._at(joint))

    def add_pin(self, joint: Joint) -> None:
        """What a pin gives to its bodies, and what holds it, by its own balance."""
        held, point = carrier(self.frame, joint.name), self._at(joint)
        x = y = self.moment.nothing  # what the pin gives to its other bodies, less what acts on the pin
        for body in joint.bodies:
            if body != held:
                fx, fy = self.moment.force(self.world.pins[joint.name, body])
                self.reactions[Key.of_joint(joint, body)] = Reaction((fx, fy), None, point)
                x, y = x + fx, y + fy
        for fx, fy in self.on_pins[joint.name]:
            x, y = x - fx, y - fy
        if joint.bodies:
            balance = (x, y) if held == GROUND else (-x, -y)
            self.reactions[Key.of_joint(joint, held)] = Reaction(balance, None, point)

    def _at(self, joint: Joint) -> tuple[N, N]:
        return self.moment.where(Place(carrier(self.frame, joint.name), joint.point))
