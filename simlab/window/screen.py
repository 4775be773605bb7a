"""The screen: a pygame window that hands what the watcher does to a session, and shows its moments."""

from __future__ import annotations

import gc
import os
from math import ceil

import pygame

from simlab.errors import BadInput
from simlab.pictures.camera import Page
from simlab.pictures.canvas import Canvas, Pixels
from simlab.pictures.cards import BAND
from simlab.pictures.marks import Label
from simlab.pictures.schemes import SCHEMES
from simlab.pictures.succession import Succession
from simlab.window.asking import Asking
from simlab.window.bench import Bench
from simlab.window.controls import controls
from simlab.window.events import Events, newest
from simlab.window.hands import Hands
from simlab.window.help_card import BY_MOUSE, groups_of, help_card
from simlab.window.layout import page_of
from simlab.window.pane import Pane
from simlab.window.session import Session
from simlab.window.showing import Showing
from simlab.window.sign import Sign
from simlab.window.words import Texts

SIZE = (1280, 720)  # [px] of the window when it opens
RATE = 60  # pictures a second at most
IDLE = 100  # [ms] between two looks at a window in which nothing moves
ARRIVING = 30  # pictures after which gliding labels have arrived
HOLD, AGAIN = 400, 70  # [ms] until a held key presses again, and from then on
UNSEEN = ("dummy", "offscreen")  # SDL's drivers without a display, taken only if asked for


def show(session: Session, texts: Texts | None = None, asking: Asking | None = None) -> None:
    """Open a window on a session, and return when the watcher has closed it.

    texts : what the exact road says, if it is known; asking : who works it out, and again for new values
    Raises BadInput where no window can be opened.
    """
    try:
        pygame.display.init()
        if pygame.display.get_driver() in UNSEEN and not os.environ.get("SDL_VIDEODRIVER"):
            raise pygame.error("there is no display")
        Screen(session, texts or Texts(), asking=asking).run()
    except pygame.error as error:
        raise BadInput(
            f"no window can be shown here: {error}. Run simlab watch on a machine with a screen, or record "
            "the same with simlab film."
        ) from error
    finally:
        if session.takes is not None:
            session.takes.stop()
        pygame.display.quit()


