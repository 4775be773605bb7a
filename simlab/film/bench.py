"""The bench: a part of the frame on its own, where its forces and their arms are drawn one by one.

Everything is laid out once, with all that will be drawn; what comes later has its place kept free.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from simlab.film.placing import Spots, spots_of
from simlab.frame.model import Name
from simlab.pictures.alone import lay, rays_of, rings
from simlab.pictures.arcs import angle_arcs
from simlab.pictures.arm_lines import arm_marks
from simlab.pictures.attitudes import lies
from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.drawing import Drawing
from simlab.pictures.marks import Arrow, Label, Mark, Stroke
from simlab.pictures.obstacles import segments
from simlab.pictures.part_forces import arrow_marks, name_of, solved, turning_marks
from simlab.pictures.structure import structure
from simlab.pictures.view import fitted, points_of
from simlab.results.working import Equation, Letter, Term

NEAR = 1e-9  # of the part's size: feet of arms that are one
FOOT = 58.0  # [page units] at the foot, for what is said of the scale
RIM = 36.0  # [page units] around all, where the words of arms stand
SPARE = 34.0  # [page units] more around a part and its forces, where names and letters stand


class Bench:
    """A part in a rectangle of the page, with its forces before and after they are known.

    camera : that shows it; names : the arrow of each of its actions
    """

    def __init__(
        self,
        drawing: Drawing,
        equations: Sequence[Equation],
        rect: Rect,
        page: Page,
        letters: Mapping[Name, Letter] | None,
        per_newton: float,
    ) -> None:
        """`letters`: with their values, if all are known in the end."""
        self.drawing, self.part = drawing, drawing.part
        self.equations, self.rect, self.page = tuple(equations), rect, page
        self.letters = letters
        self.names = [name_of(drawing, i) for i in range(len(self.part.actions))]
        left, top, right, bottom = self.room = (rect[0], rect[1], rect[2], rect[3] - FOOT)
        inner = (left + RIM, top + RIM, right - RIM, bottom - RIM)
        self.camera = fitted(
            self.drawing.plan, inner, self._everything, per_newton, _seen(self.drawing.plan.bounds)
        )
        laid = lay(self.drawing, self.camera)
        self.pushed = {
            s.name for b, lie in zip(*laid, strict=True) if lie.attitude == "push" for s in b.shafts
        }
        self.forces: list[Mark] = [
            *turning_marks(self.drawing, self.camera.grain),
            *arrow_marks(self.drawing, *laid, self.camera),
        ]
        self.angles = list(angle_arcs(self.drawing.plan, self.camera.grain, rays_of(self.drawing, laid)))

    def _everything(self, camera: Camera) -> Iterator[Mark]:
        """All that the bench must have room for."""
        laid = lay(self.drawing, camera)
        forces = [*turning_marks(self.drawing, camera.grain), *arrow_marks(self.drawing, *laid, camera)]
        drawn = [*self.body(camera.grain), *forces]
        yield from drawn
        yield _around([*drawn, *self._to_scale(camera)], camera)
        angles = list(angle_arcs(self.drawing.plan, camera.grain, rays_of(self.drawing, laid)))
        for equation in self.equations:
            yield from arm_marks(self.drawing, equation, [*drawn, *angles], camera.grain)

    def body(self, grain: float, names: bool = False) -> list[Mark]:
        """The bare part."""
        return structure(self.drawing.plan, grain, names=names, centres=True)

    def _to_scale(self, camera: Camera) -> Iterator[Mark]:
        if self.letters is None:
            return
        grain = camera.grain
        turning = list(turning_marks(self.drawing, grain, self.letters))
        bundles = solved(self.drawing, self.letters, camera.per_newton, grain)
        bare = [*structure(self.drawing.plan, grain, names=False), *turning]
        yield from turning
        yield from arrow_marks(self.drawing, bundles, lies(bundles, segments(bare, camera), camera), camera)

    # laid out

    @cached_property
    def layouts(self) -> list[Layout]:
        """For each equation, its ring and arms, and where all words stand."""
        return [self._layout(equation) for equation in self.equations]

    def _layout(self, equation: Equation) -> Layout:
        grain = self.camera.grain
        drawn = [*self.body(grain, names=True), *self.angles, *self.forces]
        ring = list(rings(self.drawing, [equation], grain))
        arms: list[Mark] = [*arm_marks(self.drawing, equation, [*drawn, *ring], grain)]
        arms += self._components(equation)
        return Layout(ring, arms, *spots_of([*drawn, *ring, *arms], self.camera, self.page, self.room))

    def _components(self, equation: Equation) -> Iterator[Arrow]:
        """Of forces oblique to the direction that is resolved along, the parts along it."""
        if equation.way is None:
            return
        way = self.drawing.metres(equation.way)
        arrows = {mark.name: mark for mark in self.forces if isinstance(mark, Arrow)}
        for name in dict.fromkeys(name for term in equation.terms for name in self.names_of(term)):
            arrow = arrows.get(name)
            if arrow is None:
                continue
            tail, along = np.array(arrow.tail), np.array(arrow.vector)
            part = along @ way * way
            if np.hypot(*(along - part)) < NEAR * np.hypot(*along):
                continue
            start = tail + along - part if name in self.pushed else tail
            x, y, u, v = (float(n) for n in (*start, *part))
            yield Arrow(
                name=f"arm of {name}", role="component", tail=(x, y), vector=(u, v), measure="length"
            )

    @cached_property
    def after(self) -> After:
        """The forces as they came out, to scale."""
        forces = list(self._to_scale(self.camera))
        marks = [*self.body(self.camera.grain, names=True), *forces]
        return After(forces, *spots_of(marks, self.camera, self.page, self.room))

    @cached_property
    def point_names(self) -> list[Label]:
        """The names of the part's points."""
        every = self.body(self.camera.grain, names=True)
        return [mark for mark in every if isinstance(mark, Label) and mark.role == "name"]

    def names_of(self, term: Term) -> list[Name]:
        """The arrows of a term: its own, and none where it is not on the part."""
        return [
            self.names[i]
            for i, action in enumerate(self.part.actions)
            if action is term.action or action == term.action
        ]

    def arm_of(self, equation: Equation, term: Term, layout: Layout) -> Name | None:
        """The name of the arm of a term; one may serve two forces with one line of action."""
        drawn = {
            mark.name.removeprefix("arm of ") for mark in layout.arms if mark.name.startswith("arm of ")
        }
        own = [name for name in self.names_of(term) if name in drawn]
        if own or term.foot is None:
            return own[0] if own else None
        foot = self.drawing.metres(term.foot)
        for other in equation.terms:
            if (
                other.foot is not None
                and np.hypot(*(self.drawing.metres(other.foot) - foot)) < NEAR * self._size
            ):
                shared = [name for name in self.names_of(other) if name in drawn]
                if shared:
                    return shared[0]
        return None

    @property
    def _size(self) -> float:
        left, bottom, right, top = _seen(self.drawing.plan.bounds)
        return max(right - left, top - bottom)

    def grown(self, arrow: Arrow, share: float) -> Arrow:
        """An arrow on its way: from its point outwards."""
        x, y = arrow.vector
        tail = arrow.tail
        if arrow.name in self.pushed:
            tail = (tail[0] + (1 - share) * x, tail[1] + (1 - share) * y)
        return replace(arrow, tail=tail, vector=(share * x, share * y))


@dataclass(frozen=True)
class Layout:
    """What one equation adds to a bench, and where all words then stand."""

    ring: Sequence[Mark]
    arms: Sequence[Mark]
    spots: Spots
    leads: Mapping[Name, Stroke]  # the line to each label that stands far off


@dataclass(frozen=True)
class After:
    """The forces on a part to scale, and where their words and the names of points stand."""

    forces: Sequence[Mark]
    spots: Spots
    leads: Mapping[Name, Stroke]


def _around(marks: Sequence[Mark], camera: Camera) -> Stroke:
    """A line from corner to corner of the place of marks and of the words beside them."""
    points = np.concatenate([points_of(mark, camera) for mark in marks])
    corners = np.array([np.nanmin(points, axis=0) - SPARE, np.nanmax(points, axis=0) + SPARE])
    return Stroke(name="place", role="rule", space="page", points=corners)


def _seen(bounds: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    """The bounds of a part; of a single point, a metre around it."""
    left, bottom, right, top = bounds
    if right - left > 0 or top - bottom > 0:
        return bounds
    return (left - 0.5, bottom - 0.5, right + 0.5, top + 0.5)
