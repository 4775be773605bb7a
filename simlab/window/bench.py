"""The bench: all controls as paper tags on a cord along the bottom of the window.

Where each tag hangs, which one a point hits, which one has the focus, and how they are drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from simlab.pictures.camera import Page, Rect
from simlab.pictures.marks import Label, Mark, Point, Points, Ring, Stroke
from simlab.pictures.palette import SMALL
from simlab.pictures.typeset import setting
from simlab.window.controls import Control
from simlab.window.player import Player

WORD, KEY = 38.0, SMALL  # [page units] size of type of what it does and of its key
PAD, GAP = 26.0, 20.0  # [page units] beside the words on a tag, and between two tags
HIGH = 122.0  # [page units] of a tag
HUNG = 24.0  # [page units] from the cord down to a tag
BELOW = 24.0  # [page units] bare bench below a row of tags
EDGE = 28.0  # [page units] from the edge of the page to the first tag
BASELINES = 0.44, 0.82  # of the two lines of a tag, as shares of its height
ROUND = 16.0  # [page units] radius of a tag's corners
HOLE = 6.0  # [page units] radius of the hole that a tag hangs by
RING = 9.0  # [page units] from a tag to the ring around the focused one
HOVER = 5.0  # [page units] that the glow under a tag reaches beyond it


Look = tuple[Page, tuple[tuple[str, str], ...], int, Control | None]


@dataclass(frozen=True)
class Tag:
    """A control on the page: left, top, right, bottom [page units]."""

    control: Control
    rect: Rect

    def has(self, point: Point) -> bool:
        """Whether a point of the page is on the tag."""
        left, top, right, bottom = self.rect
        return left <= point[0] <= right and top <= point[1] <= bottom


class Bench:
    """The controls on a page, in one row or as many as it takes; the focus.

    top : where the bench begins [page units]
    """

    def __init__(self, controls: Sequence[Control], page: Page) -> None:
        self.controls = tuple(controls)
        self.focus = 0
        self.arrange(page)

    def arrange(self, page: Page) -> None:
        """Hang the tags up anew on a page of another shape; the focus stays."""
        self.page = page
        rows = list(_rows([(control, _width(control)) for control in self.controls], page.width - 2 * EDGE))
        deep = HUNG + HIGH + BELOW
        self.top = page.height - deep * len(rows)
        self.tags = tuple(
            tag for i, row in enumerate(rows) for tag in _hung(row, self.top + deep * i + HUNG, page.width)
        )

    def tag_at(self, point: Point) -> Tag | None:
        """The tag under a point of the page [page units]."""
        return next((tag for tag in self.tags if tag.has(point)), None)

    @property
    def focused(self) -> Control:
        """The control that Return presses."""
        return self.controls[self.focus]

    def focus_on(self, control: Control) -> None:
        """Give a control the focus."""
        self.focus = self.controls.index(control)

    def move_focus(self, player: Player, by: int) -> None:
        """Focus the next control (by = 1) or the one before (-1) that does not refuse, round and round."""
        n = len(self.controls)
        places = [(self.focus + by * i) % n for i in range(1, n + 1)]
        self.focus = next(i for i in places if not self.controls[i].refusal(player))

    def look(self, player: Player, hovered: Control | None = None) -> Look:
        """All that the bench's look depends on: while it is the same, the bench need not be drawn again."""
        faces = tuple((c.words(player), c.refusal(player)) for c in self.controls)
        return (self.page, faces, self.focus, hovered)

    def marks(self, player: Player, hovered: Control | None = None) -> list[Mark]:
        """The bench as marks, with the words that stand on it now."""
        width, height, top = self.page.width, self.page.height, self.top
        ground = np.array([[0, top], [width, top], [width, height], [0, height]], dtype=float)
        marks: list[Mark] = [_shape("bench", "band", ground)]
        for y in sorted({tag.rect[1] for tag in self.tags}):
            cord = np.array([[0.0, y - HUNG], [width, y - HUNG]])
            marks.append(Stroke(name=f"cord at {y}", role="cord", space="page", points=cord))
        for tag in self.tags:
            has_focus = tag.control is self.focused
            marks += _tag(tag, player, has_focus=has_focus, is_lit=tag.control is hovered)
        return marks


def _width(control: Control) -> float:
    """How wide a tag must be for whatever may stand on it [page units]."""
    words = max(setting(face, WORD, bold=True).width for face in control.faces)
    below = max(setting(text, KEY).width for text in (control.key_words, control.reason))
    return max(words, below) + 2 * PAD


def _rows(tags: Sequence[tuple[Control, float]], room: float) -> Iterator[Sequence[tuple[Control, float]]]:
    """The tags in as few rows as hold them, the rows about equally full."""
    whole = sum(width + GAP for _, width in tags) - GAP
    n_rows = 1
    while True:
        rows = _filled(tags, max(whole / n_rows, max(width for _, width in tags)), room)
        if len(rows) <= n_rows or n_rows == len(tags):
            yield from rows
            return
        n_rows += 1


def _filled(
    tags: Sequence[tuple[Control, float]], wished: float, room: float
) -> list[list[tuple[Control, float]]]:
    """The tags in rows that are not longer than the room, broken once they are as long as wished."""
    rows: list[list[tuple[Control, float]]] = [[]]
    long = 0.0
    for control, width in tags:
        if rows[-1] and (long + width > room or long >= wished):
            rows.append([])
            long = 0.0
        rows[-1].append((control, width))
        long += width + GAP
    return rows


def _hung(row: Sequence[tuple[Control, float]], top: float, width: float) -> Iterator[Tag]:
    """One row of tags, in the middle of the page."""
    x = (width - sum(wide + GAP for _, wide in row) + GAP) / 2
    for control, wide in row:
        yield Tag(control, (x, top, x + wide, top + HIGH))
        x += wide + GAP


def _tag(tag: Tag, player: Player, *, has_focus: bool, is_lit: bool) -> Iterator[Mark]:
    name, (left, top, right, bottom) = tag.control.name, tag.rect
    refusal = tag.control.refusal(player)
    middle = (left + right) / 2
    string = np.array([[middle, top - HUNG], [middle, top + 2 * HOLE]])
    yield Stroke(name=f"string of {name}", role="cord", space="page", points=string)
    if has_focus:
        yield _shape(f"focus of {name}", "ground line", _rounded(tag.rect, RING), is_filled=False)
    if refusal:
        yield _shape(f"tag {name}", "reference", _rounded(tag.rect), is_filled=False)
    else:
        if is_lit:
            yield _shape(f"light of {name}", "glow", _rounded(tag.rect, HOVER))
        yield _shape(f"tag {name}", "box", _rounded(tag.rect))
    yield Ring(
        name=f"hole of {name}", role="bead", space="page", centre=(middle, top + 2 * HOLE), radius=HOLE
    )
    lines = (tag.control.words(player), refusal or tag.control.key_words)
    for i, (text, size, share) in enumerate(zip(lines, (WORD, KEY), BASELINES, strict=True)):
        yield Label(
            name=f"{'words' if i == 0 else 'key'} of {name}",
            role="quiet text" if refusal or i else "text",
            space="page",
            anchor=(middle, top + share * (bottom - top)),
            text=text,
            size=size,
            align="centre",
            bold=i == 0,
        )


def _shape(name: str, role: str, points: Points, is_filled: bool = True) -> Stroke:
    return Stroke(name=name, role=role, space="page", points=points, closed=True, filled=is_filled)


def _rounded(rect: Rect, beyond: float = 0.0) -> Points:
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
