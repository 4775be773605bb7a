"""One body alone as it moves, with all forces on it to scale, and the force polygon beside it.

The view goes with the body and has one scale for every way it turns. Arrows have their tails where the
forces act; both pictures have one scale of forces, which changes only where it must.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from simlab.frame.model import Name
from simlab.pictures.acting import Acting, acting, hung_at, is_open
from simlab.pictures.arrows import LEAST, arrow_name
from simlab.pictures.bodies import body_marks
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.force_polygon import (
    CLOSED,
    Words,
    by_name,
    extent,
    factor_for,
    left_over,
    polygon,
    room_in,
)
from simlab.pictures.hand import holding
from simlab.pictures.marks import Arrow, Label, Mark, Point, Ring
from simlab.pictures.moments import couples, moment_arc
from simlab.pictures.names import point_name
from simlab.pictures.palette import FORCE, NAME, SMALL
from simlab.pictures.plan import Plan
from simlab.pictures.structure import CLEARANCE, HINGE, is_named, sides_towards
from simlab.pictures.view import on_page
from simlab.pictures.weights import foot_of, hung
from simlab.results.hand import Hand
from simlab.results.trace import Instant

PART = 0.56  # of a wide rectangle that the body has; the rest is its polygon's
BULK = 0.3  # of the shorter side of its room: from the middle of the body to its farthest point
EDGE = 60.0  # [page units] of its room that arrows keep off
HEAD = 64.0  # [page units] above, for headings
HOME = 34.0  # [page units] from the top of a rectangle to the line of its heading
OPEN = "Its forces have no one value: no polygon can be drawn."
TOUCHED = "Parts have touched: only the weight is known."
GIVEN = ("weight", "load")  # roles of the forces that are known whatever touches what
BALANCE = "The polygon closes: the forces balance."
MOVES = "The gap is its mass × acceleration."
WITH_HUNG = "The gap: mass × acceleration, with what hangs at {}."
SETTLES = 0.01  # of the largest force: a gap that is less is none


class OneBody:
    """A body of a plan, looked at alone.

    factor : how many times the picture's one scale its forces are drawn
    """

    def __init__(self, body: Name) -> None:
        self.body = body
        self.factor: float | None = None

    def marks(
        self,
        plan: Plan,
        instant: Instant,
        rect: Rect,
        per_newton: float,
        *,
        hand: Hand | None = None,
        words: Words = by_name,
        touched: bool = False,
        spoken: Callable[[str], str] = str,
    ) -> list[Mark]:
        """The body with the forces on it and the force polygon, side by side in a rectangle of the page.

        per_newton : the picture's one scale [page units/N]; words : what stands beside each force of the
        polygon (on the body, only who exerts it); touched : whether parts have hit one another, which is
        among no forces that are known; spoken : puts a class's words for ours
        """
        forces = [one for one in acting(plan, instant, self.body, hand) if one.role in GIVEN or not touched]
        alone, beside = halves(rect)
        camera = _camera(plan, instant, self.body, alone)
        tails = [_drawn_at(plan, instant, one, camera.grain) for one in forces]
        sizes = (extent(forces), room_in(beside), *_reaches(forces, tails, camera, alone))
        self.factor = factor_for(sizes, per_newton, self.factor)
        camera = camera.with_forces(per_newton * self.factor)

        def said(one: Acting) -> str:
            return spoken(words(one))

        def told(one: Acting) -> str:
            return spoken(by_name(one))

        drawn = [*_body(plan, instant, self.body, camera), *_arrows(forces, tails, camera, told)]
        drawn += _turning(plan, instant, self.body, camera.grain)
        if hand is not None and hand.body == self.body:
            drawn += holding(hand, camera.grain)
        marks = on_page(drawn, camera)
        marks.append(_heading("heading of body", spoken(f"{_title(plan, self.body)} alone"), alone))
        if touched or is_open(plan, instant, self.body):
            why = TOUCHED if touched else OPEN
            return [*marks, _heading("heading of polygon", spoken(why), beside)]
        marks += polygon(forces, beside, per_newton, self.factor, said, sizes=words is not by_name)
        verdict = _verdict(plan, self.body, forces, camera.per_newton)
        return [*marks, _heading("heading of polygon", spoken(verdict), beside)]


def halves(rect: Rect) -> tuple[Rect, Rect]:
    """Room for a body and for its polygon: side by side, or one above the other where it is narrow."""
    left, top, right, bottom = rect
    if right - left >= bottom - top:
        middle = left + PART * (right - left)
        return (left, top, middle, bottom), (middle, top, right, bottom)
    middle = top + PART * (bottom - top)
    return (left, top, right, middle), (left, middle, right, bottom)


def _camera(plan: Plan, instant: Instant, body: Name, rect: Rect) -> Camera:
    outline = plan.outline(body, instant)
    focus = outline.mean(axis=0)
    reach = float(np.hypot(*(outline - focus).T).max())
    left, top, right, bottom = rect
    top += HEAD
    scale = BULK * min(right - left, bottom - top) / reach
    middle = ((left + right) / 2, (top + bottom) / 2)
    return Camera((float(focus[0]), float(focus[1])), middle, scale)


def _reaches(
    forces: Sequence[Acting], tails: Sequence[Point], camera: Camera, rect: Rect
) -> Iterator[Point]:
    """What each arrow needs [N], and the room from its tail to the edge that it goes to [page units]."""
    left, top, right, bottom = rect
    for one, tail in zip(forces, tails, strict=True):
        (x, y), (fx, fy) = camera.point(tail), one.force
        yield abs(fx), abs(fy)
        across = right - EDGE - x if fx > 0 else x - left - EDGE
        up = y - top - HEAD if fy > 0 else bottom - EDGE - y
        yield max(across, 1.0), max(up, 1.0)


def _body(plan: Plan, instant: Instant, body: Name, camera: Camera) -> Iterator[Mark]:
    """The body, its hinges, what hangs on it, the letters of its points."""
    grain = camera.grain
    yield from body_marks(plan, plan.frame.bodies[body], grain, instant)
    for load in plan.frame.loads.values():
        if load.kind == "weight" and load.place.body == body:
            yield from hung(plan, load, grain, instant)
    hinges = {j.point for j in plan.frame.joints.values() if j.kind == "pin" and body in j.bodies}
    middle = plan.outline(body, instant).mean(axis=0)
    poses = instant.poses
    for name, drawn in plan.bodies[body].items():
        at = plan.moved(body, drawn, poses)
        x, y = (float(v) for v in at)
        if name in hinges:
            yield Ring(name=f"hinge {name}", role="hinge", centre=(x, y), radius=HINGE * grain)
        if is_named(plan, name):
            yield Label(
                name=f"name {name}",
                role="name",
                anchor=(x, y),
                text=point_name(name),
                size=NAME,
                sides=sides_towards(at - middle),
                clearance=CLEARANCE,
            )


def _drawn_at(plan: Plan, instant: Instant, one: Acting, grain: float) -> Point:
    """Where an arrow begins [m]: that of a hung weight below its lantern, of others where they act."""
    for load in plan.frame.loads.values():
        if load.kind == "weight" and one.name == arrow_name(load.name):
            x, y = foot_of(plan, load, grain, instant)
            return float(x), float(y)
    return one.at


def _arrows(
    forces: Sequence[Acting], tails: Sequence[Point], camera: Camera, words: Words
) -> Iterator[Mark]:
    middle = np.array(camera.focus)
    for one, tail in zip(forces, tails, strict=True):
        if one.size * camera.per_newton < LEAST:
            continue
        yield Arrow(name=one.name, role=one.role, tail=tail, vector=one.force)
        text = words(one)
        if text:
            ahead = np.array(one.force) / one.size + (np.array(tail) - middle) * camera.scale / 200.0
            yield Label(
                name=f"words of {one.name}",
                role=one.role,
                anchor=tail,
                vector=one.force,
                text=text,
                size=FORCE,
                sides=sides_towards(ahead),
            )


def _turning(plan: Plan, instant: Instant, body: Name, grain: float) -> Iterator[Mark]:
    """What turns the body and is no force: couples on it, the moment of a wall that it is built into."""
    loads = [name for name, load in plan.frame.loads.items() if load.place.body == body]
    yield from couples(plan, grain, {}, instant, loads)
    for key, reaction in instant.forces.reactions.items():
        if key.on == body and reaction.moment:
            yield from moment_arc(f"moment at {key.at}", reaction.point, reaction.moment, grain)


def _verdict(plan: Plan, body: Name, forces: Sequence[Acting], per_newton: float) -> str:
    """What a polygon says: the forces balance, or what its gap is."""
    if not _has_gap(forces, per_newton):
        return BALANCE
    points = ", ".join(point_name(point) for point in hung_at(plan, body))
    return WITH_HUNG.format(points) if points else MOVES


def _has_gap(forces: Sequence[Acting], per_newton: float) -> bool:
    gap = float(np.hypot(*left_over(forces)))
    largest = max((one.size for one in forces), default=0.0)
    return gap * per_newton >= CLOSED and gap > SETTLES * largest


def _title(plan: Plan, body: Name) -> str:
    letters = all(letter in plan.points for letter in body)
    return f"${body}$" if letters else body.replace("_", " ").capitalize()


def _heading(name: str, text: str, rect: Rect) -> Label:
    left, top, right, _ = rect
    return Label(
        name=name,
        role="text",
        space="page",
        anchor=((left + right) / 2, top + HOME),
        text=text,
        size=SMALL,
        align="centre",
        width=right - left,
    )
