"""The showing: the moment that a player has reached, as marks on a page."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from simlab.pictures.arrows import KINDS, Kind, Words, force_arrows, in_newtons, largest, scale_for
from simlab.pictures.camera import Bounds, Camera, Page, Rect
from simlab.pictures.cards import caption, gravity_bar
from simlab.pictures.legend import legend
from simlab.pictures.marks import Label, Mark, Point
from simlab.pictures.palette import CAPTION
from simlab.pictures.paths import fading_path
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.view import fitted
from simlab.results import Instant
from simlab.window.layout import Layout, arrangements
from simlab.window.player import Player
from simlab.window.rehearsal import Rehearsal
from simlab.window.words import Texts, line

WEIGHTS: tuple[Kind, ...] = ("weights",)
RISE = 0.33  # from the baseline to the middle of small letters, in sizes of type
GLIDE = 0.12  # share of the way to its new view that the camera moves in one picture
ARRIVED = 0.005  # of the way: less than a pixel is left
ROOM = 0.1  # of the frame's size: made around a frame that goes further than it did in the rehearsal


class Showing:
    """A player's moments on a page.

    layout : where things stand; texts : what the exact road says; view : the camera of the last picture
    """

    def __init__(self, player: Player, texts: Texts, page: Page, bottom: float) -> None:
        self.player = player
        self.plan = player.plan
        self.texts = texts
        self.rehearsal = Rehearsal.of(player)
        self.rest = self.rehearsal.rest
        self.reached = self.rehearsal.bounds
        self.per_newton = scale_for(largest(self.plan, self.rest.forces))
        self._way = 0.0  # of the camera, from close (0) to wide (1)
        self.arrange(page, bottom)

    def arrange(self, page: Page, bottom: float) -> None:
        """Lay everything out on a page of any shape, above the bench, the frame as large as can be."""
        found = [(layout, self._close(layout)) for layout in arrangements(page, bottom, self._legend)]
        self.layout, self.close = max(found, key=lambda pair: pair[1].scale)
        self.wide = self._wide(self.reached)
        self.view = self.close.towards(self.wide, self._way)

    def _legend(self, rect: Rect) -> list[Mark]:
        """The legend of all arrows that there are at rest: it stands still while arrows come and go."""
        camera = Camera((0.0, 0.0), (0.0, 0.0), 1.0, self.per_newton)
        arrows = force_arrows(self.plan, self.rest.forces, camera)
        return legend(arrows, camera, rect, self.texts.conventions.spoken)

    def _close(self, layout: Layout) -> Camera:
        """The frame at rest with all its arrows."""
        plan = self.plan

        def marks(camera: Camera) -> list[Mark]:
            drawn = supports(plan, camera.grain) + structure(plan, camera.grain)
            return drawn + force_arrows(plan, self.rest.forces, camera)

        return fitted(plan, layout.frame, marks, self.per_newton)

    def _wide(self, bounds: Bounds) -> Camera:
        """Room for all of the fall; never closer than the frame at rest."""
        plan = self.plan

        def marks(camera: Camera) -> list[Mark]:
            drawn = supports(plan, camera.grain, bounds)
            for instant in self.rehearsal.furthest:
                drawn += structure(plan, camera.grain, instant)
                drawn += force_arrows(plan, None, camera, kinds=WEIGHTS, instant=instant)
            return drawn

        wide = fitted(plan, self.layout.frame, marks, self.per_newton, bounds)
        return wide if wide.scale < self.close.scale else self.close

    # ------------------------------------------------------------ one picture

    @property
    def is_gliding(self) -> bool:
        """Whether the camera is still on its way."""
        return self._way != float(self.player.is_released)

    def marks(self) -> list[Mark]:
        """Everything above the line of words at the moment reached; the camera's view moves on."""
        player, plan, instant = self.player, self.plan, self.player.now()
        camera = self._move_camera(instant)
        grain = camera.grain
        marks = supports(plan, grain, self._ground())
        for name in player.trails:
            marks += fading_path(name, player.trail(name))
        names = not (player.is_released and player.playing)  # letters that fly about only hide the frame
        gone = player.gone if player.is_released else ()
        marks += structure(plan, grain, instant, names=names, removed=gone)
        if player.arrows:
            kinds = self._kinds()
            words = self._words(instant, kinds)
            marks += force_arrows(plan, None, camera, kinds=kinds, instant=instant, words=words)
            marks += self.layout.legend
        return marks + self._readings()

    def words(self) -> list[Mark]:
        """The line of words, on its band right above the bench."""
        page = Page(self.layout.page.width, self.layout.bottom)
        return caption(line(self.player, self.texts), page)

    def _move_camera(self, instant: Instant) -> Camera:
        """A share of the way to the view that the moment wants."""
        wanted = float(self.player.is_released)
        if wanted:
            self._make_room(instant)
        self._way += GLIDE * (wanted - self._way)
        if abs(wanted - self._way) < ARRIVED:
            self._way = wanted
        self.view = self.close.towards(self.wide, self._way)
        return self.view

    def _ground(self) -> Bounds:
        """How far floors go on [m]: under the frame while it stands, under all of its fall after."""
        near, far = np.array(self.plan.bounds), np.array(self.reached)
        left, bottom, right, top = (float(edge) for edge in near + self._way * (far - near))
        return (left, bottom, right, top)

    def _make_room(self, instant: Instant) -> None:
        """Widen the view where the frame goes further than it did in the rehearsal."""
        now, more = self.plan.swept(instant.poses[None]), ROOM * self.player.stage.drawn.size
        (left, bottom, right, top), (l, b, r, t) = self.reached, now
        if l < left or b < bottom or r > right or t > top:
            self.reached = (
                l - more if l < left else left,
                b - more if b < bottom else bottom,
                r + more if r > right else right,
                t + more if t > top else top,
            )
            self.wide = self._wide(self.reached)

    def _kinds(self) -> Collection[Kind]:
        """Which forces are shown. Once parts have hit one another only the weights: blows go through the
        joints then, too short to be drawn as forces."""
        return WEIGHTS if self.player.state == "touched" else KINDS

    def _words(self, instant: Instant, kinds: Collection[Kind]) -> Words:
        """What stands beside the arrows: exact sizes at rest, newtons at any other moment that is held.

        Else nothing: nobody reads a number that changes sixty times a second.
        """
        player, exact = self.player, self.texts.beside
        is_at_rest = not player.is_released and player.share == 1 and player.is_still
        if exact and is_at_rest and not instant.absent:
            return exact
        if player.playing and not is_at_rest:
            return {}
        newtons = in_newtons(self.plan, instant.forces, kinds)
        return {what: text for what, text in newtons.items() if what in exact or not exact}

    def _readings(self) -> list[Mark]:
        """The clock, the speed, and how much of gravity is let on."""
        player, layout = self.player, self.layout
        places = 2 if player.playing else 3
        *beads, words = gravity_bar(player.share, layout.beads)
        marks: list[Mark] = [
            *beads,
            _reading(words.name, f"gravity {round(100 * player.share)} %", layout.gravity),
            _reading("time", f"time {player.time:.{places}f} s", layout.time),
            _reading("speed", f"speed {player.speed}", layout.speed),
        ]
        return marks if player.playing else [*marks, _reading("held", "paused", layout.held)]


def _reading(name: str, text: str, at: Point) -> Label:
    anchor = (at[0], at[1] + RISE * CAPTION)
    return Label(name=name, role="text", space="page", anchor=anchor, text=text, size=CAPTION)
