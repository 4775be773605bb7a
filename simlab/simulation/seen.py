"""What is seen of a stage: forces, velocities and energy, at one moment or many, from rows of its world."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import chain
from struct import Struct
from typing import Generic

from simlab.frame.model import GROUND, Name
from simlab.results import Forces, Key
from simlab.simulation.columns import N, size
from simlab.simulation.pressing import Pressing
from simlab.simulation.reactions import forces
from simlab.simulation.reel import Moment, State
from simlab.simulation.world import World

BLOW = 50.0  # times what a weight gains in a step: velocities that change by more are struck


class Sight:
    """What there is to be seen of a stage, as long as nothing is cut, lifted, slack or taut anew.

    part : an engine step [s]; absent : members that are not there; open : forces that rigid bodies leave
    open, which would show the order of the engine's joints
    """

    def __init__(
        self,
        world: World,
        pressing: Pressing,
        part: float,
        absent: frozenset[Name],
        left_open: frozenset[Key | Name],
    ) -> None:
        self.world, self.script = world, world.script
        self.part = part
        self.absent = absent
        self.open = left_open
        self._pressing = pressing
        self._pack = Struct(f"{2 + 4 * len(pressing.meetings)}d").pack

    def row(self, time: float, share: float, before: bytes) -> bytes:
        """The present moment; `before` are the velocities before the last engine step.

        After the row of the world stand those, time, share, and for each contact its force and its place.
        """
        pushes = chain.from_iterable(chain.from_iterable(self._pressing.forces().values()))
        return b"".join((self.script.row(self.part), before, self._pack(time, share, *pushes)))


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
        self.contacts: dict[Name, tuple[tuple[N, N], tuple[N, N]]] = {
            name: ((next(rest), next(rest)), (next(rest), next(rest)))
            for name in sight.world.frame.contacts
        }

    def forces(self) -> Forces[N]:
        """Every reaction in the last step, but for those that are open."""
        pushes = {name: force for name, (force, _) in self.contacts.items()}
        places = {name: place for name, (_, place) in self.contacts.items()}
        found, unknown = forces(self.moment, pushes, self.share, places), self.sight.open
        if not unknown:
            return found
        return Forces(
            {key: reaction for key, reaction in found.reactions.items() if key not in unknown},
            {name: tension for name, tension in found.tensions.items() if name not in unknown},
        )

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
            (vx, vy, turning), (x, y) = (
                self._speeds[name],
                self.moment.states[name].arm(world.centres[name]),
            )
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
        for name, anchor, (fx, fy) in (*world.lifts, *world.applied):
            if name in states:
                x, y = states[name].place(anchor)
                potential = potential - (fx * x + fy * y)
        for name, couple in world.couples:
            potential = potential - couple * states[name].angle
        for member in self.moment.members.values():
            potential = potential + member.energy
        return kinetic, potential
