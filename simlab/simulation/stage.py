"""A living frame in real time: loaded, cut, watched.

Three states. *Hanging*: damped, so that the frame comes to rest under whatever share of its load is on.
*Falling*, from the first cut on: undamped; the whole of every joint gap is closed in each step, and the
velocities gained in the step of the cut are halved, so that they are those of the middle of a step. Both
together make the engine's scheme of second order. *Touched*, from the first touch of a stop, a floor or
another body: the engine's own soft correction, with a little damping, since a jam of stiff joints would
explode.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

import numpy as np

from simlab.errors import BadInput
from simlab.frame.change import without
from simlab.frame.model import Frame, Name, Values
from simlab.results import Event, Floats, Forces, Instant, Key
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.glimpse import Glimpse as Glimpse
from simlab.simulation.glimpse import State
from simlab.simulation.inertia import check, check_inertia
from simlab.simulation.masses import masses
from simlab.simulation.one_sided import OneSided
from simlab.simulation.pace import RATE as RATE
from simlab.simulation.pace import SOFT, Pace, parts
from simlab.simulation.pressing import Pressing
from simlab.simulation.pulling import DAMPING, Pull
from simlab.simulation.scenery import Scenery
from simlab.simulation.seen import Seen, View
from simlab.simulation.world import Velocity, World

STEP = 1 / RATE
TO_REST = 2.0  # [s] under full load before a release or a push: ten times what settling takes
FUSE = 50.0  # total weights: the most a joint may bear once things touch, or a jam would explode
GRAZE = 0.01  # of the total weight: a touch with less is none
PATIENCE = 120  # engine steps a strut must pull, or a string push, before a hanging frame lets go of it
QUIET = 0.1  # [s] after which the same event is news again
MOST_TURNS = 50  # of the step of a cut, until it is clear what lets go and what slips
SAME = 1e-9  # of the total weight: limits of friction that are one


class Stage:
    """A frame that can be loaded, stepped, cut and looked at.

    share : of every weight and load that is on, 0 to 1; time [s]; events so far; part, an engine step [s];
    hand : what pulls at it besides, if anything does
    `known` numbers of expressions need not be worked out again.
    Raises BadInput for a rod whose inertia the scene does not give, for a member between two fixed points,
    and for a force that nothing with weight resists once the frame's brace, or what is cut, is gone.
    """

    def __init__(
        self, frame: Frame, values: Values | None = None, known: dict[Any, float] | None = None
    ) -> None:
        self.frame = frame
        self.drawn = Drawn(frame, frame.shown if values is None else values, known)
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
        self.state: State = "hanging"
        self.hand: Pull | None = None
        self.world = World(self.drawn, self.drawn.gravity, masses(self.drawn), bars=False)
        self.scenery = Scenery(self.world)
        self.total = sum(mass.weight for mass in self.world.masses.values()) or 1.0
        self.pressing = Pressing(self.world, self.part, self.total)
        self.one_sided = OneSided(self.world, self.part, self.total)
        everywhere = dict.fromkeys(self.frame.contacts, (0.0, 0.0))
        self.keys = tuple(self.world.forces(self.part, everywhere).reactions)
        self._just_cut = False
        self._weigh()
        self._pace = Pace(self.world, self.frame, self.part)
        self._pace.hang()
        self.view = View(self.world, self.pressing, self.one_sided, self.part)
        self.view.changed(self._pace.open)

    def rest_under_load(self) -> None:
        """The whole load on, and the time to come to rest under it."""
        self.share = 1.0
        self.step(round(TO_REST * RATE))

    def _fall(self) -> None:
        """From now on undamped, the joints' gaps closed as far as the sweeps allow."""
        self.state = "falling"
        self.pressing.leeway = 1.0
        self._pace.fall()

    def push(self, velocity: Mapping[Name, Velocity]) -> None:
        """Give bodies at rest velocities that their joints allow; from now on the frame swings undamped.

        velocity : of bodies' centres and of pins that no body turns on
        """
        self._fall()
        at_rest, script = (0.0, 0.0, 0.0), self.view.sight.script
        given = {name: self.world.engine_velocity(name, v) for name, v in velocity.items()}
        script.set_speeds(np.array([given.get(name, at_rest) for name in script.bodies]))
        self.view.look_back()
        self.one_sided.forget()
        self.time = 0.0

    def cut(self, name: Name) -> None:
        """Take a light member away: from now on the frame falls."""
        there = self.world.members
        if name not in there:
            still = ", ".join(link for link in self.frame.links if link in there)
            raise BadInput(f'"{name}" is not there to be cut. Still there: {still}.')
        left = self._without(self.gone | {name})
        check_inertia(left, self.drawn)
        self.world.cut(name)
        self._pace = Pace(self.world, left, self.part, self._pace.damping)
        self.view.changed(self._pace.open)
        if self.one_sided.running.pop(name, None):  # its knots are gone
            self.view.look_back()
        self.events.append(Event(self.time, "cut", name))
        self._just_cut = self._just_cut or self.state == "hanging"
        if self.state != "touched":
            self._fall()

    def _without(self, gone: Collection[Name]) -> Frame:
        left = self.frame
        for link in gone:
            left = without(left, link)
        return left

    def grab(self, body: Name, at: Pair, point: Name | None = None) -> None:
        """Let a hand hold a place [m] of a body, or of a pin that no body turns on."""
        self.hand = Pull(self.world, body, at, self.total, point)

    def let_go(self) -> None:
        """The hand lets go."""
        self.hand = None
        self.world.space.damping = self._pace.damping

    def step(self, n: int = 1) -> None:
        """n steps of 1/600 s; in the step of the first cut no time passes."""
        for left in range(n - 1, -1, -1):
            if self.share != self._weighed:
                self._weigh()
            if self._just_cut:
                self._step_of_cut()
                continue
            start = self.time
            for part in range(1, self.parts + 1):
                if left == 0 and part == self.parts:
                    self.view.look_back()
                self._engine_step()
                self.time = start + part * self.part
                self._look()
                if self.state == "falling":
                    self._look_for_touch()

    def _weigh(self) -> None:
        """Let the share of gravity be on that is asked for."""
        self._weighed = self.share
        self.world.space.gravity = (0.0, -self.share * self.drawn.gravity)

    def _engine_step(self) -> None:
        if self.pressing.meetings:
            self.pressing.place(self.share)
        if self.one_sided.running:
            self.one_sided.place()
        if self.hand:
            self.world.space.damping = min(self._pace.damping, DAMPING)
            self.hand.push(self.part)
        self.world.step(self.part, self.share)

    def _step_of_cut(self) -> None:
        """The forces jump, and half a step's velocity is gained. The frame itself has not moved.

        Contacts slip at once, and members that would act the wrong way go at once, the worst first: the
        step is done again until nothing changes.
        """
        self._just_cut = False
        start, space = self.view.speeds(), self.world.space
        sweeps, space.iterations = space.iterations, self._pace.at_cut
        for _ in range(MOST_TURNS):
            self.view.sight.script.set_speeds(start)
            limits = self.pressing.limits()
            self._engine_step()
            self.pressing.grip()
            changes = [abs(limit - limits.get(n, 0.0)) for n, limit in self.pressing.limits().items()]
            if max([*changes, self.one_sided.tried()]) > SAME * self.total:
                continue  # what grips too well may pull at others: friction first
            if not self._let_one_go():
                break
        self._look()
        self.one_sided.forget()
        space.iterations = sweeps
        gained = self.view.speeds()
        self.view.sight.script.set_speeds((start + gained) / 2)
        # What they would have been half a step before, so that the mean is `start`.
        self.view.before = ((3 * start - gained) / 2).tobytes()

    def _let_one_go(self) -> bool:
        """Let go of what acts the wrong way most, after a try of a step; whether anything did."""
        wrong = {**self.one_sided.wrong(), **self.pressing.pulling()}
        if not wrong:
            return False
        name = max(wrong, key=lambda name: wrong[name])
        what = self.pressing.lift if name in self.pressing.guides else self.one_sided.let_go
        self._note(what(name, self.time))
        self.view.changed()
        return True

    def _look_for_touch(self) -> None:
        """Soften the joints at the first touch of anything that was apart, or had lifted off."""
        what = None if self.pressing.landed else self.scenery.touch(GRAZE * self.total * self.part)
        if what is not None:
            self.events.append(Event(self.time, "contact", what))
        if what is not None or self.pressing.landed:
            self.state = "touched"
            self.scenery.watch_no_more()
            self._pace.touch(FUSE * self.total)
            self.pressing.soften(SOFT, FUSE * self.total)
            self.one_sided.soften()

    def _look(self) -> None:
        """What lets go, lands, slips or comes taut in the last engine step."""
        patience = PATIENCE if self.state == "hanging" else 0
        events: list[Event] = []
        if self.world.links or self.one_sided.running:
            events += self.one_sided.look(self.time, patience)
        if self.pressing.meetings:
            events += self.pressing.look(self.time, patience)
        if events:
            self.view.changed()
        for event in events:
            self._note(event)
        if self.hand and self.state == "hanging" and any(event.kind == "fallen" for event in events):
            self._pace = Pace(self.world, self._without(self.gone), self.part, self._pace.damping)
            self._fall()  # pulled apart by a hand: it is let fall, as if the member had been cut

    def _note(self, event: Event) -> None:
        """Keep an event, but not one of many: a string that is hardly taut trembles."""
        what = event.kind, event.about
        if event.time - self._noted.get(what, -QUIET) >= QUIET:
            self.events.append(event)
        self._noted[what] = event.time

    # looking

    @property
    def open(self) -> frozenset[Key | Name]:
        """The forces that rigid bodies leave open in the frame as it is."""
        return self.view.open

    @property
    def absent(self) -> frozenset[Name]:
        """Members that are cut, fallen or slack."""
        return self.view.sight.absent

    def seen(self) -> Seen[float]:
        """The moment reached, as far as it is seen."""
        return self.view.seen(self.time, self.share)

    def glimpse(self) -> Glimpse:
        """The moment reached, to be kept."""
        return Glimpse.of(self)

    def forces(self) -> Forces[float]:
        """Every reaction in the last step, from the engine's own impulses.

        All but those that rigid bodies leave open: they would show the order of the engine's joints.
        """
        return self.seen().forces()

    def velocities(self) -> Floats:
        """v_x, v_y [m/s] of each body's centre and its angular velocity, at the time of the poses."""
        return np.array(self.seen().velocities(), dtype=np.float64).reshape(-1, 3)

    def energy(self) -> tuple[float, float]:
        """Kinetic and potential energy [J], at the time of the poses; the load counts at full share."""
        return self.seen().energy()

    @property
    def gone(self) -> frozenset[Name]:
        """Members that are cut or fallen."""
        return frozenset(self.frame.links) - self.world.members

    def now(self) -> Instant:
        """The moment reached."""
        return self.glimpse().instant()

    def instant(self, time: float) -> Instant:
        """The moment at `time` [s], stepping on to it; a time that is past gives the moment reached."""
        self.step(max(round((time - self.time) * RATE), 0))
        return self.now()
