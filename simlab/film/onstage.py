"""A part on the bench at any time: how far out it is, which forces are there, what is spoken of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from simlab.film.apart import Apart
from simlab.film.bench import Bench, Layout
from simlab.film.chapter import eased
from simlab.film.placing import Spots, at_spots, between
from simlab.film.score import ARM, FADE, GROW, HOME, OUT, RING, SOON, Shown, Stay, Turn
from simlab.frame.model import Name
from simlab.pictures.arrowheads import HEADS
from simlab.pictures.isolated import NOT_TO_SCALE
from simlab.pictures.marks import Arrow, Label, Mark, Points, Ring, Stroke, faded
from simlab.pictures.palette import PENS, SMALL
from simlab.pictures.view import on_page

WORDS_LATER, WORDS = 0.25, 0.35  # [s] from an arrow to its words, and in which they appear
BLINK = 0.25  # [s] in which the glow of what is spoken of comes and goes
GLOW, WIDER = 0.6, 16.0  # opacity of that glow; how far it reaches around an arrow [page units]


class OnStage:
    """Draws one stay of a part on the bench."""

    def __init__(self, stay: Stay, apart: Apart) -> None:
        self.stay, self.apart, self.bench = stay, apart, stay.bench

    def share(self, time: float) -> float:
        """How far the part is out, 0 to 1, eased."""
        stay = self.stay
        if time > stay.back + FADE:
            return 1 - eased((time - stay.back - FADE) / HOME)
        return eased((time - stay.begin) / OUT)

    def there(self, time: float) -> float:
        """How far the words and arrows on the bench may be seen, 0 to 1."""
        stay = self.stay
        return eased((time - stay.out) / FADE) * (1 - eased((time - stay.back) / FADE))

    def draw(self, time: float) -> Iterator[Mark]:
        """Everything of the drawing at a time."""
        yield from self.apart.draw(self.share(time))
        there = self.there(time)
        if there > 0:
            yield from faded(self._details(time), there)

    def _details(self, time: float) -> list[Mark]:
        turn, layout, spots = self._now(time)
        named = at_spots([*self.bench.angles, *self.bench.point_names], spots)
        marks = [*on_page(named, self.bench.camera), *self.arrows(time, spots, layout)]
        for i, one in enumerate(self.stay.turns):
            if one.begin <= time:
                gone = 0.0 if one is turn else eased((time - self.stay.turns[i + 1].begin) / SOON)
                marks += faded(self._turn(one, time, spots if one is turn else None), 1 - gone)
        return [*marks, note(self.bench, NOT_TO_SCALE)]

    def _now(self, time: float) -> tuple[Turn | None, Layout, Spots]:
        """The equation that is spoken of, its layout, and where words stand on their way there."""
        begun = [turn for turn in self.stay.turns if turn.begin <= time]
        if not begun:
            layout = self.bench.layouts[self.stay.layout]
            return None, layout, layout.spots
        turn = begun[-1]
        layout = self.bench.layouts[turn.layout]
        before = self.bench.layouts[max(turn.layout - 1, 0)].spots
        return turn, layout, between(before, layout.spots, eased((time - turn.begin) / SOON))

    # forces

    def arrows(self, time: float, spots: Spots, layout: Layout) -> list[Mark]:
        """The forces that are there, those that have just come on their way."""
        marks: list[Mark] = []
        for mark in self.bench.forces:
            name = mark.name.removeprefix("words of ").removeprefix("arc of ")
            since = time - self.stay.arrows.get(name, np.inf)
            if since < 0:
                continue
            grown = eased(since / GROW)
            if isinstance(mark, Label):
                opacity = eased((since - WORDS_LATER) / WORDS)
                marks.append(replace(mark, opacity=opacity))
                if mark.name in layout.leads:
                    marks.append(replace(layout.leads[mark.name], opacity=opacity))
            elif isinstance(mark, Arrow) and not self._turns(name):
                marks.append(self.bench.grown(mark, grown))
            else:
                marks.append(replace(mark, opacity=grown))
        return on_page(at_spots(marks, spots), self.bench.camera)

    def _turns(self, name: Name) -> bool:
        return any(mark.name == f"arc of {name}" for mark in self.bench.forces)

    # equations

    def _turn(self, turn: Turn, time: float, spots: Spots | None) -> list[Mark]:
        """The ring of an equation, its arms so far, and the glow around what is spoken of."""
        layout = self.bench.layouts[turn.layout]
        closing = eased((time - turn.begin - SOON / 2) / RING)
        marks: list[Mark] = [
            replace(m, radius=m.radius * closing) for m in layout.ring if isinstance(m, Ring)
        ]
        drawn = set[Name]()  # an arm may serve two terms
        for shown in turn.shown:
            if shown.begin <= time:
                new = [name for name in shown.arms if name not in drawn]
                marks += self._arms(layout, new, time - shown.begin)
                marks += self._glow(shown, time)
                drawn.update(shown.arms)
        return on_page(at_spots(marks, layout.spots if spots is None else spots), self.bench.camera)

    @staticmethod
    def _arms(layout: Layout, names: Sequence[Name], since: float) -> Iterator[Mark]:
        """Some arms, so many seconds after they began to grow."""
        share = eased(since / ARM)
        for mark in layout.arms:
            if not any(mark.name in _of_arm(name) for name in names):
                continue
            if isinstance(mark, Stroke) and mark.role == "arm":
                a, b = mark.points
                yield replace(mark, points=np.array([a, a + share * (b - a)]))
            elif isinstance(mark, Arrow):
                x, y = mark.vector
                yield replace(mark, vector=(share * x, share * y))
            elif isinstance(mark, Label):
                opacity = eased((since - ARM / 2) / WORDS)
                yield replace(mark, opacity=opacity)
                if mark.name in layout.leads:
                    yield replace(layout.leads[mark.name], opacity=opacity)
            else:
                yield replace(mark, opacity=share)

    def _glow(self, shown: Shown, time: float) -> Iterator[Mark]:
        """A band of light around the arrows of a term, while it is spoken of."""
        strength = lit(shown, time)
        arrows = {mark.name: mark for mark in self.bench.forces if isinstance(mark, Arrow)}
        for name in shown.arrows if strength > 0 else ():
            arrow = arrows.get(name)
            if arrow is not None:
                yield glow_of(arrow, self.bench.camera.grain, strength)


def _of_arm(name: Name) -> tuple[Name, ...]:
    """The names of all marks of an arm."""
    return tuple(
        f"{what} {name}"
        for what in ("arm of", "foot of", "end of arm of", "line to", "line of action of", "arm")
    )


def lit(shown: Shown, time: float, later: float = 0.0) -> float:
    """How much a term glows at a time, 0 to 1, so much `later` than its arrow."""
    return eased((time - shown.begin - later) / BLINK) * (1 - eased((time - shown.end) / BLINK))


def glow_of(arrow: Arrow, grain: float, strength: float) -> Stroke:
    """A band of light around an arrow."""
    tail, along = np.array(arrow.tail), np.array(arrow.vector)
    half = HEADS[PENS[arrow.role].head][1]
    points: Points = np.array([tail, tail + along])
    width = 2 * (half + WIDER / 2) * grain
    return Stroke(
        name=f"glow of {arrow.name}", role="glow", points=points, width=width, opacity=GLOW * strength
    )


def note(bench: Bench, text: str) -> Label:
    """A few quiet words at the foot of the drawing."""
    left, _, _, bottom = bench.rect
    return Label(
        name="note",
        role="quiet text",
        space="page",
        anchor=(left + SMALL, bottom - SMALL / 2),
        text=text,
        size=SMALL,
    )
