"""What a film tells: one frame, its two roads, and what was asked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from simlab.film.prevented import Prevented
from simlab.film.told import ToldWorking
from simlab.film.twin import Twin
from simlab.frame.model import Frame, Name, Values
from simlab.frame.quantity import Quantity
from simlab.pictures.closing_card import Answer
from simlab.results import Forces, Rest, Trace, Verdict
from simlab.results.conventions import HOUSE, Conventions
from simlab.results.wording import called

FIXED = "\u00a0"  # a space at which no line is broken


@dataclass(frozen=True)
class Story:
    """One frame's film in data.

    hanging: gravity let on, at rest in the end; falling: the brace taken away at time 0, or None;
    verdict, rest, advice: what statics says of the frame; exact: the forces as expressions, or None
    where there are none to give; answers and agreement: the words of the closing card; asked: the frame
    as the question has it, its letters to be found still letters, where that is another one; conventions:
    of the class that sees it, for this frame; working: the worked solution that is shown, if one is;
    prevented: the motion that the brace prevents, if it alone prevents one; twins: the frame at its own
    values and at others, both without the brace, to be seen side by side.
    """

    frame: Frame
    values: Values
    hanging: Trace
    falling: Trace | None
    verdict: Verdict
    rest: Rest
    advice: str
    exact: Forces[Quantity] | None
    answers: Sequence[Answer]
    agreement: str
    asked: Frame | None = None
    conventions: Conventions = HOUSE
    working: ToldWorking | None = None
    prevented: Prevented | None = None
    twins: tuple[Twin, Twin] | None = None

    def spoken(self, text: str) -> str:
        """A sentence in the class's words."""
        return self.conventions.spoken(text)

    @property
    def question(self) -> Frame:
        """The frame as the question has it."""
        return self.asked or self.frame

    @property
    def is_plain(self) -> bool:
        """Whether every force has one value, and the frame rests without being touched off."""
        return self.verdict == "determined" and self.rest != "unstable"

    @property
    def at_values(self) -> str:
        """The values shown, as one reads them: "for W = 2 N, α = 20°"; nothing without letters."""
        return self._at(self.frame.symbols)

    @property
    def at_given(self) -> str:
        """The same without letters that are to be found."""
        return self._at([name for name in self.frame.symbols if name not in self.question.found])

    def _at(self, letters: Iterable[Name]) -> str:
        said = [self.frame.symbols[name].said(self.values[name]).replace(" ", FIXED) for name in letters]
        return f"for {', '.join(said)}" if said else ""

    def typeset(self, words: str) -> str:
        """Words with the letters of the values in them as mathematics: "for $W$ = 2 N"."""
        for name in self.frame.symbols:
            letter = Quantity.symbol(name)
            words = words.replace(f" {letter.plain}{FIXED}=", f" ${letter.tex}${FIXED}=")
        return words

    @property
    def brace(self) -> str:
        """The brace as one speaks of it: "the spreader"."""
        return called(self.frame.brace)
