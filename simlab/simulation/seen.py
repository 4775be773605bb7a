"""What is seen of a stage: forces, velocities and energy, at one moment or at many, from rows of its world.

A `View` takes rows. While the same things are there they have one `Sight`, by which one row, or many as
columns, are `Seen`.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from functools import cached_property
from itertools import chain
from struct import Struct
from typing import Generic

import numpy as np

from simlab.frame.model import GROUND, Name
from simlab.results import Floats, Forces, Key
from simlab.simulation.columns import N, size
from simlab.simulation.meeting import Meeting
from simlab.simulation.one_sided import OneSided
from simlab.simulation.pressing import Pressing
from simlab.simulation.reactions import forces
from simlab.simulation.reel import Moment, Script, State, numbers
from simlab.simulation.world import World

BLOW = 50.0  # times what a weight gains in a step: velocities that change by more are struck
KEPT = 4  # sights that may come back: a string that is hardly taut trembles
_pack = Struct("2d").pack


class View:
    """A stage's world, looked at.

    part : an engine step [s]; open : forces that rigid bodies leave open, which would show the order of the
    engine's joints; before : velocities of the engine's bodies before the last engine step, as bytes
    """

    def __init__(self, world: World, pressing: Pressing, one_sided: OneSided, part: float) -> None:
        self.world, self.pressing, self.one_sided, self.part = world, pressing, one_sided, part
        self.open: frozenset[Key | Name] = frozenset()
        self._sights: deque[Sight] = deque(maxlen=KEPT)
        self._sight: Sight | None = None
        self.look_back()

    def changed(self, left_open: frozenset[Key | Name] | None = None) -> None:
        """Something was cut, lifted, came taut, or the like; other forces are open, if they are given."""
        self._sight = None
        if left_open is not None:
            self.open = left_open

    @property
    def sight(self) -> Sight:
        """What there is to be seen: the same object, as long as the same things are there."""
        if self._sight is None:
            now = Sight(self)
            same = next((sight for sight in self._sights if sight.there == now.there), None)
            if same is None:
                self._sights.append(now)
            self._sight = same or now
        return self._sight

    def look_back(self) -> None:
        """Keep the velocities of this moment: the next row is of the one after."""
        self.before = self.sight.script.speeds()

    def speeds(self) -> Floats:
        """Velocities of the engine's bodies, in its own order, shape (bodies, 3)."""
        return np.frombuffer(self.sight.script.speeds()).reshape(-1, 3)

    def row(self, time: float, share: float) -> bytes:
        """The present moment, as a row of the sight: the script's; velocities before; time and share."""
        return b"".join((self.sight.script.row(self.part), self.before, _pack(time, share)))

    def seen(self, time: float, share: float) -> Seen[float]:
        """The present moment, understood."""
        return Seen(self.sight, numbers(self.row(time, share)))


class Sight:
    """What there is to be seen for a while.

    there : all that it depends on; absent : members that are cut, fallen or slack; open : forces left open;
    guides : of the contacts that press
    """

    def __init__(self, view: View) -> None:
        self.world, self.part = view.world, view.part
        self.absent = frozenset(self.world.frame.links) - self.world.members | view.one_sided.slack
        self.open = view.open
        self.meetings, self.guides = view.pressing.meetings, dict(view.pressing.guides)
        bars = chain.from_iterable(guide.impulses for guide in self.guides.values())
        self.script = Script(self.world, bars)
        self.there = (self.world.members, self.absent, self.open, self.script.impulses)


