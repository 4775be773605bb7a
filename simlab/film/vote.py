"""The vote: the two answers to a question side by side, each with a sketch, for a class to choose."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

import numpy as np

from simlab.pictures.camera import Rect
from simlab.pictures.marks import Arrow, Label, Mark, Stroke
from simlab.pictures.palette import CAPTION
from simlab.pictures.typeset import setting

GAP = 48.0  # [page units] between the two
PAD = 34.0  # [page units] from the edge of a card to what is on it
THICK = 22.0  # [page units] of the member sketched
FORCE = 96.0  # [page units] length of an arrow sketched
SAG = 40.0  # [page units] of a slack string
TALLEST = 300.0  # [page units] of one card


class Choice(NamedTuple):
    """One answer: its letter, its words, and which way its forces on the rods point along the member."""

    letter: str
    words: str
    outwards: int
    is_string: bool = False


PUSHES = Choice("A", "It pushes the rods apart", 1)
PULLS = Choice("B", "It pulls the rods together", -1)
TAUT = Choice("A", "It is taut, and pulls", -1, True)
SLACK = Choice("B", "It could hang slack", 0, True)


def vote(is_string: bool, rect: Rect, spoken: Callable[[str], str] = str) -> tuple[list[Mark], list[Mark]]:
    """Two cards in the middle of a rectangle of the page, one above the other.

    Of a string it is asked whether it pulls at all. `spoken` puts a class's words for ours.
    """
    left, top, right, bottom = rect
    high = min(TALLEST, (bottom - top - GAP) / 2)
    start = (top + bottom) / 2 - high - GAP / 2
    choices = (TAUT, SLACK) if is_string else (PUSHES, PULLS)
    tops = (start, start + high + GAP)
    first, second = (
        list(_card(choice._replace(words=spoken(choice.words)), (left, y, right, y + high)))
        for choice, y in zip(choices, tops, strict=True)
    )
    return first, second


def _card(choice: Choice, rect: Rect) -> Iterator[Mark]:
    left, top, right, bottom = rect
    corners = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
    name = f"choice {choice.letter}"
    yield Stroke(name=name, role="band", space="page", points=corners, closed=True, filled=True)
    words = f"{choice.letter}:  {choice.words}"
    size = CAPTION
    while setting(words, size).width > right - left - 2 * PAD:
        size -= 1
    base = top + PAD + size
    yield Label(
        name=f"words of {name}", role="text", space="page", anchor=(left + PAD, base), text=words, size=size
    )
    yield from _sketch(choice, name, (left, base, right, bottom))


def _sketch(choice: Choice, name: str, rect: Rect) -> Iterator[Mark]:
    """The member lying down, and its forces on what it is fixed to at both ends."""
    left, top, right, bottom = rect
    x, y, half = (left + right) / 2, (top + bottom) / 2, (right - left) / 6
    ends = np.array([[x - half, y], [x + half, y]])
    if choice.is_string:
        across = np.linspace(-1, 1, 25)
        low = 0.0 if choice.outwards else SAG
        hanging = np.stack([x + half * across, y + low * (0.5 - across**2)], axis=1)
        yield Stroke(name=f"member of {name}", role="string", space="page", points=hanging)
    else:
        yield Stroke(name=f"member of {name}", role="light rod", space="page", points=ends, width=THICK)
    if not choice.outwards:
        return
    for sign in (-1, 1):
        end, way = x + sign * half, sign * choice.outwards * FORCE
        gap = sign * THICK
        tail = end + gap if choice.outwards > 0 else end + gap - way
        yield Arrow(
            name=f"force {sign} of {name}",
            role="load",
            space="page",
            tail=(tail, y),
            vector=(way, 0.0),
            measure="length",
        )