class Screen:
    """A window on a session: events go in by `handle`, one picture comes out by `draw`; `run` does both."""

    def __init__(
        self,
        session: Session,
        texts: Texts,
        size: tuple[int, int] = SIZE,
        asking: Asking | None = None,
        pane: Pane | None = None,
    ) -> None:
        self.session, self.player = session, session.player
        self.pane = pane or Pane(session.player.frame.title, size)
        pygame.key.set_repeat(HOLD, AGAIN)
        self._asking = asking
        self._fresh = ARRIVING  # pictures to be drawn though no time passes
        self._new_canvas()
        self.bench = Bench(session, controls(session), self.page)
        self.showing = Showing(session, texts, self.page, self.bench.top)
        self._isolated = self.player.isolated  # in the last picture
        self.hands = Hands(session, self.bench, self.showing)
        self._events = Events(self.hands, self.pane, self._to_page)

    def _new_canvas(self) -> None:
        """A canvas of the window's size and board, with nothing on it."""
        display = self.session.display
        self.pane.full(display.full)
        self.size = self.pane.size  # [px]
        self._look = (self.size, display.board, display.large, display.full)
        self.page: Page = page_of(self.size, display.large)
        self.canvas = Canvas(*self.size, self.page, SCHEMES[display.board])
        self.sign = Sign(self.canvas.ratio, SCHEMES[display.board])
        self._succession = Succession(self.page, RATE)
        self._kept: tuple[object, Pixels] | None = None

    def _to_page(self, position: tuple[float, float]) -> tuple[float, float]:
        return self.canvas.to_page(self.pane.pixel(position))

    # ------------------------------------------------------------ pictures

    def draw(self) -> None:
        """Draw the moment reached, show it, and give it to the film that is taken."""
        self._arrange()
        pixels = self._card() if self.session.has_help else self._picture()
        takes = self.session.takes
        if takes is not None and takes.is_on:
            self.session.try_to(lambda: takes.show(pixels))
            sign = self.sign.pixels(takes.seconds)
            self.pane.show(pixels, sign, (self.size[0] - sign.shape[1], 0))
        else:
            self.pane.show(pixels)
        self.pane.point_with(self._events.cursor)

    def _arrange(self) -> None:
        """Lay everything out anew where the window, the board, the drawer or the frame is another one."""
        display = self.session.display
        if (self.pane.size, display.board, display.large, display.full) != self._look:
            self._new_canvas()
            self.bench.arrange(self.page)
            self.showing.arrange(self.page, self.bench.top)
        elif self.bench.drawer != self.session.drawer or self.bench.top != self.showing.layout.bottom:
            self.bench.arrange(self.page)
            self.showing.arrange(self.page, self.bench.top)
        if self.showing.follow():
            self._ask()

    def _ask(self) -> None:
        """Ask exact statics about another frame; show what stays true until the answer is there."""
        showing = self.showing
        showing.texts = showing.texts.in_letters if showing.same_lanterns else showing.texts.unknown
        if self._asking is not None:
            self._asking.ask(self.player.asked)

    def _picture(self) -> Pixels:
        marks = self.showing.marks()
        camera = self.showing.view
        if self.session.display.calm:
            self._succession.cut()  # nothing glides or fades
        if self.player.isolated != self._isolated:
            self._succession.forget()  # another picture: labels of the same name do not fly across
            self._isolated = self.player.isolated
        marks, placement = self.shown = self._succession.follow(marks, camera, self.showing.room)
        foot = self._foot()
        self.canvas.draw(marks, camera, placement)
        return self.canvas.covered(foot)

    def _card(self) -> Pixels:
        """The card of keys, over everything."""
        if self._kept is None or self._kept[0] != "card":
            page = page_of(self.size)  # its type is as large as there is room for, anyway
            marks = help_card(groups_of(self.bench.items, BY_MOUSE), page)
            canvas = Canvas(*self.size, page, self.canvas.scheme)
            self._kept = "card", canvas.draw(marks, self.showing.view)
        return self._kept[1]

    def _foot(self) -> Pixels:
        """The rows of the picture with the line of words and the bench; drawn when their look has changed.

        They are laid over whatever swings down there, and nothing in them glides.
        """
        words, look = self.showing.words(), self.bench.look(self.hands.under)
        said = tuple(mark.text for mark in words if isinstance(mark, Label))
        if self._kept is None or self._kept[0] != (said, look):
            marks = [*words, *self.bench.marks(self.hands.under)]
            pixels = self.canvas.draw(marks, self.showing.view)
            top = ceil((self.bench.top - BAND) * self.canvas.ratio)
            self._kept = (said, look), pixels[top:].copy()
        return self._kept[1]

    # ------------------------------------------------------------ the loop

    def run(self) -> None:
        """Play until the watcher leaves."""
        clock = pygame.time.Clock()
        self.draw()  # before anything else: what is still to be worked out comes later
        gc.freeze()  # what was made for opening stays: nobody need look for garbage in it
        gc.enable()
        if self._asking is not None:
            self._asking.ask(self.player.asked)
        clock.tick()
        while not self.player.over:
            if self.session.is_running or self._fresh > 0 or self.session.is_recording:
                seconds = clock.tick(RATE) / 1000
                if self.session.is_running:
                    self.player.advance(seconds)
                self.draw()
                self._fresh = (
                    ARRIVING if self.showing.sight.is_gliding or self._succession.moves else self._fresh - 1
                )
            else:
                self.handle(pygame.event.wait(IDLE))
                seconds = clock.tick() / 1000  # while nothing moved: not to be caught up
            if self.hands.rest(seconds):
                self._fresh = ARRIVING
            for event in newest(pygame.event.get()):
                self.handle(event)
            self.look_for_answer()
        self.pane.close()

    def look_for_answer(self) -> None:
        """Show what exact statics says, once it has said it."""
        found = self._asking.answer() if self._asking is not None else None
        if found is not None:
            self.showing.texts = found
            self._fresh = ARRIVING

    def handle(self, event: pygame.Event) -> None:
        """Answer one event of the window."""
        if self._events.handle(event):
            self._fresh = ARRIVING