class Seen(Generic[N]):
    """A stage at one moment or many.

    time [s]; share : of the load that is on
    """

    def __init__(self, sight: Sight, columns: Sequence[N]) -> None:
        self.sight: Sight = sight
        self.moment: Moment[N] = Moment(sight.script, sight.part, columns)
        rest = iter(columns[sight.script.width :])
        self.before: dict[Name, tuple[N, N, N]] = {
            name: (next(rest), next(rest), next(rest)) for name in sight.script.bodies
        }
        self.time: N = next(rest)
        self.share: N = next(rest)

    def forces(self) -> Forces[N]:
        """Every reaction in the last step, but for those that are open."""
        pushes: dict[Name, tuple[N, N]] = {}
        places: dict[Name, tuple[N, N]] = {}
        for name in self.sight.meetings:
            pushes[name], places[name] = self._contact(name)
        found, unknown = forces(self.moment, pushes, self.share, places), self.sight.open
        if not unknown:
            return found
        return Forces(
            {key: reaction for key, reaction in found.reactions.items() if key not in unknown},
            {name: tension for name, tension in found.tensions.items() if name not in unknown},
        )

    def pins(self) -> dict[Name, tuple[N, N]]:
        """The places of pins on which no body turns [m]."""
        states = self.moment.states
        return {name: (states[name].x, states[name].y) for name in self.sight.world.frame.free_pins}

    def _contact(self, name: Name) -> tuple[tuple[N, N], tuple[N, N]]:
        """The force of a contact on what rests there [N], and where it acts [m]."""
        meeting: Meeting = self.sight.meetings[name]
        on: State[N] = self.moment.states[meeting.on.body]
        by: State[N] = self.moment.states[meeting.by.body]
        normal, _, point, _ = meeting.meet((on.x, on.y, on.angle), (by.x, by.y, by.angle))
        guide = self.sight.guides.get(name)
        if guide is None:
            return (self.moment.nothing, self.moment.nothing), point
        return guide.force(normal, [self.moment.force(bar)[0] for bar in guide.impulses]), point

    @cached_property
    def _speeds(self) -> dict[Name, tuple[N, N, N]]:
        """Velocities at the time of the poses: between two steps their mean, but after a blow the later."""
        drawn, states = self.sight.world.drawn, self.moment.states
        most = BLOW * drawn.gravity * self.sight.part
        share: N = self.moment.nothing + 0.5  # of those before; nothing where anything is struck
        for name, (vx, vy, turning) in self.before.items():
            now: State[N] = states[name]
            change = size(vx - now.vx, vy - now.vy) + abs(turning - now.turning) * drawn.size
            share = share * (change <= most)
        found: dict[Name, tuple[N, N, N]] = {}
        for name, (vx, vy, turning) in self.before.items():
            now = states[name]
            found[name] = (
                now.vx + share * (vx - now.vx),
                now.vy + share * (vy - now.vy),
                now.turning + share * (turning - now.turning),
            )
        return found

    def velocities(self) -> list[tuple[N, N, N]]:
        """v_x, v_y [m/s] of each body's centre and its angular velocity, at the time of the poses.

        The engine's velocities are those of the middles of two steps; theirs is the mean.
        """
        found: list[tuple[N, N, N]] = []
        world: World = self.sight.world
        for name in world.frame.bodies:
            vx, vy, turning = self._speeds[name]
            x, y = self.moment.states[name].arm(world.centres[name])
            found.append((vx - turning * y, vy + turning * x, turning))
        return found

    def energy(self) -> tuple[N, N]:
        """Kinetic and potential energy [J], at the time of the poses; the load counts at full share."""
        world: World = self.sight.world
        states = self.moment.states
        kinetic = potential = self.moment.nothing
        for name, (vx, vy, turning) in self._speeds.items():
            if name == GROUND:
                continue
            mass = world.masses[name]
            potential = potential + mass.inert * states[name].y
            if name not in world.knots:  # what those need to move is given to them
                inertia = mass.inert / world.gravity
                kinetic = kinetic + inertia * (vx * vx + vy * vy) / 2
                kinetic = kinetic + inertia * mass.gyration2 * turning * turning / 2
        names = self.sight.script.names
        for body, anchor, (fx, fy) in (*world.lifts, *world.applied):
            if body in names:  # not the knots of a string that is gone
                x, y = states[names[body]].place(anchor)
                potential = potential - (fx * x + fy * y)
        for body, couple in world.couples:
            potential = potential - couple * states[names[body]].angle
        for member in self.moment.members.values():
            potential = potential + member.energy
        return kinetic, potential
