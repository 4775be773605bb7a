"""The chapters of a worked solution: a part leaves the frame, its forces appear, equations are written."""

from __future__ import annotations

from collections.abc import Iterator

from simlab.film.apart import Apart
from simlab.film.board import Board
from simlab.film.chapter import Chapter, eased
from simlab.film.desk import Desk
from simlab.film.known import Known, found_lines, letters_in
from simlab.film.mirrored import axis
from simlab.film.onstage import OnStage, lit
from simlab.film.outcome import Outcome
from simlab.film.score import FADE, WRITE, Score, Stay, Turn
from simlab.film.script import Script
from simlab.film.stage_set import StageSet
from simlab.film.told import ToldWorking
from simlab.pictures.camera import Camera, Rect
from simlab.pictures.cards import balanced, paragraph
from simlab.pictures.marks import Mark, faded
from simlab.pictures.names import prose
from simlab.pictures.palette import CAPTION
from simlab.pictures.typeset import setting
from simlab.results.wording import capital
from simlab.results.working import Equation


def explained(stage: StageSet, told: ToldWorking) -> list[Chapter]:
    """The chapters of one working: one for each step, and one for the answer."""
    desk = Desk(stage, told)
    script = Script(desk)
    aparts: dict[int, Apart] = {}
    steps: list[Chapter] = [Step(stage, script, k, aparts) for k in range(len(told.steps))]
    return [*steps, Answer(stage, script, aparts)]


class _Worked(Chapter):
    """What the chapters of a working share: drawing on the left, board on the right."""

    settling = 0  # words do not glide
    roams = False

    def __init__(self, stage: StageSet, script: Script, score: Score, aparts: dict[int, Apart]) -> None:
        super().__init__(stage)
        self.script, self.desk, self.score = script, script.desk, score
        self.seconds = score.seconds
        self.lines = [(time, sentence.screen) for time, sentence in score.lines]
        self.plain = {sentence.screen: sentence.plain for _, sentence in score.lines}
        for stay in score.stays:
            if id(stay.bench) not in aparts:
                aparts[id(stay.bench)] = Apart(stage, stay.bench, self.desk.corner)
        self.on_stage = [OnStage(stay, aparts[id(stay.bench)]) for stay in score.stays]

    @property
    def room(self) -> Rect | None:
        """All words have their places already."""
        return None

    def is_still(self, time: float) -> bool:
        return self.score.is_still(time)

    @property
    def telling(self) -> float:
        """When all is written, and the part still on the bench."""
        return min(self.score.stays[-1].back, self.seconds)

    @property
    def held(self) -> float:
        return self.telling

    def now(self, time: float) -> OnStage | None:
        """The part that is on the bench, or on its way."""
        begun = [one for one in self.on_stage if one.stay.begin <= time]
        return begun[-1] if begun else None

    def gone(self, time: float) -> float:
        """How far everything on the board is gone, since the last part goes back, 0 to 1."""
        return eased((time - self.score.stays[-1].back) / FADE)

    def drawing(self, time: float) -> list[Mark]:
        """The left of the picture."""
        one = self.now(time)
        return list(one.draw(time)) if one is not None else self.on_stage[0].apart.draw(0.0)

    def heading(self, text: str, opacity: float) -> list[Mark]:
        """What is looked at, or sought, over the board."""
        if opacity <= 0:
            return []
        left, top, right, bottom = self.desk.heading
        if setting(text, CAPTION).width > right - left:
            text = text.replace(": ", ":\n", 1)
        frame = self.story.question
        words = prose(self.story.spoken(text), frame.symbols, frame.points)
        rect = (left, top, left + balanced(words, CAPTION, right - left), bottom)
        return faded([paragraph(f"heading {text}", words, rect, CAPTION)], opacity)


class Step(_Worked):
    """One step: its part, its forces, its equations, what they find."""

    def __init__(self, stage: StageSet, script: Script, k: int, aparts: dict[int, Apart]) -> None:
        super().__init__(stage, script, script.steps[k], aparts)
        told = script.told.steps[k]
        mirrored = k == 0 and any("mirror" in str(words) for words in script.working.before)
        self.axis = axis(self.story.frame, stage) if mirrored else []
        said = [f"{one.part.words}, {_method(one)}" for one in told.step.equations]
        self.title = f"The working: {'; '.join(said)}"
        self.known = Known(found_lines(script.told.steps[:k], letters_in(told)), self.desk.board)
        left, _, right, bottom = self.desk.board
        self.board = Board(
            "line", told.formulas, (left, self.known.bottom, right, bottom), self.score.written
        )

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        marks = self.drawing(time)
        if self.now(time) is None:
            marks += self.axis
        there = 1 - self.gone(time)
        if there > 0:
            marks += faded(self.known.marks, there * eased(time / FADE))
            marks += faded(self.board.draw(time, self._lit(time)), there)
            marks += faded(self._headings(time), there)
        return [*marks, *self.words(time)]

    def _turns(self) -> list[tuple[Turn, Stay]]:
        return [(turn, stay) for stay in self.score.stays for turn in stay.turns]

    def _lit(self, time: float) -> dict[int, float]:
        """The terms that glow in the line being written."""
        begun = [turn for turn, _ in self._turns() if turn.begin <= time]
        glows = {one.term: lit(one, time, WRITE / 2) for one in begun[-1].shown} if begun else {}
        return {term: strength for term, strength in glows.items() if strength > 0}

    def _headings(self, time: float) -> Iterator[Mark]:
        """The part, and when it is announced the equation: one text gives way to the next."""
        begins = [(stay.out, capital(stay.bench.part.words)) for stay in self.score.stays]
        for turn, stay in self._turns():
            begins.append((turn.begin, f"{capital(stay.bench.part.words)}: {_method(turn.equation)}"))
        begins.sort(key=lambda pair: pair[0])
        for i, (begin, text) in enumerate(begins):
            end = begins[i + 1][0] if i + 1 < len(begins) else float("inf")
            yield from self.heading(
                text, eased((time - begin) / FADE) * (1 - eased((time - end + FADE) / FADE))
            )


def _method(equation: Equation) -> str:
    return (
        f"moments about {equation.about}" if equation.method == "moments" else f"resolve {equation.along}"
    )


class Answer(_Worked):
    """What was asked, in a box; all forces on the last part to scale; the part goes back."""

    title = "The working: the answer"
    pauses = True

    def __init__(self, stage: StageSet, script: Script, aparts: dict[int, Apart]) -> None:
        super().__init__(stage, script, script.answer, aparts)
        steps, finds = script.told.steps, script.working.answer.finds or script.told.steps[-1].step.finds
        lines = found_lines(steps, finds) if len(finds) > 1 else []
        self.known = Known(lines, self.desk.board)
        left, _, right, bottom = self.desk.board
        rect = (left, self.known.bottom, right, bottom)
        self.outcome = Outcome(
            self.on_stage[0], script.told, self.score, rect, list(self.story.frame.points)
        )

    def marks_at(self, time: float, camera: Camera) -> list[Mark]:
        there = 1 - self.gone(time)
        marks = [*self.outcome.drawing(time)]
        if there > 0:
            marks += faded(self.known.marks, there * eased(time / FADE))
            marks += faded(self.outcome.board(time), there)
            marks += self.heading(self.script.told.title, there * eased(time / FADE))
        return [*marks, *self.words(time)]
