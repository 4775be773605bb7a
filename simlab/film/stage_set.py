"""What all chapters of a film share: page, plan, cameras, the one scale of its arrows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from simlab.film.halves import Halves
from simlab.film.story import Story
from simlab.frame.film_wishes import ALL, FilmWishes
from simlab.frame.model import GROUND, Name
from simlab.pictures.arrows import KINDS, Kind, force_arrows, largest, scale_for
from simlab.pictures.camera import Bounds, Camera, Page, Rect
from simlab.pictures.cards import MARGIN, frame_rect, margin
from simlab.pictures.legend import ROW, WORDS, legend
from simlab.pictures.marks import UNSEEN, Arrow, Mark, Point, Points
from simlab.pictures.plan import Plan
from simlab.pictures.rests import BEYOND
from simlab.pictures.structure import structure
from simlab.pictures.supports import supports
from simlab.pictures.view import fitted
from simlab.results import Trace
from simlab.results.wording import CAUTION

# An eighth of real speed at the break: what fits a table falls in a third of a second, and a class has to
# see the forces jump and read that statics no longer applies (common practice for tall frames: a quarter).
SLOW = 1 / 8
LANTERN_ROOM = 190.0  # [page units] below a point that a lantern hangs from
LEGEND_WIDTH = 380.0  # [page units]: one kind of arrow a row
BAR_ROOM = 76.0  # [page units] below the top of the frame's place, for the gravity bar
FALL = 0.64  # of the page that a fall takes; beside it stands what is measured
RIM = 32.0  # [page units] that floors and walls go on past the place of a drawing: past a rod's round end
LEGEND_ROOM = 5 * ROW  # [page units] below the bar, on a tall page
NARROW = 1.6  # of its height: a page with no room for the legend beside a frame in the middle
LEGEND_SIDE = 260.0  # [page units] for it beside a small frame
WALL_SIDE = 320.0  # [page units] for it beside a wall on a wide page
FORCE_ROOM = 110.0  # [page units] on either side of a tall page, for the values of forces
AWAY = 1.5  # frame sizes: what falls farther than this from the drawn frame leaves the picture
PLAIN = 12.0  # [page units] length of an arrow from which its kind is wholly there in the legend
BEADS_WIDTH = 640.0  # [page units] of the gravity bar with its words


class StageSet:
    """The set on which all chapters play.

    camera : the frame as large as the page allows; beside : as large as leaves room for what is measured of
    a fall; wide : room for all of the fall as well
    hung, reach : bounds of everywhere that the rods get to while gravity is let on, and in all the film [m]
    corner : where the gravity bar and the speed stand [page units]; size : of the frame [m]
    slow : speed at the break, as a share of real speed; answers : whether any may be seen
    footnote : the caution, where neither the question nor the answer says it
    holds_cut : whether the moment of the cut has a chapter of its own
    """

    def __init__(self, story: Story, page: Page, rate: int, wishes: FilmWishes = ALL) -> None:
        self.story = story
        self.slow = SLOW if wishes.slow is None else wishes.slow
        self.answers = wishes.answers is not False
        self.holds_cut = self.answers and wishes.shows("cut")
        says_so = wishes.shows("question") or (self.answers and wishes.shows("answer"))
        self.footnote = "" if says_so else CAUTION
        self.page = page
        self.rate = rate
        self.every = max(1, 600 // rate)  # samples of a fall between two points of a path
        self.plan = Plan.of(story.frame, story.values)
        # Forces that the balance does not decide are nobody's: the engine's would be chance. And arrows to
        # scale give the answer away.
        hidden = story.verdict == "not determined" or not self.answers
        self.kinds: tuple[Kind, ...] = ("weights",) if hidden else KINDS
        self._places: tuple[Camera, list[Mark]] | None = None
        left, bottom, right, top = self.plan.bounds
        self.size = max(right - left, top - bottom)
        self.corner: Point = (page.width - MARGIN - BEADS_WIDTH + 20, MARGIN * 0.75)
        self.rest = story.hanging.instant(float(story.hanging.time[-1]))
        self.per_newton = scale_for(largest(self.plan, self.rest.forces))
        # a frame that does not stay in its shape as gravity is let on has to stay in the picture
        moves = story.verdict in ("cannot rest", "falls out")
        self.hung = reached(self.plan, story.hanging, self.every) if moves else self.plan.bounds
        left, top, right, bottom = frame_rect(page)
        side, head = (FORCE_ROOM, BAR_ROOM + LEGEND_ROOM) if page.is_tall else (0.0, BAR_ROOM)
        self.camera = self._close((left + side, top + head, right - side, bottom))
        fall = story.falling
        self.reach = self.hung if fall is None else reached(self.plan, fall, self.every)
        self._place = self._stand()
        self.beside = self._close(self._place)
        self.wide = self.camera if story.falling is None else self._wide()
        self.ground = self.within(self.wide, Halves.of(page, FALL).drawing)

    def _close(self, place: Rect) -> Camera:
        """The frame with its forces at rest as large as a place allows."""
        plan, rest = self.plan, self.rest

        def marks(camera: Camera) -> list[Mark]:
            drawn = supports(plan, camera.grain) + structure(plan, camera.grain)
            return drawn + force_arrows(plan, rest.forces, camera)

        return fitted(plan, place, marks, self.per_newton, self.hung)

    def _stand(self) -> Rect:
        """Where the frame stands while what is measured of a fall stands beside it.

        On a narrow page beside the legend or below it, whichever leaves it larger.
        """
        left, top, right, bottom = Halves.of(self.page, FALL).drawing
        if self.page.width >= NARROW * self.page.height:
            return (left + (WALL_SIDE if self._has_wall() else 0.0), top + BAR_ROOM, right, bottom)
        bar = BAR_ROOM if self.page.is_tall else 0.0
        below = (left, top + bar + LEGEND_ROOM, right, bottom)
        return max((left + LEGEND_SIDE, top + BAR_ROOM, right, bottom), below, key=self._scale)

    def _scale(self, place: Rect) -> float:
        return self._close(place).scale

    def _has_wall(self) -> bool:
        """Whether stone goes all the way up the picture, where the legend would stand on it."""
        supports = self.story.frame.supports.values()
        return any(support.faces is not None or support.kind.endswith("wall") for support in supports)

    def _wide(self) -> Camera:
        """A camera that the whole fall stays in, not closer than the one before."""
        x0, y0, x1, y1 = self._place
        hung = any(load.kind == "weight" for load in self.story.frame.loads.values())
        below = LANTERN_ROOM if hung else 0.0

        def marks(camera: Camera) -> list[Mark]:
            return supports(self.plan, camera.grain) + structure(self.plan, camera.grain)

        room = (x0, y0, x1, y1 - below)
        wide = fitted(self.plan, room, marks, self.per_newton, self.reach)
        scale = min(wide.scale, self.beside.scale)
        return Camera(wide.focus, wide.middle, scale, self.per_newton)

    def seen(self, camera: Camera) -> Bounds:
        """Left, bottom, right, top of all that a camera sees [m], and of where the rods get to."""
        (x, y), (across, down), scale = camera.focus, camera.middle, camera.scale
        left, bottom, right, top = self.reach
        return (
            min(left, x - across / scale),
            min(bottom, y - (self.page.height - down) / scale),
            max(right, x + (self.page.width - across) / scale),
            max(top, y + down / scale),
        )

    def within(self, camera: Camera, place: Rect) -> Bounds:
        """What a camera sees [m], but nothing to the right of a place, or on a tall page below it."""
        left, bottom, right, top = self.seen(camera)
        ((x, y),) = camera.to_frame(np.array([place[2:]]) + RIM)
        if self.page.width > self.page.height:
            over = BEYOND * max(float(x) - left, top - bottom)  # stone goes on so far by itself
            return (left, bottom, min(right, float(x) - over), top)
        over = BEYOND * max(right - left, top - float(y))
        return (left, max(bottom, float(y) + over), right, top)

    def legend(self, marks: list[Mark]) -> list[Mark]:
        """Scale bar and kinds of the arrows among the marks, top left; on a tall page below the bar.

        Every kind that there is at rest has its row; it is as faint as its longest arrow is short.
        """
        page = self.page
        left, top = margin(page) / 2, MARGIN * 0.75 + (BAR_ROOM if page.is_tall else 0.0)
        arrows = [mark for mark in marks if isinstance(mark, Arrow) and mark.measure == "force"]
        every = [*arrows, *self.places(self.camera)]
        kinds = {mark.role for mark in every}
        bottom = top + ROW * len(kinds & WORDS.keys())
        laid = legend(every, self.camera, (left, top, left + LEGEND_WIDTH, bottom), self.story.spoken)
        there = dict.fromkeys(kinds, 0.0)
        for mark in arrows:
            long = float(np.hypot(*mark.vector)) * self.per_newton
            there[mark.role] = max(there[mark.role], mark.opacity * min(1.0, long / PLAIN))
        return [
            replace(mark, opacity=there.get(mark.name.rpartition("sample of ")[2], 1.0)) for mark in laid
        ]

    def places(self, camera: Camera) -> list[Mark]:
        """The arrows that there are at rest, not to be seen: names keep off what will come."""
        if self._places is None or self._places[0] != camera:
            arrows = force_arrows(self.plan, self.rest.forces, camera, kinds=self.kinds)
            hidden = [replace(m, name=f"place of {m.name}", opacity=UNSEEN) for m in arrows]
            self._places = (camera, [mark for mark in hidden if isinstance(mark, Arrow)])
        return [*self._places[1]]

    def paths(self, fall: Trace) -> Mapping[Name, Points]:
        """Where each joint that moves is, at every time of a fall: shape (times, 2) [m]."""
        return joint_paths(self.plan, fall)


def joint_paths(plan: Plan, fall: Trace) -> Mapping[Name, Points]:
    """Where each joint that moves is, at every time of a fall: shape (times, 2) [m]."""
    found = {}
    for joint in plan.frame.joints.values():
        if GROUND in joint.bodies or not joint.bodies:
            continue
        body = joint.bodies[0]
        found[joint.name] = plan.carried(body, plan.bodies[body][joint.point], fall.poses)
    return found


def reached(plan: Plan, fall: Trace, every: int = 1) -> Bounds:
    """Left, bottom, right, top of everywhere that the bodies get to [m], but not of what leaves.

    every : so many samples of the fall are passed over
    """
    x0, y0, x1, y1 = plan.bounds
    far = AWAY * max(x1 - x0, y1 - y0)
    left, bottom, right, top = plan.swept(fall.poses[::every])
    return (max(left, x0 - far), max(bottom, y0 - far), min(right, x1 + far), min(top, y1 + far))
