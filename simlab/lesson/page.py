"""A worked solution as a page: numbered steps, arms before they are used, the answer, a check."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from simlab.frame.model import Vec
from simlab.frame.quantity import Quantity
from simlab.frame.question import Asked
from simlab.lesson.amounts import Pieces, amount, direction, opposite
from simlab.lesson.forces import entries, parts_of
from simlab.notation.page import Formula, Heading, Line, Maths, Page, line
from simlab.notation.parts import Sentence
from simlab.notation.worded import worded
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.statics import Statics
from simlab.results.wording import called, capital, figures, sides
from simlab.results.working import Equation, Product, Step, Words, Working
from simlab.results.working import Line as Algebra
from simlab.statics.vectors import vector

WHOLE = ("force", "reaction")  # what has a size and a direction
PLAIN_DECIMALS = 2  # places of a number that is written as a decimal rather than as a fraction


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
        forces = [load.value[0] for load in self.statics.frame.loads.values()]
        forces += [body.weight for body in self.statics.frame.bodies.values()]
        self.in_decimals = all(not force.names for force in forces)

    def all(self, others: bool) -> Iterator[Heading | Line | Formula]:
        """Everything, in order."""
        yield Heading(f"To find {self._sought()}")
        for sentence in self.working.before:
            yield self._numbered(sentence)
        for step in self.working.steps:
            yield from self.step(step)
        yield from self._answer()
        if others and self.working.others:
            yield Heading("Every other force")
            for step in self.working.others:
                yield from self.step(step)
            yield line("So, on each rod at each point:")
            yield from entries(self.statics, self.conventions)
        if self.working.check is not None:
            yield Heading("Check, by an equation not used yet")
            yield from self._check(self.working.check)

    def _sought(self) -> str:
        """What is to be found: "the tension in the rope", "θ", "the least μ"."""
        words = self.working.asked
        letters = {name: Quantity.symbol(name).plain for name in self.statics.found}
        if words in letters:
            return letters[words]
        said = in_class_words(self.statics, words).split()
        return "the " + " ".join(letters.get(word, word) for word in said)

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
            own = f"{capital(equation.part.words)}." if len(set(parts)) > 1 else lead
            lead = ""
            yield self._numbered(self._said(equation), own)
            yield from self._arms(equation)
            yield from self._formulas(_taken(lines, len(step.equations)))
        yield from self._formulas(lines)
        for sentence in step.closing:
            yield self._numbered(sentence)

    def _said(self, equation: Equation) -> Words:
        """'Moments about H (X and Y act through it).'"""
        silent: list[str | Quantity] = []
        names = equation.silent
        for k, name in enumerate(names):
            silent += [" and " if k == len(names) - 1 else ", "] if k else []
            silent.append(Quantity.symbol(name, positive=False))
        has = "has" if len(names) == 1 else "have"
        if equation.method == "moments":
            point = "it" if equation.about else "that"
            head, tail = f"Moments about {equation.about}", f"no moment about {point}"
        else:
            head, tail = f"Resolve {equation.along}", "no component that way"
        if not silent:
            return (head, ":")
        return (head, " (", *silent, f" {has} {tail})", ":")

    def _arms(self, equation: Equation) -> Iterator[Line]:
        """Each arm of a moment equation, before it is used."""
        said: Pieces = []
        for term in equation.terms if equation.method == "moments" else ():
            if term.action.turning:
                continue
            said += ["; "] if said else ["Arms: "]
            said += [self._number(term.action.size), ", ", self._number(term.arm)]
        if said:
            yield line(*said, ".", indent=True)

    # algebra

    def _formulas(self, lines: Iterable[Algebra]) -> Iterator[Formula]:
        for one in lines:
            note = "".join(p if isinstance(p, str) else p.plain for p in one.note)
            yield Formula(self._side(one.left), self._side(one.right), one.label, note)

    def _side(self, products: Sequence[Product]) -> Sentence:
        """One side of an equation; nothing on it is 0."""
        pieces: list[str | Maths] = []
        for k, product in enumerate(products):
            sign = "−" if product.negative else "+" if k else ""
            pieces += [f" {sign} " if k else sign] if sign else []
            for i, factor in enumerate(product.factors):
                pieces += [" × "] if i else []
                many = len(product.factors) > 1 or product.negative
                pieces.append(self._number(factor, factor_of_many=many))
        return tuple(pieces) or ("0",)

    def _number(self, quantity: Quantity, factor_of_many: bool = False) -> str | Maths:
        """An expression; a number as a decimal, where the question's forces are numbers and it is short."""
        decimal = quantity.decimal
        if self.in_decimals and decimal is not None and len(decimal.partition(".")[2]) <= PLAIN_DECIMALS:
            return decimal.replace("-", "−")
        if self.conventions.exact == "figures" and not quantity.expr.free_symbols and decimal is None:
            return figures(quantity.number())
        return Maths(quantity.expr, factor=factor_of_many)

    # the answer, the check

    def _answer(self) -> Iterator[Line | Formula]:
        """What was asked, exactly and in figures; a force by its components, its size and its direction."""
        asked = next((a for a in self.statics.frame.asked if a.words == self.working.asked), None)
        answer = self.statics.answers.get(self.working.asked)
        if asked is None or answer is None or asked.at in self.statics.found:
            return  # of a letter its last step has said it
        force = self._force(asked) if asked.measure in WHOLE else None
        if force is not None and not any(part.is_zero for part in force):
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
        yield from self._formulas(step.lines[:1])
        last = step.lines[-1]
        for one in self._formulas([last]):
            yield Formula((*one.left,), (*one.right, "  ✓"), one.label, one.note)


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
