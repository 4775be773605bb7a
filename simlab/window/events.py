"""Events: what pygame tells of mouse, keys and window, told to the hands in the words of a page."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import pygame

from simlab.pictures.marks import Point
from simlab.window.hands import Hands
from simlab.window.pane import Cursor, Pane

LEFT, RIGHT = 1, 3  # pygame's numbers of the mouse's buttons
KEYS = {
    pygame.K_SPACE: "space",
    pygame.K_ESCAPE: "escape",
    pygame.K_RETURN: "return",
    pygame.K_KP_ENTER: "return",
    pygame.K_TAB: "tab",
    pygame.K_LEFT: "left",
    pygame.K_RIGHT: "right",
    pygame.K_UP: "up",
    pygame.K_DOWN: "down",
    pygame.K_HOME: "home",
    pygame.K_END: "end",
    pygame.K_PAGEUP: "page up",
    pygame.K_PAGEDOWN: "page down",
    pygame.K_F1: "f1",
    pygame.K_F11: "f11",
    pygame.K_KP_PLUS: "+",
    pygame.K_KP_MINUS: "-",
}
WINDOW = (
    pygame.WINDOWRESIZED,
    pygame.WINDOWSIZECHANGED,
    pygame.WINDOWEXPOSED,
    pygame.WINDOWRESTORED,
    pygame.WINDOWSHOWN,
)


def newest(events: Sequence[pygame.Event]) -> Iterator[pygame.Event]:
    """The events, of movements of the mouse that follow one another only the last: the others are past."""
    for i, event in enumerate(events):
        moves = event.type == pygame.MOUSEMOTION
        if not (moves and i + 1 < len(events) and events[i + 1].type == pygame.MOUSEMOTION):
            yield event


class Events:
    """Events of a pane, for the hands; `to_page` turns the desktop's positions into those of the page."""

    def __init__(self, hands: Hands, pane: Pane, to_page: Callable[[Point], Point]) -> None:
        self.hands, self._pane, self._to_page = hands, pane, to_page
        self._down: set[int] = set()  # keys that are held

    def handle(self, event: pygame.Event) -> bool:
        """Answer one event; whether it may have changed what is seen."""
        hands = self.hands
        if event.type in (pygame.QUIT, pygame.WINDOWCLOSE):
            hands.player.quit()
        elif event.type == pygame.KEYDOWN:
            return self._key(event)
        elif event.type == pygame.KEYUP:
            self._down.discard(event.key)
            return False
        elif event.type == pygame.WINDOWFOCUSLOST:
            self._down.clear()
            return False
        elif event.type == pygame.WINDOWLEAVE:
            hands.leave()
        elif event.type == pygame.MOUSEMOTION:
            return hands.move(self._to_page(event.pos))
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button in (LEFT, RIGHT):
            hands.press(self._to_page(event.pos))
        elif event.type == pygame.MOUSEBUTTONUP and event.button in (LEFT, RIGHT):
            takes_off = event.button == RIGHT or bool(pygame.key.get_mods() & pygame.KMOD_SHIFT)
            hands.release(self._to_page(event.pos), takes_off=takes_off)
        else:
            return event.type in WINDOW
        return True

    def _key(self, event: pygame.Event) -> bool:
        again = event.key in self._down
        self._down.add(event.key)
        if event.mod & (pygame.KMOD_CTRL | pygame.KMOD_GUI | pygame.KMOD_LALT):
            return False  # those are the desktop's
        key = KEYS.get(event.key) or event.unicode.lower()
        return self.hands.key(key, shift=bool(event.mod & pygame.KMOD_SHIFT), again=again)

    @property
    def cursor(self) -> Cursor:
        """The shape of the pointer that tells what a press would do."""
        hands = self.hands
        if hands.holds:
            return "grip"
        return "hand" if hands.under is not None or hands.session.hover is not None else "arrow"
