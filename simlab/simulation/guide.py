"""A contact while it presses, in the showing: light bars that are placed anew before every step.

The engine's own contacts would chatter where the point of contact wanders: a rod that turns lifts off for
a step and falls back in the next. So while it presses a contact is a bar along its normal, through the
point of contact, whose length error is the gap. A rough one has a second bar along the tangent, whose
length error is what has slid; it bears no more than

    |F| <= mu N        (Coulomb; N is that of the step before)

and where it bears that, the contact slips and the bar forgets what has slid.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import pymunk

from simlab.frame.model import Contact
from simlab.simulation.columns import N
from simlab.simulation.drawn import Pair
from simlab.simulation.engine import set_end, set_length, set_start
from simlab.simulation.impulses import Impulse
from simlab.simulation.meeting import Meeting
from simlab.simulation.poses import ahead, local, placed
from simlab.simulation.surfaces import Flat, Round
from simlab.simulation.world import World

SLIPPING = 1 - 1e-9  # of the most friction: what bears this slips
# A frame that hangs at the very limit of friction does not slip yet, though rounding would have it so.
ABOUT_TO = 1.001


class Guide:
    """The bars of a contact that presses.

    meeting : where it is, as the last step left it; slips : whether it slipped in the last step; sunk : the
    gap that it keeps [m]: 0, or a little less where it landed between two steps (lifted out again, it would
    have energy from nowhere)
    """

    def __init__(self, world: World, contact: Contact, meeting: Meeting, sunk: float = 0.0) -> None:
        self.world = world
        self.sunk = sunk
        self.meeting = meeting
        self.size = world.drawn.size
        self.slips = False
        self.is_two_sided = contact.two_sided
        self.limit: float | None = None  # mu
        if contact.rough:
            self.limit = inf if contact.friction is None else world.drawn.number(contact.friction)
        on, by = meeting.bodies
        # What needs no placing: a round that slides on a floor, or round another round.
        both = isinstance(meeting.on, Round) and isinstance(meeting.by, Round)
        level = isinstance(meeting.by, Flat) and by is world.ground and isinstance(meeting.on, Round)
        self.stays = self.limit is None and (both or level)
        self.is_level = self.stays and level
        self.side = 1.0
        self.normal = self._fixed(both) if self.stays else pymunk.PinJoint(by, on)
        self.bars = [self.normal]
        if self.limit is not None:
            self.along = pymunk.PinJoint(by, on)
            self.bars.append(self.along)
            self.along.max_force = inf
        self._slid = meeting.slid
        self._last: float | None = None  # N in the last step, if there was one
        for bar in self.bars:
            world.space.add(bar)
        self.impulses = [Impulse(bar) for bar in self.bars]

    def _fixed(self, both: bool) -> pymunk.PinJoint:
        """A bar for good: between two centres, or from below a floor to the centre of a round."""
        on, by = self.meeting.on, self.meeting.by
        bodies = self.world.engine(by.body), self.world.engine(on.body)
        if isinstance(on, Round) and isinstance(by, Round) and both:
            self.side = -1.0 if by.hollow else 1.0
            joint = pymunk.PinJoint(
                *bodies, self.world.at(by.body, by.centre), self.world.at(on.body, on.centre)
            )
            joint.distance = by.radius + self.side * (on.radius + self.sunk)
            return joint
        (nx, ny), far = self.meeting.normal, self.size
        x, y = on.centre if isinstance(on, Round) else on.point
        self._start = x * ny - y * nx
        self._foot = x - far * nx, y - far * ny
        self._held = self.world.at(on.body, (x, y))
        joint = pymunk.PinJoint(*bodies, self._foot, self._held)
        joint.distance = far + self.sunk
        return joint

    def place(self, dt: float, grown: float) -> None:
        """Put the bars where the next step, of dt [s], will look for them.

        grown : by what the push, and so the most friction, is expected to have grown since the last step
        """
        if self.stays:
            if self.is_level:
                self._follow(dt)
            return
        self.meeting.look(dt)
        self._put(self.normal, self.meeting.normal, self.meeting.gap - self.sunk)
        if self.limit is not None:
            if self.slips:
                self._slid = self.meeting.slid
            self._put(self.along, self.meeting.tangent, self.meeting.slid - self._slid)
            if self._last is not None and self.limit < inf:
                push = abs(self._last) if self.is_two_sided else max(self._last, 0.0)
                self.along.max_force = self.limit * push * grown

    def _follow(self, dt: float) -> None:
        """Keep the foot of a bar on a floor right below what it holds up, as that slides."""
        (nx, ny), (x, y) = self.meeting.normal, placed(ahead(self.normal.b, dt), self._held)
        gone = x * ny - y * nx - self._start
        fx, fy = self._foot
        set_start(self.normal, (fx + gone * ny, fy - gone * nx))

    def _put(self, bar: pymunk.PinJoint, way: Pair, error: float) -> None:
        """Along a way, through the point of contact, too long by an error."""
        (x, y), (on, by), far = self.meeting.point, self.meeting.poses, self.size + error
        set_start(bar, local(by, (x - far * way[0], y - far * way[1])))
        set_end(bar, local(on, (x, y)))
        set_length(bar, self.size)

    def look(self, dt: float) -> None:
        """After a step of dt [s]: whether it slips, and what the next step's friction goes by."""
        if self.limit is None:
            return
        self.slips = abs(self.friction(dt)) >= SLIPPING * self.along.max_force
        self._last = self.push(dt)

    def forget(self) -> None:
        """Bear any friction in the next step: no push is known that it could go by."""
        self._last, self.slips = None, False
        if self.limit is not None:
            self.along.max_force = inf

    def push(self, dt: float) -> float:
        """N in the last step [N]; negative where it pulls."""
        return self.side * self.impulses[0].read()[0] / dt

    def friction(self, dt: float) -> float:
        """F in the last step, along the tangent [N]."""
        return self.impulses[1].read()[0] / dt if self.limit is not None else 0.0

    def force(self, normal: tuple[N, N], thrusts: Sequence[N]) -> tuple[N, N]:
        """The force on what rests [N], from the thrusts of the bars."""
        (nx, ny), push = normal, self.side * thrusts[0]
        if self.limit is None:
            return push * nx, push * ny
        friction = thrusts[1]
        return push * nx + friction * ny, push * ny - friction * nx

    def remove(self) -> None:
        """Take the bars away."""
        self.world.space.remove(*self.bars)
