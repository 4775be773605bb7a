"""Runs of a stage, kept: a frame let on to its load, and a brace taken away."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values
from simlab.results import Forces, Key, Trace
from simlab.simulation.stage import RATE, Stage

HANGING_RATE = 60  # samples a second of a hanging frame, which hardly moves
NOTHING = float("nan")

Progress = Callable[[float], None]  # told the share that is done, 0 to 1


def hang(
    frame: Frame,
    values: Values | None = None,
    ramp: float = 4.0,
    rest: float = 2.0,
    progress: Progress | None = None,
) -> Trace:
    """Gravity let on from nothing to the whole in `ramp` seconds, then `rest` seconds at the whole.

    The forces are the engine's own at every moment. A frame that cannot rest, moves.

    >>> from simlab.frame.scene import read_scene
    >>> trace = hang(read_scene("scenes/gangway.toml"), ramp=0.5, rest=0.5)
    >>> [float(share) for share in trace.load[[0, -1]]]
    [0.0, 1.0]
    """
    stage = Stage(frame, values)
    recording = _Recording(stage)
    every = RATE // HANGING_RATE
    n = round((ramp + rest) * HANGING_RATE)
    recording.keep()
    for i in range(n):
        for _ in range(every):
            stage.share = min(stage.time / ramp, 1.0) if ramp > 0 else 1.0
            stage.step()
        recording.keep()
        if progress:
            progress((i + 1) / n)
    return recording.trace()


def release(
    frame: Frame,
    values: Values | None = None,
    duration: float = 6.0,
    before: float = 0.5,
    brace: Name | None = None,
    progress: Progress | None = None,
) -> Trace:
    """The settled frame for `before` seconds, its brace taken away, and what happens in `duration`.

    Sampled at every step, 600 a second. The sample at time 0 has the forces of the first instant after
    the cut, in the shape that has not moved yet; the one before it still has the brace.

    Raises BadInput when no brace is named, here or in the scene, and for a rod whose inertia the scene
    does not give.

    >>> from simlab.frame.scene import read_scene
    >>> trace = release(read_scene("scenes/kite_lantern.toml"), duration=0.1, before=0.0)
    >>> trace.events[0].kind, trace.events[0].about
    ('cut', 'spreader')
    """
    brace = brace or frame.brace
    if brace is None:
        raise BadInput(f"{frame.name} names no brace to release. Add brace = ... to the scene.")
    stage = Stage(frame, values)
    stage.rest_under_load()
    stage.time = -before
    stage.events.clear()
    recording = _Recording(stage)
    for _ in range(round(before * RATE)):
        recording.keep()
        stage.step()
    stage.time = 0.0  # exactly: the cut
    stage.cut(brace)
    n = round(duration * RATE)
    for i in range(n + 1):  # the first of them is the step of the cut, in which no time passes
        stage.step()
        recording.keep()
        if progress and i % RATE == 0:
            progress(i / n)
    return recording.trace()


class _Recording:
    """Samples of a stage, as arrays in the end."""

    def __init__(self, stage: Stage) -> None:
        self.stage = stage
        self.keys: tuple[Key, ...] = stage.keys
        self.open = stage.open
        self.samples: dict[str, list[object]] = {
            name: []
            for name in ("time", "poses", "velocities", "forces", "points", "tensions", "energy", "load")
        }

    def keep(self) -> None:
        """The present moment."""
        stage, forces, absent = self.stage, self.stage.forces(), self.stage.absent
        moment = {
            "time": stage.time,
            "poses": stage.world.poses(),
            "velocities": stage.velocities(),
            "tensions": [
                NOTHING if name in absent else forces.tensions.get(name, NOTHING)
                for name in stage.frame.links
            ],
            "energy": stage.energy(),
            "load": stage.share,
            **self._reactions(forces, absent),
        }
        for name, value in moment.items():
            self.samples[name].append(value)

    def _reactions(self, forces: Forces[float], absent: frozenset[Name]) -> dict[str, object]:
        rows, points = [], []
        for key in self.keys:
            reaction = forces.reactions.get(key)
            if reaction is None or key.by in absent:
                rows.append((NOTHING, NOTHING, NOTHING))
                points.append((NOTHING, NOTHING))
            else:
                rows.append((*reaction.force, NOTHING if reaction.moment is None else reaction.moment))
                points.append(reaction.point)
        return {"forces": rows, "points": points}

    def trace(self) -> Trace:
        """Everything kept, and its hash."""
        stage = self.stage
        arrays = {name: np.array(kept, dtype=np.float64) for name, kept in self.samples.items()}
        values = {name: value.number() for name, value in stage.drawn.values.items()}
        events, still_open = (
            tuple(stage.events),
            frozenset(name for name in stage.frame.links if name in self.open),
        )
        return Trace.of("simulation", values, stage.frame, self.keys, events, arrays, still_open)
