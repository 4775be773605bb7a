"""Why the brace is there: the vote, the motion that it prevents, its force found from that motion."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from math import inf

import numpy as np

from simlab.errors import SimlabFault
from simlab.film.board import Board, Written
from simlab.film.chapter import Chapter, Line, eased
from simlab.film.halves import Halves
from simlab.film.outcome import AnswerBox
from simlab.film.score import FADE, GROW, SOON, reading
from simlab.film.stage_set import StageSet
from simlab.film.told import Spoken, on_screen, spoken
from simlab.film.vote import vote
from simlab.frame.model import Name
from simlab.notation.page import Maths
from simlab.pictures.camera import Bounds, Camera
from simlab.pictures.cards import paragraph
from simlab.pictures.displaced import approach, falls, ghost
from simlab.pictures.legend import SAMPLE, sample
from simlab.pictures.marks import Mark, faded
from simlab.pictures.palette import CAPTION, SMALL
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.typeset import setting
from simlab.pictures.view import fitted

ASKED = 8.0  # [s] to think, and to vote
TURN = 1.8  # [s] in which the camera makes room
MOVE, SEEN = 3.2, 1.4  # [s] in which the frame moves, and a look at where it is then
GHOSTS = {0.0: 0.34, 0.5: 0.2}  # shares of the way at which the frame stays to be seen, and how strongly
BUSY = MOVE + 0.2  # [s] after a sentence begins, in which what it speaks of moves or is written
FAINT = 0.25  # opacity of arrows that are not spoken of
NOTE = 60.0  # [page units] below the drawing, for the note that it is drawn larger
LARGER = "how far: a length, no force; drawn much larger"
GAP, ROW = 14.0, 46.0  # [page units] from a sample of such an arrow to its words, their height
HEAD = 26.0  # [page units] below the words at the head of the board


class PushOrPull(Chapter):
    """Does the brace push or pull? In an edition without answers the chapter ends with the question."""

    title = "Push or pull?"
    pauses = True

    def __init__(self, stage: StageSet) -> None:
        super().__init__(stage)
        if self.story.prevented is None:
            raise SimlabFault("a film asked about a brace that prevents no motion alone")
        self.told = self.story.prevented
        self.link = self.story.frame.links[self.told.displacement.of]
        self.is_string = self.link.is_string
        self.halves = Halves.of(stage.page)
        self.near = self._near()
        self.vote = vote(self.is_string, self.halves.beside, self.story.spoken)
        self.heard: list[tuple[float, Spoken]] = []
        self.lit: list[tuple[float, float, int]] = []  # from when until when which term is spoken of
        self._say(self._question(), ASKED)
        self.board: Board | None = None
        self.grown = self.principle = inf  # [s] when arrows grow; when the work begins
        if stage.answers:
            self._tell()
        self.lines: list[Line] = [(begin, said.screen) for begin, said in self.heard]
        self.plain = {said.screen: said.plain for _, said in self.heard}

    def _near(self) -> Camera:
        """The frame in its half of the page, with room for all of the motion."""
        plan, told = self.stage.plan, self.told.displacement
        end = told.instant(self.story.frame, 1.0)
        left, top, right, bottom = self.halves.drawing

        def marks(camera: Camera) -> list[Mark]:
            drawn = supports(plan, camera.grain) + structure(plan, camera.grain)
            return [*drawn, *structure(plan, camera.grain, end), *self._arrows(camera, 1.0)]

        rect = (left, top, right, bottom - NOTE)
        return fitted(plan, rect, marks, self.stage.per_newton, plan.swept(told.poses))

    # what is said, and when

    def _say(self, said: Spoken | str, until: float | None = None) -> float:
        """Words for under the picture, for as long as they take to read; when they begin [s]."""
        words = Spoken(said, said) if isinstance(said, str) else said
        begin = self.seconds if self.heard else 0.0
        self.heard.append((begin, words))
        self.seconds = begin + reading(words) if until is None else until
        return begin

    def _question(self) -> str:
        brace = self.story.brace
        if self.is_string:
            return f"A {self.link.kind} can only pull. Does {brace} have to?"
        return f"Does {brace} push or pull?"

    def _tell(self) -> None:
        """The motion, then the equation term by term, and what it comes to."""
        told, step, points = self.told, self.told.step, self.story.frame.points
        moving = f"Without {self.story.brace} the frame could move like this"
        self._say(moving, ASKED + MOVE + SEEN)
        self.grown = self._say(self._sense())
        self.principle = self._say(spoken(step.reasons[-1], points))
        begin = self._say(self._let())
        terms = {0: begin + SOON}
        self.lit.append((begin, self.seconds, 0))
        for number, moved in enumerate(told.loads, start=1):
            start = self._say(spoken(moved.told, points))
            terms[number] = start + SOON
            self.lit.append((start, self.seconds, number))
        written = [Written(begin, terms)]
        for _ in step.formulas[1:]:
            written.append(Written(self._say(f"The small length {self._letters()[1]} drops out"), {}))
        self.result = self._say(spoken(told.answer, points))
        self.seconds += SOON
        if told.same:
            self._say("Balancing forces and moments gives exactly the same")
        self._lay(written)

    def _lay(self, written: list[Written]) -> None:
        """Words at the head of the board, the equations below, the answer in a box under them."""
        left, top, right, bottom = self.halves.beside
        change = f"({self.told.force}) × ({self.told.change})"
        words = self.story.spoken(f"{change}\n= sum of (weight) × (fall)")
        self.head = paragraph("principle", words, self.halves.beside, CAPTION)
        top += setting(words, self.head.size, right - left).height + HEAD
        self.board = Board("work", self.told.step.formulas, (left, top, right, bottom), written)
        last = self.board.places[-1]
        low = max(y + self.board.column.laid[i].box[3] for i, y in last.items()) + HEAD
        self.box = AnswerBox(self._answer(), (left, low, right, bottom))

    def _answer(self) -> str:
        """The force as an equation: its letter, the exact form, the number."""
        said = spoken(self.told.answer, self.story.frame.points, lead=False).screen.removesuffix(".")
        text = f"{self._letters()[0]} = {said.partition(' is ')[2]}"
        return text.replace("$", "$$") if "\\frac" in text else text

    def _letters(self) -> tuple[str, str]:
        """The letters of the force and of the small length, as they are typeset."""
        force, length = (piece for piece in self.told.step.formulas[0].left[:3] if isinstance(piece, Maths))
        return on_screen(force), on_screen(length)

    def _let(self) -> Spoken:
        force, length = self._letters()
        force_of = f"the {self.told.force} in {self.story.brace}"
        words = f"Let {{}} be {force_of}, and {{}} its small {self.told.change}"
        return Spoken(words.format(force, length), words.format(force.strip("$"), length.strip("$")))

    def _sense(self) -> str:
        """What the motion says of the brace."""
        brace = self.story.brace
        if self.told.pushes:
            return f"As the weights fall, its ends come together: {brace} has to push them apart"
        return f"As the weights fall, its ends move apart: {brace} has to pull them together"

    # pictures

    def camera_at(self, time: float) -> Camera:
        return self.stage.camera.towards(self.near, eased(time / TURN))

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        plan = self.stage.plan
        marks = supports(plan, camera.grain, self._ground(camera, time))
        marks += self._cards(time)
        share = eased((time - ASKED) / MOVE)
        if share <= 0:
            marks += structure(plan, camera.grain, marked=(self.link.name,))
            return marks + self.words(time)
        instant = self.told.displacement.instant(self.story.frame, share)
        for at, opacity in GHOSTS.items():
            if share > at:
                was = self.told.displacement.instant(self.story.frame, at)
                gone = (self.link.name,) if at else ()
                marks += ghost(plan, camera.grain, was, f"at {at}", opacity, gone)
        moved = structure(plan, camera.grain, instant, removed=(self.link.name,))
        marks += [*moved, *self._going(time, moved, camera)]
        if time >= self.grown:
            there = eased((time - self.grown) / GROW)
            marks += [*self._arrows(camera, there, time), *faded(self._key(), there)]
        if self.board is not None and time >= self.principle:
            marks += self._written(self.board, time)
        return marks + self.words(time)

    def _going(self, time: float, without: list[Mark], camera: Camera) -> list[Mark]:
        """The brace, while it fades."""
        left = 1 - eased((time - ASKED) / FADE)
        if left <= 0:
            return []
        names = {mark.name for mark in without}
        before = structure(self.stage.plan, camera.grain, marked=(self.link.name,))
        return faded([mark for mark in before if mark.name not in names], left)

    def _ground(self, camera: Camera, time: float) -> Bounds:
        """What floors and walls reach to [m]: all of the picture, and then the drawing's own half."""
        page, (left, top, right, bottom) = self.stage.page, self.halves.drawing
        share = eased(time / TURN)
        edges = (page.width + share * (right - page.width), page.height + share * (bottom - page.height))
        x0, y0, x1, y1 = self.stage.within(camera, (left, top, *edges))
        lowest = camera.to_frame(np.array([left, edges[1] - share * NOTE]))[1]  # words stand below it
        return (x0, max(y0, float(lowest)), x1, y1)

    def _cards(self, time: float) -> Iterator[Mark]:
        """The two answers; from when the motion has told it, the right one alone, until the work begins."""
        there = eased((time - TURN) / FADE)
        right = 0 if self.is_string or self.told.pushes else 1
        told, over = ((time - start) / FADE for start in (self.grown + SOON, self.principle))
        for card, gone in ((right, over), (1 - right, told)):
            if gone < 1:
                yield from faded(self.vote[card], there * (1 - eased(gone)))

    def _arrows(self, camera: Camera, opacity: float, time: float | None = None) -> list[Mark]:
        """How far everything has gone; what is not spoken of at a time, if something is, faint."""
        plan, grain = self.stage.plan, camera.grain
        instant = self.told.displacement.instant(self.story.frame, 1.0)
        letter = self._letters()[1].strip("$") if time is not None and self._is_spoken(time) > 0 else ""
        ends = approach(plan, grain, instant, self.link, letter)
        marks = faded(ends, self._strength((self.link.name,), time))
        for moved in self.told.loads:
            marks += faded(falls(plan, grain, instant, moved.loads), self._strength(moved.loads, time))
        return faded(marks, opacity)

    def _strength(self, loads: Collection[Name], time: float | None) -> float:
        """How strongly the ways of some loads, or of the brace's ends, are drawn at a time."""
        if time is None:
            return 1.0
        own = [
            _lit(begin, end, time)
            for begin, end, number in self.lit
            if loads == (self.told.loads[number - 1].loads if number else (self.link.name,))
        ]
        return 1 - (1 - FAINT) * max(0.0, self._is_spoken(time) - sum(own))

    def _is_spoken(self, time: float) -> float:
        """How far the ways are spoken of one by one at a time, 0 to 1."""
        if not self.lit:
            return 0.0
        return _lit(min(begin for begin, _, _ in self.lit), max(end for _, end, _ in self.lit), time)

    def _written(self, board: Board, time: float) -> Iterator[Mark]:
        """The board, and the answer in its box."""
        there = eased((time - self.principle) / FADE)
        yield from faded([self.head], there)
        lit = {number: _lit(begin, end, time) for begin, end, number in self.lit if begin <= time < end}
        yield from board.draw(time, lit)
        yield from self.box.draw(time - self.result)

    def _key(self) -> Iterator[Mark]:
        """What the thin arrows are, below the drawing."""
        left, _, right, bottom = self.halves.drawing
        words = paragraph("larger", LARGER, (left + SAMPLE + GAP, bottom - ROW, right, bottom), SMALL)
        y = words.anchor[1] - 0.33 * words.size
        yield sample("sample of a way", "way", (left, y))
        yield words

    @property
    def held(self) -> float:
        """The class votes while the question stands."""
        return ASKED - 1 / self.stage.rate

    @property
    def telling(self) -> float:
        """When the frame has moved and its arrows are there; or the question, if that is all."""
        return self.held if self.board is None else self.grown + 2 * GROW

    def is_still(self, time: float) -> bool:
        """While the class thinks, and while it reads what has been written."""
        begins = [begin for begin, _ in self.heard]
        since = min(time - begin for begin in begins if begin <= time)
        following = min((begin for begin in begins if begin > time), default=self.seconds)
        return since > BUSY and time < following - FADE


def _lit(begin: float, end: float, time: float) -> float:
    """How far something is lit that is from `begin` to `end`, 0 to 1."""
    return min(eased((time - begin) / FADE), eased((end - time) / FADE))
