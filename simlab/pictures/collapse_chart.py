"""The chart of a collapse: paths, forces and energy by two roads, and how far the roads are apart.

The equations of motion are lines, the simulation dots on them. Everything is shown from a little before
the cut, at time 0, to the moment up to which the two are compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from simlab.errors import BadInput
from simlab.frame.model import Frame, Name, Values
from simlab.pictures.camera import SCREEN, Page
from simlab.pictures.chart import Curve, Panel, chart
from simlab.pictures.marks import Points
from simlab.pictures.names import point_name, prose
from simlab.pictures.picture import Picture
from simlab.pictures.plan import Plan
from simlab.pictures.scale import Scale
from simlab.pictures.telling import Run
from simlab.results.collapse import Collapse, Followed
from simlab.results.forces import Forces
from simlab.results.trace import Floats, Trace
from simlab.results.wording import as_asked, called, figures

BEFORE = 0.06  # of the time shown: at rest, before the cut
AFTER = 0.02  # of the time shown: beyond the end
DOTS = 25  # of the simulation, on each curve
NO_JUMP = 0.002  # of a force: smaller jumps cannot be seen
LEAST, MOST = 1e-7, 0.1  # of what is allowed: between these the scale of differences begins
SELDOM = 0.1  # of all moments: in so many the roads may be nearer than the scale shows
ABOVE = 30.0  # times what is allowed: room for the words at that line
ROLES = ("curve", "second curve", "third curve")
ROADS = {"line": "equations of motion", "dots": "simulation"}
ENERGIES = ("kinetic", "potential", "total")
FIXED_SPACE = "\u00a0"

Note = tuple[str, Points]
# Units from the largest: how many of SI's each is, and the least number of it that a class would write.
Ladder = tuple[tuple[str, float, float], ...]
LENGTHS: Ladder = (("m", 1.0, 1.0), ("cm", 0.01, 1.0), ("mm", 0.001, 0.0))
NEWTONS: Ladder = (("kN", 1000.0, 10.0), ("N", 1.0, 0.1), ("mN", 0.001, 0.0))
JOULES: Ladder = (("kJ", 1000.0, 10.0), ("J", 1.0, 0.1), ("mJ", 0.001, 0.0))

OF: dict[Followed, str] = {
    "paths": "of the frame's size for paths",
    "energy": "of weight × size for energy",
    "forces": "of the largest for forces",
}


def collapse_chart(
    frame: Frame,
    values: Values,
    roads: tuple[Trace, Trace],
    both: Collapse,
    before: Forces[float],
    *,
    page: Page = SCREEN,
    footnote: str = "",
) -> Picture:
    """The chart of two runs of one frame after its brace is taken away, and of their comparison.

    `roads` are the equations of motion and the simulation, as compared in `both`; `before` are the
    forces at rest, with the brace. Raises BadInput where the two could not be compared.
    """
    if not both.strays:
        raise BadInput(f"{frame.name}: there is nothing to draw. {both.advice}")
    panels = _Panels.of(Run.of(Plan.of(frame, values), roads, both, before))
    drawn = [panels.paths(), *panels.forces(), panels.energy(), panels.apart()]
    title = f"{frame.title}: {called(frame.brace)} is taken away at time 0"
    letters = [symbol.said(values[name]) for name, symbol in frame.symbols.items()]
    under = f"for {', '.join(letters)}" if letters else ""
    footnotes = [line for line in (_allowed(both), footnote) if line]
    return chart(title, drawn, page, under=under, footnotes=footnotes)


def _allowed(both: Collapse) -> str:
    """What is allowed, in words."""
    said = [f"{round(stray.allowed * 1e4)}/10{FIXED_SPACE}000 {OF[stray.respect]}" for stray in both.strays]
    return f"1 is what is allowed: {', '.join(said)}."


@dataclass(frozen=True, eq=False)
class _Panels:
    """The panels of a run, on one scale of time."""

    run: Run
    x: Scale

    @classmethod
    def of(cls, run: Run) -> _Panels:
        """From a little before the cut to a little after the last moment compared."""
        last = float(run.times[-1])
        return cls(run, Scale.between(-BEFORE * last, (1 + AFTER) * last, 0.0, last))

    def paths(self) -> Panel:
        """How far the point that moves farthest is from where it was."""
        point, line, dots = self.run.farthest()
        size, unit = _unit(float(line.max()), LENGTHS)
        curve = self._curve(point, "", 0, line / size, dots / size, 0.0)
        y = Scale.around(0.0, float(line.max()) / size)
        notes = [(f"{what}: {road}", curve.points) for what, road in ROADS.items()]
        return self._panel("paths", f"How far {point_name(point)} has moved / {unit}", [curve], y, notes)

    def forces(self) -> Iterator[Panel]:
        """The force that jumps most at the cut, and the largest other one; nothing where none is known."""
        keys = self.run.forces()
        if not keys:
            return
        frame = self.run.plan.frame
        size, unit = _unit(max(self.run.peak(key) for key in keys), NEWTONS)
        curves = []
        for i, key in enumerate(keys):
            line, dots = (self.run.size(road, key) / size for road in (0, 1))
            was = self.run.before_the_cut(key) / size
            jump = f"from {figures(was)} to {figures(float(line[0]))} {unit}".replace(" ", FIXED_SPACE)
            words = f"{prose(as_asked(frame, key), (), frame.points)}: {jump}"
            curves.append(self._curve(f"force {i}", words, i, line, dots, was))
        what = "two forces" if len(keys) > 1 else "a force"
        y = Scale.around(0.0, max(self.run.peak(key) for key in keys) / size)
        yield self._panel("forces", f"Size of {what} / {unit}: the jump at the cut", curves, y)

    def energy(self) -> Panel:
        """Kinetic, potential (from the drawn shape on) and total energy."""
        road, other = self.run.energies()
        size, unit = _unit(max(float(np.abs(kind).max()) for kind in road), JOULES)
        curves = [
            self._curve(words, words, i, line / size, dots / size, 0.0)
            for i, (words, line, dots) in enumerate(zip(ENERGIES, road, other, strict=True))
        ]
        y = Scale.around(float(np.min(road)) / size, float(np.max(road)) / size)
        return self._panel("energy", f"Energy, counted from the cut / {unit}", curves, y)

    def apart(self) -> Panel:
        """How far the roads are apart, as shares of what is allowed, and why it ends."""
        both = self.run.both
        shares = [stray.course / stray.allowed for stray in both.strays]
        known = np.concatenate([[ABOVE], *(share[np.isfinite(share)] for share in shares)])
        low = float(np.clip(np.quantile(known, SELDOM), LEAST, MOST))
        y = Scale.decades(low, float(known.max()))
        curves = [
            Curve(stray.respect, stray.respect, np.stack([both.times, _shown(share, y)], axis=1), role)
            for stray, share, role in zip(both.strays, shares, ROLES, strict=False)
        ]
        verdict = "agree" if both.agreement == "agree" else "differ"
        panel = self._panel("apart", f"How far line and dots are apart: they {verdict}", curves, y)
        return replace(
            panel, levels=[("the most that is allowed", 1.0)], moments=[(self._why(), both.until)]
        )

    def _why(self) -> str:
        """Up to when the two are compared, and why no longer."""
        both = self.run.both
        if both.end is None:
            return f"Compared up to {both.until:.2f} s"
        return prose(f"Up to {both.until:.2f} s: then {both.ended}", (), self.run.plan.frame.points)

    def _panel(
        self, name: Name, heading: str, curves: list[Curve], y: Scale, notes: Sequence[Note] = ()
    ) -> Panel:
        moments = [("", self.run.both.until)]
        return Panel(name, heading, "time / s", curves, self.x, y, moments=moments, notes=notes)

    def _curve(self, name: Name, words: str, i: int, line: Floats, dots: Floats, was: float) -> Curve:
        """A line by the equations of motion, level before the cut, and dots by the simulation."""
        times = self.run.times
        jumps = abs(float(line[0]) - was) > NO_JUMP * float(np.abs(line).max())
        lifted = np.full((1 if jumps else 0, 2), np.nan)
        level = np.array([[self.x.low, was], [0.0, was]])
        points = np.concatenate([level, lifted, np.stack([times, line], axis=1)])
        every = np.linspace(0, len(times) - 1, min(DOTS, len(times))).round().astype(int)
        dotted = np.stack([times[every], dots[every]], axis=1)
        return Curve(name, words, points, ROLES[i], dotted, (0.0, was, float(line[0])) if jumps else None)


def _shown(share: Floats, y: Scale) -> Floats:
    """A share within the scale: nothing where it is lower, the high end where it is higher, or infinite."""
    return np.asarray(np.where(share < y.low, np.nan, np.minimum(share, y.high)))


def _unit(largest: float, ladder: Ladder) -> tuple[float, str]:
    """The largest unit of which there is enough: how many of SI's it is, and its name."""
    return next((size, unit) for unit, size, least in ladder if largest >= least * size)
