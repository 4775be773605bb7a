"""A frame brought to rest in the engine, and its joint impulses read.

In unit steps (dt = 1 s) with weak gravity and large masses (weight / gravity), so that impulses are
forces. The settings come from the frame's own conditioning: with p the share of the slowest error
that the sweeps of one step take away, velocities keep d = 1 - 1.4 sqrt(p) + 0.45 p of themselves in a
step, joint gaps close by b = 0.36 sqrt(p) + 0.55 p, and 6.6/sqrt(p) steps give a decimal digit
(measured against the engine's linearised step).

A reading is accepted only if four tests are passed at once, at 1e-10: every body in balance, speeds,
forces unchanged over the last third of the run, and the settled shape still the drawn one. Any test
less has been fooled: by a frame that snapped through to its mirror shape, or one that still creeps.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil, hypot, sqrt

import numpy as np
import pymunk

from simlab.errors import SimlabFault
from simlab.frame.model import Frame, Name, Values
from simlab.results import Forces, Outcome, Reading, Settings, largest
from simlab.simulation.balance import left_over
from simlab.simulation.bars import Bar
from simlab.simulation.conditioning import Gaps, Hold
from simlab.simulation.contacts import Resting, ways
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.masses import masses
from simlab.simulation.senses import every, hold_together
from simlab.simulation.strings import known_tensions
from simlab.simulation.world import World

ACCEPTED = 1e-10  # bound on each stopping test; with it no wrong reading in 45,430 measured ones
HELD = 1e-10  # share of the largest force that a hold may carry: more, and the shape is no equilibrium
STEP = 1.0  # [s]
# Sweeps a step, and decimal digits that the run then aims at. Below 20 sweeps some frames are unstable.
# Few sweeps bring a frame to rest soonest; more of them, in the same world, allow more gravity and so
# lower the floor of rounding.
LADDER = ((20, 12), (200, 6), (2000, 6), (2000, 12))
# Gravity is divided by these in turn, when on its way to rest a flat frame snapped through.
WEAKER = (1.0, 30.0, 900.0, 27000.0)
SNAPPED = 1e-6  # of the shortest rod, after the first run: a frame on its way to rest is far nearer
# Most sweeps x joints of a reading, some four seconds of one core. A frame that needs more is not
# settled, and says so, instead of keeping a class waiting.
MOST_WORK = 5e8
# Share of its stretch by which an elastic member may move a body that it pulls in one step: more than 1
# would be unstable, and the end of a rod moves four times as far as its centre.
SOFT = 1 / 16
CALL = 300  # of a step, besides its sweeps: as many joint solutions take the same time


def settle(frame: Frame, values: Values | None = None) -> Reading:
    """Bring the frame to rest at `values` (the demonstration values if None) and read every force.

    >>> from simlab.frame.scene import read_scene
    >>> reading = settle(read_scene("scenes/kite_lantern.toml"))
    >>> reading.verdict, round(reading.forces.tensions["spreader"], 6)
    ('settled', -14.770316)
    """
    values = frame.shown if values is None else values
    drawn = Drawn(frame, values)
    weighed = masses(drawn, even=True)
    first: Reading | None = None
    for senses in every(drawn):
        gaps = Gaps(drawn, weighed, ways(drawn, senses))
        reading = _reading(gaps)
        first = first or reading
        if reading.forces is not None and hold_together(gaps, reading.forces):
            return reading
    if first is None:
        raise SimlabFault("no way in which friction acts was tried")
    return first


def _reading(gaps: Gaps) -> Reading:
    """The reading of a frame whose contacts push in given ways."""
    self_stress, motions = gaps.freedom()
    if self_stress:
        more = "one force more" if self_stress == 1 else f"{self_stress} forces more"
        decide = f"Rigid rods cannot decide this frame: it has {more} than its balance can fix, and "
        links = gaps.drawn.frame.links.values()
        if any(link.stiffness is not None and not link.is_given for link in links):
            advice = decide + "the small strains that do are nothing to a simulation of rigid rods."
        else:
            advice = decide + "a simulation would only show the order of its joints. Take a member away."
        return _unread(gaps.drawn.values, "refused", advice)
    run = _Run(gaps, gaps.holds(motions))
    return run.reading()


def _unread(values: Values, verdict: Outcome, advice: str) -> Reading:
    """No run was made."""
    nothing = Settings(STEP, 0, 1.0, 1.0, 0.0, pymunk.version)
    return Reading(values, verdict, advice, None, {}, {}, np.zeros((0, 3)), nothing)


class _Run:
    """Settling one frame: weaker gravity where it snapped through, rungs of the ladder until accepted."""

    def __init__(self, gaps: Gaps, holds: tuple[Hold, ...]) -> None:
        self.gaps = gaps
        self.holds = holds
        self.slowest = gaps.slowest()
        self.n_joints = len(gaps.blocks)
        self.work = 0.0

    def reading(self) -> Reading:
        """The first accepted reading, or what stood in its way."""
        for weaker in WEAKER:
            settling = _Settling(self.gaps, self.holds, self.slowest, weaker)
            for iterations, digits in LADDER:
                settling.tune(iterations, digits)
                self.work += settling.n_steps * (iterations * self.n_joints + CALL)
                if self.work > MOST_WORK:
                    return settling.refusal(
                        f"It converges too slowly to be settled in a short time. {_EXTREME}"
                    )
                settling.run()
                if settling.is_settled:
                    return settling.reading()
                if settling.tests["shape"] > SNAPPED:
                    break
            else:
                break
        return settling.refusal(_ADVICE[max(settling.tests, key=lambda name: settling.tests[name])])


_EXTREME = "Make the frame less flat, or its lengths and weights less unequal."
_ADVICE = {
    "balance": f"The rods were not yet in balance. {_EXTREME}",
    "speed": f"It was still moving. {_EXTREME}",
    "change": f"The forces were still changing. {_EXTREME}",
    "shape": "It settled in another shape than the drawn one. Make the frame less flat.",
}


class _Settling:
    """One world with one choice of settings."""

    def __init__(self, gaps: Gaps, holds: tuple[Hold, ...], slowest: float, weaker: float) -> None:
        self.drawn = drawn = gaps.drawn
        self.slowest = slowest
        self.weaker = weaker
        self.world = World(drawn, drawn.gravity, gaps.masses, bars=False)
        self.contacts = {
            name: Resting(self.world, contact, gaps.ways[name])
            for name, contact in drawn.frame.contacts.items()
        }
        self.holds = {hold.name: self._bar(hold.body, hold.point, hold.direction) for hold in holds}
        self.settings = Settings(STEP, 0, 1.0, 1.0, 0.0, pymunk.version)
        self.n_steps = 0
        self.tests: Mapping[str, float] = {}
        self.forces: Forces[float] | None = None

    def tune(self, iterations: int, digits: int) -> None:
        """Settings for so many sweeps a step, and the steps that give so many digits.

        Gravity may change between runs: the masses change with it, so that the weights stay.
        """
        share = float(-np.expm1(iterations * np.log1p(-min(self.slowest, 1 - 1e-12))))  # p of one step
        root = sqrt(share)
        damping = 1 - 1.4 * root + 0.45 * share
        closing = 0.36 * root + 0.55 * share
        # The frame sags by about gravity / stiffness on its way to rest, 0.12 p being the stiffness of
        # the slowest error in a unit step; it must stay far below the frame's own height.
        gravity = 0.02 * 0.12 * share * self.drawn.shortest / self.weaker
        gravity = min([gravity, *self._springy()])
        self.world.set_gravity(gravity)
        self.world.space.iterations = iterations
        self.world.space.damping = damping
        for joint in self.world.space.constraints:
            joint.error_bias = 1 - closing
        self.settings = Settings(STEP, iterations, damping, 1 - closing, gravity, pymunk.version)
        self.n_steps = ceil(digits * 6.6 / root)

    def _springy(self) -> Iterator[float]:
        """The gravity up to which an elastic member moves nothing too far in one step."""
        lightest = min(mass.inert for mass in self.world.masses.values())
        for member in self.world.known.values():
            if member.link.stiffness is not None:
                yield SOFT * lightest / self.drawn.number(member.link.stiffness)

    def _bar(self, body: Name, point: Pair, direction: Pair) -> Bar:
        """A hold; nothing moves in the end, so its length does not matter."""
        return Bar(self.world, body, point, direction, self.drawn.size)

    def run(self) -> None:
        """Two thirds of a run, a look at the forces, the last third, and the four tests."""
        first = 2 * self.n_steps // 3
        self._steps(first)
        before = self._read()
        self._steps(self.n_steps - first)
        self.forces = self._read()
        self.tests = self._tests(before, self.forces)

    def _steps(self, n: int) -> None:
        for _ in range(n):
            self.world.step(STEP)

    def _read(self) -> Forces[float]:
        contacts = {name: contact.force(STEP) for name, contact in self.contacts.items()}
        return self.world.forces(STEP, contacts)

    def _tests(self, before: Forces[float], after: Forces[float]) -> dict[str, float]:
        """The four stopping tests, each as a ratio that must be below `ACCEPTED`."""
        drawn, world = self.drawn, self.world
        scale = self._scale(after)
        speeds = [
            body.velocity.length + abs(body.angular_velocity) * drawn.size for body in world.bodies.values()
        ]
        changes = [
            hypot(r.force[0] - before.reactions[key].force[0], r.force[1] - before.reactions[key].force[1])
            for key, r in after.reactions.items()
        ]
        unequal = [max(taut) - min(taut) for taut in (s.tensions(STEP) for s in world.strings.values())]
        strained = [abs(world.known[n].tension() - t) for n, t in known_tensions(drawn).items()]
        left = left_over(drawn, after, [bar.push(STEP) for bar in self.holds.values()])
        sags = world.poses() - np.array([(*drawn.centres[n], 0.0) for n in drawn.frame.bodies]).reshape(
            -1, 3
        )
        sags[:, 2] *= drawn.size
        # Pins that join light members only are no bodies of the frame, but a truss is made of nothing else.
        pins = [name for name in world.bodies if name not in drawn.frame.bodies]
        shifts = [world.bodies[name].position - world.masses[name].centre for name in pins]
        sags = np.vstack([sags, *((*shift, 0.0) for shift in shifts)])
        return {
            "balance": max([left, *unequal]) / scale,
            "speed": float(max(speeds, default=0.0) / (world.gravity * STEP)),
            "change": max(changes, default=0.0) / scale,
            "shape": max(
                [float(np.max(np.abs(sags), initial=0.0)) / drawn.shortest, *(s / scale for s in strained)]
            ),
        }

    def _scale(self, forces: Forces[float]) -> float:
        """The largest force in the frame, weights and loads among them [N]."""
        drawn = self.drawn
        weights = [mass.inert for mass in self.world.masses.values()]
        loads = [hypot(*load) for load in drawn.loads.values()]
        couples = [abs(couple) / drawn.size for couple in drawn.couples.values()]
        return max([largest(forces), *weights, *loads, *couples])

    @property
    def is_settled(self) -> bool:
        """Whether all four tests are passed."""
        return all(value < ACCEPTED for value in self.tests.values())

    def reading(self) -> Reading:
        """The reading of a settled world; of a shape that only the holds keep up, none."""
        if self.forces is None:
            raise SimlabFault("a reading before the first run")
        held = {name: bar.thrust(STEP) for name, bar in self.holds.items()}
        scale = self._scale(self.forces)
        if any(abs(force) > HELD * scale for force in held.values()):
            advice = "The frame cannot rest in this position: left alone, it would move."
            return self._result("no equilibrium in this shape", advice, None, held)
        return self._result("settled", "The frame rests.", self.forces, held)

    def refusal(self, advice: str) -> Reading:
        """No reading, and why."""
        return self._result("not settled", advice, None, {})

    def _result(
        self, verdict: Outcome, advice: str, forces: Forces[float] | None, held: Mapping[Name, float]
    ) -> Reading:
        values, poses = self.drawn.values, self.world.poses()
        return Reading(values, verdict, advice, forces, held, self.tests, poses, self.settings)
