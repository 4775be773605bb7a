"""The script of a working: the score of each step and of the answer, one chapter each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from simlab.film.algebra import Change, changes, finds
from simlab.film.bench import Bench
from simlab.film.board import EACH, LEAVE, MOVE, ONE, STROKE, Written
from simlab.film.desk import Desk
from simlab.film.formulas import EQUALS, terms_of
from simlab.film.matching import terms_of_line
from simlab.film.score import (
    AFTER,
    ARM,
    BOX,
    FADE,
    GROW,
    HOME,
    LAST,
    LINE,
    MORPH,
    NEXT,
    OUT,
    RING,
    SOON,
    TERM,
    WRITE,
    Score,
    Shown,
    Stay,
    Turn,
    reading,
    to_scale,
)
from simlab.film.told import Spoken, ToldStep, result, spoken
from simlab.frame.model import Name
from simlab.frame.quantity import Quantity
from simlab.notation.page import Line
from simlab.results.working import Equation, Part, Words

BEFORE = -1000.0  # [s] in an earlier chapter
MANY_PIECES = 8  # of a term: it is written within so many pieces' time
Place = tuple[int, int]  # of an equation: which step, which of its equations


class Script:
    """All chapters of one working: their scores, and the benches that they share."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.told, self.working = desk, desk.told, desk.told.working
        self.points = desk.stage.story.frame.points
        self.benches: dict[Place, tuple[Bench, int]] = dict(self._benches())
        self.known: dict[Name, Spoken] = {}  # letters that were found so far, each with its line
        self.carried: Stay | None = None  # the part that is on the bench between two chapters
        self.steps = [self._step(k) for k in range(len(self.told.steps))]
        self.answer = self._answer()

    def _benches(self) -> Iterator[tuple[Place, tuple[Bench, int]]]:
        """The bench of every equation, and its place there: those of one part in a row share it."""
        places = [(k, e) for k, told in enumerate(self.told.steps) for e in range(len(told.step.equations))]
        for _, group in groupby(places, lambda place: _nodes(self.equation(place).part)):
            run = list(group)
            equations = [self.equation(place) for place in run]
            bench = self.desk.bench(equations[0].part, equations)
            yield from ((place, (bench, i)) for i, place in enumerate(run))

    def equation(self, place: Place) -> Equation:
        """An equation by its place."""
        return self.told.steps[place[0]].step.equations[place[1]]

    # a step

    def _step(self, k: int) -> Score:
        score, told = self._begun(), self.told.steps[k]
        for line in self.told.before if k == 0 else ():
            score.say(spoken(line, self.points))
        stay = self._taken_out(score, (k, 0))
        for line, words in zip(told.reasons, told.step.reasons, strict=True):
            begin = score.say(spoken(line, self.points))
            self._appear(score, stay, self._arrows_of(stay, words), max(begin + SOON, self._ready(stay)))
        score.seconds = max(score.seconds, self._ready(stay) + GROW)
        every = list(changes(told, self.known))
        for j, change in enumerate(every):
            if change.equation is not None:
                stay = self._announced(score, stay, told, (k, change.equation))
                self._term_by_term(score, stay, told, (k, change.equation), j)
            else:
                self._rewritten(score, told, change, j)
        if not told.closing and every[-1].equation is not None:  # it is found as soon as it is written
            score.seconds += LINE
        for line in told.closing:
            score.say(spoken(line, self.points))
        self.known |= dict(finds(told))
        self.carried = stay
        if k + 1 < len(self.told.steps) and self.benches[k + 1, 0][0] is not stay.bench:
            self._put_back(score, stay)
            self.carried = None
        return score

    def _begun(self) -> Score:
        """The score of a chapter that begins: what is known and its heading appear."""
        score = Score(self.desk.page, self.desk.stage.rate)
        score.move(0.0, FADE)
        return score

    def _taken_out(self, score: Score, place: Place) -> Stay:
        """The part of an equation on the bench: from the chapter before, or taken out of the frame now."""
        bench, layout = self.benches[place]
        if self.carried is not None and self.carried.bench is bench:
            last = self.carried.turns[-1].layout if self.carried.turns else layout
            stay = Stay(bench, BEFORE, last, arrows=dict.fromkeys(self.carried.arrows, BEFORE))
        else:
            stay = Stay(bench, score.seconds, layout)
            score.move(stay.begin, OUT + FADE)
            given = [
                n
                for n, action in zip(bench.names, bench.part.actions, strict=True)
                if action.letter is None
            ]
            self._appear(score, stay, given, stay.out)
        score.stays.append(stay)
        return stay

    def _put_back(self, score: Score, stay: Stay) -> None:
        stay.back = score.seconds
        score.move(stay.back, FADE + HOME)
        score.seconds += FADE + HOME

    @staticmethod
    def _appear(score: Score, stay: Stay, arrows: Sequence[Name], begin: float) -> None:
        """Arrows that grow one after another, those that are not there yet."""
        for name in dict.fromkeys(arrows):
            if name not in stay.arrows:
                stay.arrows[name] = begin
                score.move(begin, GROW)
                begin += NEXT

    @staticmethod
    def _ready(stay: Stay) -> float:
        """When all that has appeared so far has begun to."""
        return max([stay.out, *(time + NEXT for time in stay.arrows.values())])

    @staticmethod
    def _arrows_of(stay: Stay, words: Words) -> list[Name]:
        """The arrow that a sentence introduces: of the first letter in it that is on the part."""
        actions = list(zip(stay.bench.names, stay.bench.part.actions, strict=True))
        for piece in words:
            found = [n for n, a in actions if isinstance(piece, Quantity) and a.letter == str(piece)]
            if found:
                return found
        return []

    def _spoken_of(self, told: ToldStep, stay: Stay) -> list[Name]:
        """The arrows of all letters that a step has introduced, or that were found before."""
        return [name for words in told.step.reasons for name in self._arrows_of(stay, words)]

    def _announced(self, score: Score, stay: Stay, told: ToldStep, place: Place) -> Stay:
        """Which equation comes: its sentence, its part, its ring, the forces not spoken of yet."""
        begin = ready = score.seconds
        if self.benches[place][0] is not stay.bench:
            self._put_back(score, stay)
            stay = self._taken_out(score, place)
            self._appear(score, stay, self._spoken_of(told, stay), self._ready(stay))
            ready, score.seconds = self._ready(stay), begin
        score.say(spoken(told.said[place[1]], self.points), ready - begin)
        self._appear(score, stay, stay.bench.names, ready + SOON / 2)
        score.move(ready - FADE, FADE + SOON + RING)  # from when the heading changes
        score.seconds = max(score.seconds, self._ready(stay) + GROW)
        stay.turns.append(Turn(self.equation(place), self.benches[place][1], ready, (), float("inf")))
        return stay

    def _term_by_term(self, score: Score, stay: Stay, told: ToldStep, place: Place, line: int) -> None:
        """Each term with its arm and its arrow; the equation is then complete."""
        equation, layout, arms = self.equation(place), self.benches[place][1], told.arms[place[1]]
        formula = told.formulas[line]
        lefts, count = (
            len(terms_of(formula.left)),
            len(terms_of(formula.left)) + len(terms_of(formula.right)),
        )
        begin, long = score.seconds, TERM * count
        if arms is not None:
            sentence = spoken(arms, self.points)
            long = max(long, reading(sentence))
            score.say(sentence, long + AFTER)
        score.seconds = max(score.seconds, begin + long + AFTER)
        target = next(iter(told.step.finds), None) if len(told.step.equations) == 1 else None
        matched = terms_of_line(told.step.lines[line], equation, target)
        slot = (score.seconds - AFTER - begin) / count
        shown = []
        for i in range(count):
            terms = matched[i] if i < len(matched) else ()
            arrows = [name for term in terms for name in stay.bench.names_of(term)]
            found = [stay.bench.arm_of(equation, term, stay.bench.layouts[layout]) for term in terms]
            names = tuple(dict.fromkeys(name for name in found if name is not None))
            at = begin + i * slot
            shown.append(Shown(i, tuple(arrows), names, at, at + slot))
            score.move(at, ARM + WRITE + ONE + EACH * MANY_PIECES)
        score.move(score.seconds - AFTER, ONE)
        stay.turns[-1] = Turn(equation, layout, stay.turns[-1].begin, tuple(shown), float("inf"))
        times = {one.term: one.begin + WRITE for one in shown}
        times[EQUALS] = times.get(lefts, begin + long) - ONE
        score.written.append(Written(begin - LEAVE - MOVE, times))
        score.move(begin - LEAVE - MOVE, LEAVE + MOVE)

    def _rewritten(self, score: Score, told: ToldStep, change: Change, line: int) -> None:
        """A line got from the one before: what cancels is struck through, then the new one is written."""
        begin = score.say(
            change.words, LINE + (LAST if change.finds else 0.0) + (STROKE if change.gone else 0.0)
        )
        if change.gone and score.written:
            last = score.written[-1]
            score.written[-1] = Written(last.begin, last.terms, change.gone, begin)
            score.move(begin, STROKE)
            begin += STROKE + ONE
        score.written.append(Written(begin, {}))
        pieces = len(told.formulas[line].left) + len(told.formulas[line].right)
        score.move(begin, LEAVE + MOVE + ONE + EACH * (pieces + 2))

    # the answer

    def _answer(self) -> Score:
        """What was asked, in a box; then all forces on the last part to scale; then the part goes back."""
        score = self._begun()
        stay = self._taken_out(
            score, (len(self.told.steps) - 1, len(self.told.steps[-1].step.equations) - 1)
        )
        for part in self.told.answer:
            if isinstance(part, Line):
                begin = score.say(spoken(part, self.points), LINE + LAST)
                if part is result(self.told):
                    score.boxed = begin + SOON
                    score.move(score.boxed, FADE + BOX)
            else:
                score.written.append(Written(score.seconds, {}))
                score.move(score.seconds, MOVE + ONE + EACH * (len(part.left) + len(part.right) + 2))
                score.seconds += LINE / 2
        if self.told.knows_all:
            score.to_scale = score.say(to_scale(stay.bench.part, self.known, self.points)) + SOON
            score.move(score.to_scale, MORPH)
            score.seconds = max(score.seconds, score.to_scale + MORPH + LINE)
        self._put_back(score, stay)
        return score


def _nodes(part: Part) -> tuple[tuple[Name, ...], tuple[Name, ...]]:
    return part.bodies, part.pins
