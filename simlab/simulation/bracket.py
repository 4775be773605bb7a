"""A limit of friction tried in the simulation: just inside it the frame holds, just outside it moves.

The frame first stands for a few steps on contacts that bear any friction, so that its forces are there;
from then on every contact has its own coefficient, nothing is damped, and it is watched.
"""

from __future__ import annotations

from fractions import Fraction
from math import hypot

from simlab.errors import BadInput
from simlab.frame.model import Frame, Link, Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.bracket import Bracket, Outcome, Trial
from simlab.results.statics import Findings, Range, Root
from simlab.simulation.drawn import Drawn
from simlab.simulation.touching import PACE, Touching, untouchable

MARGINS = (Fraction(1, 1000), Fraction(1, 100))  # tried in turn until both trials are decided
STANDING = 5  # steps on contacts that bear any friction ...
STANDING_SWEEPS = 2000  # ... each solved as well as doubles can
SWEEPS = 200  # a step, from then on
WATCHED = (
    6.0  # units of time: a frame a thousandth out of balance then moves by some thousandths of its size
)
# Shares of the frame's size. A frame that holds goes by less than the overlap of its contacts, and one that
# is a thousandth out of balance passes the upper bound soon: what ends between the two is undecided.
STILL, MOVED = 1e-8, 2e-4
FIRST = 0.2  # of the distance moved: a contact that has gone less is no part of the way it gives way
WRONG = 1e-4  # of the weight: a string that pushes more than this has gone slack
SIDES = (("left", "right"), ("down", "up"))


def bracket(frame: Frame, found: Range, begins: bool, values: Values | None = None) -> Bracket:
    """Let a frame be just inside and just outside an end of a letter's range.

    begins : whether the end is the range's beginning
    Raises BadInput for an end that is not there, or at 0; for more letters to be found than that one; and
    for members and supports that have no real contacts.
    """
    root = found.low if begins else found.high
    if root is None or root.value == 0:
        raise BadInput(f"{frame.name}: nothing to try at this end of the range of {found.of}.")
    if frame.found != (found.of,):
        raise BadInput(f"{frame.name}: more letters are to be found than {found.of}.")
    for margin in MARGINS:
        inside, outside = (
            trial(frame, {**frame.shown, **(values or {}), found.of: _near(frame, root, margin * sense)})
            for sense in ((1, -1) if begins else (-1, 1))
        )
        tried = Bracket(found.of, root.value, begins, float(margin), inside, outside)
        if tried.verdict != "undecided":
            break
    return tried


def brackets(findings: Findings) -> tuple[Bracket, ...]:
    """Every end of every range that the simulation can try."""
    frame = findings.frame
    if untouchable(frame) or len(frame.found) != 1:
        return ()
    return tuple(
        bracket(frame, found, begins)
        for ranges in findings.ranges.values()
        for found in ranges
        if not found.is_one_value
        for begins, end, limits in (
            (True, found.low, found.limiting[0]),
            (False, found.high, found.limiting[1]),
        )
        # What the question alone forbids, the frame does not know of.
        if end is not None and end.value != 0 and not all("at its limit" in words for words in limits)
    )


def _near(frame: Frame, root: Root, share: Fraction) -> Quantity:
    value = root.middle * (1 + share)
    return Quantity.of(value, frame.symbols[root.of].shown.dim)


def trial(frame: Frame, values: Values) -> Trial:
    """Let a frame be, with real contacts, and see whether it holds.

    Raises BadInput for members and supports that have no real contacts.
    """
    touching = Touching(Drawn(frame, values))
    watch = _Watch(touching)
    dt = touching.step_length
    touching.space.iterations = STANDING_SWEEPS
    touching.stick(True)
    for _ in range(STANDING):
        touching.step()
    touching.space.iterations = SWEEPS
    touching.stick(False)
    moved = 0.0
    for _ in range(round(WATCHED * PACE)):
        touching.step()
        watch.let_go(dt)
        moved = watch.moved()
        if moved > MOVED:
            return watch.gave_way(moved)
    return Trial("holds" if moved < STILL else "undecided", "", "", moved)


class _Watch:
    """How far a frame has moved, and where it gave way."""

    def __init__(self, touching: Touching) -> None:
        self.touching = touching
        self.start = touching.points()
        self.size = touching.drawn.size
        self.total = sum(mass.inert for mass in touching.world.masses.values())
        self.slack: list[Name] = []

    def moved(self) -> float:
        now = self.touching.points()
        return (
            max(hypot(x - self.start[p][0], y - self.start[p][1]) for p, (x, y) in now.items()) / self.size
        )

    def let_go(self, dt: float) -> None:
        """Take away strings that push and struts that pull: they are bars to the engine."""
        world = self.touching.world
        for name, impulse in list(world.links.items()):
            if _acts_wrongly(self.touching.frame.links[name], impulse.read()[0] / dt, WRONG * self.total):
                world.cut(name)
                self.slack.append(name)

    def gave_way(self, moved: float) -> Trial:
        """The contact that slipped or lifted most; a member gone slack, if no contact did."""
        least = FIRST * moved * self.size
        found: list[tuple[float, Outcome, Name, str]] = []
        for name, contact in self.touching.frame.contacts.items():
            along, off = self.touching.gone(contact)
            nx, ny = self.touching.drawn.normals[name]
            side = 1.0 if along > 0 else -1.0
            found.append((abs(along), "slips", contact.on.point, _way(side * ny, -side * nx)))
            found.append((off, "lifts", contact.on.point, _way(nx, ny)))
        far, outcome, about, way = max(found, default=(0.0, "moves", "", ""))
        if far > least:
            return Trial(outcome, about, way, moved)
        if self.slack:
            return Trial("goes slack", self.slack[0], "", moved)
        return Trial("moves", "", "", moved)


def _acts_wrongly(link: Link, thrust: float, least: float) -> bool:
    return thrust > least if link.kind == "string" else link.kind == "strut" and thrust < -least


def _way(x: float, y: float) -> str:
    """A direction in words: "to the left", "down and to the right"."""
    across, upwards = SIDES
    parts = []
    if abs(y) > abs(x) / 4:
        parts.append(upwards[y > 0])
    if abs(x) > abs(y) / 4:
        parts.append(f"to the {across[x > 0]}")
    return " and ".join(parts)
