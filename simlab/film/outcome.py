"""How a working ends: the answer in a box, and the arrows redrawn to the one scale of the solution."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from simlab.film.board import Board
from simlab.film.chapter import eased
from simlab.film.onstage import OnStage, note
from simlab.film.placing import at_spots, between
from simlab.film.score import BOX, FADE, MORPH, Score
from simlab.film.told import SO, ToldWorking, result, spoken
from simlab.frame.model import Name
from simlab.notation.page import Formula
from simlab.pictures.camera import Rect
from simlab.pictures.isolated import NOT_TO_SCALE
from simlab.pictures.legend import legend
from simlab.pictures.marks import Arrow, Label, Mark, Stroke, faded
from simlab.pictures.palette import SMALL
from simlab.pictures.typeset import setting
from simlab.pictures.view import on_page

SIZE, SMALLEST = 56.0, 34.0  # [page units] of the answer's type
FIXED_SPACE = "\u00a0"
PAD = 26.0  # [page units] around the answer in its box
CROSS = 0.45  # share of the redrawing in which old words go, and new ones come


def answer_text(told: ToldWorking, points: Sequence[Name]) -> str:
    """What was asked, as an equation or a few words: "T = 13 W tan θ/4 = 45.5 N"."""
    line = result(told)
    if line is None:
        return ""
    said = spoken(line, points, lead=False).screen.removesuffix(".")
    if said.startswith(SO):
        return _large(said.removeprefix(SO))
    _, is_one, value = said.partition(" is ")
    finds = told.working.answer.finds or told.working.steps[-1].finds
    text = value if is_one else said
    if not is_one or len(finds) > 1:
        return text.replace(", at ", ",\nat ", 1)
    return _large(f"${told.working.letters[finds[0]].symbol.tex}$ = {text}")


def _large(text: str) -> str:
    """An equation with its fractions at full size, broken before its signs if anywhere."""
    text = text.replace(" = ", f" ={FIXED_SPACE}")
    return text.replace("$", "$$") if "\\frac" in text else text


class AnswerBox:
    """The answer, from the top of a rectangle of the page, and a box that is drawn around it."""

    def __init__(self, text: str, rect: Rect) -> None:
        left, top, right, bottom = rect
        width = right - left - 2 * PAD
        size = SIZE
        while size > SMALLEST and (
            setting(text, size, width).height > bottom - top - 2 * PAD
            or setting(text, size, width).width > width
        ):
            size -= 1
        box = setting(text, size, width).box
        at = (left + PAD, top + PAD - box[1])
        self.label = Label(
            name="answer", role="text", space="page", anchor=at, text=text, size=size, width=width
        )
        x1, y1 = at[0] + box[2] + PAD, at[1] + box[3] + PAD
        self.corners = np.array([[left, top], [x1, top], [x1, y1], [left, y1], [left, top]])

    def draw(self, since: float) -> Iterator[Mark]:
        """The answer and as much of its box as is drawn, some seconds after it began."""
        if since < 0:
            return
        yield replace(self.label, opacity=eased(since / FADE))
        share = eased((since - FADE) / BOX)
        if share > 0:
            yield Stroke(
                name="answer box", role="answer box", space="page", points=_part_of(self.corners, share)
            )


def _part_of(points: np.ndarray, share: float) -> np.ndarray:
    """The first part of a line through points, a share of its length."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    end = share * along[-1]
    kept = points[along < end]
    last = np.array([np.interp(end, along, points[:, 0]), np.interp(end, along, points[:, 1])])
    return np.concatenate([kept, last[None]])


class Outcome:
    """The last chapter's drawing and board."""

    def __init__(
        self, stage: OnStage, told: ToldWorking, score: Score, rect: Rect, points: Sequence[Name]
    ) -> None:
        self.stage, self.score, self.bench = stage, score, stage.bench
        formulas = [part for part in told.answer if isinstance(part, Formula)]
        left, top, right, bottom = rect
        self.lines = Board("answer line", formulas, rect, score.written) if formulas else None
        if self.lines is not None:
            top += _height(self.lines)
        text = answer_text(told, points)
        self.box = AnswerBox(text, (left, top, right, bottom)) if text else None

    def board(self, time: float) -> list[Mark]:
        """The lines of the answer, and the answer in its box."""
        marks = list(self.lines.draw(time)) if self.lines is not None else []
        return marks + (list(self.box.draw(time - self.score.boxed)) if self.box is not None else [])

    def drawing(self, time: float) -> list[Mark]:
        """The part with its forces, before and after they are to scale."""
        if time < self.score.to_scale:
            return list(self.stage.draw(time))
        share = eased((time - self.score.to_scale) / MORPH)
        apart = self.stage.apart.draw(self.stage.share(time))
        there = self.stage.there(time)
        return [*apart, *(faded(self._redrawn(share, time), there) if there > 0 else [])]

    def _redrawn(self, share: float, time: float) -> list[Mark]:
        """The arrows on their way from one length to their own."""
        layout, after, camera = (
            self.bench.layouts[self.stage.stay.layout],
            self.bench.after,
            self.bench.camera,
        )
        old = self.stage.arrows(time, layout.spots, layout)
        new = on_page(at_spots(after.forces, after.spots), camera)
        going, coming = 1 - eased(share / CROSS), eased((share - 1 + CROSS) / CROSS)
        ends = {mark.name: mark for mark in new if isinstance(mark, Arrow)}
        starts = {mark.name: mark for mark in old if isinstance(mark, Arrow)}
        same = {name for name, arrow in starts.items() if name in ends and ends[name].role == arrow.role}
        marks: list[Mark] = [_between(starts[name], ends[name], share) for name in same]
        gone = [replace(m, name=f"{m.name} before") for m in old if m.name not in same]
        marks += faded(gone, going)
        marks += faded([m for m in new if m.name not in same], coming)
        marks += faded(after.leads.values(), coming)
        spots = between(layout.spots, after.spots, share)
        marks += at_spots(self.bench.point_names, spots)
        marks += faded(on_page(at_spots(self.bench.angles, layout.spots), camera), going)
        return [*marks, *faded([note(self.bench, NOT_TO_SCALE)], going), *faded(self._scale(), coming)]

    def _scale(self) -> list[Mark]:
        """The scale bar, and what dashed arrows are."""
        left, _, right, bottom = self.bench.rect
        dashed = [mark for mark in self.bench.after.forces if mark.role == "hinge component"]
        spoken = self.stage.apart.stage.story.spoken
        return legend(dashed, self.bench.camera, (left + SMALL, 0.0, right, bottom - SMALL / 2), spoken)


def _height(lines: Board) -> float:
    """How far down lines of algebra reach [page units]."""
    places = lines.places[-1]
    bottom = max(y + lines.column.laid[i].box[3] for i, y in places.items())
    return bottom - lines.rect[1] + lines.column.size


def _between(start: Arrow, end: Arrow, share: float) -> Arrow:
    """An arrow on its way to another one, in page units."""
    (x, y), (u, v) = start.tail, start.vector
    (x1, y1), (u1, v1) = end.tail, end.vector
    tail = (x + share * (x1 - x), y + share * (y1 - y))
    return replace(end, tail=tail, vector=(u + share * (u1 - u), v + share * (v1 - v)))
