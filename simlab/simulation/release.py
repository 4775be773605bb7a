"""Runs of a stage, kept: a frame let on to its load, and a brace taken away."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values
from simlab.results import Floats, Forces, Key, Trace
from simlab.simulation.reel import columns
from simlab.simulation.seen import Seen, Sight
from simlab.simulation.stage import RATE, Stage

HANGING_RATE = 60  # samples a second of a hanging frame, which hardly moves

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
    """Samples of a stage: rows as they are, understood in the end."""

    def __init__(self, stage: Stage) -> None:
        self.stage = stage
        self.keys: tuple[Key, ...] = stage.keys
        self.open = stage.open
        self.rows: list[bytes] = []
        self.sights: dict[Sight, list[int]] = {}  # and the samples that are seen by each

    def keep(self) -> None:
        """The present moment."""
        view = self.stage.view
        self.sights.setdefault(view.sight, []).append(len(self.rows))
        self.rows.append(view.row(self.stage.time, self.stage.share))

    def trace(self) -> Trace:
        """Everything kept, and its hash."""
        stage = self.stage
        order = np.argsort(np.concatenate([np.array(which) for which in self.sights.values()]))
        stretches = [self._stretch(sight, which) for sight, which in self.sights.items()]
        arrays = {
            name: np.concatenate([stretch[name] for stretch in stretches])[order] for name in stretches[0]
        }
        values = {name: value.number() for name, value in stage.drawn.values.items()}
        still_open = frozenset(name for name in stage.frame.links if name in self.open)
        events = tuple(stage.events)
        return Trace.of("simulation", values, stage.frame, self.keys, events, arrays, still_open)

    def _stretch(self, sight: Sight, which: list[int]) -> dict[str, Floats]:
        """The arrays of the samples in which the same things are there."""
        seen, n = Seen(sight, columns([self.rows[i] for i in which])), len(which)
        forces = seen.forces()
        return {
            "time": seen.time,
            "load": seen.share,
            "poses": _table(seen.moment.poses(), n),
            "pins": np.array(list(seen.pins().values())).reshape(-1, 2, n).transpose(2, 0, 1),
            "velocities": _table(seen.velocities(), n),
            "energy": np.stack(seen.energy(), axis=-1),
            "tensions": self._tensions(forces, sight.absent, n),
            **self._reactions(forces, sight.absent, n),
        }

    def _tensions(self, forces: Forces[Floats], absent: frozenset[Name], n: int) -> Floats:
        found = np.full((n, len(self.stage.frame.links)), np.nan)
        for i, name in enumerate(self.stage.frame.links):
            if name in forces.tensions and name not in absent:
                found[:, i] = forces.tensions[name]
        return found

    def _reactions(self, forces: Forces[Floats], absent: frozenset[Name], n: int) -> dict[str, Floats]:
        sizes, points = np.full((n, len(self.keys), 3), np.nan), np.full((n, len(self.keys), 2), np.nan)
        for i, key in enumerate(self.keys):
            reaction = forces.reactions.get(key)
            if reaction is None or key.by in absent:
                continue
            sizes[:, i, :2] = np.transpose(reaction.force)
            points[:, i] = np.transpose(reaction.point)
            if reaction.moment is not None:
                sizes[:, i, 2] = reaction.moment
        return {"forces": sizes, "points": points}


def _table(bodies: list[tuple[Floats, Floats, Floats]], n: int) -> Floats:
    """Three numbers of each body, shape (n, bodies, 3)."""
    return np.array(bodies, dtype=np.float64).reshape(-1, 3, n).transpose(2, 0, 1)
