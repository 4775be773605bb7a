"""The arms of a moment equation: from the point ringed, square to the line of action of each force.

An arm that would lie along a rod or on another arm is drawn beside it, between the two lines that bound it:
that of the force, and the one parallel to it through the point.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from simlab.frame.model import Frame, Values
from simlab.pictures.alone import SQUARE as SQUARE_PAGE
from simlab.pictures.alone import drawing_of, drawn_clear, fit, lay, page_for, rays_of, remembered, rings
from simlab.pictures.arcs import angle_arcs
from simlab.pictures.camera import Camera, Page
from simlab.pictures.clearings import Clearings
from simlab.pictures.drawing import Drawing, in_short
from simlab.pictures.marks import Arrow, Label, Mark, Name, Points, Side, Stroke
from simlab.pictures.obstacles import Boxes, Segments, boxes_hit, segments
from simlab.pictures.palette import FORCE
from simlab.pictures.part_forces import arrow_marks, name_of, turning_marks
from simlab.pictures.picture import Picture
from simlab.pictures.seating import AIR
from simlab.pictures.structure import sides_towards, structure
from simlab.pictures.typeset import setting
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.part_words import arms_in_words
from simlab.results.wording import capital
from simlab.results.working import Equation

# Sizes [page units]
SHIFT = 30.0  # from one place for an arm to the next
PLACES = 15  # for an arm on one side
SQUARE = 15.0  # side of the small square at the foot of an arm
TICK = 9.0  # half length of the tick at the other end
BEYOND = 14.0  # of a line of action beyond the arm
SHORTEST = 6.0  # a shorter arm is not drawn
BESIDE = 38.0  # bare paper around the words between two arms, both sides together
# Costs, in samples that are not on bare paper
ONE_PLACE, ASIDE, ON_ARM, NO_WORDS = 0.7, 3.0, 60.0, 14.0
STATIONS = (0.5, 0.3, 0.7, 0.1, 0.9)  # shares of an arm at which its words may stand
CLEARANCE = 9.0  # [page units] from an arm to its words


def arms(
    frame: Frame,
    values: Values,
    equation: Equation,
    *,
    page: Page | None = None,
    description: str = "",
    conventions: Conventions = HOUSE,
) -> Picture:
    """The part of a moment equation with its forces, the point ringed, and every arm with its length."""
    drawing = drawing_of(frame, values, equation.part, conventions)
    page = page or max(page_for(drawing), SQUARE_PAGE, key=lambda p: p.width)  # words need room beside
    title = f"{capital(equation.part.words)}: moments about {equation.about}"
    words = description or conventions.spoken(arms_in_words(values, equation))
    marks = remembered(lambda camera: _marks(drawing, camera, equation))

    def draw(page: Page) -> tuple[Sequence[Mark], Camera]:
        camera = fit(drawing, page, marks)
        return marks(camera), camera

    return drawn_clear(page, draw, title, words)


def _marks(drawing: Drawing, camera: Camera, equation: Equation) -> Iterator[Mark]:
    grain = camera.grain
    laid = lay(drawing, camera)
    drawn = [
        *structure(drawing.plan, grain, centres=True),
        *angle_arcs(drawing.plan, grain, rays_of(drawing, laid)),
        *turning_marks(drawing, grain),
        *arrow_marks(drawing, *laid, camera),
        *rings(drawing, [equation], grain),
    ]
    yield from drawn
    yield from arm_marks(drawing, equation, drawn, grain)


@dataclass(frozen=True, eq=False)
class _Arm:
    """An arm from the point `start` to the `foot` on the line of action along `way` [m], and its words."""

    name: Name
    text: str
    start: Points
    foot: Points
    way: Points
    arrow: Arrow | None

    @property
    def long(self) -> float:
        """Its length [m]."""
        return float(np.hypot(*(self.foot - self.start)))

    @property
    def along(self) -> Points:
        """The unit vector from its start to its foot."""
        return np.asarray((self.foot - self.start) / self.long)

    def ends(self, shift: float) -> Points:
        """Its ends when it is drawn further along the line of action, shape (2, 2) [m]."""
        return np.array([self.start, self.foot]) + shift * self.way

    def room(self, grain: float) -> float:
        """The room that its words need beside it [m]."""
        x, y = np.abs(self.way)
        words = setting(self.text, FORCE)
        return float(x * words.width + y * words.height + BESIDE) * grain


def arm_marks(drawing: Drawing, equation: Equation, drawn: list[Mark], grain: float) -> Iterator[Mark]:
    """The arms of a moment equation among other marks, the shortest first and nearest."""
    arrows = {mark.name: mark for mark in drawn if isinstance(mark, Arrow)}
    found = sorted(_arms(drawing, equation, arrows, grain), key=lambda arm: arm.long)
    bare = [mark for mark in drawn if not (isinstance(mark, Label) and mark.role == "name")]
    clearings = Clearings(bare, grain)
    lines: list[Mark] = [stroke for arm in found for stroke in _bounds(arm, 0.0, grain)]
    laid: list[tuple[Points, float]] = []
    for arm in found:
        words = segments([*bare, *lines], clearings.camera)
        shift, sides = _best(arm, clearings, words, laid)
        laid.append((arm.ends(shift), arm.room(grain)))
        marks = list(_drawn(arm, shift, sides, grain))
        lines += marks
        yield from marks


def _arms(
    drawing: Drawing, equation: Equation, arrows: Mapping[Name, Arrow], grain: float
) -> Iterator[_Arm]:
    """One arm for each line of action that does not pass through the point."""
    names = {action: name_of(drawing, i) for i, action in enumerate(drawing.part.actions)}
    feet: list[Points] = []
    for term in equation.terms:
        if term.foot is None or equation.point is None or term.action.turning:
            continue
        start, foot = drawing.metres(equation.point), drawing.metres(term.foot)
        if any(np.hypot(*(foot - p)) < SHORTEST * grain for p in (start, *feet)):
            continue
        feet.append(foot)
        name = names.get(term.action, "")
        way = drawing.metres(term.action.way)
        yield _Arm(name, in_short(drawing, term.arm), start, foot, way, arrows.get(name))


def _best(
    arm: _Arm, clearings: Clearings, words: Segments, laid: list[tuple[Points, float]]
) -> tuple[float, tuple[Side, ...]]:
    """How far along the line of action an arm is best drawn from its true place [m], its words' side."""
    grain = clearings.grain
    best, least, sides = 0.0, np.inf, sides_towards(arm.way)
    near = arm.room(grain)
    for place in sorted(range(-PLACES, PLACES + 1), key=lambda place: (abs(place), place)):
        shift = place * SHIFT * grain
        cost = ONE_PLACE * abs(place) + (ASIDE if place else 0.0)
        if cost >= least:
            break
        cost += ON_ARM * sum(_meet(arm.ends(shift), other, max(near, room)) for other, room in laid)
        if cost >= least:
            continue
        cost += float(np.count_nonzero(~clearings.is_free(arm.ends(shift))[1:-1]))
        for outwards, way in enumerate((arm.way, -arm.way) if place >= 0 else (-arm.way, arm.way)):
            seats = _seats_for(arm, arm.ends(shift), way, clearings.camera)
            taken = boxes_hit(seats, words).any(axis=1)
            own = cost + outwards + (NO_WORDS if taken.all() else float(np.argmin(taken)))
            if own < least:
                best, least, sides = shift, own, sides_towards(way)
    return best, sides


