"""A run of the equations of motion, as a Trace."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import replace

import numpy as np
from scipy.integrate import solve_ivp

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values
from simlab.motion.ends import Ends
from simlab.motion.one_sided import leaving, of_leaving
from simlab.motion.reactions import Acting
from simlab.results.trace import Event, Floats, Trace

RATE = 600  # samples a second, as in the showing
LONGEST = 3.0  # [s]: later than that a chaotic frame cannot be predicted by anyone
TOLERANCE = 1e-12  # of the integration, relative, and absolute in frame sizes and radians
WINDOW = 30  # samples between two projections
LONGEST_STEP = 6 / RATE  # [s]: no event is leapt over that lasts longer

Progress = Callable[[float], None]  # told the share that is done, 0 to 1


def release(
    frame: Frame,
    values: Values | None = None,
    brace: Name | None = None,
    duration: float = LONGEST,
    progress: Progress | None = None,
) -> Trace:
    """The drawn frame at rest, its brace taken away at time 0, and what follows until it ends by rule.

    Raises BadInput when no brace is named, here or in the scene, and for what `System` does not know.

    >>> from simlab.frame.scene import read_scene
    >>> trace = release(read_scene("scenes/kite_lantern.toml"), duration=0.1)
    >>> trace.road, trace.events[0].about, len(trace.time)
    ('motion', 'spreader', 61)
    """
    brace = brace or frame.brace
    if brace is None:
        raise BadInput(f"{frame.name} names no brace to release. Add brace = ... to the scene.")
    return let_go(frame, values, (brace,), duration, progress)


def let_go(
    frame: Frame,
    values: Values | None = None,
    without: Collection[Name] = (),
    duration: float = LONGEST,
    progress: Progress | None = None,
) -> Trace:
    """The drawn frame let go from rest without some of its members.

    Sampled 600 times a second from time 0, the first instant, to the event that ends the run or to
    `duration`; where an event ends it, its moment is the last sample.
    """
    for name in without:
        if name not in frame.links:
            raise BadInput(f'"{name}" is no light member. There are: {", ".join(frame.links) or "none"}.')
    values = frame.shown if values is None else {**frame.shown, **values}
    system, gone = leaving(frame, values, without)
    run = _Run(Ends(system, gone), 0.0 if system.slipping else duration)  # a slip ends a run by rule
    events = [Event(0.0, "cut", name) for name in without]
    events += [of_leaving(frame, name, 0.0) for name in gone]
    events += [Event(0.0, "slip", name) for name in system.slipping]
    samples = list(run.samples(progress))
    events += [] if run.end is None else [run.end]
    return _trace(run, samples, tuple(events))


Sample = tuple[float, Floats, Floats]  # time, q, v


class _Run:
    """The integration, window by window; `end` is the event that ended it, if one did."""

    def __init__(self, ends: Ends, duration: float) -> None:
        self.ends, self.system, self.duration = ends, ends.system, duration
        self.end: Event | None = None
        self.absolute: Floats = TOLERANCE * np.tile([ends.size, ends.size, 1.0], 2 * len(self.system.start))

    def _split(self, y: Floats) -> tuple[Floats, Floats]:
        q, v = np.asarray(y).reshape(2, -1, 3)
        return q, v

    def _rate(self, _: float, y: Floats) -> Floats:
        a = self.system.solve(*self._split(y))[0]
        return np.concatenate([y[len(y) // 2 :], a.ravel()])

    def _margin(self) -> Callable[[float, Floats], float]:
        def margin(_: float, y: Floats) -> float:
            return self.ends.least(*self._split(y))[0]

        margin.terminal, margin.direction = True, -1.0  # type: ignore[attr-defined]
        return margin

    def samples(self, progress: Progress | None) -> Iterator[Sample]:
        """Every sample, up to the end."""
        q, v = self.system.projected(self.system.start, np.zeros_like(self.system.start))
        n = round(self.duration * RATE)
        yield 0.0, q, v
        for k in range(0, n, WINDOW):
            least, event = self.ends.least(q, v)
            if least < 0:
                self.end = replace(event, time=k / RATE)
                return
            last = min(k + WINDOW, n)
            done = solve_ivp(
                self._rate,
                (k / RATE, last / RATE),
                np.concatenate([q.ravel(), v.ravel()]),
                "DOP853",
                dense_output=True,
                events=self._margin(),
                rtol=TOLERANCE,
                atol=self.absolute,
                max_step=LONGEST_STEP,
            )
            reached = float(done.t[-1])
            for i in range(k + 1, last + 1):
                if i / RATE <= reached:
                    q, v = self.system.projected(*self._split(done.sol(i / RATE)))
                    yield i / RATE, q, v
            if done.status == 1:
                q, v = self.system.projected(*self._split(done.y[:, -1]))
                self.end = replace(self.ends.least(q, v)[1], time=reached)
                yield reached, q, v
                return
            q, v = self.system.projected(*self._split(done.y[:, -1]))
            if progress:
                progress(last / n)


def _trace(run: _Run, samples: list[Sample], events: tuple[Event, ...]) -> Trace:
    system, reactions = run.system, run.ends.reactions
    n = len(system.frame.bodies)
    pins = np.array([system.points.number[name] for name in system.frame.free_pins], dtype=np.intp)
    acting: list[Acting] = [reactions.at(q, v) for _, q, v in samples]
    arrays = {
        "time": np.array([time for time, _, _ in samples]),
        "poses": np.array([q[:n] for _, q, _ in samples]),
        "pins": np.array([q[pins, :2] for _, q, _ in samples]),
        "velocities": np.array([v[:n] for _, _, v in samples]),
        "forces": np.array([one.forces for one in acting]),
        "points": np.array([one.points for one in acting]),
        "tensions": np.array([one.tensions for one in acting]),
        "energy": np.array([system.energy(q, v) for _, q, v in samples]),
        "load": np.ones(len(samples)),
    }
    values = {name: value.number() for name, value in system.values.items()}
    return Trace.of("motion", values, system.frame, reactions.keys, events, arrays)
