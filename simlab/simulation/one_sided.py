"""Light members that act one way only, in the showing: strings and struts.

While it carries a force of the right kind each is a rigid bar: the engine's own one-sided joints would
chatter, switched off and on by rounding. When it would have to act the other way, a string becomes a joint
with a greatest length, and a strut is gone. A string over pegs is `Running`.
"""

from __future__ import annotations

from collections.abc import Iterator

import pymunk

from simlab.frame.model import Name
from simlab.results import Event
from simlab.simulation.impulses import Impulse
from simlab.simulation.pressing import WRONG
from simlab.simulation.running import Running
from simlab.simulation.world import World


class OneSided:
    """The one-sided members of a world.

    running : strings over pegs, by name
    """

    def __init__(self, world: World, step: float, total: float) -> None:
        self.world = world
        self.frame = world.frame
        self.step = step
        self.least = WRONG * total
        self._slack: set[Name] = set()
        self._lengths = {name: impulse.joint.distance for name, impulse in world.links.items()}
        self._wrong = dict.fromkeys(world.links, 0)
        self.running = {name: Running(world, self.frame.links[name], step) for name in world.strings}

    @property
    def slack(self) -> frozenset[Name]:
        """Strings that are slack."""
        return frozenset(self._slack | {n for n, run in self.running.items() if run.string.is_slack})

    def place(self) -> None:
        """Before a step: the knots of strings over pegs."""
        for running in self.running.values():
            running.place()

    def forget(self) -> None:
        """Velocities were set from outside."""
        for running in self.running.values():
            running.forget()

    def soften(self) -> None:
        """Things touch: what a blow gains says nothing of the next step."""
        for running in self.running.values():
            running.is_given = False

    def tried(self) -> float:
        """How far strings over pegs expected a step wrongly that will be made again [N]."""
        return max((running.tried() for running in self.running.values()), default=0.0)

    def wrong(self) -> dict[Name, float]:
        """By how much each member acted the wrong way in the last step [N], if it did."""
        found = {}
        for name, impulse in self.world.links.items():
            kind = self.frame.links[name].kind
            if kind != "light rod" and not isinstance(impulse.joint, pymunk.SlideJoint):
                thrust = impulse.read()[0] / self.step
                found[name] = thrust if kind == "string" else -thrust
        for name, running in self.running.items():
            if not running.string.is_slack:
                found[name] = running.thrust
        return {name: size for name, size in found.items() if size > self.least}

    def let_go(self, name: Name, time: float) -> Event:
        """Let go of a member that acts the wrong way."""
        if name in self.running:
            return self.running[name].slacken(time)
        return self._lose(time, name)

    def look(self, time: float, patience: int) -> Iterator[Event]:
        """What changed in the last step: strings slack or taut, struts fallen.

        A member goes when it has carried a force of the wrong kind for more than `patience` steps.
        """
        wrong = self.wrong()
        for name, impulse in list(self.world.links.items()):
            if isinstance(impulse.joint, pymunk.SlideJoint):
                yield from self._watch(time, name, impulse.read()[0] / self.step)
                continue
            self._wrong[name] = self._wrong[name] + 1 if name in wrong else 0
            if self._wrong[name] > patience:
                yield self._lose(time, name)
        for running in self.running.values():
            yield from running.look(time, patience, self.least)

    def _lose(self, time: float, name: Name) -> Event:
        link = self.frame.links[name]
        bar = self.world.links[name].joint
        self.world.cut(name)
        if link.kind == "strut":
            return Event(time, "fallen", name)
        joint = pymunk.SlideJoint(*self.world.ends(link), 0.0, self._lengths[name])
        joint.error_bias, joint.max_force = bar.error_bias, bar.max_force
        self.world.space.add(joint)
        self.world.links[name] = Impulse(joint)
        self._slack.add(name)
        return Event(time, "slack", name)

    def _watch(self, time: float, name: Name, thrust: float) -> Iterator[Event]:
        if thrust < 0 and name in self._slack:
            self._slack.discard(name)
            yield Event(time, "taut", name)
        elif thrust == 0 and name not in self._slack:
            self._slack.add(name)
            yield Event(time, "slack", name)
