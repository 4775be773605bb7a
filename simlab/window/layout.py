"""The layout of the page above the bench: where readings, legend, frame and words stand.

Three arrangements. In a column: readings and legend on the left, the frame beside them with the whole
height; for tall frames. In rows: readings above, legend below, the frame between them with the whole width;
for wide frames and narrow windows. In a snug column, without beads: where type is large.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from simlab.pictures.camera import Page, Rect
from simlab.pictures.cards import BAND, BEAD, BEADS
from simlab.pictures.legend import ROW
from simlab.pictures.marks import Label, Mark, Point
from simlab.pictures.palette import CAPTION
from simlab.pictures.typeset import setting

NARROWEST = 1600.0  # [page units] of a page: more, and smaller type, in a window that is nearly square
LARGE = 1.4  # times the size of all type for a long room
NARROWEST_LARGE = 1280.0  # [page units]: narrower, and the controls take all of the page
STRIP = 44.0  # [page units] height of the line of time, above the line of words
EDGE = 48.0  # [page units] from the edge of the page to words
TOP = 56.0  # [page units] from the top of the page to the middle of the first line
LINE = 66.0  # [page units] from one line of readings to the next
TOP_SNUG, LINE_SNUG = 46.0, 58.0  # [page units] TOP and LINE, where there is little room
BESIDE_SNUG, BELOW_SNUG = 70.0, 60.0  # [page units] BESIDE and BELOW, likewise
LEGEND_WIDTH = 360.0  # [page units] of its longest words, with their arrow
APART = 48.0  # [page units] between two readings of a line
CLEAR = 40.0  # [page units] of bare paper around the frame
BESIDE = 120.0  # [page units] to its left and right, where words stand beside its arrows
LEAST = 220.0  # [page units] of height, below which a frame cannot be seen
SHARE = 0.45  # of the page's width that it has beside a column
BELOW = 84.0  # [page units] below it, where the names of its lowest points stand
BEADS_WIDTH = (2 * BEAD + 5) * (BEADS - 1) + 2 * BEAD  # [page units] of the gravity bar without its words
WIDEST = {"time": "time 888.888 s", "speed": "speed 1/8", "held": "in the past", "gravity": "gravity 100 %"}

Legend = Callable[[Rect], Sequence[Mark]]


def page_of(pixels: tuple[int, int], large: bool = False) -> Page:
    """The page for a window (width, height) [px]: 1080 units high, or NARROWEST wide where that is more.

    `large`: fewer units, so that all that is drawn is LARGE times as large, where the window has room.
    """
    page = Page.of(*pixels)
    grown = max(1 / LARGE, NARROWEST_LARGE / page.width) if large else max(1.0, NARROWEST / page.width)
    return Page(page.width * grown, page.height * grown)


def width(reading: str) -> float:
    """How wide a reading gets [page units]."""
    return setting(WIDEST[reading], CAPTION).width


@dataclass(frozen=True)
class Layout:
    """Where things stand [page units].

    bottom : where the bench begins; time, speed, held, gravity : the middles of the left ends of the
    readings, and of the beads; legend : its marks, legend_rect : where they have room; frame : what the
    frame with its arrows has to fit in; room : what no label may leave
    """

    page: Page
    bottom: float
    time: Point
    speed: Point
    held: Point
    gravity: Point
    beads: Point | None
    legend: Sequence[Mark]
    legend_rect: Rect
    frame: Rect
    room: Rect


def in_column(page: Page, bottom: float, legend: Legend) -> Layout:
    """Readings and legend on the left."""
    right = EDGE + BEADS_WIDTH
    words_top = bottom - BAND - STRIP
    clock = TOP + 2 * LINE
    rect = (EDGE, clock + LINE, right, words_top - ROW / 2 - CLEAR / 4)
    return Layout(
        page,
        bottom,
        time=(EDGE, clock),
        speed=(EDGE, clock + LINE),
        held=(EDGE + width("speed") + APART, clock + LINE),
        gravity=(EDGE, TOP),
        beads=(EDGE + BEAD, TOP + 0.85 * LINE),
        legend=_that_fits(legend, rect),
        legend_rect=rect,
        frame=(right + BESIDE, CLEAR, page.width - BESIDE, words_top - BELOW),
        room=(right + CLEAR / 2, CLEAR / 2, page.width - CLEAR / 2, words_top - CLEAR / 4),
    )


def in_snug_column(page: Page, bottom: float, legend: Legend) -> Layout:
    """The legend on the left, the readings in the upper corners, no beads: for large type."""
    left, right = EDGE + LEGEND_WIDTH, page.width - EDGE - max(width(what) for what in ("time", "held"))
    words_top = bottom - BAND - STRIP
    rect = (EDGE, TOP_SNUG, left, words_top - ROW / 2 - CLEAR / 4)
    return Layout(
        page,
        bottom,
        time=(right, TOP_SNUG),
        speed=(right, TOP_SNUG + LINE_SNUG),
        held=(right, TOP_SNUG + 2 * LINE_SNUG),
        gravity=(EDGE, TOP_SNUG),
        beads=None,
        legend=_that_fits(legend, rect),
        legend_rect=rect,
        frame=(left + BESIDE_SNUG, CLEAR / 2, right - BESIDE_SNUG, words_top - BELOW_SNUG),
        room=(left + CLEAR / 4, CLEAR / 4, page.width - CLEAR / 4, words_top - CLEAR / 4),
    )


def _that_fits(legend: Legend, rect: Rect) -> Sequence[Mark]:
    """The legend at the foot of a column, or none where it would reach up to the readings."""
    marks = legend(rect)
    return marks if _top_of(marks, rect[3]) > rect[1] + ROW else ()


def _top_of(marks: Sequence[Mark], otherwise: float) -> float:
    """The highest baseline of a legend's words."""
    return min((mark.anchor[1] for mark in marks if isinstance(mark, Label)), default=otherwise)


