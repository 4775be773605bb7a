"""The screen: a pygame window that hands what the watcher does to a player, and shows its moments."""

from __future__ import annotations

import os
from collections.abc import Sequence
from math import ceil

import pygame

from simlab.errors import BadInput
from simlab.frame.model import Frame, Values
from simlab.pictures.camera import Camera
from simlab.pictures.canvas import Canvas, Pixels
from simlab.pictures.cards import BAND
from simlab.pictures.marks import Label, Mark, Point
from simlab.pictures.placement import Placement, place
from simlab.window.bench import Bench, Look
from simlab.window.controls import Control, control_of, controls
from simlab.window.layout import page_of
from simlab.window.player import Player
from simlab.window.showing import Showing
from simlab.window.words import Texts

SIZE = (1280, 720)  # [px] of the window when it opens
SMALLEST = (640, 480)  # [px]: smaller, and the type cannot be read
RATE = 60  # pictures a second at most
IDLE = 100  # [ms] between two looks at a window in which nothing moves
GLIDE = 0.25  # share of the way to its new place that a label moves in one picture
ARRIVING = 30  # pictures after which gliding labels have arrived
HOLD, AGAIN = 400, 70  # [ms] until a held key presses again, and from then on
LEFT = 1  # pygame's number of the mouse's first button
UNSEEN = ("dummy", "offscreen")  # SDL's drivers without a display, taken only if asked for
KEYS = {
    pygame.K_SPACE: "space",
    pygame.K_ESCAPE: "escape",
    pygame.K_RETURN: "return",
    pygame.K_KP_ENTER: "return",
    pygame.K_TAB: "tab",
}


def watch(frame: Frame, texts: Texts | None = None, values: Values | None = None) -> None:
    """Open a window, play a frame in it, and return when the watcher has closed it.

    Raises BadInput where no window can be opened, and for frames whose motion is unknown.
    """
    player = Player(frame, values)
    try:
        pygame.display.init()
        if pygame.display.get_driver() in UNSEEN and not os.environ.get("SDL_VIDEODRIVER"):
            raise pygame.error("there is no display")
        Screen(player, texts or Texts()).run()
    except pygame.error as error:
        raise BadInput(
            f"no window can be shown here: {error}. Run simlab watch on a machine with a screen, or record "
            "the same with simlab film."
        ) from error
    finally:
        pygame.display.quit()


