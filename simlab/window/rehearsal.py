"""The rehearsal: the run played once unseen, so that all of it has room and all arrows have one scale.

The same scene gives the same run, so what is found here is what the watcher will see. A brace taken away
before the frame has come to rest makes another fall; the camera then makes more room as it goes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from simlab.pictures.camera import Bounds
from simlab.results import Instant
from simlab.simulation.stage import RATE, Stage
from simlab.window.player import Player
from simlab.window.run import RESTING, is_still

FALLING = 5 * RATE // 2  # [steps] of the fall: by then it has reached about as far as it will
LOOK = RATE // 20  # [steps] between two looks


@dataclass(frozen=True, eq=False)
class Rehearsal:
    """What a run will need.

    rest : the moment under full weight, or the first such moment of a frame that cannot rest;
    furthest : the moments at which the frame reaches furthest to the left, down, to the right and up;
    bounds : left, bottom, right, top of all that it reaches [m]
    """

    rest: Instant
    furthest: tuple[Instant, ...]
    bounds: Bounds

    @classmethod
    def of(cls, player: Player) -> Rehearsal:
        """Play a run of the player's frame, on a stage of its own."""
        stage, plan = Stage(player.frame, player.values), player.plan
        stage.share = 1.0
        stage.step()
        rest = stage.now()
        stage.step(RESTING)
        if is_still(stage.energy()[0], stage):
            rest = stage.now()
        run = [rest, stage.now()]
        if player.frame.brace in stage.world.members and player.frame.brace is not None:
            stage.cut(player.frame.brace)
            for _ in range(FALLING // LOOK):
                stage.step(LOOK)
                run.append(stage.now())
        reaches = np.array([plan.swept(moment.poses[None]) for moment in run])
        left, bottom = reaches[:, :2].argmin(axis=0)
        right, top = reaches[:, 2:].argmax(axis=0)
        furthest = tuple(run[i] for i in sorted({int(left), int(bottom), int(right), int(top)}))
        return cls(rest, furthest, plan.swept(np.array([moment.poses for moment in run])))
