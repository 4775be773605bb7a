"""The showing: the moment that a player has reached, as marks on a page."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

import numpy as np

from simlab.frame.model import Name
from simlab.pictures.arrows import KINDS, Kind, Words, force_arrows, in_newtons, kind_of, largest, scale_for
from simlab.pictures.camera import Camera, Page, Rect
from simlab.pictures.cards import BAND, caption, gravity_bar
from simlab.pictures.force_polygon import by_name, by_size
from simlab.pictures.legend import RISE, legend
from simlab.pictures.marks import Label, Mark, Point
from simlab.pictures.one_body import OneBody
from simlab.pictures.palette import CAPTION, FORCE
from simlab.pictures.paths import fading_path
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.typeset import setting
from simlab.results import Instant, Key
from simlab.window.layout import STRIP, Layout, arrangements
from simlab.window.pointing import pointing
from simlab.window.rehearsal import Rehearsal
from simlab.window.session import Session
from simlab.window.sight import WEIGHTS, Sight
from simlab.window.timeline import TimeLine
from simlab.window.words import Texts, spoken_line

SIDE = 40.0  # [page units] left and right of a body alone
SHORTEST, LONGEST = 70.0, 280.0  # [page units of HEIGHT] of the largest arrow: else another scale
MANY = 18  # words around a frame in large type, above which those of pins wait
CROWD, SMALLER = 24, 0.72  # and above which all are so much smaller
# How readily the words beside an arrow make way for others: those of pins first, of members last.
YIELDS = {"hinge force": 4, "contact force": 4, "weight": 3, "support force": 2, "thrust": 1, "tension": 1}
WIDEST = 0.22  # of the page's width, that words beside an arrow may take


class Showing:
    """A session's moments on a page.

    layout : where things stand; line : of time; texts : what the exact road says; sight : the camera
    """

    def __init__(self, session: Session, texts: Texts, page: Page, bottom: float) -> None:
        self.session, self.player = session, session.player
        self.texts = texts
        self.per_newton = 0.0  # on a page of 1080 units
        self._halvings = 0  # of that, while a hand pulls hard
        self._one: OneBody | None = None
        self.sight = Sight(self.player)
        self._lanterns = self.player.lanterns
        self.layout: Layout
        self._renew()
        self.arrange(page, bottom)

    def _renew(self) -> None:
        """The frame is another one: other values, or other weights on it."""
        player = self.player
        self.edition, self.plan = player.edition, player.plan
        self.same_lanterns, self._lanterns = self._lanterns == player.lanterns, player.lanterns
        rehearsal = Rehearsal(self.plan)
        hangs = player.share == 1 and not player.is_released
        self.rest = player.now() if hangs else rehearsal.rest
        self.sight.renew(self.rest, rehearsal)
        greatest = largest(self.plan, self.rest.forces)
        if not SHORTEST <= greatest * self.per_newton <= LONGEST:  # else arrows tell how forces change
            self.per_newton = scale_for(greatest)

    def follow(self) -> bool:
        """Follow the player to another frame, if it has one; whether it had."""
        if self.player.edition == self.edition:
            return False
        self._renew()
        self._set_scale()
        self.layout = replace(self.layout, legend=self._legend(self.layout.legend_rect))
        self._settle(self.sight.close_in(self.layout.frame))
        return True

    def arrange(self, page: Page, bottom: float) -> None:
        """Lay everything out on a page of any shape, above the bench, the frame as large as can be."""
        self.sight.size_of(page.height)
        self._set_scale()
        layouts = arrangements(page, bottom, self._legend)
        found = [(layout, self.sight.close_in(layout.frame)) for layout in layouts]
        self.layout, close = max(found, key=lambda pair: pair[1].scale)
        self.line = TimeLine(page, bottom - BAND)
        self._settle(close)

    def _settle(self, close: Camera) -> None:
        self.sight.settle(self.layout.frame, close, self.session.display.calm)

    def _set_scale(self) -> None:
        """The one scale of all arrows [page units/N]."""
        self.sight.scale = self.per_newton * self.sight.fine / float(2**self._halvings)

    def _legend(self, rect: Rect) -> list[Mark]:
        """The legend of all arrows that there are at rest: it stands still while arrows come and go."""
        still = Camera((0.0, 0.0), (0.0, 0.0), 1.0, self.per_newton)
        arrows = force_arrows(self.plan, self.rest.forces, still)
        return legend(arrows, still.with_forces(self.sight.scale), rect, self.texts.conventions.spoken)

    # ------------------------------------------------------------ one picture

    @property
    def view(self) -> Camera:
        """The camera of the last picture."""
        return self.sight.view or self.sight.close

    def marks(self) -> list[Mark]:
        """Everything above the line of words at the moment reached; the camera's view moves on."""
        if self.player.isolated is not None:
            return [*self._alone(self.player.isolated), *self._time_line()]
        player, plan, instant = self.player, self.plan, self.player.now()
        self._keep_arrows_short(instant)
        camera = self.sight.move(instant, self.session.display.calm)
        grain = self.sight.grain(camera)
        marks = supports(plan, grain, self.sight.ground)
        for name in player.trails:
            marks += fading_path(name, player.trail(name))
        names = not (player.is_released and player.playing)  # letters that fly about only hide the frame
        gone = player.gone if player.is_released else ()
        marks += structure(plan, grain, instant, names=names, removed=gone)
        marks += pointing(self.session, camera, grain, instant)
        if player.arrows:
            kinds = self._kinds()
            words = self._words(instant, kinds)
            marks += force_arrows(
                plan, None, camera, kinds=kinds, instant=instant, words=words, grain=grain
            )
            marks += self.layout.legend
        return self._smaller(list(_yielding(marks))) + self._readings() + self._time_line()

    def _smaller(self, marks: list[Mark]) -> list[Mark]:
        """Where large type has no room for all words, those of pins wait: one rod alone has them.

        Where there are too many even so, they are smaller.
        """
        if self.sight.fine == 1.0 or _count(marks) <= MANY:
            return marks
        kept = [m for m in marks if not (isinstance(m, Label) and m.sides and m.role == "hinge force")]
        shrink = SMALLER if _count(kept) > CROWD else 1.0
        return [
            replace(mark, size=mark.size * shrink) if isinstance(mark, Label) and mark.sides else mark
            for mark in kept
        ]

    @property
    def room(self) -> Rect:
        """What no label may leave."""
        if self.player.isolated is None:
            return self.layout.room
        foot = self.layout.bottom - BAND - STRIP
        return (SIDE / 2, SIDE / 2, self.layout.page.width - SIDE / 2, foot - SIDE / 4)

    def _alone(self, body: Name) -> list[Mark]:
        """One body alone with the forces on it, and its force polygon beside it."""
        if self._one is None or self._one.body != body:
            self._one = OneBody(body)
        player, page = self.player, self.layout.page
        rect = (SIDE, SIDE / 2, page.width - SIDE, self.layout.bottom - BAND - STRIP - SIDE)
        is_read = not player.playing or player.is_still  # else nobody can
        return self._one.marks(
            self.plan,
            player.now(),
            rect,
            self.sight.scale,
            hand=player.hand,
            words=by_size if is_read else by_name,
            touched=player.state == "touched",
            spoken=self.texts.conventions.spoken,
        )

    def words(self) -> list[Mark]:
        """The line of words, on its band right above the bench."""
        page = Page(self.layout.page.width, self.layout.bottom)
        return caption(spoken_line(self.session, self.texts), page)

    def _keep_arrows_short(self, instant: Instant) -> None:
        """A hand may pull hard: the scale of all arrows is halved until the page has room for them."""
        hand = self.player.hand
        pulled = 0.0 if hand is None else float(np.hypot(*hand.force))
        greatest = max(pulled, largest(self.plan, instant.forces)) if pulled else 0.0
        halvings = 0
        while greatest * self.per_newton / 2**halvings > LONGEST:
            halvings += 1
        if halvings > self._halvings or (halvings < self._halvings and not pulled):
            self._halvings = halvings
            self._set_scale()
            self.layout = replace(self.layout, legend=self._legend(self.layout.legend_rect))

    def _time_line(self) -> list[Mark]:
        session = self.session
        has_focus, is_hovered = session.focus == "time", session.hover == "time"
        return list(self.line.marks(self.player, has_focus=has_focus, is_hovered=is_hovered))

    def _kinds(self) -> Collection[Kind]:
        """Which forces are shown. Once parts have hit one another only the weights: blows go through the
        joints then, too short to be drawn as forces."""
        return WEIGHTS if self.player.state == "touched" else KINDS

    def _words(self, instant: Instant, kinds: Collection[Kind]) -> Words:
        """What stands beside the arrows: exact sizes at rest, newtons at any other moment that is held.

        Else nothing: nobody reads a number that changes sixty times a second.
        """
        player, exact = self.player, self.texts.beside
        is_at_rest = not player.is_released and player.share == 1 and player.is_still and not player.hand
        if player.playing and not is_at_rest:
            return {}
        newtons = in_newtons(self.plan, instant.forces, kinds)
        if exact and is_at_rest and not instant.absent:
            widest = WIDEST * self.layout.page.width
            return {what: self._short(text, newtons.get(what, ""), widest) for what, text in exact.items()}
        return {what: text for what, text in newtons.items() if self._is_worth_saying(what)}

    def _is_worth_saying(self, what: Key | Name) -> bool:
        """Whether a force in newtons has words: those with exact ones; else all but those of hinges."""
        exact = self.texts.beside
        if exact:
            return what in exact
        return kind_of(self.plan, what) != "hinges" if isinstance(what, Key) else what in self.plan.loads

    def _short(self, text: str, newtons: str, widest: float) -> str:
        """What stands beside an arrow; in newtons where its letters take too much of the page."""
        return newtons if newtons and setting(text, FORCE).width > widest else text

    def _readings(self) -> list[Mark]:
        """The clock, the speed, and how much of gravity is let on."""
        player, layout = self.player, self.layout
        places = 2 if player.playing else 3
        held = "in the past" if player.is_past else "paused"
        marks: list[Mark] = [
            _reading("gravity", f"gravity {round(100 * player.share)} %", layout.gravity),
            _reading("time", f"time {player.time:.{places}f} s", layout.time),
            _reading("speed", f"speed {player.speed}", layout.speed),
        ]
        if layout.beads is not None:
            marks += gravity_bar(player.share, layout.beads)[:-1]
        return marks if player.playing else [*marks, _reading("held", held, layout.held)]


def _count(marks: Iterable[Mark]) -> int:
    """How many labels look for a place."""
    return sum(isinstance(mark, Label) and bool(mark.sides) for mark in marks)


def _yielding(marks: Iterable[Mark]) -> Iterator[Mark]:
    """The marks; of the words beside arrows the lesser ones make way where there is no room for all."""
    for mark in marks:
        if isinstance(mark, Label) and mark.sides and mark.role in YIELDS:
            yield replace(mark, yields=YIELDS[mark.role])
        else:
            yield mark


def _reading(name: str, text: str, at: Point) -> Label:
    anchor = (at[0], at[1] + RISE * CAPTION)
    return Label(name=name, role="text", space="page", anchor=anchor, text=text, size=CAPTION)