class Screen:
    """A window on a player.

    Events go in by `handle`, one picture comes out by `draw`; `run` does both until the watcher leaves.
    """

    def __init__(self, player: Player, texts: Texts, size: tuple[int, int] = SIZE) -> None:
        self.player = player
        self.window = pygame.Window(player.frame.title, size, resizable=True, allow_high_dpi=True)
        self.window.minimum_size = SMALLEST
        pygame.key.set_repeat(HOLD, AGAIN)
        self.hovered: Control | None = None
        self._pressed: Control | None = None  # by the mouse, which may still slide off it
        self._down: set[int] = set()  # keys that are held
        self._fresh = ARRIVING  # pictures to be drawn though no time passes
        self._new_canvas()
        self.bench = Bench(controls(player), self.canvas.page)
        self.showing = Showing(player, texts, self.canvas.page, self.bench.top)

    def _new_canvas(self) -> None:
        """A canvas of the window's size, with nothing on it."""
        self.size = self.window.get_surface().get_size()  # [px]
        self.canvas = Canvas(*self.size, page_of(self.size))
        self._placement: Placement | None = None
        self._seated: frozenset[str] = frozenset()  # labels of the last picture that choose their seats
        self._surface: pygame.Surface | None = None
        self._kept: tuple[tuple[tuple[str, ...], Look], Pixels] | None = None

    # ------------------------------------------------------------ pictures

    def draw(self) -> None:
        """Draw the moment reached, and show it."""
        target = self.window.get_surface()
        if target.get_size() != self.size:
            self._new_canvas()
            self.bench.arrange(self.canvas.page)
            self.showing.arrange(self.canvas.page, self.bench.top)
        marks = self.showing.marks()
        camera = self.showing.view
        self._placement = self._placed(marks, camera)
        foot = self._foot()
        pixels = self.canvas.draw(marks, camera, self._placement)
        pixels[-len(foot) :] = foot
        if self._surface is None:  # it shares the canvas's memory: one is enough
            self._surface = pygame.image.frombuffer(pixels.data, self.size, "RGBX")
        target.blit(self._surface, (0, 0))
        self.window.flip()

    def _placed(self, marks: Sequence[Mark], camera: Camera) -> Placement:
        """Labels keep their seats from picture to picture; where others come or go, all are seated anew."""
        seated = frozenset(mark.name for mark in marks if isinstance(mark, Label) and mark.sides)
        before = self._placement if seated == self._seated else None
        self._seated = seated
        room = self.showing.layout.room
        return place(marks, camera, before, page=self.canvas.page, within=room, glide=GLIDE)

    def _foot(self) -> Pixels:
        """The rows of the picture with the line of words and the bench; drawn when their look has changed.

        They are laid over whatever swings down there, and nothing in them glides.
        """
        words, look = self.showing.words(), self.bench.look(self.player, self.hovered)
        said = tuple(mark.text for mark in words if isinstance(mark, Label))
        if self._kept is None or self._kept[0] != (said, look):
            marks = [*words, *self.bench.marks(self.player, self.hovered)]
            pixels = self.canvas.draw(marks, self.showing.view)
            top = ceil((self.bench.top - BAND) * self.canvas.ratio)
            self._kept = (said, look), pixels[top:].copy()
        return self._kept[1]

    def run(self) -> None:
        """Play until the watcher leaves."""
        clock = pygame.time.Clock()
        while not self.player.over:
            if self.player.playing or self._fresh > 0:
                self.player.advance(clock.tick(RATE) / 1000)
                self.draw()
                self._fresh = ARRIVING if self.showing.is_gliding else self._fresh - 1
            else:
                self.handle(pygame.event.wait(IDLE))
                clock.tick()  # what passed while nothing moved is not to be caught up
            for event in pygame.event.get():
                self.handle(event)
        self.window.destroy()

    # ------------------------------------------------------------ what the watcher does

    def handle(self, event: pygame.Event) -> None:
        """Answer one event of the window."""
        if event.type in (pygame.QUIT, pygame.WINDOWCLOSE):
            self.player.quit()
        elif event.type == pygame.KEYDOWN:
            self._key(event)
        elif event.type == pygame.KEYUP:
            self._down.discard(event.key)
        elif event.type == pygame.WINDOWFOCUSLOST:
            self._down.clear()
        elif event.type == pygame.MOUSEMOTION:
            self._hover(self._control_at(event.pos))
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT:
            self._pressed = self._control_at(event.pos)
        elif event.type == pygame.MOUSEBUTTONUP and event.button == LEFT:
            control = self._control_at(event.pos)
            if control is not None and control is self._pressed:
                self.bench.focus_on(control)
                self.press(control)
            self._pressed = None
        elif event.type in (pygame.WINDOWRESIZED, pygame.WINDOWSIZECHANGED, pygame.WINDOWEXPOSED):
            self._fresh = ARRIVING

    def press(self, control: Control) -> None:
        """Press a control, however the watcher did it."""
        control.press(self.player)
        self._fresh = ARRIVING

    def _key(self, event: pygame.Event) -> None:
        is_again = event.key in self._down
        self._down.add(event.key)
        if event.mod & (pygame.KMOD_CTRL | pygame.KMOD_GUI | pygame.KMOD_LALT):
            return  # those are the desktop's
        key = KEYS.get(event.key) or event.unicode.lower()
        if key == "tab":
            self.bench.move_focus(self.player, -1 if event.mod & pygame.KMOD_SHIFT else 1)
            self._fresh = ARRIVING
            return
        control = self.bench.focused if key == "return" else control_of(key, self.bench.controls)
        if control is not None and (control.repeats or not is_again):
            self.press(control)

    def _hover(self, control: Control | None) -> None:
        if control is not self.hovered:
            self.hovered = control
            self._fresh = ARRIVING

    def _control_at(self, position: tuple[int, int]) -> Control | None:
        """The control under a position in the window (which counts in other units than the canvas on some
        dense displays)."""
        scale = self.size[0] / self.window.size[0]
        point: Point = self.canvas.to_page((position[0] * scale, position[1] * scale))
        tag = self.bench.tag_at(point)
        return None if tag is None else tag.control
