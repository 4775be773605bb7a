"""A living frame in real time: loaded, cut, watched.

Two states. *Hanging*: damped, so that the frame comes to rest under whatever share of its load is on.
*Falling*, from the first cut on: undamped; the whole of every joint gap is closed in each step, and the
velocities gained in the first step after the cut are halved, so that they are those of the middle of a
step. Both together make the engine's scheme of second order. From the first touch of a stop, a floor or
another rod the engine's own soft correction is used, with a little damping: a jam of stiff joints would
explode.
"""

from __future__ import annotations

from math import ceil

import numpy as np
import pymunk

from simlab.errors import BadInput
from simlab.frame.change import without
from simlab.frame.model import Frame, Name, Values
from simlab.results import Event, Floats, Forces, Instant
from simlab.simulation.conditioning import Gaps
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.impulses import Impulse
from simlab.simulation.masses import home
from simlab.simulation.scenery import Scenery
from simlab.simulation.world import World

RATE = 600  # steps a second: a collapse is then right to 1e-5..1e-4 of the frame's size
STEP = 1 / RATE
HANGING_DAMPING = 1e-3  # share of velocity kept in a second: comes to rest within a second
TOUCHED_DAMPING = 0.6  # air and rubbing, so that a fallen frame comes to rest in the end
SOFT = 0.9**60  # share of a joint's gap left after a second: Chipmunk's own default
SWEEPS = 3.0  # over the share that a sweep takes away: fewer, and closing whole gaps explodes
FIRST_SWEEPS = 25.0  # ... in the first steps after a cut, when all forces jump
FIRST_STEPS = 3
FEWEST, MOST = 50, 3000  # sweeps a step
TOUCHED_SWEEPS = 200
FUSE = 50.0  # total weights: the most a joint may bear once things touch, or a jam would explode
PATIENCE = 30  # steps a strut must pull, or a string push, before a hanging frame lets go of it
WRONG = 1e-6  # of the total weight: a pull or push of the wrong kind below this is rounding


