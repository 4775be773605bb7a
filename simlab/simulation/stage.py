"""A living frame in real time: loaded, cut, watched.

Three states. *Hanging*: damped, so that the frame comes to rest under whatever share of its load is on.
*Falling*, from the first cut on: undamped; the whole of every joint gap is closed in each step, and the
velocities gained in the step of the cut are halved, so that they are those of the middle of a step. Both
together make the engine's scheme of second order. *Touched*, from the first touch of a stop, a floor or
another body: the engine's own soft correction, with a little damping, since a jam of stiff joints would
explode.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

import numpy as np

from simlab.errors import BadInput
from simlab.frame.change import without
from simlab.frame.model import Frame, Name, Values
from simlab.results import Event, Floats, Forces, Instant, Key
from simlab.simulation.drawn import Drawn
from simlab.simulation.inertia import check, check_inertia
from simlab.simulation.masses import masses
from simlab.simulation.one_sided import OneSided
from simlab.simulation.pace import RATE as RATE
from simlab.simulation.pace import SOFT, TOUCHED_SWEEPS, Pace, parts
from simlab.simulation.pressing import Pressing
from simlab.simulation.scenery import Scenery
from simlab.simulation.world import World

STEP = 1 / RATE
HANGING_DAMPING = 1e-3  # share of velocity kept in a second: comes to rest within a second
TOUCHED_DAMPING = 0.6  # air and rubbing, so that a fallen frame comes to rest in the end
TO_REST = 2.0  # [s] under full load before a release or a push: ten times what settling takes
FUSE = 50.0  # total weights: the most a joint may bear once things touch, or a jam would explode
GRAZE = 0.01  # of the total weight: a touch with less is none
PATIENCE = 120  # engine steps a strut must pull, or a string push, before a hanging frame lets go of it
BLOW = 50.0  # times what a weight gains in a step: velocities that change by more are struck
QUIET = 0.1  # [s] after which the same event is news again
MOST_TURNS = 50  # of the step of a cut, until it is clear what lets go and what slips
SAME = 1e-9  # of the total weight: limits of friction that are one

Velocity = tuple[float, float, float]  # v_x, v_y of an engine body [m/s], angular velocity [rad/s]


class Stage:
    """A frame that can be loaded, stepped, cut and looked at.

    share : of every weight and load that is on, 0 to 1; time [s]; events so far; part, an engine step [s]
    Raises BadInput for a rod whose inertia the scene does not give, for a member between two fixed points,
    and for a force that nothing with weight resists once the frame's brace, or what is cut, is gone.
    """

    def __init__(self, frame: Frame, values: Values | None = None) -> None:
        self.frame = frame
        self.drawn = Drawn(frame, frame.shown if values is None else values)
        check(self.drawn)
        self.parts = parts(self.drawn)
        self.part = STEP / self.parts  # never changed: joints would mistake their last impulses
        self.restart()

    def restart(self) -> None:
        """The drawn frame at rest, with every member in place and no load on."""
        self.time = 0.0
        self.share = 0.0
        self.events: list[Event] = []
        self._noted: dict[tuple[str, Name], float] = {}  # when each kind of event last was
        self.state = "hanging"
        self.world = World(self.drawn, self.drawn.gravity, masses(self.drawn), bars=False)
        self.scenery = Scenery(self.world)
        self.total = sum(mass.weight for mass in self.world.masses.values()) or 1.0
        self.pressing = Pressing(self.world, self.part, self.total)
        self.one_sided = OneSided(self.world, self.part, self.total)
        everywhere = dict.fromkeys(self.frame.contacts, (0.0, 0.0))
        self.keys = tuple(self.world.forces(self.part, everywhere).reactions)
        self._just_cut = False
        self._before: list[Velocity] = self._velocities()
        self._pace = Pace(self.world, self.frame, self.part)
        self.world.space.damping = HANGING_DAMPING
        self.world.space.iterations = self._pace.hanging
        self._correct(SOFT)

    def _correct(self, error_bias: float) -> None:
        for joint in self.world.space.constraints:
            joint.error_bias = error_bias

    def rest_under_load(self) -> None:
        """The whole load on, and the time to come to rest under it."""
        self.share = 1.0
        self.step(round(TO_REST * RATE))

    def _fall(self) -> None:
        """From now on undamped, the joints' gaps closed as far as the sweeps allow."""
        self.state = "falling"
        self.pressing.leeway = 1.0
        self.world.space.damping = 1.0
        self.world.space.iterations = self._pace.falling
        self._correct(self._pace.closing)

    def push(self, velocity: Mapping[Name, Velocity]) -> None:
        """Give bodies at rest velocities that their joints allow; from now on the frame swings undamped.

        velocity : of bodies' centres and of pins that no body turns on
        """
        self._fall()
        given = {name: self.engine_velocity(name, v) for name, v in velocity.items()}
        self._before = [given.get(name, (0.0, 0.0, 0.0)) for name in self.world.bodies]
        self._set(self._before)
        self.one_sided.forget()
        self.time = 0.0

    def engine_velocity(self, name: Name, velocity: Velocity) -> Velocity:
        """The velocity of an engine body, whose mass is not about the centre of the frame's body."""
        vx, vy, turning = velocity
        if name not in self.frame.bodies:
            return velocity
        body = self.world.bodies[name]
        arm = body.position - body.local_to_world(self.world.centres[name])
        return vx - turning * arm.y, vy + turning * arm.x, turning

    def cut(self, name: Name) -> None:
        """Take a light member away: from now on the frame falls."""
        there = self.world.members
        if name not in there:
            still = ", ".join(link for link in self.frame.links if link in there)
            raise BadInput(f'"{name}" is not there to be cut. Still there: {still}.')
        left = self.frame
        for link in self.frame.links:
            if link not in there or link == name:
                left = without(left, link)
        check_inertia(left, self.drawn)
        self.world.cut(name)
        self.one_sided.running.pop(name, None)
        self.events.append(Event(self.time, "cut", name))
        self._pace = Pace(self.world, left, self.part)
        self._just_cut = self._just_cut or self.state == "hanging"
        if self.state != "touched":
            self._fall()

    def step(self, n: int = 1) -> None:
        """n steps of 1/600 s; in the step of the first cut no time passes."""
        for _ in range(n):
            self.world.space.gravity = (0.0, -self.share * self.drawn.gravity)
            if self._just_cut:
                self._step_of_cut()
                continue
            start = self.time
            for part in range(self.parts):
                if part == self.parts - 1:
                    self._before = self._velocities()
                self._engine_step()
                self.time = start + (part + 1) * self.part
                self._look()
                self._look_for_touch()

    def _engine_step(self) -> None:
        self.pressing.place(self.share)
        self.one_sided.place()
        self.world.step(self.part, self.share)

    def _step_of_cut(self) -> None:
        """The forces jump, and half a step's velocity is gained. The frame itself has not moved.

        Members that would act the wrong way go at once, contacts slip at once, and the step is done again
        until nothing changes.
        """
        self._just_cut = False
        start = self._velocities()
        sweeps = self.world.space.iterations
        self.world.space.iterations = self._pace.at_cut
        for _ in range(MOST_TURNS):
            self._set(start)
            limits = self.pressing.limits()
            self._engine_step()
            changed = self._look()
            changes = [abs(limit - limits.get(n, 0.0)) for n, limit in self.pressing.limits().items()]
            if not changed and max([*changes, self.one_sided.tried()]) <= SAME * self.total:
                break
        self.one_sided.forget()
        self.world.space.iterations = sweeps
        gained = self._velocities()
        self._set([_mean(v, w) for v, w in zip(start, gained, strict=True)])
        # What they would have been half a step before, so that the mean is `start`.
        self._before = [
            ((3 * v[0] - w[0]) / 2, (3 * v[1] - w[1]) / 2, (3 * v[2] - w[2]) / 2)
            for v, w in zip(start, gained, strict=True)
        ]

    def _velocities(self) -> list[Velocity]:
        return [(*body.velocity, body.angular_velocity) for body in self.world.bodies.values()]

    def _set(self, velocities: list[Velocity]) -> None:
        for body, (vx, vy, turning) in zip(self.world.bodies.values(), velocities, strict=True):
            body.velocity = vx, vy
            body.angular_velocity = turning

    def _look_for_touch(self) -> None:
        """Soften the joints at the first touch of anything that was apart, or had lifted off."""
        if self.state != "falling":
            return
        what = None if self.pressing.landed else self.scenery.touch(GRAZE * self.total * self.part)
        if what is not None:
            self.events.append(Event(self.time, "contact", what))
        if what is not None or self.pressing.landed:
            self.state = "touched"
            self.scenery.watch_no_more()
            self.world.space.damping = TOUCHED_DAMPING
            self.world.space.iterations = TOUCHED_SWEEPS
            self._correct(SOFT)
            for joint in self.world.space.constraints:
                joint.max_force = min(joint.max_force, FUSE * self.total)
            self.pressing.soften(SOFT, FUSE * self.total)

    def _look(self) -> bool:
        """What lets go, lands, slips or comes taut in the last engine step; whether anything did."""
        patience = PATIENCE if self.state == "hanging" else 0
        events = [*self.one_sided.look(self.time, patience), *self.pressing.look(self.time, patience)]
        for event in events:
            self._note(event)
        return bool(events)

    def _note(self, event: Event) -> None:
        """Keep an event, but not one of many: a string that is hardly taut trembles."""
        what = event.kind, event.about
        if event.time - self._noted.get(what, -QUIET) >= QUIET:
            self.events.append(event)
        self._noted[what] = event.time

    # looking

    def forces(self) -> Forces[float]:
        """Every reaction in the last step, from the engine's own impulses.

        All but those that rigid bodies leave open: they would show the order of the engine's joints.
        """
        pushes = self.pressing.forces()
        contacts = {name: force for name, (force, _) in pushes.items()}
        touching = {name: place for name, (_, place) in pushes.items()}
        forces = self.world.forces(self.part, contacts, self.share, touching)
        unknown = self.open
        if not unknown:
            return forces
        return Forces(
            {key: reaction for key, reaction in forces.reactions.items() if key not in unknown},
            {name: tension for name, tension in forces.tensions.items() if name not in unknown},
        )

    @property
    def open(self) -> frozenset[Key | Name]:
        """The forces that rigid bodies leave open in the frame as it is."""
        return self._pace.open

    def _at_poses(self) -> list[Velocity]:
        """Velocities at the time of the poses: between two steps their mean, but after a blow the later."""
        now, most = self._velocities(), BLOW * self.drawn.gravity * self.part
        size = self.drawn.size
        if any(
            hypot(v[0] - w[0], v[1] - w[1]) + abs(v[2] - w[2]) * size > most
            for v, w in zip(self._before, now, strict=True)
        ):
            return now
        return [_mean(v, w) for v, w in zip(self._before, now, strict=True)]

    def velocities(self) -> Floats:
        """v_x, v_y [m/s] of each body's centre and its angular velocity, at the time of the poses.

        The engine's velocities are those of the middles of two steps; theirs is the mean.
        """
        rows = []
        for name, (vx, vy, turning) in zip(self.world.bodies, self._at_poses(), strict=True):
            if name not in self.frame.bodies:
                continue
            body = self.world.bodies[name]
            arm = body.local_to_world(self.world.centres[name]) - body.position
            rows.append((vx - turning * arm.y, vy + turning * arm.x, turning))
        return np.array(rows, dtype=np.float64).reshape(-1, 3)

    def energy(self) -> tuple[float, float]:
        """Kinetic and potential energy [J], at the time of the poses; the load counts at full share."""
        kinetic = potential = 0.0
        massless = self.world.knots  # what they need to move is given to them
        for (name, body), (vx, vy, turning) in zip(
            self.world.bodies.items(), self._at_poses(), strict=True
        ):
            potential += self.world.masses[name].inert * body.position.y
            if name in massless:
                continue
            kinetic += body.mass * (vx * vx + vy * vy) / 2
            if turning:
                kinetic += body.moment * turning * turning / 2
        for body, anchor, (fx, fy) in (*self.world.lifts, *self.world.applied):
            x, y = body.local_to_world(anchor)
            potential -= fx * x + fy * y
        potential -= sum(couple * body.angle for body, couple in self.world.couples)
        potential += sum(member.energy() for member in self.world.known.values())
        return kinetic, potential

    @property
    def absent(self) -> frozenset[Name]:
        """Members that are cut, fallen or slack."""
        return frozenset(self.frame.links) - self.world.members | self.one_sided.slack

    def now(self) -> Instant:
        """The moment reached."""
        return Instant(self.time, self.world.poses(), self.forces(), self.energy(), self.share, self.absent)

    def instant(self, time: float) -> Instant:
        """The moment at `time` [s], stepping on to it; a time that is past gives the moment reached."""
        self.step(max(round((time - self.time) * RATE), 0))
        return self.now()


def _mean(v: Velocity, w: Velocity) -> Velocity:
    return (v[0] + w[0]) / 2, (v[1] + w[1]) / 2, (v[2] + w[2]) / 2
