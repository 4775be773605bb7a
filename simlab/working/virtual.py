"""A working by virtual work: take out what holds by the force, move the frame a little, equate the work.

(thrust) * (small change of the brace's length) = sum of (weight) * (small fall of its centre)
"""

from __future__ import annotations

from collections.abc import Iterator

from simlab.errors import BadInput
from simlab.exact.field import Field
from simlab.exact.form import textbook
from simlab.exact.words import product, turned
from simlab.frame.model import Name
from simlab.frame.quantity import FORCE, LENGTH, Quantity
from simlab.frame.question import Asked
from simlab.results.statics import Statics
from simlab.results.virtual_work import Part, Term, VirtualWork
from simlab.results.wording import called, capital, listed
from simlab.results.working import Component, Letter, Line, Product, Step, Words, Working
from simlab.statics.virtual_work import by_virtual_work
from simlab.working import effort
from simlab.working.lettering import POOLS, free_letters

PARTS: dict[str, Part] = {
    "thrust": "tension",
    "tension": "tension",
    "normal": "normal",
    "friction": "friction",
    "across": "across",
    "upwards": "upwards",
    "moment": "moment",
}
ONE = Quantity.of(1).expr
WAYS: dict[str, tuple[str, str]] = {  # of one load, forwards and backwards
    "falls": ("moves down", "moves up"),
    "goes across": ("moves to the right", "moves to the left"),
    "goes upwards": ("moves up", "moves down"),
    "turns": ("turns anticlockwise", "turns clockwise"),
    "shortens": ("shortens", "lengthens"),
}


def by_work(statics: Statics, asked: Asked) -> Working | None:
    """The working of one thing asked by virtual work; None where there is no such motion.

    >>> from simlab.frame.scene import read_scene
    >>> from simlab.statics.solution import solve
    >>> state = solve(read_scene("scenes/kite_lantern.toml"))
    >>> by_work(state, state.frame.asked[0]).steps[0].lines[-1].right[0].value.plain
    '3W(2 tan α + 5 tan θ)/2'
    """
    part = PARTS.get(asked.measure)
    if part is None:
        return None
    try:
        found = by_virtual_work(statics.frame, statics.values, asked.at, part)
    except BadInput:
        return None
    if found.force is None or not found.terms:
        return None
    return _Work(statics, asked, found).working()