class Stage:
    """A frame that can be loaded, stepped, cut and looked at.

    share : of every weight and load that is on, 0 to 1; time [s]; events so far
    Raises BadInput for a rod whose inertia the scene does not give.
    """

    def __init__(self, frame: Frame, values: Values | None = None) -> None:
        self.frame = frame
        self.drawn = Drawn(frame, frame.shown if values is None else values)
        for name, gyration2 in self.drawn.gyrations2.items():
            if gyration2 is None and self.drawn.weights[name] > 0:
                raise BadInput(
                    f'{frame.name}, rod "{name}" is not uniform and gives no radius of gyration, so its '
                    "motion is unknown. Add gyration = ... to the rod."
                )
        self.restart()

    def restart(self) -> None:
        """The drawn frame at rest, with every member in place and no load on."""
        self.time = 0.0
        self.share = 0.0
        self.events: list[Event] = []
        self.state = "hanging"
        self.world = World(self.drawn, self.drawn.gravity)
        self.scenery = Scenery(self.world)
        self.total = sum(mass.weight for mass in self.world.masses.values()) or 1.0
        self.lengths = {name: impulse.joint.distance for name, impulse in self.world.links.items()}
        self.slack: set[Name] = set()
        self._wrong = dict.fromkeys(self.frame.links, 0)
        self._since_cut = 0
        self._before: list[tuple[float, float, float]] = self._velocities()
        self._sweeps = self._needed(self.frame)
        self.world.space.damping = HANGING_DAMPING
        self.world.space.iterations = max(FEWEST, self._sweeps)
        self._correct(SOFT)

    def _needed(self, frame: Frame) -> int:
        """Sweeps a step by the frame's conditioning."""
        slowest = Gaps(Drawn(frame, self.drawn.values)).slowest() if frame.bodies else 1.0
        return min(max(ceil(SWEEPS / slowest), FEWEST), MOST)

    def _correct(self, error_bias: float) -> None:
        for joint in self.world.space.constraints:
            joint.error_bias = error_bias

    def cut(self, name: Name) -> None:
        """Take a light member away: from now on the frame falls."""
        if name not in self.world.links:
            raise BadInput(f'"{name}" is not there to be cut. Still there: {", ".join(self.world.links)}.')
        self.world.cut(name)
        self.events.append(Event(self.time, "cut", name))
        left = self.frame
        for link in self.frame.links:
            if link not in self.world.links:
                left = without(left, link)
        self._sweeps = self._needed(left)
        self._since_cut = 0
        if self.state == "hanging":
            self.state = "falling"
            self.world.space.damping = 1.0
            self._correct(0.0)

    def step(self, n: int = 1) -> None:
        """n steps of 1/600 s."""
        for _ in range(n):
            self._before = self._velocities()
            self.world.space.gravity = (0.0, -self.share * self.drawn.gravity)
            if self.state == "falling":
                first = self._since_cut < FIRST_STEPS
                self.world.space.iterations = round(self._sweeps * (FIRST_SWEEPS / SWEEPS if first else 1))
            self.world.step(STEP, self.share)
            self.time += STEP
            if self.state == "falling" and self._since_cut == 0:
                self._halve_the_kick()
            self._since_cut += 1
            self._look_for_touch()
            self._let_go()

    def _velocities(self) -> list[tuple[float, float, float]]:
        return [(*body.velocity, body.angular_velocity) for body in self.world.bodies.values()]

    def _halve_the_kick(self) -> None:
        for body, (vx, vy, turning) in zip(self.world.bodies.values(), self._before, strict=True):
            body.velocity = ((body.velocity.x + vx) / 2, (body.velocity.y + vy) / 2)
            body.angular_velocity = (body.angular_velocity + turning) / 2

    def _look_for_touch(self) -> None:
        """Soften the joints at the first touch of anything that was apart before the cut."""
        if self.state != "falling":
            return
        if any(limit.impulse > 0 for limit in self.scenery.limits) or self._has_new_contact():
            self.state = "touched"
            self.events.append(Event(self.time, "contact", "rods"))
            self.world.space.damping = TOUCHED_DAMPING
            self.world.space.iterations = TOUCHED_SWEEPS
            self._correct(SOFT)
            for joint in self.world.space.constraints:
                joint.max_force = FUSE * self.total

    def _has_new_contact(self) -> bool:
        feet = set(self.scenery.feet.values())
        found: list[pymunk.Arbiter] = []

        def note(arbiter: pymunk.Arbiter) -> None:
            if not feet & set(arbiter.shapes):
                found.append(arbiter)

        for body in self.world.bodies.values():
            body.each_arbiter(note)
        return bool(found)

    def _let_go(self) -> None:
        """Strings that would push go slack, struts that would pull fall out."""
        patience = PATIENCE if self.state == "hanging" else 0
        for name, impulse in list(self.world.links.items()):
            kind = self.frame.links[name].kind
            if kind == "light rod":
                continue
            thrust = impulse.read()[0] / STEP
            if isinstance(impulse.joint, pymunk.SlideJoint):
                self._watch_slack(name, thrust)
                continue
            wrong = thrust if kind == "string" else -thrust
            self._wrong[name] = self._wrong[name] + 1 if wrong > WRONG * self.total else 0
            if self._wrong[name] > patience:
                self._lose(name)

    def _lose(self, name: Name) -> None:
        link = self.frame.links[name]
        self.world.cut(name)
        if link.kind == "strut":
            self.events.append(Event(self.time, "fallen", name))
            return
        self.events.append(Event(self.time, "slack", name))
        joint = pymunk.SlideJoint(*self.world.ends(link), 0.0, self.lengths[name])
        joint.error_bias = SOFT
        self.world.space.add(joint)
        self.world.links[name] = Impulse(joint)
        self.slack.add(name)

    def _watch_slack(self, name: Name, thrust: float) -> None:
        if thrust < 0 and name in self.slack:
            self.slack.discard(name)
            self.events.append(Event(self.time, "taut", name))
        elif thrust == 0 and name not in self.slack:
            self.slack.add(name)
            self.events.append(Event(self.time, "slack", name))

    # looking

    def contacts(self) -> dict[Name, Pair]:
        """The force of each contact of the frame on what rests there, in the last step [N]."""
        pushes = dict.fromkeys(self.frame.contacts, (0.0, 0.0))
        names = {shape: name for name, shape in self.scenery.feet.items()}

        def note(arbiter: pymunk.Arbiter) -> None:
            for shape in arbiter.shapes:
                if shape in names:
                    impulse = arbiter.total_impulse
                    pushes[names[shape]] = (impulse.x / STEP, impulse.y / STEP)

        for body in dict.fromkeys(home(self.frame, c.on) for c in self.frame.contacts.values()):
            self.world.engine(body).each_arbiter(note)
        return pushes

    def forces(self) -> Forces[float]:
        """Every reaction in the last step, from the engine's own impulses."""
        return self.world.forces(STEP, self.contacts(), self.share)

    def velocities(self) -> Floats:
        """v_x, v_y [m/s] of each body's centre and its angular velocity, at the time of the poses.

        The engine's velocities are those of the middles of two steps; theirs is the mean.
        """
        rows = []
        for name, (bx, by, b_turn) in zip(self.world.bodies, self._before, strict=True):
            if name not in self.frame.bodies:
                continue
            body = self.world.bodies[name]
            vx, vy = (body.velocity.x + bx) / 2, (body.velocity.y + by) / 2
            turning = (body.angular_velocity + b_turn) / 2
            arm = body.local_to_world(self.world.centres[name]) - body.position
            rows.append((vx - turning * arm.y, vy + turning * arm.x, turning))
        return np.array(rows, dtype=np.float64).reshape(-1, 3)

    def energy(self) -> tuple[float, float]:
        """Kinetic and potential energy [J], at the time of the poses; the load counts at full share."""
        kinetic = potential = 0.0
        for (name, body), (bx, by, b_turn) in zip(self.world.bodies.items(), self._before, strict=True):
            vx, vy = (body.velocity.x + bx) / 2, (body.velocity.y + by) / 2
            turning = (body.angular_velocity + b_turn) / 2
            kinetic += body.mass * (vx * vx + vy * vy) / 2
            if turning:
                kinetic += body.moment * turning * turning / 2
            potential += self.world.masses[name].weight * body.position.y
        for body, anchor, (fx, fy) in self.world.applied:
            x, y = body.local_to_world(anchor)
            potential -= fx * x + fy * y
        return kinetic, potential

    @property
    def absent(self) -> frozenset[Name]:
        """Members that are cut, fallen or slack."""
        return frozenset(self.frame.links) - frozenset(self.world.links) | self.slack

    def now(self) -> Instant:
        """The moment reached."""
        return Instant(self.time, self.world.poses(), self.forces(), self.energy(), self.share, self.absent)

    def instant(self, time: float) -> Instant:
        """The moment at `time` [s], stepping on to it; a time that is past gives the moment reached."""
        self.step(max(round((time - self.time) * RATE), 0))
        return self.now()
