"""The layout of the page above the bench: where readings, legend, frame and words stand.

Two arrangements. In a column: readings and legend on the left, the frame beside them with the whole height;
for tall frames. In rows: readings above, legend below, the frame between them with the whole width; for
wide frames and narrow windows.
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
EDGE = 48.0  # [page units] from the edge of the page to words
TOP = 56.0  # [page units] from the top of the page to the middle of the first line
LINE = 66.0  # [page units] from one line of readings to the next
APART = 48.0  # [page units] between two readings of a line
CLEAR = 40.0  # [page units] of bare paper around the frame
BESIDE = 120.0  # [page units] to its left and right, where words stand beside its arrows
BELOW = 84.0  # [page units] below it, where the names of its lowest points stand
BEADS_WIDTH = (2 * BEAD + 5) * (BEADS - 1) + 2 * BEAD  # [page units] of the gravity bar without its words
WIDEST = {"time": "time 888.888 s", "speed": "speed 1/8", "held": "paused", "gravity": "gravity 100 %"}

Legend = Callable[[Rect], Sequence[Mark]]


def page_of(pixels: tuple[int, int]) -> Page:
    """The page for a window (width, height) [px]: 1080 units high, or NARROWEST wide where that is more."""
    page = Page.of(*pixels)
    grown = max(1.0, NARROWEST / page.width)
    return Page(page.width * grown, page.height * grown)


def width(reading: str) -> float:
    """How wide a reading gets [page units]."""
    return setting(WIDEST[reading], CAPTION).width


@dataclass(frozen=True)
class Layout:
    """Where things stand [page units].

    bottom : where the bench begins; time, speed, held, gravity : the middles of the left ends of the
    readings, and of the beads; legend : its marks; frame : what the frame with its arrows has to fit in;
    room : what no label may leave
    """

    page: Page
    bottom: float
    time: Point
    speed: Point
    held: Point
    gravity: Point
    beads: Point
    legend: Sequence[Mark]
    frame: Rect
    room: Rect


def in_column(page: Page, bottom: float, legend: Legend) -> Layout:
    """Readings and legend on the left."""
    right = EDGE + BEADS_WIDTH
    words_top = bottom - BAND
    marks = legend((EDGE, 0.0, right, words_top - ROW / 2 - CLEAR / 4))
    return Layout(
        page,
        bottom,
        time=(EDGE, TOP + 2 * LINE),
        speed=(EDGE, TOP + 3 * LINE),
        held=(EDGE + width("speed") + APART, TOP + 3 * LINE),
        gravity=(EDGE, TOP),
        beads=(EDGE + BEAD, TOP + 0.85 * LINE),
        legend=marks,
        frame=(right + BESIDE, CLEAR, page.width - BESIDE, words_top - BELOW),
        room=(right + CLEAR / 2, CLEAR / 2, page.width - CLEAR / 2, words_top - CLEAR / 4),
    )


def in_rows(page: Page, bottom: float, legend: Legend) -> Layout:
    """Readings above the frame, the legend below it."""
    clock = EDGE + width("time") + APART + width("speed") + APART + width("held")
    gravity = page.width - EDGE - width("gravity")
    beads = gravity - APART / 2 - BEADS_WIDTH + BEAD
    y = TOP
    if beads < clock + APART:  # a second line for the beads
        beads, gravity, y = EDGE + BEAD, EDGE + BEADS_WIDTH + APART / 2, TOP + LINE
    words_top = bottom - BAND
    marks = legend((EDGE, 0.0, page.width - EDGE, words_top - ROW / 2 - CLEAR / 4))
    top = min((mark.anchor[1] for mark in marks if isinstance(mark, Label)), default=words_top) - ROW
    return Layout(
        page,
        bottom,
        time=(EDGE, TOP),
        speed=(EDGE + width("time") + APART, TOP),
        held=(clock - width("held"), TOP),
        gravity=(gravity, y),
        beads=(beads, y),
        legend=marks,
        frame=(BESIDE, y + LINE / 2 + CLEAR, page.width - BESIDE, top - CLEAR),
        room=(CLEAR / 2, y + LINE / 2 + CLEAR / 4, page.width - CLEAR / 2, top),
    )


def arrangements(page: Page, bottom: float, legend: Legend) -> list[Layout]:
    """The arrangements that a page has room for."""
    layouts = [in_rows(page, bottom, legend)]
    if page.width > 3 * (EDGE + BEADS_WIDTH):  # the frame keeps two thirds
        layouts.append(in_column(page, bottom, legend))
    return layouts
