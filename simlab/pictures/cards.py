"""Cards and bands of a film: title, caption, how much of gravity is let on.

All in page units, so that they look the same at any size; a film lays them over or beside the frame.
"""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np

from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.marks import Label, Mark, Name, Point, Ring, Stroke
from simlab.pictures.palette import CAPTION, LEAST, QUESTION, SMALL, TITLE
from simlab.pictures.typeset import LEADING, setting
from simlab.pictures.weights import lantern
from simlab.results.trace import Floats

MARGIN = 96.0  # [page units] from the edge of the page to words
BAND, TALL_BAND = 116.0, 204.0  # [page units] height of the caption band, on a wide and on a tall page
FOOT = 8.0  # [page units] around a footnote in the band
NARROW = 56.0  # [page units] the margin of a tall page, and of small words
FIXED_SPACE = "\u00a0"
_PART = re.compile(r" (?=\([ivx]+\) )")  # where a part of a question begins: (i), (ii)
_BOUND = re.compile(r"(?<=\d) (?=(?:kg|g|N|m|cm|mm|s)\b)|(?<=\bat) (?=\$)")  # 2 m, at A: on one line
OVERHANG = 4.0  # [page units] by which a sloping letter reaches past the end of its line
TITLE_SHARE = 0.5  # of the page's width that the question takes; the frame stands in the rest
BEADS = 20  # of the gravity bar: 5 % each
BEAD = 9.0  # [page units] radius
GARLAND_SAG = 46.0  # [page units]
GARLAND_LANTERNS, TALL_GARLAND = 9, 5
GARLAND_SIZE = 0.72  # of a lantern on the frame
GARLAND_CORD = 14.0  # [page units] of a lantern on the frame, from the garland to its cap


def band(page: Page) -> float:
    """The height of the caption band of a film [page units]."""
    return TALL_BAND if page.is_tall else BAND


def margin(page: Page) -> float:
    """From the sides of the page to words [page units]."""
    return NARROW if page.is_tall else MARGIN


def frame_rect(page: Page) -> Rect:
    """Where the frame stands while the film shows it alone, above the caption band."""
    side = margin(page)
    return (side, MARGIN * 0.75, page.width - side, page.height - band(page) - MARGIN * 0.6)


def side_rects(page: Page, share: float = TITLE_SHARE) -> tuple[Rect, Rect]:
    """Two rectangles above the caption band: words left, the frame right; words above it on a tall page."""
    side, top, bottom = margin(page), MARGIN * 1.7, page.height - band(page) - MARGIN * 0.4
    if page.is_tall:
        middle = top + (bottom - top) * share
        right = page.width - side
        return (side, top, right, middle - side / 2), (side, middle + side / 2, right, bottom)
    middle = page.width * share
    return (side, top, middle - side / 2, bottom), (middle + side / 2, top, page.width - side, bottom)


def garland(page: Page) -> list[Mark]:
    """A cord with small lanterns along the top edge of a card."""
    x = np.linspace(0.0, page.width, 81)
    y = _cord(x, page.width)
    marks: list[Mark] = [Stroke(name="garland", role="cord", space="page", points=np.stack([x, y], axis=1))]
    count = TALL_GARLAND if page.is_tall else GARLAND_LANTERNS
    for i in range(count):
        at = page.width * (i + 0.5) / count
        marks += _page_lantern(f"garland lantern {i}", (at, float(_cord(np.array([at]), page.width)[0])))
    return marks


def _cord(x: Floats, width: float) -> Floats:
    """A shallow cord from the top corners, hung up in the middle as well: two spans."""
    along = (2 * x / width) % 1.0
    return np.asarray(10.0 + GARLAND_SAG * 4 * along * (1 - along))


def _page_lantern(name: Name, at: Point) -> list[Mark]:
    """A lantern of the frame, a little smaller, where it is seen by a camera of its own."""
    camera = Camera((0.0, 0.0), at, GARLAND_SIZE)
    return [
        replace(mark, space="page", points=camera.to_page(mark.points))
        for mark in lantern(name, np.zeros(2), 1.0, cord=GARLAND_CORD)
        if isinstance(mark, Stroke)
    ]


def title_card(title: str, question: str, rect: Rect, footnote: str = "") -> list[Mark]:
    """Title, question and a small footnote (the caution) in a rectangle; the question's type fits it."""
    left, top, right, bottom = rect
    width = right - left
    size = TITLE
    while size > QUESTION and setting(title, size, bold=True).width > width:
        size -= 2
    heading = setting(title, size, width, bold=True)
    y = top - heading.box[1]
    marks: list[Mark] = [written("title", title, (left, y), size, width, bold=True)]
    y += heading.box[3] + 34
    marks.append(
        Stroke(name="title rule", role="rule", space="page", points=np.array([[left, y], [left + 160, y]]))
    )
    y += 30
    if footnote:
        box = setting(footnote, SMALL, width).box
        bottom -= box[3]
        marks.append(written("footnote", footnote, (left, bottom), SMALL, width, role="quiet text"))
        bottom += box[1] - 0.6 * SMALL
    text = "\n".join(" ".join(part.split()) for part in question.split("\n\n"))
    text = _BOUND.sub(FIXED_SPACE, _PART.sub("\n", text))
    marks.append(paragraph("question", text, (left, y, right - OVERHANG, bottom), QUESTION))
    return marks