class _Work:
    """One motion, told."""

    def __init__(self, statics: Statics, asked: Asked, found: VirtualWork) -> None:
        self.statics = statics
        self.asked = asked
        self.found = found
        sign = 1 if self._number(found.force) >= 0 else -1
        self.sign = sign
        taken = {*statics.frame.symbols, *statics.frame.points}
        pool = POOLS["pull" if found.part == "tension" else found.part]
        self.name = next(letter for letter in free_letters(pool) if letter not in taken)
        taken.add(self.name)
        self.small = next(letter for letter in free_letters(("x", "y", "z", "s")) if letter not in taken)
        self.letter = Quantity.symbol(self.name, FORCE, positive=False)
        self.x = Quantity.symbol(self.small, LENGTH, positive=False)

    def _number(self, quantity: Quantity | None) -> float:
        return 0 if quantity is None else quantity.number(self.statics.values)

    def working(self) -> Working:
        """The whole working."""
        force = self.found.force
        value = force if force is None or self.sign > 0 else Quantity(turned(force.expr), force.dim)
        reasons = (self._taken_out(), *self._falls(), self._principle())
        step = Step((), tuple(self._lines(value)), (self.name,), reasons, self._closing())
        let = self._taken_out()
        known = value or self.x
        letter = Letter(self.name, self.asked.at, self._part(), self._what(), "", True, let, known)
        return Working(
            self.statics,
            self.asked.words,
            {self.name: letter},
            before=(),
            steps=(step,),
            answer=Step((), (), (self.name,)),
            virtual=self.found,
            effort=effort.VIRTUAL_WORK,
        )

    def _part(self) -> Component:
        """The component as a letter has it: a negative tension is a thrust."""
        if self.found.part == "tension":
            return "tension" if self.sign > 0 else "thrust"
        return self.found.part

    def _what(self) -> str:
        if self.found.part == "tension":
            return f"the {self._part()} in {called(self.asked.at)}"
        return f"the {self.asked.words}"

    # sentences

    def _taken_out(self) -> Words:
        let: Words = ("Let ", self.letter, f" be {self._what()}. ")
        if self.found.part == "tension":
            way = "further apart" if self.sign > 0 else "nearer together"
            give = (
                f"Take {called(self.asked.at)} away and put this force at its two ends instead. "
                "The frame can then move: give it a small displacement in which every hinge and support "
                "holds, and its two ends come a small length "
            )
            return (*let, give, self.x, f" {way}.")
        give = "Let what holds by this force give way by a small length "
        return (*let, give, self.x, ", everything else holding.")

    def _falls(self) -> Iterator[Words]:
        """How far each load goes."""
        for names, term in self._alike():
            by = self._by(term)
            forwards = self._number(by) >= 0
            size = by if forwards else Quantity(turned(by.expr), by.dim)
            each = "" if len(names) == 1 else "the same length, "
            what = self._subject(names, term)
            way = WAYS[term.moves][0 if forwards else 1]
            verb, _, rest = way.partition(" ")
            way = " ".join(filter(None, (verb if len(names) == 1 else verb.removesuffix("s"), rest)))
            yield (f"{what} {way} by {each}", self._times(size), ".")

    def _subject(self, names: list[Name], term: Term) -> str:
        frame = self.statics.frame
        joined = listed([called(name) for name in names])
        if term.moves == "shortens":
            return capital(joined)
        if term.moves == "turns" or not all(name in frame.bodies for name in names):
            return f"The weight of {joined}" if term.moves == "falls" else capital(joined)
        return f"The centre{'s' if len(names) > 1 else ''} of {joined}"

    def _alike(self) -> Iterator[tuple[list[Name], Term]]:
        """Terms with the same load and the same way taken together."""
        groups: dict[tuple[object, ...], tuple[list[Name], Term]] = {}
        for term in self.found.terms:
            if term.by.is_zero:
                continue
            key = term.moves, term.size.expr, term.by.expr
            groups.setdefault(key, ([], term))[0].append(term.load)
        yield from groups.values()

    def _by(self, term: Term) -> Quantity:
        return term.by if self.sign > 0 else Quantity(turned(term.by.expr), term.by.dim)

    def _times(self, ratio: Quantity) -> Quantity:
        return Quantity(product(ONE, [(ratio.expr, ONE), (self.x.expr, ONE)]))

    def _principle(self) -> Words:
        nothing = "In a small movement the total work of all the forces is zero"
        if self.found.part == "tension":
            change = "lengthening" if self.sign > 0 else "shortening"
            return (f"{nothing}: ({self._part()}) × ({change}) = sum of (weight) × (fall).",)
        return (f"{nothing}.",)

    def _lines(self, value: Quantity | None) -> Iterator[Line]:
        """The sum, and what it comes to."""
        left, right = [Product((self.letter, self.x))], list[Product]()
        for names, term in self._alike():
            by = self._by(term)
            size = term.size
            if len(names) > 1:
                size = Quantity(product(Quantity.of(len(names)).expr, [(size.expr, ONE)]), size.dim)
            if self._number(by) >= 0:
                right.append(Product((size, self._times(by))))
            else:
                left.append(Product((size, self._times(Quantity(turned(by.expr), by.dim)))))
        yield Line(tuple(left), tuple(right))
        if value is not None:
            yield Line((Product((self.letter,)),), (Product((self._plain(value),)),))

    def _plain(self, value: Quantity) -> Quantity:
        """The value in textbook form."""
        values = {name: q.expr for name, q in self.statics.values.items()}
        field = Field.containing([value.expr], values)
        return Quantity(textbook(field.element(value.expr)), value.dim)

    def _closing(self) -> tuple[Words, ...]:
        if self.found.part != "tension":
            return ()
        name = called(self.asked.at)
        if self.sign > 0:
            return ((f"Without {name} its ends would move apart as the weights fall: it pulls.",),)
        return ((f"Without {name} its ends would come together as the weights fall: it pushes.",),)
