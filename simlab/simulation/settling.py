"""One world with one choice of settings, run and read.

In unit steps (dt = 1 s) with weak gravity and large masses (weight / gravity), so that impulses are
forces. The settings come from the frame's own conditioning: with p the share of the slowest error
that the sweeps of one step take away, velocities keep d = 1 - 1.4 sqrt(p) + 0.45 p of themselves in a
step, joint gaps close by b = 0.36 sqrt(p) + 0.55 p, and 6.6/sqrt(p) steps give a decimal digit
(measured against the engine's linearised step).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import ceil, sqrt

import numpy as np
import pymunk

from simlab.errors import SimlabFault
from simlab.frame.model import Name
from simlab.results import Floats, Forces, Outcome, Reading, Settings
from simlab.simulation.bars import Bar
from simlab.simulation.conditioning import Gaps, Hold
from simlab.simulation.contacts import Resting
from simlab.simulation.distortion import Distortion
from simlab.simulation.drawn import Pair
from simlab.simulation.stopping import is_settled, measured, scale_of
from simlab.simulation.world import World

STEP = 1.0  # [s]
HELD = 1e-10  # share of the largest force that a hold may carry: more, and the shape is no equilibrium
# Gravity that a frame can bear whose joints carry nothing yet, in shortest rods a step squared. It sags
# by about gravity / stiffness on its way to rest, 0.12 p being the stiffness of the slowest error in a
# unit step, and that must stay far below the frame's own height.
SAG = 0.02
STIFFNESS = 0.12
# Share of its stretch by which an elastic member may move a body that it pulls in one step: more than 1
# would be unstable, and the end of a rod moves four times as far as its centre.
SOFT = 1 / 16
SNAPPED = 1e-6  # [rad] after a run: a frame on its way to rest is far nearer to its drawn shape


class Settling:
    """One world with one choice of settings."""

    def __init__(self, gaps: Gaps, holds: tuple[Hold, ...], slowest: float, growth: Floats) -> None:
        self.drawn = drawn = gaps.drawn
        self.lengths = gaps.lengths
        self.slowest = slowest
        self.growth = growth
        self.world = World(drawn, drawn.gravity, gaps.masses, bars=False)
        self.contacts = {
            name: Resting(self.world, contact, gaps.ways[name])
            for name, contact in drawn.frame.contacts.items()
        }
        self.holds = {hold.name: self._bar(hold.body, hold.point, hold.direction) for hold in holds}
        self.distortion = Distortion(self.world)
        self.settings = Settings(STEP, 0, 1.0, 1.0, 0.0, 0, 0, pymunk.version)
        self.n_steps = self.runs = 0
        self.tests: Mapping[str, float] = {}
        self.forces: Forces[float] | None = None

    def tune(self, iterations: int, digits: int, stronger: float = 1.0) -> None:
        """Settings for so many sweeps a step, and the steps that give so many digits.

        Gravity may change between runs: the masses change with it, so that the weights stay, and the
        joints go on carrying them.
        """
        share = float(-np.expm1(iterations * np.log1p(-min(self.slowest, 1 - 1e-12))))  # p of one step
        root = sqrt(share)
        damping = 1 - 1.4 * root + 0.45 * share
        closing = 0.36 * root + 0.55 * share
        gravity = SAG * STIFFNESS * min(share * stronger, 1.0) * self.drawn.shortest
        gravity = min([gravity, *self._springy()])
        self.world.set_gravity(gravity)
        self.world.space.iterations = iterations
        self.world.space.damping = damping
        for joint in self.world.space.constraints:
            joint.error_bias = 1 - closing
        self.n_steps = ceil(digits * 6.6 / root)
        self.settings = replace(
            self.settings, iterations=iterations, damping=damping, bias=1 - closing, gravity=gravity
        )

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
        made = self.settings
        sweeps = made.sweeps + self.n_steps * made.iterations
        self.settings = replace(made, steps=made.steps + self.n_steps, sweeps=sweeps)
        self.runs += 1
        first = 2 * self.n_steps // 3
        self.steps(first)
        before = self._read()
        self.steps(self.n_steps - first)
        self.forces = self._read()
        pushes = [bar.push(STEP) for bar in self.holds.values()]
        self.tests = measured(self.world, STEP, before, self.forces, pushes, self._grown())

    def steps(self, n: int) -> None:
        """So many steps of the engine, with what the frame is loaded with."""
        world, space = self.world, self.world.space
        lifts = [(body, force) for body, anchor, force in world.lifts if anchor == (0.0, 0.0)]
        if len(lifts) < len(world.lifts) or world.applied or world.couples or world.known:
            for _ in range(n):
                world.step(STEP)
            return
        for _ in range(n):  # the same, less what there is not; nothing else costs as much as the engine
            for body, force in lifts:
                body.force = force
            space.step(STEP)

    def _read(self) -> Forces[float]:
        contacts = {name: contact.force(STEP) for name, contact in self.contacts.items()}
        return self.world.forces(STEP, contacts)

    @property
    def is_settled(self) -> bool:
        """Whether all four tests are passed."""
        return is_settled(self.tests)

    @property
    def is_astray(self) -> bool:
        """Whether it has left the drawn shape."""
        return self.distortion.angle > SNAPPED

    def _grown(self) -> float:
        """What is left over in the drawn shape, grown into a force [N]."""
        left = self.distortion.left_over(STEP)
        sizes = [(abs(x), abs(y), abs(m) / self.lengths[name]) for name, (x, y, m) in left.items()]
        return float(np.max(self.growth @ np.array(sizes).reshape(-1), initial=0.0))

    def reading(self) -> Reading:
        """The reading of a settled world; of a shape that only the holds keep up, none."""
        if self.forces is None:
            raise SimlabFault("a reading before the first run")
        held = {name: bar.thrust(STEP) for name, bar in self.holds.items()}
        scale = scale_of(self.world, self.forces)
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
