"""What the drawn shape says about a reading before a single step: is it decided, and how fast.

The rates of change of all joint gaps are J u, u the velocities (v_x, v_y, omega) of the engine's
bodies. With r the rank of J, r < rows means forces that rigid bodies cannot decide, and r < 3 n
leaves 3 n - r ways to move. The engine's solver sweeps over the joints (block Gauss-Seidel on
K = J M^-1 J^T); the share of an error that one sweep takes away at worst decides the settings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from simlab.frame.model import GROUND, Contact, Link, Name
from simlab.results import Floats
from simlab.simulation.contacts import Ways
from simlab.simulation.contacts import ways as contact_ways
from simlab.simulation.drawn import Drawn, Pair
from simlab.simulation.masses import Mass, carrier, home, knots
from simlab.simulation.strings import across, parts, stations
from simlab.simulation.sweeps import slowest

# A singular value below this share of the largest is zero: rounding leaves 1e-16, while a frame
# that is nearly a mechanism to this degree carries forces of 1e10 weights and could not be read.
ZERO = 1e-10
_DIGITS = 6  # to which candidates for holds are told apart, so that rounding never chooses


@dataclass(frozen=True)
class Hold:
    """A temporary light member from a point of a body to the ground, along a direction."""

    name: Name
    body: Name
    point: Pair  # drawn position [m]
    direction: Pair  # unit vector


class Gaps:
    """J of a frame in its drawn shape, in blocks: one block of rows for each joint of the engine.

    `ways` : along what each contact pushes; where none are given, its normal, and its tangent if it is
    rough. Turning is measured in lengths (omega times the body's own), so that all columns compare.
    """

    def __init__(self, drawn: Drawn, masses: Mapping[Name, Mass], ways: Ways | None = None) -> None:
        self.drawn = drawn
        self.masses = masses
        self.ways = contact_ways(drawn) if ways is None else ways
        self.lengths = {name: drawn.lengths.get(name, drawn.shortest) for name in masses}
        self.columns = {name: 3 * i for i, name in enumerate(self.masses)}
        self.blocks = [np.array(rows) for rows in self._blocks()]
        self._inverted: tuple[int, Floats | None] | None = None  # rows of joints, and the inverse of J

    @property
    def matrix(self) -> Floats:
        """J, shape (rows, 3 bodies)."""
        return np.vstack(self.blocks) if self.blocks else np.zeros((0, 3 * len(self.columns)))

    def row(self, terms: Sequence[tuple[Name, Pair, Pair]]) -> Floats:
        """The rate of sum of direction . (velocity of a body's point), terms (body, point, direction)."""
        row = np.zeros(3 * len(self.columns))
        for name, (x, y), (dx, dy) in terms:
            if name == GROUND:
                continue
            cx, cy = self.masses[name].centre
            i = self.columns[name]
            row[i : i + 3] += (dx, dy, ((x - cx) * dy - (y - cy) * dx) / self.lengths[name])
        return row

    def _blocks(self) -> Iterator[list[Floats]]:
        frame, points = self.drawn.frame, self.drawn.points
        for joint in frame.joints.values():
            held, point = carrier(frame, joint.name), points[joint.point]
            for body in joint.bodies:
                if body != held:
                    yield [
                        self.row([(body, point, way), (held, point, (-way[0], -way[1]))])
                        for way in ((1.0, 0.0), (0.0, 1.0))
                    ]
                    if joint.kind == "built-in":
                        turn = np.zeros(3 * len(self.columns))
                        turn[self.columns[body] + 2] = 1.0
                        yield [turn]
        for link in frame.links.values():
            if not link.is_given:
                yield from self._of_link(link)
        for contact in frame.contacts.values():
            yield from ([self.over(contact, way)] for way in self.ways[contact.name])

    def _of_link(self, link: Link) -> Iterator[list[Floats]]:
        """A row for each straight part of a light member, and one for each peg under it."""
        frame, points = self.drawn.frame, self.drawn.points
        along = parts(self.drawn, link)
        for ((a, p), (b, q)), (x, y) in zip(pairwise(stations(frame, link)), along, strict=True):
            yield [self.row([(b, points[q], (x, y)), (a, points[p], (-x, -y))])]
        turns = pairwise(along)
        for (knot, place), (before, after) in zip(knots(link).items(), turns, strict=True):
            x, y = across(before, after)
            point = points[place.point]
            yield [self.row([(knot, point, (x, y)), (home(frame, place), point, (-x, -y))])]

    def over(self, contact: Contact, way: Pair) -> Floats:
        """The rate at which what rests at a contact goes along a way over what it rests on, as a row."""
        frame, point = self.drawn.frame, self.drawn.points[contact.on.point]
        on, by = home(frame, contact.on), frame.under(contact)
        return self.row([(on, point, way), (by, point, (-way[0], -way[1]))])

    def freedom(self) -> tuple[int, Floats]:
        """States of self-stress (a number), and the motions left, columns of shape (3 bodies, k)."""
        if self._inverse() is not None:
            return 0, np.zeros((3 * len(self.columns), 0))
        matrix = self._with_turns()
        if matrix.size == 0:
            return 0, np.eye(3 * len(self.columns))
        _, sizes, ways = np.linalg.svd(matrix)
        rank = int(np.count_nonzero(sizes > ZERO * sizes[0])) if sizes[0] > 0 else 0
        return matrix.shape[0] - rank, ways[rank:].T

    def growth(self) -> Floats:
        """By how much an imbalance of a body can grow on its way into a force, shape (forces, 3 bodies).

        The forces on the bodies are J^T times those in the joints, so these are the entries of the
        inverse of J^T, without their signs: about span / rise in a flat frame, up to the square of the
        number of panels in a tower. Needs a frame that is decided, with its holds.
        """
        inverse = self._inverse()
        if inverse is None:  # nearly a mechanism, so that `freedom` looked twice
            inverse = np.linalg.inv(self._with_turns()).astype(np.float64)
        return np.abs(inverse.T)

    def _inverse(self) -> Floats | None:
        """That of J; None unless it has one, beyond doubt, and so neither self-stress nor motions."""
        if self._inverted is None or self._inverted[0] != len(self.blocks):
            self._inverted = len(self.blocks), _inverse(self._with_turns())
        return self._inverted[1]

    def _with_turns(self) -> Floats:
        """J, and a row for the turn of each pin."""
        return np.vstack([self.matrix, *self._turns_of_pins()])

    def _turns_of_pins(self) -> Iterator[Floats]:
        """A row for each pin that is a body of its own: a point cannot turn, so that is no motion left."""
        for pin in self.masses:
            if pin not in self.drawn.frame.bodies:
                turn = np.zeros(3 * len(self.columns))
                turn[self.columns[pin] + 2] = 1.0
                yield turn

    def holds(self, motions: Floats) -> tuple[Hold, ...]:
        """As many holds as there are motions left, each where what is still free moves most."""
        frame = self.drawn.frame
        candidates = [  # never a knot: its string would not have one tension, and no knot moves alone
            (name, point, way)
            for name in self.masses
            if name in frame.bodies or name in frame.joints
            for point in self._places(name)
            for way in ((1.0, 0.0), (0.0, 1.0))
        ]
        rates = np.array([self.row([candidate]) for candidate in candidates]) @ motions
        chosen = []
        for i in range(motions.shape[1]):
            sizes = np.round(np.linalg.norm(rates, axis=1), _DIGITS)
            best = int(np.argmax(sizes))
            way = rates[best] / np.linalg.norm(rates[best])
            rates = rates - np.outer(rates @ way, way)
            name, point, direction = candidates[best]
            chosen.append(Hold(f"hold {i + 1}", name, point, direction))
            self.blocks.append(np.array([self.row([candidates[best]])]))
        return tuple(chosen)

    def _places(self, name: Name) -> list[Pair]:
        centre = self.masses[name].centre
        outline = self.drawn.outlines.get(name, ())
        if name in self.drawn.radii:  # points of the rim: a wheel that turns moves nothing but them
            x, y = self.drawn.centres[name]
            outline = [(x + self.drawn.radii[name], y), (x, y + self.drawn.radii[name])]
        return [centre, *outline]

    def slowest(self, self_stress: int = 0) -> float:
        """The share of the slowest error that a sweep of the engine takes away.

        Rounded to two digits: eigenvalues differ in the last bits between BLAS kernels, and settings
        made from them must not. States of self-stress are no errors to a sweep: so many are left out.
        """
        inert = []
        for name, mass in self.masses.items():
            inert += [mass.inert, mass.inert, mass.inert * mass.gyration2 / self.lengths[name] ** 2]
        inertia = np.array(inert)
        light = np.divide(1.0, inertia, out=np.zeros_like(inertia), where=inertia > 0)  # a pin never turns
        matrix, inverse = self.matrix, self._inverse()
        stiff = (matrix * light) @ matrix.T
        sizes = [len(block) for block in self.blocks]
        loosened = None if inverse is None else _loosened(inverse, inertia, len(matrix))
        left = slowest(stiff, sizes, self_stress, loosened)
        return float(f"{min(max(left, 1e-12), 1.0):.1e}")


def _loosened(inverse: Floats, inertia: Floats, rows: int) -> Callable[[Floats], Floats]:
    """(J M^-1 J^T)^-1 as a function of a vector; inverse : of J with a row for the turn of each pin."""

    def loosened(vector: Floats) -> Floats:
        padded = np.zeros(len(inertia))
        padded[:rows] = vector
        found: Floats = (inverse.T @ (inertia * (inverse @ padded)))[:rows]
        return found

    return loosened


def _inverse(matrix: Floats) -> Floats | None:
    """The inverse of a matrix that has one: its least singular value is not zero, nor near it."""
    if matrix.shape[0] != matrix.shape[1]:
        return None
    try:
        inverse: Floats = np.linalg.inv(matrix).astype(np.float64)
    except np.linalg.LinAlgError:
        return None
    # Lengths of all entries together: no singular value is larger than these
    beyond_doubt = float(np.linalg.norm(matrix) * np.linalg.norm(inverse)) < 1 / ZERO
    return inverse if beyond_doubt else None
