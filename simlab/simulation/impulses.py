"""Joint impulses as vectors, read from the engine's own memory, and every reading proved.

pymunk publishes only the length of a joint's impulse; Chipmunk, the engine below it, keeps the
vector. Where it keeps it is found by calibration: a body in a known state, three forces, both
orders of the two bodies; the place must be the only one that fits all six. Each later reading is
checked against the published length. (Recovering forces from the bodies' balance would merely
repeat statics, so that is never done.)
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from math import hypot
from typing import Any

import numpy as np
import pymunk
from pymunk import _chipmunk_cffi

from simlab.errors import SimlabFault
from simlab.simulation.columns import N, size

_published = _chipmunk_cffi.lib.cpConstraintGetImpulse
WORD = 8  # bytes of a double
# Words of Chipmunk's structs that a search may touch; beyond them is memory of somebody else.
_WORDS = {"PivotJoint": 29, "PinJoint": 27, "SlideJoint": 28, "GearJoint": 19}
_FORCES = ((3.7, -1.9), (-2.3, 4.1), (1.3, 2.9))  # [N] of no special direction, so that no zero fits
_FITS = 1e-8  # relative; the calibrated state is exact to 1e-12, other words differ in the first digit
_SAME_LENGTH = 5e-10  # of both together; vector and published length come from the same two words
_NOTHING = 1e-150  # [N s]; the engine squares the components, and the square of less is 0 to it


class Impulse:
    """A live view of one joint's impulse, in the signs of this module.

    words : where the engine keeps it

    PivotJoint: the vector (x, y) on body b from body a. PinJoint, SlideJoint: thrust
    (thrust positive). GearJoint: the moment on body b from body a, anticlockwise positive.
    """

    def __init__(self, joint: pymunk.Constraint) -> None:
        self.joint = joint
        self._told = joint._constraint
        self.kind = type(joint).__name__
        first, self.sign = calibrated(self.kind)
        self.n_words = 2 if self.kind == "PivotJoint" else 1
        self.words: memoryview = _memory(joint, first + self.n_words)[first:].data

    def read(self) -> tuple[float, float]:
        """The impulse of the last step [N s], proved; (value, 0) for a joint with a single component."""
        found = self.proved(self.words, _published(self._told))
        return found[0], found[1] if self.n_words == 2 else 0.0

    def proved(self, words: Sequence[N], published: N) -> tuple[N, ...]:
        """Words of the memory, at one moment or many, as impulses [N s] in the signs of this module.

        Raises SimlabFault if their length is not the one that pymunk publishes.
        """
        length = abs(words[0]) if self.n_words == 1 else size(words[0], words[1])
        wrong = abs(length - published) > _SAME_LENGTH * (length + published) + _NOTHING
        if wrong is not False and np.any(wrong):
            i = int(np.argmax(wrong))
            told, *held = np.reshape([published, *words], (self.n_words + 1, -1))[:, i].tolist()
            raise SimlabFault(
                f"pymunk {pymunk.version}: a {self.kind} publishes an impulse of {told!r}, "
                f"its memory holds {tuple(held)!r}"
            )
        sign = self.sign
        return (sign * words[0],) if self.n_words == 1 else (sign * words[0], sign * words[1])


class Lengths:
    """The lengths of joints' impulses [N s], as pymunk publishes them, read together.

    A joint's own `impulse` is this very call, with as much again for the property around it.
    """

    def __init__(self, joints: Iterable[pymunk.Constraint]) -> None:
        self._joints = tuple(joints)  # kept alive
        self._told = [joint._constraint for joint in self._joints]

    def read(self) -> Iterator[float]:
        """In the order of the joints."""
        return map(_published, self._told)


def _memory(joint: pymunk.Constraint, n_words: int) -> Any:
    """The first words of a joint's struct as a live array of doubles."""
    ffi = _chipmunk_cffi.ffi
    start = ffi.cast("char *", joint._constraint)
    return np.frombuffer(ffi.buffer(start, WORD * n_words), dtype=np.float64)


@cache
def calibrated(kind: str) -> tuple[int, float]:
    """The first word of a joint's impulse and the sign that turns it into this module's.

    Raises SimlabFault, naming the pymunk version, when no place or more than one fits.
    """
    trials = [_trial(kind, force, swapped) for force in _FORCES for swapped in (False, True)]
    found = [
        (word, sign)
        for word in range(_WORDS[kind])
        for sign in (1.0, -1.0)
        if all(_fits(memory, word, sign, wanted) for memory, wanted in trials)
    ]
    if len(found) != 1:
        raise SimlabFault(
            f"pymunk {pymunk.version}: the impulse of a {kind} fits {len(found)} places of its memory"
        )
    return found[0]


def _fits(memory: Any, word: int, sign: float, wanted: tuple[float, ...]) -> bool:
    held = memory[word : word + len(wanted)]
    return len(held) == len(wanted) and bool(
        np.allclose(sign * held, wanted, rtol=_FITS, atol=_FITS * max(map(abs, wanted)))
    )


def _trial(kind: str, force: tuple[float, float], swapped: bool) -> tuple[Any, tuple[float, ...]]:
    """One step of a body held at its centre, and what its joint must have done [N s]."""
    space = pymunk.Space()
    space.iterations = 50
    body = pymunk.Body(2.0, 3.0)
    body.position = (0.6, 0.8)
    space.add(body)
    a, b = (body, space.static_body) if swapped else (space.static_body, body)
    joint, wanted = _STATES[kind](a, b, body, force)
    joint.error_bias = 1.0  # no correction of lengths: the force alone decides
    space.add(joint)
    space.step(1.0)
    side = -1.0 if swapped and kind in ("PivotJoint", "GearJoint") else 1.0
    return _memory(joint, _WORDS[kind]).copy(), tuple(side * w for w in wanted)


State = tuple[pymunk.Constraint, tuple[float, ...]]


def _pivot(a: Any, b: Any, body: Any, force: tuple[float, float]) -> State:
    body.apply_force_at_world_point(force, body.position)
    return pymunk.PivotJoint(a, b, tuple(body.position)), (-force[0], -force[1])


def _pin(a: Any, b: Any, body: Any, force: tuple[float, float]) -> State:
    """A body at (0.6, 0.8) on a link to the origin: the thrust balances the pull along the link."""
    body.apply_force_at_world_point(force, body.position)
    return pymunk.PinJoint(a, b, (0, 0), (0, 0)), (-(0.6 * force[0] + 0.8 * force[1]),)


def _slide(a: Any, b: Any, body: Any, force: tuple[float, float]) -> State:
    """As the pin, pulled outwards and just past its full length, so that it is taut."""
    pull = hypot(*force)
    body.apply_force_at_world_point((0.6 * pull, 0.8 * pull), body.position)
    return pymunk.SlideJoint(a, b, (0, 0), (0, 0), 0.0, 1.0 - 1e-9), (-pull,)


def _gear(a: Any, b: Any, body: Any, force: tuple[float, float]) -> State:
    body.torque = force[0]
    return pymunk.GearJoint(a, b, 0.0, 1.0), (-force[0],)


_STATES: dict[str, Callable[[Any, Any, Any, tuple[float, float]], State]] = {
    "PivotJoint": _pivot,
    "PinJoint": _pin,
    "SlideJoint": _slide,
    "GearJoint": _gear,
}
