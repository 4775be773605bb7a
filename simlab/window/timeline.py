"""The line of time: a cord from the first moment kept to now, with a bead to pull back.

Knots in it say when something happened: a slash where the brace was cut, a ring where something touched.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from simlab.pictures.camera import Page, Rect
from simlab.pictures.legend import RISE
from simlab.pictures.marks import Label, Mark, Point, Ring, Stroke
from simlab.pictures.palette import SMALL
from simlab.pictures.typeset import setting
from simlab.window.layout import STRIP
from simlab.window.player import Player

EDGE = 48.0  # [page units] from the edge of the page
APART = 24.0  # [page units] from the words at its ends to the cord
BEAD, LIT = 12.0, 15.0  # [page units] radius of the bead, and of the bead under the pointer
AROUND, KNOT = 19.0, 8.0  # [page units] radii of the ring around the focused bead, and of that of a touch
SLASH = 14.0  # [page units] half length of the slash of a cut
REACH = 8.0  # [page units] above and below the strip that still catch the bead
BEGUN, NOW = "beginning", "now"
KNOTS = ("cut", "contact")  # kinds of events that are seen on it


class TimeLine:
    """Where the line of time runs on the page, and which moment is where on it."""

    def __init__(self, page: Page, bottom: float) -> None:
        self.page = page
        self.strip: Rect = (0.0, bottom - STRIP, page.width, bottom)
        self.y = bottom - STRIP / 2
        self.left = EDGE + setting(BEGUN, SMALL).width + APART
        self.right = page.width - EDGE - setting(NOW, SMALL).width - APART

    def has(self, point: Point) -> bool:
        """Whether a point of the page is on it."""
        _, top, _, bottom = self.strip
        return top - REACH <= point[1] <= bottom and self.left - BEAD <= point[0] <= self.right + BEAD

    def time_at(self, x: float, player: Player) -> float:
        """The moment at a place of the cord [s]."""
        start, end = player.span
        share = min(max((x - self.left) / (self.right - self.left), 0.0), 1.0)
        return start + share * (end - start)

    def place_of(self, time: float, player: Player) -> float:
        """Where on the cord a moment is [page units]; the end, while there is only one."""
        start, end = player.span
        share = (time - start) / (end - start) if end > start else 1.0
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)

    def marks(self, player: Player, *, has_focus: bool, is_hovered: bool) -> Iterator[Mark]:
        """The cord, its knots and its bead."""
        left, top, right, bottom = self.strip
        foot = bottom + REACH  # no seam shows where the band of words begins
        ground = np.array([[left, top], [right, top], [right, foot], [left, foot]])
        yield Stroke(
            name="strip of time", role="caption band", space="page", points=ground, closed=True, filled=True
        )
        cord = np.array([[self.left, self.y], [self.right, self.y]])
        yield Stroke(name="cord of time", role="moment point", space="page", points=cord)
        for at, kind in knots(player):
            yield self._knot(self.place_of(at, player), kind, at)
        bead = (self.place_of(player.time, player), self.y)
        if has_focus:
            yield Ring(name="ring of time", role="moment point", space="page", centre=bead, radius=AROUND)
        radius = LIT if is_hovered else BEAD
        yield Ring(name="bead of time", role="lit bead", space="page", centre=bead, radius=radius)
        for text, x in ((BEGUN, EDGE), (NOW, self.right + APART)):
            anchor = (x, self.y + RISE * SMALL)
            yield Label(
                name=f"time {text}", role="quiet text", space="page", anchor=anchor, text=text, size=SMALL
            )

    def _knot(self, x: float, kind: str, at: float) -> Mark:
        name = f"{kind} at {at:.3f}"
        if kind == "cut":
            slash = np.array([[x - SLASH / 2, self.y + SLASH], [x + SLASH / 2, self.y - SLASH]])
            return Stroke(name=name, role="strike", space="page", points=slash)
        return Ring(name=name, role="bead", space="page", centre=(x, self.y), radius=KNOT)


def knots(player: Player) -> Iterator[tuple[float, str]]:
    """When something was cut or touched, since the frame was last put together [s], and which it was."""
    stage = player.stage
    earlier = player.span[1] - stage.time
    for event in stage.events:
        if event.kind in KNOTS:
            yield earlier + event.time, event.kind
