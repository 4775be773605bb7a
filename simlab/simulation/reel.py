"""What is read of an engine world, as rows of numbers: cheap to take at every step, understood afterwards.

A row is the engine's own numbers and no more,

    x, y, angle and velocities of each body | words of each joint's impulse | the lengths that pymunk
    publishes | tension, energy and pulls of each member that is no single joint of the engine

and a `Script` says what stands where. One row is read as numbers, many as columns, by the same formulas.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, islice
from struct import Struct
from typing import TYPE_CHECKING, Any, Generic, NamedTuple

import numpy as np
import pymunk
from pymunk import batch

from simlab.frame.model import GROUND, Name, Place
from simlab.results import Floats
from simlab.simulation.columns import N, cos_sin
from simlab.simulation.drawn import Pair
from simlab.simulation.impulses import Impulse, Lengths
from simlab.simulation.masses import home

if TYPE_CHECKING:
    from simlab.simulation.world import World

_SPEEDS = batch.BodyFields.VELOCITY | batch.BodyFields.ANGULAR_VELOCITY
STATE = 6  # numbers of a body in a row
_STATES = batch.BodyFields.POSITION | batch.BodyFields.ANGLE | _SPEEDS


class State(Generic[N]):
    """Where an engine body is, its centre of mass and its turn [m, rad], and its velocities."""

    __slots__ = ("angle", "cos", "sin", "turning", "vx", "vy", "x", "y")

    x: N
    y: N
    angle: N
    vx: N
    vy: N
    turning: N

    def __init__(self, x: N, y: N, angle: N, vx: N, vy: N, turning: N) -> None:
        self.x, self.y, self.angle = x, y, angle
        self.vx, self.vy, self.turning = vx, vy, turning
        turn: tuple[N, N] = cos_sin(angle)
        self.cos: N = turn[0]
        self.sin: N = turn[1]

    def arm(self, at: Pair) -> tuple[N, N]:
        """From the centre of mass to a point given in the body's own coordinates [m]."""
        return self.cos * at[0] - self.sin * at[1], self.sin * at[0] + self.cos * at[1]

    def place(self, at: Pair) -> tuple[N, N]:
        """Where such a point is [m]."""
        dx, dy = self.arm(at)
        return self.x + dx, self.y + dy


class Member(NamedTuple, Generic[N]):
    """A member over pegs, or of known tension: tension [N], energy [J], forces on its places [N]."""

    tension: N
    energy: N
    pulls: list[tuple[N, N]]


class Moment(Generic[N]):
    """A world at one moment or many, understood.

    dt : the engine step [s]; states : of its bodies; impulses : of its joints, proved; nothing : a zero
    """

    def __init__(self, script: Script, dt: float, columns: Sequence[N]) -> None:
        self.script: Script = script
        self.world: World = script.world
        self.dt: float = dt
        take = iter(columns)
        self.states: dict[Name, State[N]] = {name: State(*islice(take, STATE)) for name in script.bodies}
        words = [tuple(islice(take, impulse.n_words)) for impulse in script.impulses]
        self.impulses: dict[Impulse, tuple[N, ...]] = {
            impulse: impulse.proved(held, next(take))
            for impulse, held in zip(script.impulses, words, strict=True)
        }
        self.members: dict[Name, Member[N]] = {
            name: Member(next(take), next(take), [(next(take), next(take)) for _ in range(n)])
            for name, n in script.places.items()
        }
        self.nothing: N = abs(0.0 * columns[0])

    def where(self, place: Place) -> tuple[N, N]:
        """The position of a place [m]."""
        name = home(self.world.frame, place)
        return self.states[name].place(self.world.local(name, place.point))

    def force(self, impulse: Impulse) -> tuple[N, ...]:
        """Of a joint in the last step [N], or [N m]."""
        return tuple(part / self.dt for part in self.impulses[impulse])

    def poses(self) -> list[tuple[N, N, N]]:
        """x, y of the centre of each of the frame's bodies [m] and its turn from the drawn pose [rad]."""
        centres: dict[Name, Pair] = self.world.centres
        found: list[tuple[N, N, N]] = []
        for name in centres:
            state: State[N] = self.states[name]
            x, y = state.place(centres[name])
            found.append((x, y, state.angle))
        return found


class Script:
    """What stands where in the rows of a world, as long as its joints stay.

    bodies : the ground and the engine's, in its own order (when one goes, the last takes its place);
    names : of the same; links, impulses : of members that are single joints, and of all single joints;
    places : how many each other member has; width : numbers in a row
    """

    def __init__(self, world: World, bars: Iterable[Impulse] = ()) -> None:
        """Of a world and, it may be, of the bars of contacts."""
        self.world = world
        self._buffer = batch.Buffer()
        self.names = {world.engine(name): name for name in (*world.bodies, GROUND)}
        named = {body.id: name for body, name in self.names.items()}
        batch.get_space_bodies(world.space, batch.BodyFields.BODY_ID, self._buffer)
        self.bodies = tuple(named[i] for i in memoryview(self._buffer.int_buf()).cast("P").tolist())
        self.links = dict(world.links)
        built_in = chain.from_iterable(world.built_in.values())
        self.impulses = (*world.pins.values(), *built_in, *self.links.values(), *bars)
        self._words = tuple(impulse.words for impulse in self.impulses)
        self._lengths = Lengths(impulse.joint for impulse in self.impulses)
        others = (*world.strings, *world.known)
        self.places = {name: len(world.frame.links[name].places) for name in others}
        told = len(self.impulses) + sum(2 + 2 * n for n in self.places.values())
        self._pack = Struct(f"{told}d").pack
        self.width = len(named) * STATE + sum(impulse.n_words for impulse in self.impulses) + told

    def row(self, dt: float) -> bytes:
        """The world as it is after a step of dt [s]."""
        lengths = self._lengths.read()
        told = self._pack(*lengths, *self._members(dt)) if self.places else self._pack(*lengths)
        return b"".join((_read(self.world.space, _STATES, self._buffer), *self._words, told))

    def _members(self, dt: float) -> Iterator[float]:
        for string in self.world.strings.values():
            yield from (string.tensions(dt)[0], 0.0, *chain.from_iterable(string.pulls(dt)))
        for member in self.world.known.values():
            yield from (member.tension(), member.energy(), *chain.from_iterable(member.pulls()))

    def speeds(self) -> bytes:
        """v_x, v_y [m/s] and angular velocity of each body."""
        return bytes(_read(self.world.space, _SPEEDS, self._buffer))

    def set_speeds(self, speeds: Floats) -> None:
        """Give the bodies such velocities, shape (bodies, 3)."""
        for name, (vx, vy, turning) in zip(self.bodies, speeds.tolist(), strict=True):
            if name != GROUND:
                self.world.bodies[name].velocity = vx, vy
                self.world.bodies[name].angular_velocity = turning


def _read(space: pymunk.Space, fields: batch.BodyFields, buffer: batch.Buffer) -> Any:
    """The engine's own memory of it, which the next reading overwrites."""
    buffer.clear()
    batch.get_space_bodies(space, fields, buffer)
    return buffer.float_buf()


def numbers(row: bytes) -> list[float]:
    """A row as numbers."""
    found: list[float] = memoryview(row).cast("d").tolist()  # type: ignore[assignment]
    return found


def columns(rows: Sequence[bytes]) -> list[Floats]:
    """Rows as columns, one for each number of a row."""
    table = np.frombuffer(b"".join(rows), dtype=np.float64).reshape(len(rows), -1)
    return list(np.ascontiguousarray(table.T))
