"""A part of a frame as it is drawn: its plan, its place, and the words beside its forces."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field, replace

import numpy as np

from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.pictures.cut import cut_out, role_of
from simlab.pictures.distances import given_distances
from simlab.pictures.given_loads import LONGEST_TEX, couple_words, load_words
from simlab.pictures.marks import Point, Points
from simlab.pictures.names import exact, weight_name
from simlab.pictures.plan import Plan
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.cutting import member_of, other_ends
from simlab.results.wording import figures, needs_unit, reads_well, scaled, unit_of
from simlab.results.working import Action, Part


@dataclass(frozen=True, eq=False)
class Drawing:
    """A part on its own: the plan of what is drawn of it, and that of the whole frame.

    `shift` [m]: how far from its place in the frame it is drawn.
    """

    part: Part
    plan: Plan
    whole: Plan
    conventions: Conventions = HOUSE
    shift: Point = (0.0, 0.0)
    known: dict[Quantity, float] = field(default_factory=dict, repr=False)
    roles: dict[tuple[Action, float, float], str] = field(default_factory=dict, repr=False)

    @classmethod
    def of(
        cls,
        frame: Frame,
        values: Values,
        part: Part,
        conventions: Conventions = HOUSE,
        *,
        with_ends: bool = False,
    ) -> Drawing:
        """A part cut out of its frame; `with_ends`, with the points to which given lengths lead from it."""
        whole = whole_plan(frame, values)
        ends = far_ends(whole, part) if with_ends else ()
        return cls(part, Plan.of(cut_out(frame, part, ends), values), whole, conventions)

    @property
    def far_ends(self) -> tuple[tuple[Points, Points], ...]:
        """From where oblique light members act to the points kept at their other ends, shape (2,) each."""
        found = []
        for action in self.part.actions:
            member = member_of(self.frame, self.part, action)
            kept = [p for p, joint in self.plan.frame.joints.items() if not joint.bodies]
            for end in other_ends(self.frame, member, action.point) if member else ():
                if end in kept and end not in self.part.pins:
                    found.append((self.place(action.at), self.plan.points[end]))
        return tuple(found)

    def moved(self, shift: Points) -> Drawing:
        """The part drawn elsewhere, carried along by a vector [m], shape (2,)."""
        plan, by = self.plan, np.asarray(shift)
        drawn = replace(
            plan,
            points={name: at + by for name, at in plan.points.items()},
            bodies={b: {name: at + by for name, at in points.items()} for b, points in plan.bodies.items()},
            centres={name: at + by for name, at in plan.centres.items()},
            outlines={name: at + by for name, at in plan.outlines.items()},
        )
        x, y = self.shift
        return replace(self, plan=drawn, shift=(x + float(by[0]), y + float(by[1])))

    @property
    def frame(self) -> Frame:
        """The whole frame."""
        return self.whole.frame

    def metres(self, vector: tuple[Quantity, Quantity]) -> Points:
        """A vector at the values, shape (2,)."""
        return np.array([self.number(part) for part in vector])

    def number(self, quantity: Quantity) -> float:
        """A quantity at the values; known ones are not worked out again."""
        if quantity not in self.known:
            self.known[quantity] = quantity.number(self.whole.values)
        return self.known[quantity]

    def role(self, action: Action, way: Points) -> str:
        """The role of an action's arrow along `way`."""
        which = (action, float(way[0]), float(way[1]))
        if which not in self.roles:
            self.roles[which] = role_of(self.frame, self.part, action, way, self.whole)
        return self.roles[which]

    def place(self, point: tuple[Quantity, Quantity]) -> Points:
        """Where a point of the part is drawn, shape (2,) [m]."""
        return np.asarray(self.metres(point) + self.shift)


def given_words(drawing: Drawing, action: Action) -> str:
    """What stands beside the arrow of a force that is given, or is a letter."""
    frame = drawing.frame
    if action.letter is not None:
        return exact(action.size)  # the letter, or what it is taken times: mu N at the limit of friction
    if isinstance(action.what, str) and action.what in frame.bodies:
        return weight_name(frame.bodies[action.what].weight, frame.gravity)
    if isinstance(action.what, str) and action.what in frame.loads:
        load = frame.loads[action.what]
        words = (
            couple_words(drawing.whole, load) if load.kind == "couple" else load_words(drawing.whole, load)
        )
        return words or in_short(drawing, action.size)
    return in_short(drawing, action.size)


def in_short(drawing: Drawing, value: Quantity) -> str:
    """The size of a force: exactly where that is short enough to stand beside an arrow, else in newtons."""
    number = drawing.number(value)
    size = -value if number < 0 else value
    in_figures = drawing.conventions.exact == "figures"
    if size.names and len(size.tex) <= LONGEST_TEX and not in_figures:
        unit = unit_of(size) if needs_unit(size, drawing.whole.values) else ""
        return exact(size, display="\\frac" in size.tex) + unit
    factor, unit = scaled(size, abs(number))
    if not size.names and reads_well(size) and size.decimal is not None and factor == 1:
        return f"{size.decimal}{unit}"
    return f"{figures(abs(number) / factor, drawing.conventions.figures_of(size.dim))}{unit}"


_PLANS: deque[tuple[Frame, Values, Plan]] = deque(maxlen=4)


def whole_plan(frame: Frame, values: Values) -> Plan:
    """The plan of a whole frame; the same for all its parts."""
    for known, at, plan in _PLANS:
        if known is frame and at == values:
            return plan
    _PLANS.append((frame, dict(values), Plan.of(frame, values)))
    return _PLANS[-1][2]


def far_ends(whole: Plan, part: Part) -> tuple[Name, ...]:
    """The far ends of oblique light members to which the question gives a distance from the part."""
    frame = whole.frame
    own = {point for body in part.bodies for point in frame.bodies[body].points}
    measured = [set(distance.points) for distance in given_distances(whole)]
    found = []
    for action in part.actions:
        member = member_of(frame, part, action)
        way = [abs(v.number(whole.values)) for v in action.way]
        for end in other_ends(frame, member, action.point) if member and min(way) > OBLIQUE else ():
            if end not in own and any(end in pair and pair & own for pair in measured):
                found.append(end)
    return tuple(dict.fromkeys(found))


OBLIQUE = 1e-6  # sine and cosine of an oblique direction are at least that
