"""The desk: where in the picture the parts, the equations and the whole frame have their places."""

from __future__ import annotations

from collections.abc import Sequence

from simlab.film.bench import Bench
from simlab.film.stage_set import StageSet
from simlab.film.told import ToldWorking
from simlab.pictures.alone import drawing_of
from simlab.pictures.camera import Rect
from simlab.pictures.cards import band
from simlab.pictures.isolated import scale_of
from simlab.results.working import Equation, Part

EDGE = 48.0  # [page units] from the edges of the page and of the caption band
SPLIT = 0.54  # of the page: drawing on the left, equations on the right; or above and below
GUTTER = 56.0  # [page units] between them
CORNER = (300.0, 190.0)  # [page units] width and height of the whole frame in the corner


class Desk:
    """Places on the page for one working, and a bench for each part that stays on it."""

    def __init__(self, stage: StageSet, told: ToldWorking) -> None:
        self.stage, self.told, self.page = stage, told, stage.page
        wide, low = stage.page.width, stage.page.height - band(stage.page) - EDGE / 2
        right, top, left = wide - EDGE, EDGE, wide * SPLIT + GUTTER / 2
        self.drawing: Rect = (EDGE / 2, EDGE / 2, wide * SPLIT - GUTTER / 2, low)
        if stage.page.is_tall:
            left, top = EDGE, low * SPLIT + GUTTER / 2
            self.drawing = (EDGE / 2, EDGE / 2, wide - EDGE / 2, low * SPLIT - GUTTER / 2)
        middle = top + CORNER[1]
        self.corner: Rect = (right - CORNER[0], top, right, middle)
        self.heading: Rect = (left, top, right - CORNER[0] - GUTTER / 2, middle)
        self.board: Rect = (left, middle + EDGE / 2, right, low - EDGE / 2)
        working = told.working
        self.values = {**stage.story.values, **told.values}
        scale = scale_of(self.values, working.parts, working.letters) if told.knows_all else 0.0
        self.per_newton = scale

    def bench(self, part: Part, equations: Sequence[Equation]) -> Bench:
        """A part, with room for all its forces and for the arms of some equations."""
        story = self.stage.story  # what is to be found is still a letter on the bench
        drawing = drawing_of(story.question, self.values, part, story.conventions)
        letters = self.told.working.letters if self.told.knows_all else None
        return Bench(drawing, equations, self.drawing, self.page, letters, self.per_newton)
