"""Hands: what the watcher's mouse and keys do, on the page and without a screen.

A press on a tag is a press once it is let go there; a slider and the line of time follow the pointer; in
the frame a press that stays is a click, one that moves pulls.
"""

from __future__ import annotations

from math import dist
from typing import Literal

import numpy as np

from simlab.pictures.marks import Point
from simlab.window.bench import Bench, Tag
from simlab.window.choosing import Target, next_target
from simlab.window.control import Control, Item, Slider
from simlab.window.controls import control_of
from simlab.window.session import FOCI, Session
from simlab.window.showing import Showing

REACH = 26.0  # [page units] from a joint within which a press is on it: as far as a finger is wide
SLIP = 9.0  # [page units] that a hand slips in a click; more is a pull
LOOK_BACK = 0.1  # [s] of a press of an arrow key on the line of time
ARROWS: dict[str, Point] = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "up": (0.0, 1.0), "down": (0.0, -1.0)}
READ = 5.0  # [s] that the pointer rests before what it says of a thing makes way for what happens
NUDGE = 0.04  # of the frame's size, that one press of an arrow key moves the hand

Held = Tag | Literal["time"] | Target | None  # what a press of the mouse is on


class Hands:
    """Two hands of the watcher on a session: where the pointer is, what it holds.

    under : the control under the pointer
    """

    def __init__(self, session: Session, bench: Bench, showing: Showing) -> None:
        self.session, self.player = session, session.player
        self.bench, self.showing = bench, showing
        self.under: Item | None = None
        self._held: Held = None
        self._start: Point = (0.0, 0.0)
        self._is_pull = False
        self._rested = 0.0  # [s] since the pointer was moved or pressed something

    # ------------------------------------------------------------ the mouse

    @property
    def holds(self) -> bool:
        """Whether something in the frame, a bead or a slider is held."""
        is_slider = isinstance(self._held, Tag) and isinstance(self._held.item, Slider)
        return is_slider or self._held == "time" or self._is_pull

    def move(self, point: Point) -> bool:
        """The pointer is at a point of the page; whether that changes what is seen."""
        before = self.under, self.session.hover
        held = self._held
        if isinstance(held, Tag) and isinstance(held.item, Slider):
            held.item.put_share(self.session, held.share_at(point[0]))
        elif held == "time":
            self.player.seek(self.showing.line.time_at(point[0], self.player))
        elif isinstance(held, Target):
            self._pull(point)
        else:
            self._look_at(point)
        return held is not None or before != (self.under, self.session.hover)

    def press(self, point: Point) -> None:
        """The first button goes down."""
        self._start, self._is_pull = point, False
        self.session.listen()
        if self.session.has_help:
            self._held = None
            self.session.has_help = False
            return
        tag = self.bench.tag_at(point)
        if tag is not None:
            self._held = tag
            if isinstance(tag.item, Slider):
                self._focus_on(tag.item)
                tag.item.put_share(self.session, tag.share_at(point[0]))
        elif self.showing.line.has(point):
            self._held = self.session.focus = "time"
            self.player.seek(self.showing.line.time_at(point[0], self.player))
        else:
            self._held = self.target_at(point)

    def release(self, point: Point, *, takes_off: bool = False) -> None:
        """The button comes up: a click, if it came up where it went down."""
        held, self._held = self._held, None
        was_pull, self._is_pull = self._is_pull, False
        if isinstance(held, Tag) and isinstance(held.item, Control):
            if held.has(point):
                self._focus_on(held.item)
                self.do(held.item)
        elif isinstance(held, Target):
            if was_pull:
                self.player.let_go()
            else:
                self.click(held, takes_off=takes_off)
        elif held is None and self.player.isolated is not None and point[1] < self.showing.line.strip[1]:
            self.player.isolate(None)
        self._look_at(point)

    def rest(self, seconds: float) -> bool:
        """The pointer has not moved; whether its hint, which has been read, makes way now."""
        self._rested += seconds
        makes_way = self.session.hover is not None and self._held is None and self._rested > READ
        if makes_way:
            self.session.hover = None
        return makes_way

    def leave(self) -> None:
        """The pointer is gone."""
        if not isinstance(self._held, Target):
            self.under = self.session.hover = None

    def _look_at(self, point: Point) -> None:
        self._rested = 0.0
        tag = None if self.session.has_help else self.bench.tag_at(point)
        self.under = None if tag is None else tag.item
        if tag is not None or self.session.has_help:
            self.session.hover = None
        else:
            self.session.hover = "time" if self.showing.line.has(point) else self.target_at(point)

    def _pull(self, point: Point) -> None:
        to = self._in_frame(point)
        if not self._is_pull:
            if dist(point, self._start) < SLIP:
                return
            self._is_pull = True
            self.player.playing = True  # a frame that is held still cannot be felt
            if not self.player.grab(self._in_frame(self._start), self._reach):
                self._held = None
                return
            self.session.note("pulled")
        self.player.pull_to(to)

    # ------------------------------------------------------------ the frame

    @property
    def _reach(self) -> float:
        return REACH * self.showing.view.grain

    def _in_frame(self, point: Point) -> Point:
        x, y = self.showing.view.to_frame(np.array(point))
        return (float(x), float(y))

    def target_at(self, point: Point) -> Target | None:
        """The joint or rod under a point of the page, the joint first."""
        if self.player.isolated is not None or point[1] > self.showing.line.strip[1]:
            return None
        at = self._in_frame(point)
        joint = self.player.joint_at(at, self._reach)
        if joint is not None:
            return Target("joint", joint)
        body = self.player.body_at(at)
        return None if body is None else Target("rod", body)

    def click(self, target: Target, *, takes_off: bool = False) -> None:
        """What a click does: one lantern more (or fewer) at a joint; a rod is taken alone."""
        if target.kind == "rod":
            self.player.isolate(target.name)
            self.session.note(f"rod {target.name} alone")
        else:
            by = -1 if takes_off else 1
            self.session.try_to(lambda: self.player.hang_on(target.name, by))
            self.session.note(f"a lantern {'off' if takes_off else 'on'} {target.name}")

    # ------------------------------------------------------------ keys

    def do(self, control: Control) -> None:
        """Press a control, however the watcher did it."""
        drawer = self.session.drawer
        words = control.words(self.session)
        self.session.listen()
        if control.press(self.session):
            self.session.note(words)
        if self.session.drawer != drawer:
            self.bench.arrange(self.bench.page)
            self.bench.focus_drawer()

    def key(self, key: str, *, shift: bool = False, again: bool = False) -> bool:
        """Answer a key; whether it meant anything. `again`: it is held, and sent once more."""
        has_meaning = self._key(key, shift=shift, again=again)
        if has_meaning:
            self.session.hover = None  # what the key did is of more interest than where the pointer rests
        return has_meaning

    def _key(self, key: str, *, shift: bool, again: bool) -> bool:
        session = self.session
        if key == "escape":
            session.back()
            self.bench.arrange(self.bench.page)
            return True
        if key == "tab":
            self._tab(-1 if shift else 1)
            return True
        control = control_of(key, self.bench.items)
        if control is not None:
            if control.repeats or not again:
                self.do(control)
            return True
        return self._key_on_focus(key, shift=shift, again=again)

    def _key_on_focus(self, key: str, *, shift: bool, again: bool) -> bool:
        """A key whose meaning depends on what has the focus."""
        session, focused = self.session, self.bench.focused
        if session.focus == "frame":
            return self._key_on_frame(key, takes_off=shift)
        if session.focus == "bench" and isinstance(focused, Slider) and focused.key(session, key):
            return True
        if key == "return" and session.focus == "bench" and isinstance(focused, Control):
            if focused.repeats or not again:
                self.do(focused)
            return True
        return self._key_on_time(key)

    def _key_on_time(self, key: str) -> bool:
        player = self.player
        start, end = player.span
        if key in ("left", "right"):
            player.seek(player.time + (LOOK_BACK if key == "right" else -LOOK_BACK))
        elif key in ("home", "end"):
            player.seek(start if key == "home" else end)
        else:
            return False
        return True

    def _key_on_frame(self, key: str, *, takes_off: bool) -> bool:
        """Arrows choose a joint or rod, or move the hand that holds it; Enter does what a click does."""
        session, player = self.session, self.player
        if key in ARROWS:
            if player.hand is not None:
                (x, y), (dx, dy) = player.hand.to, ARROWS[key]
                by = NUDGE * player.stage.drawn.size
                player.pull_to((x + by * dx, y + by * dy))
            else:
                session.chosen = next_target(player, session.chosen, ARROWS[key])
        elif key == "return" and player.hand is not None:
            player.let_go()
        elif key == "return" and session.chosen is not None:
            self.click(session.chosen, takes_off=takes_off)
        else:
            return False
        return True

    def _tab(self, by: int) -> None:
        """The focus goes through the tags, then to the line of time and the frame, round and round."""
        session, bench = self.session, self.bench
        ends = bench.first, bench.last
        if session.focus == "bench" and bench.focused is not ends[by > 0]:
            bench.move_focus(by)
            return
        session.focus = FOCI[(FOCI.index(session.focus) + by) % len(FOCI)]
        if session.focus == "bench":
            bench.focus_on(ends[by < 0])
        if session.focus == "frame" and session.chosen is None:
            session.chosen = next_target(self.player, None, (0.0, 0.0))

    def _focus_on(self, item: Item) -> None:
        self.session.focus = "bench"
        self.bench.focus_on(item)
