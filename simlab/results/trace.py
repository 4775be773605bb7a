"""A run through time: what was where, and which forces acted."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isnan
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from simlab.frame.model import Frame, Name
from simlab.results.forces import Forces, Key, Reaction

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Event:
    """Something that happens at a time [s]: a cut, a contact, a string slack or taut, a strut fallen.

    A contact is "lifted" when it presses no more, and "off" when it has slid past the end of an edge.
    """

    time: float
    kind: Literal["cut", "contact", "slack", "taut", "fallen", "lifted", "off", "singular", "slip"]
    about: Name


@dataclass(frozen=True)
class Instant:
    """One moment of a run.

    time [s]; poses, shape (bodies, 3): x, y of the centre [m], turn from the drawn pose [rad],
    bodies in the frame's order; forces [N]; energy (kinetic, potential) [J]; `load` the share of
    every weight and load that is let on, 0 to 1; `absent` the members that are cut, slack or fallen;
    `pins` the places of pins on which no body turns [m].
    """

    time: float
    poses: Floats
    forces: Forces[float]
    energy: tuple[float, float]
    load: float
    absent: frozenset[Name]
    pins: Mapping[Name, tuple[float, float]] = field(default_factory=dict)


class Timeline(Protocol):
    """A finished Trace and a live Stage both answer it."""

    def instant(self, time: float) -> Instant:
        """The moment at `time` [s]."""


@dataclass(frozen=True)
class Trace:
    """A finished run, sampled at `time`, shape (times,) [s].

    poses (times, bodies, 3); velocities (times, bodies, 3), at the times of the poses;
    pins (times, free_pins, 2) [m], of the pins on which no body turns;
    forces (times, keys, 3): x, y [N], moment [N m], NaN where a reaction is absent;
    tensions (times, links) [N], tension positive, NaN where absent; points (times, keys, 2) [m];
    energy (times, 2): kinetic, potential [J]; load (times,): share of the weight let on;
    hash: SHA-256 of all arrays and names, equal for equal runs;
    open: members that are there, but whose force rigid bodies leave open at the start.
    """

    road: Literal["simulation", "motion"]
    values: Mapping[Name, float]
    time: Floats
    bodies: tuple[Name, ...]
    free_pins: tuple[Name, ...]
    keys: tuple[Key, ...]
    links: tuple[Name, ...]
    poses: Floats
    pins: Floats
    velocities: Floats
    forces: Floats
    points: Floats
    tensions: Floats
    energy: Floats
    load: Floats
    events: tuple[Event, ...]
    hash: str
    open: frozenset[Name] = frozenset()

    @classmethod
    def of(
        cls,
        road: Literal["simulation", "motion"],
        values: Mapping[Name, float],
        frame: Frame,
        keys: tuple[Key, ...],
        events: tuple[Event, ...],
        arrays: Mapping[str, Floats],
        left_open: frozenset[Name] = frozenset(),
    ) -> Trace:
        """A run of a frame, its hash taken over the arrays (by their names here) and all names."""
        bodies, links = tuple(frame.bodies), tuple(frame.links)
        digest = hashlib.sha256(repr((bodies, keys, links, values, events)).encode())
        for name in sorted(arrays):
            digest.update(name.encode() + arrays[name].tobytes())
        return cls(
            road=road,
            values=values,
            bodies=bodies,
            free_pins=frame.free_pins,
            keys=keys,
            links=links,
            events=events,
            hash=digest.hexdigest(),
            open=left_open,
            **arrays,
        )

    def gone(self, time: float) -> list[Name]:
        """Members that are cut or have fallen out at a time [s]; one that is slack is still there."""
        return [
            event.about for event in self.events if event.kind in ("cut", "fallen") and event.time <= time
        ]

    def instant(self, time: float) -> Instant:
        """The sample nearest to `time` [s], held at the ends."""
        i = int(np.clip(np.searchsorted(self.time, time), 0, len(self.time) - 1))
        if i > 0 and time - self.time[i - 1] < self.time[i] - time:
            i -= 1
        reactions = {}
        forces, points = self.forces[i].tolist(), self.points[i].tolist()
        for key, (x, y, moment), (px, py) in zip(self.keys, forces, points, strict=True):
            if not isnan(x):
                reactions[key] = Reaction((x, y), None if isnan(moment) else moment, (px, py))
        tensions = {
            name: t for name, t in zip(self.links, self.tensions[i].tolist(), strict=True) if not isnan(t)
        }
        gone = {
            e.about for e in self.events if e.time <= self.time[i] and e.kind in ("cut", "fallen", "slack")
        }
        absent = frozenset(self.links) - frozenset(tensions) - (self.open - gone)
        kinetic, potential = (float(e) for e in self.energy[i])
        return Instant(
            float(self.time[i]),
            self.poses[i],
            Forces(reactions, tensions),
            (kinetic, potential),
            float(self.load[i]),
            absent,
            {name: (float(x), float(y)) for name, (x, y) in zip(self.free_pins, self.pins[i], strict=True)},
        )
