"""What exact statics hands on: the verdict, every force, and the conditions on which they hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.forces import Forces, Key
from simlab.results.html import table
from simlab.results.wording import in_words

Rest = Literal["fixed", "stable", "neutral", "unstable", "undecided"]
Verdict = Literal["determined", "not determined", "cannot rest", "falls out", "slips"]


@dataclass(frozen=True)
class Motion:
    """A way the frame can move without straining: (v_x, v_y, angular velocity) of each body's centre.

    Velocities are per unit of the motion's own size: (length, length, 1) up to a common factor.
    """

    velocity: Mapping[Name, tuple[Quantity, Quantity, Quantity]]


@dataclass(frozen=True)
class Freedom:
    """The four-part verdict: self-stress, motions left, loads carried, how it rests on the motions."""

    self_stress: tuple[Forces[Quantity], ...]
    motions: tuple[Motion, ...]
    carried: bool
    rest: Rest


@dataclass(frozen=True)
class Condition:
    """A case holds while `positive` > 0; `about` names the one-sided member or contact concerned.

    Where `positive` is 0 at the values, the member carries no force there, and the case still holds.
    """

    positive: Quantity
    about: Name
    words: str


@dataclass(frozen=True)
class Case:
    """Forces of one case; `undetermined` reactions have no unique value and are absent from `forces`.

    A reaction with one settled component and one that is not is undetermined as a whole; the advice
    then tells the settled components of supports.
    """

    forces: Forces[Quantity]
    undetermined: frozenset[Key | Name]
    holds: tuple[Condition, ...]
    freedom: Freedom


@dataclass(frozen=True)
class Root:
    """A value of a letter that was to be found.

    `exact` in the given letters, where there is such an expression. `equation`, left = right as a textbook
    writes it (tan x = 1/3, cos^3 x = c/a), always. At the values it lies between `low` and `high`
    (in the letter's own unit of N, m, rad), which agree to 30 figures.
    """

    of: Name
    exact: Quantity | None
    equation: tuple[Quantity, Quantity]
    low: Fraction
    high: Fraction

    @property
    def middle(self) -> Fraction:
        """The value to 30 figures, in the letter's own unit."""
        return (self.low + self.high) / 2

    @property
    def value(self) -> float:
        """The value as a number."""
        return float(self.middle)

    def near(self, frame: Frame) -> Quantity:
        """The value to 30 figures, with the dimensions that the letter has in the frame."""
        return Quantity.of(self.middle, frame.symbols[self.of].shown.dim)


@dataclass(frozen=True)
class Range:
    """Values of a letter for which the frame can rest: from `low` to `high`, or just one.

    An end is None where nothing limits it but the range in which the question looks. `limiting` says for
    either end what limits it: contacts that are about to slip or to lift, conditions of the question.
    `reached`: whether an end belongs to the range; if not, some forces grow beyond all bounds towards it.
    """

    of: Name
    low: Root | None
    high: Root | None
    limiting: tuple[tuple[str, ...], tuple[str, ...]]
    reached: tuple[bool, bool] = (True, True)

    @property
    def is_one_value(self) -> bool:
        """Whether it is a single value."""
        return self.low is not None and self.high is not None and self.high.low <= self.low.high


@dataclass(frozen=True)
class Statics:
    """Exact equilibrium of a frame: verdict (decided at `values`), the case, answers, advice.

    `only_here`: the answer holds at `values` only, since loads balance, or hinges line up, just there.
    `found`: the letters that were to be found, in this shape; `frame` is the frame in it.
    """

    frame: Frame
    values: Values
    verdict: Verdict
    case: Case
    answers: Mapping[Name, Quantity]
    advice: str
    only_here: bool = False
    found: Mapping[Name, Root] = field(default_factory=dict)

    @property
    def rests(self) -> bool:
        """Whether the frame can be as it is."""
        return self.verdict in ("determined", "not determined")

    def _repr_html_(self) -> str:
        """Every force exactly, for a notebook."""
        rows = [
            [in_words(self.frame, key), *(f"${part.tex}$" for part in reaction.force)]
            for key, reaction in self.case.forces.reactions.items()
        ]
        rows += [[f"tension in {name}", f"${q.tex}$", ""] for name, q in self.case.forces.tensions.items()]
        return table(f"{self.frame.title}. {self.advice}", ["force", "across", "upwards"], rows)


@dataclass(frozen=True)
class Findings:
    """Everything that statics says of a question.

    `shapes`: the frame in each shape in which it can rest, of all in the ranges of the question;
    just one where no letter is to be found. `ranges`: for letters of which a least or greatest value, or
    the whole range, is asked. `advice` says how often it can rest, where letters are to be found.
    """

    frame: Frame
    shapes: tuple[Statics, ...]
    ranges: Mapping[Name, tuple[Range, ...]]
    advice: str
