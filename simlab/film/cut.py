"""The moment of the cut, held: every force just before and just after, in the shape that has not moved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from simlab.film.chapter import Chapter, eased
from simlab.film.fall_set import FallSet, newtons
from simlab.film.stage_set import StageSet
from simlab.frame.model import Name
from simlab.frame.quantity import FORCE as FORCE_DIM
from simlab.pictures.arrows import force_arrows, role_of
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.cards import paragraph
from simlab.pictures.legend import SAMPLE, sample
from simlab.pictures.marks import Arrow, Mark, faded
from simlab.pictures.palette import CAPTION, SMALL
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.table import Table
from simlab.pictures.typeset import LEADING, setting
from simlab.results import Key
from simlab.results.wording import NOTHING, capital

BALANCE, JUMP, NO_STATICS = 3.5, 5.0, 4.5  # [s] that each sentence stands
FADE = 0.25  # [s] in which the brace goes
GAP = 30.0  # [page units] between what stands below one another
BESIDE = 14.0  # [page units] from a sample of an arrow to its words
LABELLED = 2  # arrows with numbers beside them; the others' stand in the table only
PLAIN = 16.0  # [page units]: a shorter arrow has no number
NUMBERS = 38.0  # [page units] type of the table


class AtTheCut(Chapter):
    """The forces jump at the cut, before anything has moved."""

    title = "The jump at the cut"
    pauses = True

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        self.set = FallSet(stage)
        brace = self.story.brace
        link = self.story.frame.links[self.story.frame.brace or ""]
        gone = "cut" if link.is_string else "taken away"
        self.lines = (
            (0.0, f"With {brace}, the forces balance"),
            (BALANCE, f"{capital(brace)} is {gone}. Nothing has moved yet, but the forces jump at once"),
            (
                BALANCE + JUMP,
                "Statics no longer applies: the forces no longer balance, and the rods speed up",
            ),
        )
        self.seconds = BALANCE + JUMP + NO_STATICS
        self.digits = self.story.conventions.figures_of(FORCE_DIM)
        self.panel = list(self._panel())

    def camera_at(self, time: float) -> Camera:
        return self.stage.beside

    @property
    def room(self) -> Rect:
        """Labels stay in the drawing's place."""
        return self.set.halves.room()

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan, brace = self.stage.plan, self.story.frame.brace or ""
        marks = supports(plan, camera.grain, self.stage.within(camera, self.set.halves.drawing))
        since = time - BALANCE
        if since < 0:
            marks += structure(plan, camera.grain, self.set.before)
            arrows = force_arrows(plan, None, camera, instant=self.set.before)
            return [*marks, *arrows, *self.stage.legend(arrows), *self.words(time)]
        there = eased(since / FADE)
        with_brace = structure(plan, camera.grain, self.set.before)
        without = structure(plan, camera.grain, self.set.after, removed=(brace,))
        left = {mark.name for mark in without}
        marks += without
        if there < 1:
            marks += faded([mark for mark in with_brace if mark.name not in left], 1 - there)
        shown = [jump for jump in self.set.told() if jump.after * camera.per_newton > PLAIN][:LABELLED]
        words: dict[Key | Name, str] = {j.key: self._sizes(j.before, j.after) for j in shown}
        after = force_arrows(plan, None, camera, instant=self.set.after, words=words)
        marks += [*self._earlier(camera), *faded(after, there), *self.stage.legend(after)]
        return [*marks, *faded(self.panel, there), *self.words(time)]

    def _earlier(self, camera: Camera) -> Iterator[Mark]:
        """The forces just before the cut that are others after it, dashed; the brace's own among them."""
        was = force_arrows(self.stage.plan, None, camera, instant=self.set.before)
        now = {
            mark.name: mark.vector
            for mark in force_arrows(self.stage.plan, None, camera, instant=self.set.after)
            if isinstance(mark, Arrow)
        }
        for arrow in was:
            if not isinstance(arrow, Arrow) or arrow.role == "weight":
                continue
            x, y = now.get(arrow.name, (0.0, 0.0))
            moved = camera.arrow((arrow.vector[0] - x, arrow.vector[1] - y))
            if max(map(abs, moved)) > 1:
                yield replace(arrow, name=f"{arrow.name} before", role="force before")

    # beside the frame

    def _panel(self) -> Iterator[Mark]:
        """What the arrows are, and the largest jumps in figures."""
        left, top, right, bottom = self.set.halves.beside
        head = paragraph("jump heading", "At the cut the forces jump", self.set.halves.beside, CAPTION)
        yield replace(head, bold=True)
        y = top + setting(head.text, head.size, right - left).height + GAP
        for role, words in (("force before", "just before"), (self._role_after(), "just after")):
            y += LEADING * SMALL / 2
            yield sample(f"sample of {words}", role, (left, y))
            at = (left + SAMPLE + BESIDE, y - 0.62 * SMALL, right, bottom)
            yield paragraph(f"words of {words}", words, at, SMALL)
            y += LEADING * SMALL / 2 + BESIDE
        brace, tension = self.set.brace
        rows = [(brace, self._sizes(abs(tension), 0.0))]
        rows += [(capital(jump.words), self._sizes(jump.before, jump.after)) for jump in self.set.told()]
        texts = [text for words, sizes in rows for text in (words, f"\u2003{sizes}")]
        table = Table([[text] for text in texts])
        yield from table.marks("jumps", (left, y + GAP, right, bottom), size=NUMBERS)

    def _role_after(self) -> str:
        """The kind of the largest jump that leaves an arrow."""
        forces, drawn = self.set.after.forces, self.stage.camera.per_newton
        left = [jump.key for jump in self.set.told() if jump.after * drawn > PLAIN]
        return role_of(self.stage.plan, left[0], forces) if left else "hinge force"

    def _sizes(self, before: float, after: float) -> str:
        least = NOTHING * max(before, after)
        return f"{newtons(before, self.digits, least)} → {newtons(after, self.digits, least)}"

    @property
    def telling(self) -> float:
        """When both can be seen."""
        return BALANCE + JUMP - 1

    def is_still(self, time: float) -> bool:
        return time < BALANCE or time > BALANCE + FADE
