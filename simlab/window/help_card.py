"""The card of keys: every control with its key and what it does, on one sheet of paper over the window."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from simlab.pictures.camera import Page
from simlab.pictures.marks import Label, Mark, Stroke
from simlab.pictures.typeset import LEADING, setting
from simlab.results.wording import CAUTION
from simlab.window.control import Control, Item
from simlab.window.tags import rounded

Line = tuple[str, str]  # a key, and what it does
Group = tuple[str, Sequence[Line]]  # a heading, and its lines

TITLE = "What you can do"
HEADINGS = {"": "Always", "time": "Time", "joints": "Joints and rods", "view": "View"}
BY_KEYS: Sequence[Line] = (
    ("Tab", "next control (Shift: last)"),
    ("Enter", "press the control in the ring"),
    ("← →", "look back, on; move a slider"),
    ("Home End", "beginning, now; ends"),
    ("Esc", "close what was opened last"),
)
BY_MOUSE: Sequence[Line] = (
    ("Click", "joint: one lantern more"),
    ("Right click", "joint: one lantern fewer"),
    ("Click", "rod: it alone, its forces"),
    ("Pull", "any part: it holds, or folds"),
    ("Pull", "bead of time: look back"),
)
EDGE = 44.0  # [page units] from the edge of the page to the card, and from its edge to words
COLUMN_GAP = 48.0  # [page units]
KEY_GAP = 22.0  # [page units] from a key to what it does
ROW, HEADING, BETWEEN = 1.36, 1.5, 0.6  # lines, headings, and room between groups, in sizes of type
QUIET = 30.0  # [page units] size of type of the caution, right of the title
LARGEST, LEAST = 38.0, 22.0  # [page units] size of type, smaller where there is little room
MOST = 4  # columns


def groups_of(items: Iterable[Item], by_hand: Sequence[Line] = ()) -> list[Group]:
    """All that can be done, in the order of the controls; `by_hand`: what the mouse does.

    Sliders are moved as it says under "By keys alone".
    """
    found: dict[str, list[Line]] = {}
    for item in items:
        if isinstance(item, Control):
            found.setdefault(item.drawer, []).append((item.key_words, item.told))
    groups: list[Group] = [(HEADINGS[drawer], lines) for drawer, lines in found.items()]
    if by_hand:
        groups.append(("By mouse", by_hand))
    return [*groups, ("By keys alone", BY_KEYS)]


def help_card(groups: Sequence[Group], page: Page) -> list[Mark]:
    """The card: as many columns as make its type largest, no line broken but where it must."""
    rect = (EDGE / 2, EDGE / 2, page.width - EDGE / 2, page.height - EDGE / 2)
    ground = np.array([[0, 0], [page.width, 0], [page.width, page.height], [0, page.height]], dtype=float)
    marks: list[Mark] = [
        Stroke(name="under the card", role="band", space="page", points=ground, closed=True, filled=True),
        Stroke(name="card", role="box", space="page", points=rounded(rect), closed=True, filled=True),
    ]
    size, columns = _fitted(groups, page)
    wide = _column(page, columns)
    x, top = EDGE, EDGE + 1.2 * LARGEST
    marks.append(_words("title", TITLE, (EDGE, EDGE + 0.9 * LARGEST), LARGEST, bold=True))
    across = page.width - EDGE - setting(CAUTION, QUIET).width
    marks.append(_words("caution", CAUTION, (across, EDGE + 0.9 * LARGEST), QUIET, role="quiet text"))
    for i, column in enumerate(_poured(groups, size, wide, columns)):
        marks += _column_marks(column, (x + i * (wide + COLUMN_GAP), top), size, wide)
    return marks


def _column(page: Page, columns: int) -> float:
    """Width of each of some columns [page units]."""
    return (page.width - 2 * EDGE - (columns - 1) * COLUMN_GAP) / columns


def _fitted(groups: Sequence[Group], page: Page) -> tuple[float, int]:
    """The largest type, and the number of columns with which everything fits."""
    room = page.height - 2 * EDGE - 1.2 * LARGEST
    size = LARGEST
    while size > LEAST:
        for columns in range(1, MOST + 1):
            wide = _column(page, columns)
            if max(_height(column, size, wide) for column in _poured(groups, size, wide, columns)) <= room:
                return size, columns
        size -= 1
    return LEAST, 2


def _poured(groups: Sequence[Group], size: float, wide: float, columns: int) -> list[list[Group]]:
    """The groups in columns about equally high, none torn apart."""
    heights = [_height([group], size, wide) + BETWEEN * size for group in groups]
    ends = range(1, len(groups) + 1)
    for limit in sorted({sum(heights[i:j]) for j in ends for i in range(j)}):
        poured: list[list[Group]] = [[]]
        high = 0.0
        for group, height in zip(groups, heights, strict=True):
            if poured[-1] and high + height > limit:
                poured.append([])
                high = 0.0
            poured[-1].append(group)
            high += height
        if len(poured) <= columns:
            return poured
    return [list(groups)]


def _height(groups: Sequence[Group], size: float, wide: float) -> float:
    """How high a column of groups is [page units]."""
    high = BETWEEN * size * (len(groups) - 1)
    for _, lines in groups:
        key = _key_width(lines, size)
        high += HEADING * size + sum(_lines_of(told, size, wide - key) for _, told in lines) * ROW * size
    return high


def _key_width(lines: Sequence[Line], size: float) -> float:
    return max(setting(key, size, bold=True).width for key, _ in lines) + KEY_GAP


def _lines_of(told: str, size: float, wide: float) -> int:
    """How many lines a text takes."""
    one, all_of_it = setting(told, size).height, setting(told, size, wide).height
    return 1 + max(0, round((all_of_it - one) / (LEADING * size)))


def _column_marks(groups: Sequence[Group], at: tuple[float, float], size: float, wide: float) -> list[Mark]:
    x, y = at
    marks: list[Mark] = []
    for heading, lines in groups:
        y += HEADING * size
        marks.append(_words(heading, heading, (x, y), size, role="quiet text"))
        key_width = _key_width(lines, size)
        for key, told in lines:
            y += ROW * size
            name = f"{heading}: {key} {told}"
            marks.append(_words(f"key of {name}", key, (x, y), size, bold=True))
            label = _words(f"words of {name}", told, (x + key_width, y), size, width=wide - key_width)
            marks.append(label)
            y += (_lines_of(told, size, wide - key_width) - 1) * ROW * size
        y += BETWEEN * size
    return marks


def _words(
    name: str,
    text: str,
    at: tuple[float, float],
    size: float,
    *,
    role: str = "text",
    bold: bool = False,
    width: float | None = None,
) -> Label:
    return Label(
        name=name, role=role, space="page", anchor=at, text=text, size=size, bold=bold, width=width
    )
