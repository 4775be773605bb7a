"""A worked solution as a page: numbered steps, arms before they are used, the answer, a check."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.frame.model import Vec
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.lesson.amounts import Pieces, amount, direction, opposite
from simlab.lesson.equations import Telling
from simlab.lesson.forces import entries, parts_of
from simlab.lesson.grip import grips
from simlab.lesson.numbers import Numbers
from simlab.notation.page import Formula, Heading, Line, Maths, Page, line
from simlab.notation.worded import worded
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.statics import Statics
from simlab.results.wording import NOTHING, called, capital, series, sides
from simlab.results.working import Line as Algebra
from simlab.results.working import Step, Words, Working
from simlab.statics.vectors import vector

WHOLE = ("force", "reaction")  # what has a size and a direction


def page(working: Working, conventions: Conventions = HOUSE, others: bool = True) -> Page:
    """A working as a pupil reads it, in the class's words; `others`: with every other force."""
    of = conventions.of(working.statics.frame)
    return worded(list(Sheet(working, of).all(others)), of.spoken)


class Sheet:
    """The parts of the page of one working, its steps numbered throughout."""

    def __init__(self, working: Working, conventions: Conventions) -> None:
        self.working = working
        self.statics = working.statics
        self.conventions = conventions
        self.number = 0
        self.numbers = Numbers(working.statics, conventions)
        self.telling = Telling(working, self.numbers)

    def all(self, others: bool) -> Iterator[Heading | Line | Formula]:
        """Everything, in order."""
        yield Heading(f"To find {sought_words(self.statics, self.working.asked)}")
        if not self.working.steps and self.working.answer.finds:
            yield self._found_above(self.working.answer.finds)
        weights = self.telling.weights()
        if weights:
            yield self._numbered((weights,))
        for sentence in self.working.before:
            yield self._numbered(sentence)
        for step in self.working.steps:
            yield from self.step(step)
        yield from self._answer()
        if others and self.working.others:
            yield Heading("Every other force")
            self.number = 0
            for step in self.working.others:
                yield from self.step(step)
            yield line("So, at each point:")
            yield from entries(self.statics, self.conventions)
            yield from grips(self.statics)
        if self.working.check is not None:
            yield Heading("Check, by an equation not used yet")
            yield from self._check(self.working.check)

    def _numbered(self, sentence: Words, lead: str = "") -> Line:
        self.number += 1
        return line(*written_words(sentence), number=self.number, lead=lead)

    # steps

    def step(self, step: Step) -> Iterator[Line | Formula]:
        """Which part, why forces act as they do; each equation, its arms; the algebra; what it means."""
        lead = ""
        parts = [equation.part.words for equation in step.equations]
        if len(set(parts)) == 1:
            lead = f"{capital(parts[0])}."
        for reason in step.reasons:
            yield self._numbered(reason, lead)
            lead = ""
        lines = list(step.lines)
        for equation in step.equations:
            self.telling.introduced |= set(equation.brings)
            own = f"{capital(equation.part.words)}." if len(set(parts)) > 1 else lead
            lead = ""
            yield self._numbered(self.telling.said(equation), own)
            yield from self.telling.arms(equation)
            yield from self.numbers.formulas(_taken(lines, len(step.equations)))
        yield from self.numbers.formulas(lines)
        for sentence in step.closing:
            yield self._numbered(sentence)

    def _found_above(self, names: Sequence[str]) -> Line:
        """That what is asked has been found before."""
        letters = [Quantity.symbol(name, positive=False) for name in names]
        return self._numbered(
            (*series(letters), f" {'has' if len(letters) == 1 else 'have'} been found above.")
        )

    # the answer, the check

    def _answer(self) -> Iterator[Line | Formula]:
        """What was asked, exactly and in figures; a force by its components, its size and its direction."""
        asked = next((a for a in self.statics.frame.asked if a.words == self.working.asked), None)
        answer = self.statics.answers.get(self.working.asked)
        if asked is None or answer is None or asked.at in self.statics.found:
            return  # of a letter its last step has said it
        force = self._force(asked) if asked.measure in WHOLE else None
        least = NOTHING * abs(answer.number(self.statics.values))
        if force is not None and all(abs(part.number(self.statics.values)) > least for part in force):
            parts = parts_of(force, self.statics, self.conventions)
            self.number += 1
            has = f"The {in_class_words(self.statics, asked.words)} has the components "
            yield line(has, *parts, ".", number=self.number)
            if self.conventions.forces == "components":
                return
            yield from self._size(answer, force)
        yield self._result(self._told(asked, answer, force))

    def _size(self, answer: Quantity, force: Vec) -> Iterator[Formula]:
        """Its size by Pythagoras, from the letters of its components."""
        names = self.working.answer.finds
        letters = [self.working.letters[name] for name in names if name in self.working.letters]
        if len(letters) == len(force) and all(letter.part in ("across", "upwards") for letter in letters):
            under = sum((letter.symbol.expr**2 for letter in letters), Quantity.zero().expr)
            root = Quantity(under).sqrt()
            yield Formula((Maths(root.expr),), (Maths(answer.expr),))

    def amount(self, value: Quantity) -> Pieces:
        """A size exactly and in figures, whatever its sign."""
        sign = -1 if value.number(self.statics.values) < 0 else 1
        size = amount(value if sign > 0 else opposite(value), self.statics.values, self.conventions)
        return ["minus ", *size] if sign < 0 else size

    def _result(self, told: Pieces) -> Line:
        self.number += 1
        return line(*told, number=self.number, lead="So")

    def _told(self, asked: Asked, answer: Quantity, force: Vec | None) -> Pieces:
        values = self.statics.values
        words = in_class_words(self.statics, asked.words)
        if asked.measure in WHOLE:
            found = None if force is None else vector(force, values)
            if found is None:
                return [f"the {words} is ", *amount(answer, values, self.conventions)]
            way = direction(found, values, sides(self.statics.frame), self.conventions)
            return [f"the {words} is ", *amount(found.size, values, self.conventions), ", ", *way, "."]
        if answer.number(values) < 0:
            other = {"thrust": "tension", "tension": "thrust"}.get(asked.measure)
            words = words.replace(asked.measure, other, 1) if other else words
            size = amount(opposite(answer), values, self.conventions)
            return [f"the {words} is ", *size, "." if other else ", the other way."]
        return [f"the {words} is ", *amount(answer, values, self.conventions), "."]

    def _force(self, asked: Asked) -> Vec | None:
        reactions = self.statics.case.forces.reactions
        for key, reaction in reactions.items():
            on = key.on == asked.on or (asked.on is None and key.by != key.at)
            if key.at == asked.at and on:
                return reaction.force
        return None

    def _check(self, step: Step) -> Iterator[Line | Formula]:
        (equation,) = step.equations
        by_moments = equation.method == "moments"
        said = f"moments about {equation.about}" if by_moments else f"resolve {equation.along}"
        yield line(f"{capital(equation.part.words)}, {said}:")
        yield from self.numbers.formulas(step.lines[:1])
        last = step.lines[-1]
        self.numbers.in_figures = self.numbers.in_decimals
        for one in self.numbers.formulas([last]):
            yield Formula((*one.left,), (*one.right, "  ✓"), one.label, one.note)


