"""Members that act one way only, in the showing: strings, struts, and feet on floors and walls.

While it carries a force of the right kind each is a rigid bar: the engine's own one-sided joints and
contacts would chatter, switched off and on by rounding. When it would have to act the other way, a string
becomes a joint with a greatest length, a strut is gone, a foot is left to the engine's search for contacts.
"""

from __future__ import annotations

import pymunk

from simlab.frame.model import Name
from simlab.results import Event
from simlab.simulation.bars import Bar
from simlab.simulation.drawn import Pair
from simlab.simulation.impulses import Impulse
from simlab.simulation.masses import home
from simlab.simulation.scenery import Scenery
from simlab.simulation.world import World

# Length of the bar that a contact is while it presses, in frame sizes: a foot then slides on an arc that
# is level to 1e-6 of the frame's size.
LEVEL = 1e5
# A foot that has lifted off can land again once it is this far from its floor, in frame sizes: nearer,
# the velocities of the middle of a step still point into the floor, and it would be struck.
CLEAR = 1e-5
WRONG = 1e-6  # of the total weight: a pull or push of the wrong kind below this is rounding


class OneSided:
    """The one-sided members and contacts of a world.

    slack : strings that are slack; bars : contacts that press, and have not lifted off since the start;
    rising : contacts that have just lifted off; members : all light members and contacts, by name
    """

    def __init__(self, world: World, scenery: Scenery, step: float, total: float) -> None:
        self.world = world
        self.scenery = scenery
        self.frame = world.frame
        self.step = step
        self.total = total
        self.slack: set[Name] = set()
        self.bars = {name: self._bar(name) for name in self.frame.contacts}
        self.rising: set[Name] = set()
        self._lengths = {name: impulse.joint.distance for name, impulse in world.links.items()}
        self.members = (*self.frame.links, *self.frame.contacts)
        self._wrong = dict.fromkeys(self.members, 0)

    def _bar(self, name: Name) -> Bar:
        contact, drawn = self.frame.contacts[name], self.world.drawn
        point, normal = drawn.points[contact.on.point], drawn.normals[name]
        return Bar(self.world, home(self.frame, contact.on), point, normal, LEVEL * drawn.size)

    def let_go(self, time: float, patience: int) -> list[Event]:
        """What changed in the last step: strings slack or taut, struts fallen, feet lifted.

        A member goes when it has carried a force of the wrong kind for more than `patience` steps.
        """
        for name in [name for name in sorted(self.rising) if abs(self._height(name)) > CLEAR]:
            self._let_on(name)
        events = []
        for name, impulse in list(self.world.links.items()):
            kind = self.frame.links[name].kind
            if kind == "light rod":
                continue
            thrust = impulse.read()[0] / self.step
            if isinstance(impulse.joint, pymunk.SlideJoint):
                events += self._watch(time, name, thrust)
            elif self._is_wrong(name, thrust if kind == "string" else -thrust, patience):
                events.append(self._lose(time, name))
        for name, bar in list(self.bars.items()):
            if self._is_wrong(name, -bar.thrust(self.step), patience):
                self._lift(name)
                events.append(Event(time, "lifted", name))
        return events

    def _is_wrong(self, name: Name, wrong: float, patience: int) -> bool:
        self._wrong[name] = self._wrong[name] + 1 if wrong > WRONG * self.total else 0
        return self._wrong[name] > patience

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
        self.slack.add(name)
        return Event(time, "slack", name)

    def _watch(self, time: float, name: Name, thrust: float) -> list[Event]:
        if thrust < 0 and name in self.slack:
            self.slack.discard(name)
            return [Event(time, "taut", name)]
        if thrust == 0 and name not in self.slack:
            self.slack.add(name)
            return [Event(time, "slack", name)]
        return []

    def _lift(self, name: Name) -> None:
        self.bars.pop(name).remove()
        if name in self.scenery.feet:
            self.rising.add(name)

    def _height(self, name: Name) -> float:
        """How high a foot is above its floor, in frame sizes."""
        on, drawn = self.frame.contacts[name].on, self.world.drawn
        (x, y), (px, py), (nx, ny) = self.world.where(on), drawn.points[on.point], drawn.normals[name]
        return ((x - px) * nx + (y - py) * ny) / drawn.size

    def _let_on(self, name: Name) -> None:
        self.rising.discard(name)
        self.scenery.let_on(name)

    def let_land(self) -> None:
        """From now on every foot is left to the engine's search for contacts."""
        for name in [name for name in self.bars if name in self.scenery.feet]:
            self._lift(name)
        for name in sorted(self.rising):
            self._let_on(name)

    def contacts(self) -> dict[Name, Pair]:
        """The force of each contact of the frame on what rests there, in the last step [N]."""
        pushes = dict.fromkeys(self.frame.contacts, (0.0, 0.0))
        pushes |= {name: bar.push(self.step)[2] for name, bar in self.bars.items()}
        feet = {foot: name for name, foot in self.scenery.feet.items() if name not in self.bars}

        def note(arbiter: pymunk.Arbiter) -> None:
            for shape in arbiter.shapes:
                if shape in feet:
                    impulse = arbiter.total_impulse
                    pushes[feet[shape]] = (impulse.x / self.step, impulse.y / self.step)

        for body in dict.fromkeys(foot.body for foot in feet):
            if body is not None:
                body.each_arbiter(note)
        return pushes
