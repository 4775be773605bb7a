"""The legend of a force picture: the scale bar, and what each kind of arrow is a force of, and on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import floor, log10

import numpy as np

from simlab.pictures.camera import Camera, Rect
from simlab.pictures.marks import Arrow, Label, Mark, Point, Stroke
from simlab.pictures.palette import SMALL
from simlab.pictures.typeset import setting
from simlab.results.wording import figures

BAR = (70.0, 200.0)  # [page units] between which the scale bar's length should be
TICK = 10.0  # [page units] half height of the bar's ends
SAMPLE = 66.0  # [page units] length of a sample arrow
GAP, NEXT, ROW = 12.0, 34.0, 50.0  # [page units] arrow to words, words to the next arrow, row to row
RISE = 0.33  # from the baseline to the middle of small letters, in sizes of type

WORDS = {
    "weight": "weight",
    "load": "load",
    "support force": "support on frame",
    "thrust": "thrust on rods",
    "tension": "tension on rods",
    "hinge force": "pin on rod",
    "contact force": "one body on another",
    "component": "normal part, friction",
    "hinge component": "its parts",
}


def legend(
    marks: Iterable[Mark], camera: Camera, rect: Rect, spoken: Callable[[str], str] = str
) -> list[Mark]:
    """The scale bar and one sample of each kind of force among the marks.

    In rows from the bottom left of `rect`; the scale bar comes first, in a row of its own where the
    rectangle is too narrow for a sample beside it. `spoken` puts a class's words for ours.
    """
    texts = {role: spoken(words) for role, words in WORDS.items()}
    roles = {mark.role for mark in marks if isinstance(mark, Arrow) and mark.measure == "force"}
    samples = {
        role: SAMPLE + GAP + setting(words, SMALL).width for role, words in texts.items() if role in roles
    }
    left, _, right, bottom = rect
    bar = scale_bar(camera, (left, bottom))
    start = left if not bar else bar[1].anchor[0] + setting(bar[1].text, bar[1].size).width + NEXT
    rows: list[list[tuple[str, float]]] = [[]]  # roles and where each begins
    if bar and start + max(samples.values(), default=0.0) > right:
        start = left
        rows.append([])
    x = start
    for role, long in samples.items():
        if x + long > right and rows[-1]:
            rows.append([])
            x = start
        rows[-1].append((role, x))
        x += long + NEXT
    top = bottom - ROW * (len(rows) - 1)
    laid: list[Mark] = list(scale_bar(camera, (left, top)))
    for i, row in enumerate(rows):
        for role, x in row:
            laid += _sample(role, texts[role], x, top + ROW * i)
    return laid


def _sample(role: str, words: str, x: float, y: float) -> list[Mark]:
    """An arrow of a role, from its tail at (x, y), and its words."""
    name = f"sample of {role}"
    return [sample(name, role, (x, y)), _words(f"words of {name}", words, (x + SAMPLE + GAP, y))]


def sample(name: str, role: str, tail: Point) -> Arrow:
    """An arrow that shows how those of a role are drawn, level from its tail [page units]."""
    return Arrow(name=name, role=role, space="page", tail=tail, vector=(SAMPLE, 0.0), measure="length")


def scale_bar(camera: Camera, at: Point) -> tuple[Stroke, Label] | tuple[()]:
    """A bar of a round number of newtons, to the scale of the arrows; `at` is its left end [page units]."""
    if camera.per_newton <= 0:
        return ()
    newtons = _round_number(BAR[1] / camera.per_newton)
    long = newtons * camera.per_newton
    x, y = at
    lift = [np.nan, np.nan]
    ends = [[[x + d, y - TICK], [x + d, y + TICK]] for d in (0.0, long)]
    points = np.array([*ends[0], lift, [x, y], [x + long, y], lift, *ends[1]])
    bar = Stroke(name="scale bar", role="scale", space="page", points=points)
    return bar, _words("words of scale bar", f"{figures(newtons, 1)} N", (x + long + GAP, y))


def _round_number(high: float) -> float:
    """The largest of 1, 2, 5 times a power of ten that is at most `high`; it is above 0.4 high."""
    power = 10.0 ** floor(log10(high))
    return max(m * power for m in (1.0, 2.0, 5.0) if m * power <= high)


def _words(name: str, text: str, at: Point) -> Label:
    anchor = (at[0], at[1] + RISE * SMALL)
    return Label(name=name, role="text", space="page", anchor=anchor, text=text, size=SMALL)