def paragraph(name: Name, text: str, rect: Rect, size: float, role: str = "text") -> Label:
    """A wrapped text from the top of a rectangle, its type made smaller until it fits (not below LEAST)."""
    left, top, right, bottom = rect
    while size > LEAST and setting(text, size, right - left).height > bottom - top:
        size -= 1
    first = setting(text, size, right - left).box[1]
    return written(name, text, (left, top - first), size, right - left, role=role)


def written(
    name: Name,
    text: str,
    at: Point,
    size: float,
    width: float | None = None,
    *,
    role: str = "text",
    bold: bool = False,
) -> Label:
    return Label(
        name=name, role=role, space="page", anchor=at, text=text, size=size, width=width, bold=bold
    )


def caption(
    text: str, page: Page, opacity: float = 1.0, high: float = BAND, footnote: str = ""
) -> list[Mark]:
    """A band along the bottom of the page, so high, with a line of words (or more) in its middle.

    A footnote stands below them, small.
    """
    top = page.height - high
    corners = np.array(
        [[0, top], [page.width, top], [page.width, page.height], [0, page.height]], dtype=float
    )
    width = page.width - 2 * margin(page)
    band = Stroke(
        name="caption band", role="caption band", space="page", points=corners, closed=True, filled=True
    )
    marks: list[Mark] = [band]
    if footnote:
        wide = page.width - 2 * NARROW  # one line, on a square page too
        box = setting(footnote, LEAST, wide, "centre").box
        foot = page.height - FOOT - box[3]
        marks.append(_centred("footnote", footnote, foot, LEAST, wide, page, role="quiet text"))
        high += box[1] - box[3] - FOOT
    size, least = CAPTION, LEAST if footnote else SMALL
    while size > least and setting(text, size, width, "centre").height > high - (FOOT if footnote else 24):
        size -= 1
    width = balanced(text, size, width)
    box = setting(text, size, width, "centre").box
    many = box[3] - box[1] > LEADING * size
    middle = top + high / 2
    baseline = middle - (box[1] + box[3]) / 2 if many else middle + 0.33 * size  # x-height's middle
    return [*marks, replace(_centred("caption", text, baseline, size, width, page), opacity=opacity)]


def _centred(
    name: Name, text: str, baseline: float, size: float, width: float, page: Page, role: str = "text"
) -> Label:
    at = (page.width / 2, baseline)
    return replace(written(name, text, at, size, width, role=role), align="centre")


def balanced(text: str, size: float, width: float) -> float:
    """The least width, in twentieths, in which a text is no higher: its lines are then about as long."""
    high = setting(text, size, width, "centre").height
    narrower = [width * k / 20 for k in range(11, 20)]
    return next((w for w in narrower if setting(text, size, w, "centre").height <= high + TALLER), width)


TALLER = 0.4  # [page units]


def fits_caption(text: str, page: Page) -> bool:
    """Whether a text stands in the caption band in type that can be read."""
    width = page.width - 2 * margin(page)
    return setting(text, SMALL, width, "centre").height <= band(page) - 24


def gravity_bar(share: float, at: Point, words: str = "gravity") -> list[Mark]:
    """How much of every weight is let on, 0 to 1: a string of beads that light up, and the per cent.

    `at` is the left end of the beads [page units]; with the words it is about 640 units wide.
    """
    x, y = at
    step = 2 * BEAD + 5
    cord = np.array([[x - BEAD, y], [x + step * (BEADS - 1) + BEAD, y]])
    marks: list[Mark] = [Stroke(name="gravity cord", role="rule", space="page", points=cord)]
    for i in range(BEADS):
        centre = (x + step * i, y)
        marks.append(Ring(name=f"bead {i}", role="bead", space="page", centre=centre, radius=BEAD))
        lit = min(1.0, max(0.0, share * BEADS - i))
        if lit > 0:
            marks.append(
                Ring(
                    name=f"lit bead {i}",
                    role="lit bead",
                    space="page",
                    centre=centre,
                    radius=BEAD,
                    opacity=lit,
                )
            )
    after = x + step * (BEADS - 1) + BEAD + 24
    text = f"{words} {round(100 * share)} %"
    marks.append(written("gravity", text, (after, y + 0.33 * SMALL), SMALL + 4))
    return marks
