"""The rehearsal: the run played once unseen, so that all of it has room and all arrows have one scale.

The same scene gives the same run, so what is found here is what the watcher will see. A brace taken away
before the frame has come to rest, or a hand, makes another fall; the camera then makes more room.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from simlab.pictures.camera import Bounds
from simlab.pictures.plan import Plan
from simlab.results import Instant
from simlab.simulation.stage import RATE, Stage
from simlab.window.run import RESTING, is_still

FALLING = 5 * RATE // 2  # [steps] of the fall: by then it has reached about as far as it will
LOOK = RATE // 20  # [steps] between two looks


class Rehearsal:
    """What a run of a frame will need, on a stage of its own; nothing is played before it is asked for."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan

    @cached_property
    def _hung(self) -> tuple[Stage, Instant, Instant]:
        """A stage under full weight; the first moment of that, and the one when it has come to rest."""
        stage = Stage(self._plan.frame, self._plan.values)
        stage.share = 1.0
        stage.step()
        first = stage.now()
        stage.step(RESTING)
        return stage, first, stage.now()

    @property
    def rest(self) -> Instant:
        """The moment under full weight, or the first such moment of a frame that cannot rest."""
        stage, first, last = self._hung
        return last if is_still(last.energy[0], stage) else first

    @cached_property
    def fall(self) -> Fall:
        """How far the frame goes once its brace is gone; played when it is first asked for."""
        plan = self._plan
        stage, _, last = self._hung
        run = [self.rest, last]
        brace = plan.frame.brace
        if brace is not None and brace in stage.world.links:
            stage.cut(brace)
            for _ in range(FALLING // LOOK):
                stage.step(LOOK)
                run.append(stage.now())
        reaches = np.array([plan.swept(moment.poses[None]) for moment in run])
        left, bottom = reaches[:, :2].argmin(axis=0)
        right, top = reaches[:, 2:].argmax(axis=0)
        furthest = tuple(run[i] for i in sorted({int(left), int(bottom), int(right), int(top)}))
        return Fall(furthest, plan.swept(np.array([moment.poses for moment in run])))


@dataclass(frozen=True, eq=False)
class Fall:
    """How far a frame goes.

    furthest : the moments at which it reaches furthest to the left, down, to the right and up;
    bounds : left, bottom, right, top of all that it reaches [m]
    """

    furthest: tuple[Instant, ...]
    bounds: Bounds
