"""Tags in marks: paper on cords, with words and a key; on a slider's tag a bead on a cord of its own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from simlab.pictures.camera import Rect
from simlab.pictures.marks import Label, Mark, Points, Ring, Stroke
from simlab.pictures.palette import SMALL
from simlab.window.control import Control, Item, Slider
from simlab.window.session import Session

if TYPE_CHECKING:
    from simlab.window.bench import Bench, Tag

WORD, KEY = 38.0, SMALL  # [page units] size of type of what it does and of its key
HUNG = 18.0  # [page units] from the cord down to a tag
LOWER = 4.0  # [page units] from the top of a row to its cord
BASELINES = 0.45, 0.85  # of the two lines of a tag, as shares of its height
VALUE = 0.42  # of what stands on a slider's tag
ROUND = 16.0  # [page units] radius of a tag's corners
HOLE, LIT = 6.0, 9.0  # [page units] radius of the hole that a tag hangs by, and of a bead that is lit
BEAD = 15.0  # [page units] radius of the bead of a slider
END = 12.0  # [page units] half length of the knots at the ends of its cord
RING = 8.0  # [page units] from a tag to the ring around the focused one
HOVER = 5.0  # [page units] that the glow under a tag reaches beyond it


def bench_marks(bench: Bench, hovered: Item | None) -> list[Mark]:
    """The bench, its cords and its tags."""
    width, height, top = bench.page.width, bench.page.height, bench.top
    ground = np.array([[0, top], [width, top], [width, height], [0, height]], dtype=float)
    marks: list[Mark] = [_shape("bench", "band", ground)]
    for y in sorted({tag.rect[1] for tag in bench.tags}):
        cord = np.array([[0.0, y - HUNG + LOWER], [width, y - HUNG + LOWER]])
        marks.append(Stroke(name=f"cord at {y}", role="cord", space="page", points=cord))
    for tag in bench.tags:
        has_focus = bench.session.focus == "bench" and tag.item is bench.focused
        marks += _tag(tag, bench.session, has_focus=has_focus, is_hovered=tag.item is hovered)
    return marks


def _tag(tag: Tag, session: Session, *, has_focus: bool, is_hovered: bool) -> Iterator[Mark]:
    item, (left, top, right, _) = tag.item, tag.rect
    refusal = item.refusal(session) if isinstance(item, Control) else ""
    middle = (left + right) / 2
    string = np.array([[middle, top - HUNG + LOWER], [middle, top + 2 * HOLE]])
    yield Stroke(name=f"string of {item.name}", role="cord", space="page", points=string)
    if has_focus:
        yield _shape(f"focus of {item.name}", "ground line", rounded(tag.rect, RING), is_filled=False)
    if refusal:
        yield _shape(f"tag {item.name}", "reference", rounded(tag.rect), is_filled=False)
    else:
        if is_hovered:
            yield _shape(f"light of {item.name}", "glow", rounded(tag.rect, HOVER))
        yield _shape(f"tag {item.name}", "box", rounded(tag.rect))
    is_lit = isinstance(item, Control) and item.is_lit(session)
    role, radius = ("lit bead", LIT) if is_lit else ("bead", HOLE)
    centre = (middle, top + 2 * HOLE)
    yield Ring(name=f"hole of {item.name}", role=role, space="page", centre=centre, radius=radius)
    if isinstance(item, Slider):
        yield from _slider(tag, item, session)
    else:
        yield from _words(tag, item, session, refusal)


def _words(tag: Tag, control: Control, session: Session, refusal: str) -> Iterator[Mark]:
    """What a tag does, and its key below or why it refuses."""
    left, top, right, bottom = tag.rect
    lines = (control.words(session, tag.is_short), refusal or control.key_words)
    for i, (text, size, share) in enumerate(zip(lines, (WORD, KEY), BASELINES, strict=True)):
        yield Label(
            name=f"{'words' if i == 0 else 'key'} of {control.name}",
            role="quiet text" if refusal or i else "text",
            space="page",
            anchor=((left + right) / 2, top + share * (bottom - top)),
            text=text,
            size=size,
            align="centre",
            bold=i == 0,
        )


def _slider(tag: Tag, slider: Slider, session: Session) -> Iterator[Mark]:
    """What a slider is at, and its bead on a cord with a knot at each end."""
    left, top, right, bottom = tag.rect
    (start, y), (end, _) = tag.track
    yield Label(
        name=f"words of {slider.name}",
        role="text",
        space="page",
        anchor=((left + right) / 2, top + VALUE * (bottom - top)),
        text=slider.text(slider.value(session)),
        size=WORD,
        align="centre",
    )
    lift = [np.nan, np.nan]
    points = np.array(
        [
            [start, y - END],
            [start, y + END],
            lift,
            [start, y],
            [end, y],
            lift,
            [end, y - END],
            [end, y + END],
        ]
    )
    yield Stroke(name=f"track of {slider.name}", role="moment point", space="page", points=points)
    centre = (start + slider.share(session) * (end - start), y)
    yield Ring(name=f"bead of {slider.name}", role="lit bead", space="page", centre=centre, radius=BEAD)


def _shape(name: str, role: str, points: Points, is_filled: bool = True) -> Stroke:
    return Stroke(name=name, role=role, space="page", points=points, closed=True, filled=is_filled)


def rounded(rect: Rect, beyond: float = 0.0) -> Points:
    """The outline of a rectangle with round corners, that reaches a little beyond it; shape (n, 2)."""
    left, top, right, bottom = rect
    turn = np.linspace(0, np.pi / 2, 7)
    radius = ROUND + beyond
    corners = []
    for i, (x, y) in enumerate(
        ((right - ROUND, bottom - ROUND), (left + ROUND, bottom - ROUND),
         (left + ROUND, top + ROUND), (right - ROUND, top + ROUND))
    ):  # fmt: skip
        angle = turn + i * np.pi / 2
        corners.append(np.stack([x + radius * np.cos(angle), y + radius * np.sin(angle)], axis=1))
    return np.concatenate(corners)
