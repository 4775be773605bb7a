"""Joins the results of two roads by their keys, and says whether they agree.

The balance of every body and pin is recomputed here from the frame itself, for both roads: a
reading, or a solution, that does not carry the drawn weights cannot pass.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, isnan

from simlab.frame.model import Frame, Name, Values, Vec
from simlab.frame.quantity import Quantity
from simlab.results import Comparison, Forces, Reading, Row, Statics, in_numbers, largest

# Largest difference allowed, as a share of the largest force in the frame (design, section 6). It
# implies one millionth of a component's own size wherever that exceeds a thousandth of the largest.
ALLOWED = 1e-9

# Two further values of each letter: a quarter of the way in from the ends of its range, or 10 % beside
# the value shown where it has no range. Each letter a little less than the one before, so that no
# two letters of equal range come out equal: at such values a mix-up of the two would not be seen.
INSIDE = Quantity.of(1) / Quantity.of(4)
BESIDE = Quantity.of(1) / Quantity.of(10)
APART = 5  # letters that are told apart: tenths, so that the values stay short decimals

_SAY_THE_SAME = {
    ("determined", "settled"),
    ("falls out", "settled"),
    ("falls out", "refused"),  # ... and a member too many elsewhere
    ("not determined", "refused"),
    ("slips", "settled"),  # on contacts that hold: the friction that it takes is the same
    ("slips", "refused"),
    ("cannot rest", "no equilibrium in this shape"),
    ("cannot rest", "refused"),  # it folds, and has a member too many elsewhere
}


def probes(frame: Frame) -> tuple[Values, Values, Values]:
    """The demonstration values and two fixed interior points of every letter's range."""
    low, high = dict(frame.shown), dict(frame.shown)
    one = Quantity.of(1)
    for i, (name, symbol) in enumerate(frame.symbols.items()):
        less = one - Quantity.of(i % APART) / Quantity.of(2 * APART)
        if symbol.low is not None and symbol.high is not None:
            step = (symbol.high - symbol.low) * INSIDE * less
            low[name], high[name] = symbol.low + step, symbol.high - step
        else:
            beside = BESIDE * less
            low[name], high[name] = symbol.shown * (one - beside), symbol.shown * (one + beside)
    return frame.shown, low, high


def compare(statics: Statics, reading: Reading) -> Comparison:
    """Compare exact statics with a settled simulation, at the values of the reading.

    Agreement needs: verdicts that say the same, the same keys, every component and tension within
    `ALLOWED` of the largest force, and every body and pin in balance on both roads.
    """
    if reading.verdict == "not simulated" or (reading.verdict == "refused" and _is_strained(statics.frame)):
        return Comparison(("statics", "simulation"), reading.values, (), "not comparable", reading.advice)
    if (statics.verdict, reading.verdict) not in _SAY_THE_SAME:
        return _differ(
            reading,
            f'Statics says "{statics.verdict}", the simulation "{reading.verdict}". {reading.advice}',
        )
    if reading.forces is None:
        return Comparison(("statics", "simulation"), reading.values, (), "not comparable", statics.advice)
    exact, simulated = statics.case.forces, reading.forces
    odd = exact.reactions.keys() ^ simulated.reactions.keys()
    if odd or exact.tensions.keys() != simulated.tensions.keys():
        missing = ", ".join(sorted(f"{key.at} on {key.on}" for key in odd))
        return _differ(reading, f"The roads do not know the same reactions: {missing}.")
    rows = tuple(_rows(statics.frame, exact, simulated, reading.values))
    if all(row.agrees for row in rows):
        return Comparison(("statics", "simulation"), reading.values, rows, "agree", statics.advice)
    worst = max(rows, key=lambda row: inf if isnan(row.difference) else row.difference)
    what = worst.what if isinstance(worst.what, str) else f"{worst.what.at}, on {worst.what.on}"
    return _differ(
        reading,
        f"The largest difference is at {what} ({worst.component}): {worst.left:.9g} and {worst.right:.9g}.",
        rows,
    )