def sought_words(statics: Statics, words: str) -> str:
    """What is to be found, with its article: "the tension in the rope", "θ", "the least μ"."""
    letters = {name: Quantity.symbol(name).plain for name in statics.found}
    if words in letters:
        return letters[words]
    said = in_class_words(statics, words).split()
    return "the " + " ".join(letters.get(word, word) for word in said)


def in_class_words(statics: Statics, words: str) -> str:
    """What is asked as one says it: "tension in the rope", "force at P on the pole", "friction at C".

    >>> from simlab.frame.scene import read_scene
    >>> from simlab.statics.solution import solve
    >>> in_class_words(solve(read_scene("scenes/stall_trestle.toml")), "tension in rope")
    'tension in the rope'
    """
    frame = statics.frame
    known = {*frame.links, *frame.bodies}
    return " ".join(called(word) if word in known else word for word in words.split())


def _taken(lines: list[Algebra], count: int) -> list[Algebra]:
    """Of equations that hold at once, the lines of the next one, up to its number; of one alone, all."""
    if count == 1:
        taken, lines[:] = list(lines), []
        return taken
    end = next((k for k, one in enumerate(lines) if one.label), len(lines) - 1)
    taken = lines[: end + 1]
    del lines[: end + 1]
    return taken


def written_words(words: Words) -> Pieces:
    """A sentence of a working as pieces of a page."""
    return [piece if isinstance(piece, str) else Maths(piece.expr) for piece in words]
