"""The bench: all controls as paper tags on cords along the bottom of the window.

There is one row, or as many as it takes. While a drawer is open its controls hang where the rest of the
row was, so that the frame above stays as large as it is. Where each tag hangs, which one a point hits, and
which one has the focus; how they are drawn: `tags`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simlab.pictures.camera import Page, Rect
from simlab.pictures.marks import Mark, Point
from simlab.pictures.typeset import setting
from simlab.window.control import Control, Item, Slider
from simlab.window.session import Session
from simlab.window.tags import HUNG, KEY, WORD, bench_marks

PAD = 24.0  # [page units] from the edge of a slider's tag to its track
HIGH = 108.0  # [page units] of a tag
BELOW = 16.0  # [page units] bare bench below a row of tags
EDGE = 28.0  # [page units] from the edge of the page to the first tag
KEPT = 2  # controls of the row that stay when a drawer is open, where there is room for them
TRACK_SHARE = 0.72  # of a tag's height, at which its track runs

Look = tuple[object, ...]
Sized = tuple[Item, float]  # an item and how wide its tag is [page units]


@dataclass(frozen=True)
class Fit:
    """How near tags hang.

    pad : beside the words on a tag; gap : between two tags; track : least length of a slider's track [page
    units]; is_short : whether words that can be shortened are
    """

    pad: float
    gap: float
    track: float
    is_short: bool


ROOMY, SNUG = Fit(24.0, 18.0, 216.0, False), Fit(13.0, 11.0, 170.0, True)


@dataclass(frozen=True)
class Tag:
    """A control on the page: left, top, right, bottom [page units]; `is_short`: with few words."""

    item: Item
    rect: Rect
    is_short: bool = False

    def has(self, point: Point) -> bool:
        """Whether a point of the page is on the tag."""
        left, top, right, bottom = self.rect
        return left <= point[0] <= right and top <= point[1] <= bottom

    @property
    def track(self) -> tuple[Point, Point]:
        """The ends of a slider's track."""
        left, top, right, bottom = self.rect
        y = top + TRACK_SHARE * (bottom - top)
        return (left + PAD, y), (right - PAD, y)

    def share_at(self, x: float) -> float:
        """How far along the track a place is, 0 to 1."""
        (left, _), (right, _) = self.track
        return min(max((x - left) / (right - left), 0.0), 1.0)


