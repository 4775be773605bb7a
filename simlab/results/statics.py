"""What exact statics hands on: the verdict, every force, and the conditions on which they hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.results.forces import Forces, Key
from simlab.results.html import table
from simlab.results.wording import in_words

Rest = Literal["fixed", "stable", "neutral", "unstable", "undecided"]
Verdict = Literal["determined", "not determined", "cannot rest", "falls out"]


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
class Statics:
    """Exact equilibrium of a frame: verdict (decided at `values`), the case, answers, advice.

    `only_here`: the answer holds at `values` only, since loads balance, or hinges line up, just there.
    """

    frame: Frame
    values: Values
    verdict: Verdict
    case: Case
    answers: Mapping[Name, Quantity]
    advice: str
    only_here: bool = False

    def _repr_html_(self) -> str:
        """Every force exactly, for a notebook."""
        rows = [
            [in_words(self.frame, key), *(f"${part.tex}$" for part in reaction.force)]
            for key, reaction in self.case.forces.reactions.items()
        ]
        rows += [[f"tension in {name}", f"${q.tex}$", ""] for name, q in self.case.forces.tensions.items()]
        return table(f"{self.frame.title}. {self.advice}", ["force", "across", "upwards"], rows)
