"""A worked solution as a teacher would write it: parts, letters, equations with their arms, the algebra.

    moments of a part about a point C:     sum of (force) * (arm) anticlockwise = the same clockwise
    resolving a part along a unit vector:  sum of (force) * (cosine) one way = the same the other way

Everything is exact; every line of algebra is true when the letters take their values.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Name, Vec
from simlab.frame.quantity import Quantity
from simlab.results.forces import Key
from simlab.results.statics import Statics
from simlab.results.virtual_work import VirtualWork

Method = Literal["moments", "resolving"]
Words = tuple[str | Quantity, ...]  # a sentence with mathematics in it
Component = Literal["across", "upwards", "normal", "friction", "moment", "thrust", "tension"]


@dataclass(frozen=True)
class Letter:
    """An unknown force as the working writes it: its letter, which force it is, the sense assumed.

    `of`: a reaction by its key, or a light member; two mirror images share one letter. `sense` in words
    ("upwards"; of a member it is empty) is how it acts on the body or pin `on`: on `of.on` itself, or on
    what is at the other side of that connection, where it acts the opposite way. `reason`: the sentence
    that argues for the sense; where it is not `argued`, the sense is only assumed, and a negative `value`
    says that it acts the other way.
    """

    name: Name
    of: Key | Name
    part: Component
    words: str  # "the tension in the rope", "the upward component of the force on KL at L"
    sense: str
    argued: bool
    reason: Words
    value: Quantity
    on: Name = ""

    @property
    def symbol(self) -> Quantity:
        """The letter as a quantity."""
        return Quantity.symbol(self.name, self.value.dim, positive=False)


@dataclass(frozen=True)
class Action:
    """One force on a part from outside it, or a weight: `size` along the unit vector `way`, acting at `at`.

    `what`: the key of the reaction (whichever side of it the part is on: `way` says how it acts here), or
    the name of a body (its weight) or load. `size` is
    the letter of an unknown, or what is given (not negative at the values). A couple has a `turning`
    (1 anticlockwise, -1 clockwise) and no `way`. `at` [m]; `point` names it, if it has a name. `on`: the
    body or pin of the part that it acts on.
    """

    what: Key | Name
    letter: Name | None
    size: Quantity
    at: Vec
    way: Vec
    point: Name | None = None
    turning: int = 0
    on: Name = ""


@dataclass(frozen=True)
class Part:
    """Bodies and pins looked at together, with every force on them from outside.

    `words`: "the whole frame", "KL and LB together", "CD", "the pin B".
    """

    bodies: tuple[Name, ...]
    pins: tuple[Name, ...]
    words: str
    actions: tuple[Action, ...]
    is_whole: bool = False


@dataclass(frozen=True)
class Term:
    """What one force brings to an equation.

    `arm`: its perpendicular distance [m] from the point of a moment equation, or the cosine of its angle
    to the direction resolved along (1 for a couple); never negative at the values. `side`: 1 anticlockwise
    (or along the direction), -1 clockwise (or against). `foot`: of the perpendicular from the point to the
    line of action [m].
    """

    action: Action
    arm: Quantity
    side: int
    foot: Vec | None = None


@dataclass(frozen=True)
class Equation:
    """One equation of a part: `method`, the point `about` which are moments, or the direction `along`.

    `about`, `along` in words ("A", "the middle of KL"; "horizontally", "along AB", "square to AB"); `point`
    [m] or `way` (unit vector) exactly. `terms` are only those that are not zero. `brings`: the letters in
    it. `silent`: letters of forces on the part that have no moment (no component) in it.
    """

    part: Part
    method: Method
    about: str
    along: str
    point: Vec | None
    way: Vec | None
    terms: tuple[Term, ...]

    @property
    def brings(self) -> tuple[Name, ...]:
        """The letters of the unknowns in it, in order."""
        return tuple(dict.fromkeys(t.action.letter for t in self.terms if t.action.letter is not None))

    @property
    def silent(self) -> tuple[Name, ...]:
        """The letters of forces on the part that do not enter."""
        said = set(self.brings)
        letters = (a.letter for a in self.part.actions)
        return tuple(dict.fromkeys(n for n in letters if n is not None and n not in said))


@dataclass(frozen=True)
class Product:
    """A product as it is written, with a multiplication sign between its factors: Q x 8a sin(theta)."""

    factors: tuple[Quantity, ...]
    negative: bool = False

    @property
    def value(self) -> Quantity:
        """The product worked out."""
        total = Quantity.of(-1 if self.negative else 1)
        for factor in self.factors:
            total = total * factor
        return total


@dataclass(frozen=True)
class Line:
    """One line of algebra, left = right; an empty side is 0.

    `label`: the number by which it is referred to, if it is; `note`: what was done to get it
    ("(1) × 2 − (2)").
    """

    left: tuple[Product, ...]
    right: tuple[Product, ...]
    label: str = ""
    note: Words = ()


@dataclass(frozen=True)
class Step:
    """One equation, or a few that hold at once, and what it finds.

    `reasons` are said before the equation, `lines` are the algebra, `closing` says what the result means.
    """

    equations: tuple[Equation, ...]
    lines: tuple[Line, ...]
    finds: tuple[Name, ...]
    reasons: tuple[Words, ...] = ()
    closing: tuple[Words, ...] = ()


@dataclass(frozen=True)
class Working:
    """A worked solution of one thing that a question asks.

    `before`: sentences that hold throughout (symmetry, light members). `steps` lead to what is asked;
    `answer` puts together what was asked, `others` are the steps to every other force, `check` an equation
    not used before, with the values put in. `virtual`: where the answer is got by virtual work instead,
    that motion and its terms. `effort`: what a teacher would count, smaller is easier.
    """

    statics: Statics
    asked: str
    letters: Mapping[Name, Letter]
    before: tuple[Words, ...]
    steps: tuple[Step, ...]
    answer: Step
    others: tuple[Step, ...] = ()
    check: Step | None = None
    virtual: VirtualWork | None = None
    effort: float = 0.0

    @property
    def equations(self) -> Iterator[Equation]:
        """The equations of the steps, in order."""
        return (equation for step in self.steps for equation in step.equations)

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts that are isolated on the way to the answer, each once, in order."""
        found: dict[tuple[Name, ...], Part] = {}
        for equation in self.equations:
            part = equation.part
            found.setdefault((*part.bodies, "|", *part.pins), part)
        return tuple(found.values())