def _seats_for(arm: _Arm, ends: Points, way: Points, camera: Camera) -> Boxes:
    """Boxes on the page in which the words of an arm could stand, on one side of it, shape (n, 4)."""
    words = setting(arm.text, FORCE)
    half = np.array([words.width / 2, words.height / 2])
    out = np.sign(np.round(way, 6)) * (1, -1)
    slant = np.sqrt(0.5) if out.all() else 1.0
    places = camera.to_page(ends[0] + np.array(STATIONS)[:, None] * (ends[1] - ends[0]))
    centres = places + out * (half + AIR + CLEARANCE * slant)
    return np.concatenate([centres - half - AIR, centres + half + AIR], axis=1)


def _meet(ends: Points, other: Points, near: float) -> bool:
    """Whether two arms run beside one another so near that their words would not fit between."""
    along = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
    way = (other[1] - other[0]) / np.hypot(*(other[1] - other[0]))
    if abs(along[0] * way[1] - along[1] * way[0]) > PARALLEL:
        return False
    across = np.array([-along[1], along[0]])
    x, y = (other - ends[0]) @ along, (other - ends[0]) @ across
    long = float(np.hypot(*(ends[1] - ends[0])))
    return bool(max(x) > 0 and min(x) < long and np.min(np.abs(y)) < near)


PARALLEL = 0.3  # sine of the angle between lines that are nearly parallel


def _drawn(arm: _Arm, shift: float, sides: tuple[Side, ...], grain: float) -> Iterator[Mark]:
    """An arm, the lines that bound it, the square at its foot, and its length."""
    ends = arm.ends(shift)
    yield Stroke(name=f"arm of {arm.name}", role="arm", points=ends)
    side = -1.0 if shift > 0 else 1.0  # the square lies towards the force
    if arm.arrow is not None and shift == 0:
        middle = np.array(arm.arrow.tail) + np.array(arm.arrow.vector) / 2
        side = 1.0 if (middle - arm.foot) @ arm.way >= 0 else -1.0
    corner = min(SQUARE * grain, arm.long / 2)
    a, b = -arm.along * corner, arm.way * side * corner
    yield Stroke(name=f"foot of {arm.name}", role="arm end", points=ends[1] + np.array([a, a + b, b]))
    tick = arm.way * TICK * grain
    yield Stroke(name=f"end of arm of {arm.name}", role="arm end", points=ends[0] + np.array([-tick, tick]))
    yield from _bounds(arm, shift, grain)
    x, y = ends[1] - ends[0]
    yield Label(
        name=f"arm {arm.name}",
        role="arm name",
        anchor=(float(ends[0, 0]), float(ends[0, 1])),
        vector=(float(x), float(y)),
        measure="length",
        stations=STATIONS,
        text=arm.text,
        size=FORCE,
        sides=sides,
        led=True,
        clearance=CLEARANCE,
    )


def _bounds(arm: _Arm, shift: float, grain: float) -> Iterator[Stroke]:
    """The line of action from the arrow to the arm, and the line parallel to it from the point."""
    reach = BEYOND * grain
    if shift:
        far = arm.start + (shift + np.sign(shift) * reach) * arm.way
        yield Stroke(name=f"line to {arm.name}", role="line of action", points=np.array([arm.start, far]))
    if arm.arrow is None:
        return
    tail = float((np.array(arm.arrow.tail) - arm.foot) @ arm.way)
    tip = tail + float(np.array(arm.arrow.vector) @ arm.way)
    low, high = min(tail, tip), max(tail, tip)
    if low - reach <= shift <= high + reach:
        return
    near, far = (high, shift + reach) if shift > high else (low, shift - reach)
    line = arm.foot + np.array([[near], [far]]) * arm.way
    yield Stroke(name=f"line of action of {arm.name}", role="line of action", points=line)
