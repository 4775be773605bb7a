"""Succession: pictures one after another, in which labels hold still, glide, and come and go softly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.crowding import left_out
from simlab.pictures.marks import Label, Mark, Name
from simlab.pictures.placement import Placement, Spot, place

GLIDE = 0.25  # share of the way to its new place that a label moves in a sixtieth of a second
FASTEST = 900.0  # [page units/s] that a label glides
FADE = 0.25  # [s] in which a label comes or goes


class _Shown(NamedTuple):
    """A label as it was in the last picture, and how far it had come, 0 to 1."""

    label: Label
    spot: Spot
    there: float


class Succession:
    """Pictures on a page, `rate` a second, each laid out with regard to the one before.

    moves : whether a label is on its way, coming or going
    """

    def __init__(self, page: Page, rate: float) -> None:
        self.page, self.rate = page, rate
        self.moves = False
        self._shown: dict[Name, _Shown] = {}
        self._placement: Placement = {}
        self._is_first = True

    def cut(self) -> None:
        """What comes next is shown at once: labels keep their seats, and none is on its way."""
        self._is_first = True

    def forget(self) -> None:
        """What comes next is something else: labels choose the best places there are."""
        self._is_first, self._shown, self._placement = True, {}, {}

    def follow(
        self, marks: Sequence[Mark], camera: Camera, within: Rect | None = None
    ) -> tuple[list[Mark], Placement]:
        """The next picture: its marks, with labels that come or go faint, and where its labels stand."""
        glide = 1.0 if self._is_first else 1 - (1 - GLIDE) ** (60 / self.rate)
        placement = dict(
            place(
                marks,
                camera,
                self._placement,
                page=self.page,
                within=within,
                glide=glide,
                fastest=FASTEST / self.rate,
            )
        )
        out = left_out(marks, placement)
        step = 1.0 if self._is_first else 1 / (FADE * self.rate)
        shown: dict[Name, _Shown] = {}
        drawn: list[Mark] = []
        for mark in marks:
            if mark.name in out:
                continue
            if isinstance(mark, Label) and mark.sides and mark.opacity > 0:
                there = min(1.0, self._there(mark.name) + step)
                shown[mark.name] = _Shown(mark, placement[mark.name], there)
                mark = mark if there == 1 else replace(mark, opacity=mark.opacity * there)
            drawn.append(mark)
        gone = {} if self._is_first else self._shown
        for name, (label, spot, there) in gone.items():
            if (name in out or name not in placement) and there > step:  # it has gone: it fades away
                shown[name] = _Shown(label, spot, there - step)
                placement[name] = spot
                drawn.append(replace(label, opacity=label.opacity * shown[name].there))
        self._shown, self._placement, self._is_first = shown, placement, False
        self.moves = any(s.there < 1 or s.spot.still != (0.0, 0.0) for s in shown.values())
        return drawn, placement

    def _there(self, name: Name) -> float:
        return self._shown[name].there if name in self._shown else 0.0
