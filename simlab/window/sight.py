"""The sight: the camera of a window, close on the frame at rest or wide over all of its fall."""

from __future__ import annotations

import numpy as np

from simlab.pictures.arrows import Kind, force_arrows
from simlab.pictures.camera import HEIGHT, Bounds, Camera, Rect
from simlab.pictures.marks import Mark
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.view import fitted
from simlab.results import Instant
from simlab.window.player import Player
from simlab.window.rehearsal import Rehearsal

WEIGHTS: tuple[Kind, ...] = ("weights",)
GLIDE = 0.12  # share of the way to its new view that the camera moves in one picture
ARRIVED = 0.005  # of the way: less than a pixel is left
ROOM = 0.1  # of the frame's size: made around a frame that goes further than it did in the rehearsal


class Sight:
    """Where a player's frame is seen on the page.

    scale : of all arrows [page units/N]; fine : how large canes and arrows are beside type, 1 on a page of
    1080 units; close : the camera on the frame at rest; view : that of the last picture, None before it
    """

    def __init__(self, player: Player) -> None:
        self.player = player
        self.scale, self.fine = 0.0, 1.0
        self.view: Camera | None = None
        self._way = 0.0  # from close (0) to wide (1)
        self._from: Camera | None = None  # the view before the frame or the page was changed
        self._left = 0.0  # of the way from there, 1 to 0

    def renew(self, rest: Instant, rehearsal: Rehearsal) -> None:
        """The frame is another one."""
        self.plan = self.player.plan
        self._rest, self._rehearsal = rest, rehearsal
        self._reached: Bounds | None = None  # until it is asked for

    def size_of(self, page_height: float) -> None:
        """On a page of fewer units, type is larger, but not the frame."""
        self.fine = min(1.0, page_height / HEIGHT)

    def close_in(self, rect: Rect) -> Camera:
        """The camera on the frame at rest with all its arrows, in a rectangle of the page."""

        def marks(camera: Camera) -> list[Mark]:
            grain = self.grain(camera)
            drawn = supports(self.plan, grain) + structure(self.plan, grain)
            return drawn + force_arrows(self.plan, self._rest.forces, camera, grain=grain)

        return fitted(self.plan, rect, marks, self.scale)

    def settle(self, rect: Rect, close: Camera, calm: bool) -> None:
        """From now on the frame is in this rectangle; the view glides there, unless all is calm."""
        self._rect, self.close, self._wide = rect, close, close
        if self.player.is_released or self._reached:
            self._make_wide()
        self._from, self._left = self.view, 0.0 if self.view is None or calm else 1.0
        self.view = self._wanted()

    def _make_wide(self) -> None:
        """Room for all of the fall; never closer than the frame at rest."""
        plan, fall = self.plan, self._rehearsal.fall
        self._reached = bounds = self._reached or fall.bounds

        def marks(camera: Camera) -> list[Mark]:
            grain = self.grain(camera)
            drawn = supports(plan, grain, bounds)
            for instant in fall.furthest:
                drawn += structure(plan, grain, instant)
                drawn += force_arrows(plan, None, camera, kinds=WEIGHTS, instant=instant, grain=grain)
            return drawn

        wide = fitted(plan, self._rect, marks, self.scale, bounds)
        self._wide = wide if wide.scale < self.close.scale else self.close

    @property
    def is_gliding(self) -> bool:
        """Whether the camera is still on its way."""
        return self._way != float(self.player.is_released) or self._left > 0

    def move(self, instant: Instant, calm: bool) -> Camera:
        """A share of the way to the view that the moment wants; all of it where nothing glides."""
        wanted = float(self.player.is_released)
        if wanted or self.player.hand is not None:
            self._make_room(instant)
        share = 1.0 if calm else GLIDE
        self._way += share * (wanted - self._way)
        if abs(wanted - self._way) < ARRIVED:
            self._way = wanted
        self._left *= 1 - share
        if self._left < ARRIVED:
            self._left = 0.0
        self.view = self._wanted()
        return self.view

    def _wanted(self) -> Camera:
        view = self.close.towards(self._wide, self._way)
        if self._from is not None and self._left:
            view = view.towards(self._from, self._left)
        return view.with_forces(self.scale)

    def grain(self, camera: Camera) -> float:
        """How many metres a unit shows of a page on which only the type is large [m/page unit]."""
        return camera.grain * self.fine

    @property
    def ground(self) -> Bounds:
        """How far floors go on [m]: under the frame while it stands, under all of its fall after."""
        near, far = np.array(self.plan.bounds), np.array(self._reached or self.plan.bounds)
        left, bottom, right, top = (float(edge) for edge in near + self._way * (far - near))
        return (left, bottom, right, top)

    def _make_room(self, instant: Instant) -> None:
        """Widen the view where the frame goes further than it did in the rehearsal."""
        if self._reached is None:
            self._make_wide()
        now, more = self.plan.swept(instant.poses[None]), ROOM * self.player.stage.drawn.size
        (left, bottom, right, top), (l, b, r, t) = self._reached or now, now
        if l < left or b < bottom or r > right or t > top:
            self._reached = (
                l - more if l < left else left,
                b - more if b < bottom else bottom,
                r + more if r > right else right,
                t + more if t > top else top,
            )
            self._make_wide()