def _is_strained(frame: Frame) -> bool:
    """Whether small strains decide something of the frame, which rigid rods leave open."""
    return any(link.stiffness is not None and not link.is_given for link in frame.links.values())


def _differ(reading: Reading, advice: str, rows: tuple[Row, ...] = ()) -> Comparison:
    return Comparison(("statics", "simulation"), reading.values, rows, "differ", advice)


def _rows(frame: Frame, exact: Forces[Quantity], simulated: Forces[float], values: Values) -> Iterator[Row]:
    numbers = in_numbers(exact, values)
    scale, size = largest(numbers), _size(frame, values)
    for key, reaction in exact.reactions.items():
        left, right = numbers.reactions[key], simulated.reactions[key]
        yield Row(key, "x", reaction.force[0], left.force[0], right.force[0], scale, ALLOWED)
        yield Row(key, "y", reaction.force[1], left.force[1], right.force[1], scale, ALLOWED)
        if left.moment is not None:
            moment = inf if right.moment is None else right.moment
            yield Row(key, "moment", reaction.moment, left.moment, moment, scale * size, ALLOWED)
    for name, tension in exact.tensions.items():
        left_tension, right_tension = numbers.tensions[name], simulated.tensions[name]
        yield Row(name, "tension", tension, left_tension, right_tension, scale, ALLOWED)
    ours, theirs = _Balance(frame, values, numbers, size), _Balance(frame, values, simulated, size)
    for name in ours.names:
        yield Row(name, "balance", None, ours.left_over(name), -theirs.left_over(name), scale, ALLOWED)


def _size(frame: Frame, values: Values) -> float:
    """The larger side of the box around all points [m]."""
    columns = ([point[axis].number(values) for point in frame.points.values()] for axis in (0, 1))
    return max(max(column) - min(column) for column in columns) or 1.0


class _Balance:
    """Forces and moments on each body and pin, added up from the frame and one road's forces."""

    def __init__(self, frame: Frame, values: Values, forces: Forces[float], size: float) -> None:
        self.frame = frame
        self.values = values
        self.forces = forces
        self.size = size
        pins = [joint.name for joint in frame.joints.values() if joint.kind == "pin"]
        self.names: tuple[Name, ...] = (*frame.bodies, *pins)

    def left_over(self, name: Name) -> float:
        """The largest of |sum F_x|, |sum F_y| and |sum M| / size: nothing, if the body rests [N]."""
        x = y = moment = 0.0
        centre = self._numbers(self._centre(name))
        for (px, py), (fx, fy), couple in self._on(name):
            x, y = x + fx, y + fy
            moment += (px - centre[0]) * fy - (py - centre[1]) * fx + couple
        return max(abs(x), abs(y), abs(moment) / self.size)

    def _on(self, name: Name) -> Iterator[tuple[tuple[float, float], tuple[float, float], float]]:
        """Point, force and couple of everything that acts on a body or pin."""
        for key, reaction in self.forces.reactions.items():
            if key.on == name:
                yield reaction.point, reaction.force, reaction.moment or 0.0
            elif key.by == name:  # what a pin does to a rod, the rod does back to the pin
                yield reaction.point, (-reaction.force[0], -reaction.force[1]), 0.0
        for load in self.frame.loads.values():
            if load.place.body == name:
                couple = 0.0 if load.couple is None else load.couple.number(self.values)
                yield self._numbers(self.frame.points[load.place.point]), self._numbers(load.force), couple
        if name in self.frame.bodies:
            weight = self.frame.bodies[name].weight.number(self.values)
            yield self._numbers(self._centre(name)), (0.0, -weight), 0.0

    def _centre(self, name: Name) -> Vec:
        if name in self.frame.bodies:
            return self.frame.bodies[name].centre
        return self.frame.points[self.frame.joints[name].point]

    def _numbers(self, vector: Vec) -> tuple[float, float]:
        return vector[0].number(self.values), vector[1].number(self.values)
