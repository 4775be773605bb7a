"""A shape that was found, tried in the simulation: let go nearby and damped, the frame comes to it or not.

Each found letter is moved by a few per cent of its range, where that is another pose of the same frame:
rods, bars and strings keep their lengths, feet stay on their floors. Where it would be another frame, the
frame starts in the very shape, and gravity is turned a little for a while to bring it out of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import cos, exp, hypot, sin
from typing import Literal

import numpy as np
import pymunk

from simlab.errors import BadInput
from simlab.frame.model import GROUND, Frame, Link, Name, Values
from simlab.frame.quantity import Quantity
from simlab.results import Floats
from simlab.results.bracket import Return
from simlab.results.statics import Findings, Statics
from simlab.simulation.drawn import Drawn
from simlab.simulation.touching import PACE, Touching, untouchable

Goal = Literal["returns", "leaves"]

AWAY = Fraction(1, 30)  # of a letter's range, or of its value where the range has no end
SAME = 1e-9  # of the frame's size: lengths this close are the same
SWEEPS = 200  # a step
DAMPING = exp(
    -2.0
)  # share of velocity kept in a unit of time: about what brings a pendulum soonest to rest
PATIENCE = 120.0  # units of time until it must have come to rest
LOOK = 1.0  # units of time between looks
ALLOWED = 1e-8  # of the frame's size, from the exact shape at the end;
TOUCHING = 1e-6  # ... where it rests on contacts, whose overlap the engine lets be up to 1e-7
TILT = 0.05  # [rad] gravity is turned ...
TILTED = 8  # ... for at most so many looks, or until the frame is this far,
FAR = 0.02  # in frame sizes
NEAR = 1e-4  # of its size: a frame that gravity, turned, moves less has no freedom to be tried
LEFT = 3.0  # times as far from the exact shape as it was let go: it has left
NUDGE = 1e-6  # of a letter, for its derivative
# Denominators of letters: as near as doubles, and roots of such fractions are soon taken.
SHORT = 10**8
ROUNDS = 4  # of Newton's rule for the letters that say the pose best


def returned(statics: Statics, asked: Frame, values: Values | None = None) -> Return | None:
    """Let a frame go near a shape that statics found, and see whether it comes to that shape.

    statics : the shape, with the letters found; asked : the frame with those letters still to be found
    None where its rest is not decided or friction has a part in it, where it cannot move, or where it has
    members or supports that the simulation has no real contacts for.
    """
    rest = statics.case.freedom.rest
    if not statics.found or rest not in ("stable", "unstable") or _is_open(asked) or untouchable(asked):
        return None
    given = {**asked.shown, **statics.values, **(values or {})}
    letters = {name: root.middle for name, root in statics.found.items()}
    exact = _Shape(asked, given, letters)
    goal: Goal = "returns" if rest == "stable" else "leaves"
    for away in (AWAY, -AWAY):
        start = exact.moved(away)
        if start is None or not _is_same_frame(exact.drawn, start.drawn):
            continue
        return _let_go(exact, start, goal)
    return _let_go(exact, None, goal)


def returns(findings: Findings) -> tuple[Return, ...]:
    """Every shape that the simulation can be let go near."""
    if findings.ranges:
        return ()
    each = (returned(shape, findings.frame) for shape in findings.shapes)
    return tuple(one for one in each if one is not None)


def _is_open(frame: Frame) -> bool:
    """Whether friction has a part in it, or the question does not say which surface bends at a contact.

    A flat floor whose slope changes with a letter to be found is some other surface: unlike a peg's.
    """
    for contact in frame.contacts.values():
        support = frame.supports.get(contact.by)
        is_flat = support is not None and ("floor" in support.kind or "wall" in support.kind)
        turns = any(name in part.names for part in contact.normal for name in frame.found)
        if contact.rough or (turns and is_flat):
            return True
    return False


class _Shape:
    """A frame with numbers for the letters to be found."""

    def __init__(self, frame: Frame, given: Values, letters: Mapping[Name, Fraction]) -> None:
        self.frame, self.given, self.letters = frame, given, letters
        self.drawn = self.at(letters)

    def at(self, letters: Mapping[Name, Fraction]) -> Drawn:
        near = {n: Fraction(value).limit_denominator(SHORT) for n, value in letters.items()}
        put = {n: Quantity.of(value, self.frame.symbols[n].shown.dim) for n, value in near.items()}
        return Drawn(self.frame, {**self.given, **put})

    def moved(self, away: Fraction) -> _Shape | None:
        """The frame with every letter moved; None where one would leave its range, or the shape is none."""
        letters = {}
        for name, value in self.letters.items():
            symbol = self.frame.symbols[name]
            low, high = (
                None if end is None else end.number(self.given) for end in (symbol.low, symbol.high)
            )
            span = float(value) if low is None or high is None else high - low
            letters[name] = value + Fraction(span) * away
            if not (low is None or low <= letters[name]) or not (high is None or letters[name] <= high):
                return None
        try:
            return _Shape(self.frame, self.given, letters)
        except BadInput:
            return None

    def numbers(self) -> dict[Name, float]:
        return {name: float(value) for name, value in self.letters.items()}


def _is_same_frame(one: Drawn, other: Drawn) -> bool:
    """Whether two drawings are poses of one frame."""
    near = SAME * one.size
    frame = one.frame

    def length(drawn: Drawn, a: Name, b: Name) -> float:
        (ax, ay), (bx, by) = drawn.points[a], drawn.points[b]
        return hypot(bx - ax, by - ay)

    def arm(drawn: Drawn, body: Name, point: Name) -> float:
        """From the centre of gravity, which a letter may move too."""
        (cx, cy), (x, y) = drawn.centres[body], drawn.points[point]
        return hypot(x - cx, y - cy)

    pairs = [(a, b) for body in frame.bodies.values() for a in body.points for b in body.points if a < b]
    pairs += [(ln.ends[0].point, ln.ends[1].point) for ln in frame.links.values() if ln.natural is None]
    if any(abs(length(one, a, b) - length(other, a, b)) > near for a, b in pairs):
        return False
    if any(
        abs(arm(one, n, p) - arm(other, n, p)) > near
        for n, body in frame.bodies.items()
        for p in body.points
    ):
        return False
    fixed = {joint.point for joint in frame.joints.values() if GROUND in joint.bodies}
    fixed |= {p.point for link in frame.links.values() for p in link.places if p.body == GROUND}
    if any(
        hypot(one.points[p][0] - other.points[p][0], one.points[p][1] - other.points[p][1]) > near
        for p in fixed
    ):
        return False
    for name, contact in frame.contacts.items():
        (nx, ny), (px, py), (x, y) = (
            one.normals[name],
            one.points[contact.on.point],
            other.points[contact.on.point],
        )
        if contact.by in frame.bodies or contact.rough or other.normals[name] != one.normals[name]:
            return False
        if abs((x - px) * nx + (y - py) * ny) > near:
            return False
    numbers = [(d.weights, d.loads) for d in (one, other)]
    return numbers[0] == numbers[1]


class _Damped:
    """A frame in the engine that loses its speed as it moves."""

    def __init__(self, drawn: Drawn) -> None:
        self.touching = Touching(drawn)
        self.touching.space.iterations = SWEEPS
        _stretch(self.touching)
        self.kept = DAMPING ** (1 / PACE)

    def run(self, units: float) -> None:
        """Some units of time."""
        for _ in range(round(units * PACE)):
            self.touching.step()
            # Not by the engine's own damping, which would also weaken its springs.
            for body in self.touching.world.bodies.values():
                body.velocity *= self.kept
                body.angular_velocity *= self.kept

    def tilted(self, shape: Drawn) -> float:
        """Moved out of a shape by gravity that is turned a little for a while: how far, in frame sizes."""
        gravity = self.touching.drawn.gravity
        self.touching.space.gravity = gravity * sin(TILT), -gravity * cos(TILT)
        for _ in range(TILTED):
            self.run(LOOK)
            if self.touching.apart(shape) > FAR:
                break
        self.touching.space.gravity = 0.0, -gravity
        return self.touching.apart(shape)


def _let_go(exact: _Shape, start: _Shape | None, goal: Goal) -> Return | None:
    """The frame let go from a start; where there is none, from the shape itself, moved by tilting."""
    damped = _Damped(exact.drawn if start is None else start.drawn)
    touching = damped.touching
    allowed = TOUCHING if touching.frame.contacts else ALLOWED
    first = apart = touching.apart(exact.drawn) if start else damped.tilted(exact.drawn)
    if first < NEAR:
        return None
    outcome: Literal["returns", "leaves", "undecided"] = "undecided"
    for _ in range(round(PATIENCE / LOOK)):
        damped.run(LOOK)
        before, apart = apart, touching.apart(exact.drawn)
        if apart > LEFT * first:
            outcome = "leaves"
            break
        if apart < allowed and abs(before - apart) < allowed / 10:
            outcome = "returns"
            break
    released, rest = (start.numbers(), _letters(exact, touching)) if start else ({}, {})
    return Return(exact.numbers(), released, rest, first, apart, allowed, outcome, goal)


def _stretch(touching: Touching) -> None:
    """Springs for the elastic members, which are bars until then."""
    for name, link in touching.frame.links.items():
        if link.natural is not None and link.stiffness is not None:
            touching.world.cut(name)
            touching.space.add(_spring(touching, link))


def _spring(touching: Touching, link: Link) -> pymunk.DampedSpring:
    natural, stiffness = (touching.drawn.number(q) for q in (link.natural, link.stiffness) if q is not None)
    return pymunk.DampedSpring(*touching.world.ends(link), natural, stiffness, 0.0)


def _letters(exact: _Shape, touching: Touching) -> dict[Name, float]:
    """The letters whose shape is nearest to the present pose: least squares over all named points."""
    names = list(exact.letters)
    now = touching.points()
    at = [float(exact.letters[name]) for name in names]

    def misses(letters: Sequence[float]) -> Floats:
        drawn = exact.at({name: Fraction(value) for name, value in zip(names, letters, strict=True)})
        return np.array(
            [[x - drawn.points[p][0], y - drawn.points[p][1]] for (_, p), (x, y) in now.items()]
        ).ravel()

    for _ in range(ROUNDS):
        miss = misses(at)
        slopes = []
        for i in range(len(at)):
            nudged = [value + (NUDGE if j == i else 0.0) for j, value in enumerate(at)]
            slopes.append((misses(nudged) - miss) / NUDGE)
        step = np.linalg.lstsq(np.array(slopes).T, -miss, rcond=None)[0]
        at = [value + float(move) for value, move in zip(at, step, strict=True)]
    return dict(zip(names, at, strict=True))
