"""The board: the equations of one step beside the drawing, written as they are spoken of.

A new line is written below the others; where there is no more room, lines that are done with make way, and
the rest move up. What cancels is struck through in the line before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from simlab.film.cancelled import NOTHING, Cancelled
from simlab.film.chapter import eased
from simlab.film.formulas import Column, Token
from simlab.notation.page import Formula
from simlab.pictures.camera import Rect
from simlab.pictures.marks import Label, Mark, Point, Stroke, faded
from simlab.pictures.palette import SMALL
from simlab.pictures.typeset import setting

GAP = 0.5  # bare paper between two lines, in sizes of type
LEAVE, MOVE = 0.3, 0.5  # [s] in which lines go that make room for a new one, and in which the rest move up
ONE, EACH = 0.3, 0.06  # [s] in which one piece of a line appears; from one piece to the next
STROKE = 0.45  # [s] in which a stroke is drawn through what cancels
EARLIER = 0.66  # opacity of lines that are done with: still 4.5 : 1 on paper
OVER = 4.0  # [page units] that a stroke reaches beyond what it strikes
PAD = 9.0  # [page units] around a term that glows
LABEL_GAP = 26.0  # [page units] from an equation to its number


@dataclass(frozen=True)
class Written:
    """When a line is written [s]: from `begin` on; each term at its own time, if they come one by one.

    `struck`: when what cancels in it is struck through, if anything does.
    """

    begin: float
    terms: Mapping[int, float]
    cancelled: Cancelled = NOTHING
    struck: float = np.inf


class Board:
    """A column of equations in a rectangle of the page, and when each is written."""

    def __init__(
        self, name: str, formulas: Sequence[Formula], rect: Rect, times: Sequence[Written]
    ) -> None:
        self.name, self.formulas, self.rect, self.times = name, formulas, rect, times
        labels = [f"({f.label})" for f in formulas if f.label]
        room = max((setting(label, SMALL).width + LABEL_GAP for label in labels), default=0.0)
        self.column = Column.of(formulas, rect[2] - rect[0] - room)
        self.equals = rect[0] + self.column.equals
        self.places = [self._places(k) for k in range(len(formulas))]

    def _places(self, last: int) -> dict[int, float]:
        """The first baseline of each line that is there when line `last` is [page units]."""
        gap = GAP * self.column.size
        there = list(range(last + 1))

        def height() -> float:
            return sum(self.column.laid[i].height + gap for i in there) - gap

        while len(there) > 1 and height() > self.rect[3] - self.rect[1]:
            plain = [i for i in there[:-2] if not self.formulas[i].label]
            there.remove(plain[0] if plain else there[0])
        places, y = {}, self.rect[1]
        for i in there:
            places[i] = y - self.column.laid[i].box[1]
            y += self.column.laid[i].height + gap
        return places

    def at(self, time: float) -> int:
        """The line that is being written, or was last; -1 before the first."""
        return sum(one.begin <= time for one in self.times) - 1

    def place(self, line: int, time: float) -> tuple[Point, float]:
        """Where a line's equals sign stands at a time, and how far the line is there, 0 to 1."""
        now = self.at(time)
        since = time - self.times[now].begin
        here, before = self.places[now].get(line), self.places[now - 1].get(line) if now else None
        if here is None:
            return (self.equals, before or 0.0), 0.0 if before is None else 1 - eased(since / LEAVE)
        share = eased((since - LEAVE) / MOVE)
        y = here if before is None else before + share * (here - before)
        return (self.equals, y), 1.0

    def moves_up(self, line: int) -> bool:
        """Whether others move up to make room for a line."""
        return line > 0 and any(i not in self.places[line] for i in self.places[line - 1])

    # marks

    def draw(self, time: float, lit: Mapping[int, float] | None = None) -> Iterator[Mark]:
        """The lines at a time; terms that are `lit`, each so strongly (0 to 1), glow in the last one."""
        now = self.at(time)
        for line in range(now + 1):
            (x, y), there = self.place(line, time)
            if there <= 0:
                continue
            parent = line == now or (line == now - 1 and time < self.times[now].begin)
            done = 0.0 if parent else eased((time - self.times[line + 1].begin) / MOVE)
            opacity = there * (1 - (1 - EARLIER) * done)
            yield from self._line(line, (x, y), time, opacity)
            if line == now:
                for term, strength in (lit or {}).items():
                    yield from faded(self._glow(line, term, (x, y)), strength)

    def _line(self, line: int, at: Point, time: float, opacity: float) -> Iterator[Mark]:
        laid, times = self.column.laid[line], self.times[line]
        wait = LEAVE + MOVE if self.moves_up(line) else 0.0
        count = dict[int, int]()
        for k, token in enumerate(laid.tokens):
            start = times.terms.get(token.term, times.begin + wait)
            place = count[token.term] = count.get(token.term, -1) + 1
            late = EACH * (place if token.term in times.terms else k)
            shown = opacity * eased((time - start - late) / ONE)
            if shown > 0:
                yield self._label(
                    f"{line}.{k}", token.text, (at[0] + token.x, at[1] + token.y), token.size, shown
                )
        formula = self.formulas[line]
        if formula.label:
            text = f"({formula.label})"
            shown = opacity * eased((time - times.begin - wait - EACH * len(laid.tokens)) / ONE)
            x = self.rect[2] - setting(text, SMALL).width
            if shown > 0:
                yield self._label(f"{line} number", text, (x, at[1] + laid.tokens[-1].y), SMALL, shown)
        yield from self._strokes(line, at, time, opacity)

    def _label(self, name: str, text: str, at: Point, size: float, opacity: float) -> Label:
        return Label(
            name=f"{self.name} {name}",
            role="text",
            space="page",
            anchor=at,
            text=text,
            size=size,
            opacity=opacity,
        )

    def _strokes(self, line: int, at: Point, time: float, opacity: float) -> Iterator[Mark]:
        """A stroke through each thing that cancels."""
        times = self.times[line]
        share = eased((time - times.struck) / STROKE)
        if share <= 0:
            return
        for k, box in enumerate(self._boxes(self.column.laid[line].tokens, times.cancelled)):
            left, top, right, bottom = box
            start = np.array([at[0] + left - OVER, at[1] + bottom + OVER])
            end = np.array([at[0] + right + OVER, at[1] + top - OVER])
            points = np.array([start, start + share * (end - start)])
            yield Stroke(
                name=f"{self.name} {line} stroke {k}",
                role="strike",
                space="page",
                points=points,
                opacity=opacity,
            )

    @staticmethod
    def _boxes(tokens: Sequence[Token], cancelled: Cancelled) -> Iterator[Rect]:
        for token in tokens:
            if token.term in cancelled.terms and token.text not in "+−×":
                yield token.box
            else:
                yield from token.factor_boxes(cancelled.factors)

    def _glow(self, line: int, term: int, at: Point) -> Iterator[Mark]:
        """A term that is spoken of: a band behind it, and a line under it."""
        left, top, right, bottom = self.column.laid[line].term_box(term)
        x0, y0, x1, y1 = at[0] + left - PAD, at[1] + top - PAD, at[0] + right + PAD, at[1] + bottom + PAD
        corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
        name = f"{self.name} glow {term}"
        yield Stroke(
            name=name, role="glow", space="page", points=corners, closed=True, filled=True, opacity=GLOW
        )
        yield Stroke(name=f"{name} line", role="scale", space="page", points=corners[2:])


GLOW = 0.55  # opacity of the band behind what is spoken of