class Bench:
    """The controls on a page, in as few rows as they take; the focus.

    top : where the bench begins [page units]; tags : those that are seen now, from the top
    """

    def __init__(self, session: Session, items: Sequence[Item], page: Page) -> None:
        self.session, self.items = session, tuple(items)
        self.focused = self.items[0]
        self.arrange(page)

    def arrange(self, page: Page) -> None:
        """Hang the tags up anew, on a page of another shape or with another drawer open."""
        self.page, self.drawer = page, self.session.drawer
        room = page.width - 2 * EDGE
        ways = [(kept, fit) for kept in ((KEPT, 0) if self.drawer else (KEPT,)) for fit in (ROOMY, SNUG)]
        rows = min((list(_rows(self._row(kept), fit, room)) for kept, fit in ways), key=len)
        deep = HUNG + HIGH + BELOW
        self.top = page.height - deep * len(rows)
        self.tags = tuple(
            tag for i, row in enumerate(rows) for tag in _hung(row, self.top + deep * i + HUNG, page.width)
        )
        if all(tag.item is not self.focused for tag in self.tags):
            self.focused = self._opener() or self.tags[-1].item

    def _row(self, kept: int) -> list[Item]:
        """The controls that hang now; `kept` of the first ones beside those of an open drawer."""
        row = [item for item in self.items if not item.drawer]
        if not self.drawer:
            return row
        opener = [item for item in row if item.name == self.drawer]
        return [*row[:kept], *(item for item in self.items if item.drawer == self.drawer), *opener]

    def _opener(self) -> Item | None:
        """The control of the drawer that the focus was in, once that is closed."""
        return next((item for item in self.items if item.name == self.focused.drawer), None)

    def tag_at(self, point: Point) -> Tag | None:
        """The tag under a point of the page [page units]."""
        return next((tag for tag in self.tags if tag.has(point)), None)

    @property
    def first(self) -> Item:
        """The first control that the focus goes to: of the row that is always there, the first."""
        return self._open_items()[0]

    @property
    def last(self) -> Item:
        """The last one that the focus goes to."""
        return self._open_items()[-1]

    def _open_items(self) -> list[Item]:
        return [tag.item for tag in self.tags if not self._refuses(tag.item)]

    def focus_on(self, item: Item) -> None:
        """Give a control the focus."""
        self.focused = item

    def focus_drawer(self) -> None:
        """Give the focus to the first control of the drawer that was just opened."""
        first = [item for item in self.items if item.drawer == self.drawer and not self._refuses(item)]
        if self.drawer and first:
            self.focused = first[0]

    def move_focus(self, by: int) -> None:
        """Focus the next control (by = 1) or the one before (-1) that does not refuse, round and round."""
        seen = [tag.item for tag in self.tags]
        start, n = seen.index(self.focused), len(seen)
        places = [(start + by * i) % n for i in range(1, n + 1)]
        self.focused = next((seen[i] for i in places if not self._refuses(seen[i])), self.focused)

    def _refuses(self, item: Item) -> bool:
        return isinstance(item, Control) and bool(item.refusal(self.session))

    def look(self, hovered: Item | None = None) -> Look:
        """All that the bench's look depends on: while it is the same, the bench need not be drawn again."""
        session = self.session
        faces = tuple(
            (item.words(session), item.refusal(session), item.is_lit(session))
            if isinstance(item, Control)
            else item.value(session)
            for item in (tag.item for tag in self.tags)
        )
        focused = self.focused.name if session.focus == "bench" else ""
        return (self.page, self.drawer, faces, focused, hovered.name if hovered else "")

    def marks(self, hovered: Item | None = None) -> list[Mark]:
        """The bench as marks, with the words that stand on it now."""
        return bench_marks(self, hovered)


def width_of(item: Item, fit: Fit) -> float:
    """How wide a tag must be for whatever may stand on it [page units]."""
    if isinstance(item, Slider):
        words = max(setting(text, WORD).width for text in item.widest)
        return max(words + 2 * fit.pad, fit.track + 2 * PAD)
    faces = item.short if fit.is_short and item.short else item.faces
    words = max(setting(face, WORD, bold=True).width for face in faces)
    below = max(setting(text, KEY).width for text in (item.key_words, item.reason))
    return max(words, below) + 2 * fit.pad


Row = tuple[Sequence[Sized], Fit]


def _rows(items: Sequence[Item], fit: Fit, room: float) -> Iterator[Row]:
    """The tags in as few rows as hold them, the rows about equally full."""
    tags = [(item, width_of(item, fit)) for item in items]
    whole = sum(width + fit.gap for _, width in tags) - fit.gap
    n_rows = 1
    while True:
        rows = _filled(tags, fit.gap, max(whole / n_rows, max(width for _, width in tags)), room)
        if len(rows) <= n_rows or n_rows == len(tags):
            yield from ((row, fit) for row in rows)
            return
        n_rows += 1


def _filled(tags: Sequence[Sized], gap: float, wished: float, room: float) -> list[list[Sized]]:
    """The tags in rows that are not longer than the room, broken once they are as long as wished."""
    rows: list[list[Sized]] = [[]]
    long = 0.0
    for item, width in tags:
        if rows[-1] and (long + width > room or long >= wished):
            rows.append([])
            long = 0.0
        rows[-1].append((item, width))
        long += width + gap
    return rows


def _hung(row: Row, top: float, width: float) -> Iterator[Tag]:
    """One row of tags, in the middle of the page."""
    sized, fit = row
    x = (width - sum(wide + fit.gap for _, wide in sized) + fit.gap) / 2
    for item, wide in sized:
        yield Tag(item, (x, top, x + wide, top + HIGH), fit.is_short)
        x += wide + fit.gap