def in_rows(page: Page, bottom: float, legend: Legend) -> Layout:
    """Readings above the frame, the legend below it."""
    clock = EDGE + width("time") + APART + width("speed") + APART + width("held")
    gravity = page.width - EDGE - width("gravity")
    beads = gravity - APART / 2 - BEADS_WIDTH + BEAD
    y = TOP
    if beads < clock + APART:  # a second line for the beads
        beads, gravity, y = EDGE + BEAD, EDGE + BEADS_WIDTH + APART / 2, TOP + LINE
    words_top = bottom - BAND - STRIP
    rect = (EDGE, 0.0, page.width - EDGE, words_top - ROW / 2 - CLEAR / 4)
    marks = legend(rect)
    top = _top_of(marks, words_top) - ROW
    return Layout(
        page,
        bottom,
        time=(EDGE, TOP),
        speed=(EDGE + width("time") + APART, TOP),
        held=(clock - width("held"), TOP),
        gravity=(gravity, y),
        beads=(beads, y),
        legend=marks,
        legend_rect=rect,
        frame=(BESIDE, y + LINE / 2 + CLEAR, page.width - BESIDE, top - CLEAR),
        room=(CLEAR / 2, y + LINE / 2 + CLEAR / 4, page.width - CLEAR / 2, top),
    )


def arrangements(page: Page, bottom: float, legend: Legend) -> list[Layout]:
    """The arrangements that a page has room for, those with all that belongs there before others."""
    rows, column, snug = (made(page, bottom, legend) for made in (in_rows, in_column, in_snug_column))
    full = [layout for layout in (rows, column) if _is_roomy(layout) and layout.legend]
    return full or [snug]


def _is_roomy(layout: Layout) -> bool:
    """Whether the frame can be seen."""
    left, top, right, bottom = layout.frame
    return bottom - top >= LEAST and right - left >= SHARE * layout.page.width
