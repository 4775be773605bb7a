"""The pane: the window of the desktop itself, of any density, or over the whole screen."""

from __future__ import annotations

from contextlib import suppress
from typing import Literal

import pygame

from simlab.pictures.canvas import Pixels
from simlab.pictures.marks import Point
from simlab.window.desktop import makes_full

SMALLEST = (640, 480)  # of a window: smaller, and the type cannot be read
Cursor = Literal["arrow", "hand", "grip"]  # nothing here, something to press, something that is held
CURSORS: dict[Cursor, int] = {
    "arrow": pygame.SYSTEM_CURSOR_ARROW,
    "hand": pygame.SYSTEM_CURSOR_HAND,
    "grip": pygame.SYSTEM_CURSOR_SIZEALL,
}


class Pane:
    """A window: pictures are shown on it, and positions of the mouse become pixels of the pictures."""

    def __init__(self, title: str, size: tuple[int, int]) -> None:
        self.window = pygame.Window(title, size, resizable=True, allow_high_dpi=True)
        self.window.minimum_size = SMALLEST
        self.is_full = False
        self._windowed: tuple[tuple[int, int], tuple[int, int]] | None = None  # before, full by hand
        self._cursor: Cursor = "arrow"
        self._picture: tuple[Pixels, pygame.Surface] | None = None

    @property
    def surface(self) -> pygame.Surface:
        """What is shown; on a dense display it has more pixels than the window's size says."""
        return self.window.get_surface()

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the pictures that it shows [px]."""
        return self.surface.get_size()

    def pixel(self, position: Point) -> Point:
        """The pixel of a picture under a position that the desktop tells."""
        (wide, high), (w, h) = self.size, self.window.size
        return (position[0] * wide / w, position[1] * high / h)

    def show(self, pixels: Pixels, over: Pixels | None = None, at: tuple[int, int] = (0, 0)) -> None:
        """Show a picture of the pane's size, and a small one over it at a pixel."""
        if self._picture is None or self._picture[0] is not pixels:  # it shares the canvas's memory
            self._picture = pixels, _surface(pixels)
        target = self.surface
        target.blit(self._picture[1], (0, 0))
        if over is not None:
            target.blit(_surface(over), at)
        self.window.flip()

    def full(self, wanted: bool) -> None:
        """Over the whole screen, or in a window again."""
        if wanted == self.is_full:
            return
        self.is_full = wanted
        if wanted and not makes_full():
            self._windowed = self.window.size, self.window.position
            self.window.size, self.window.position = pygame.display.get_desktop_sizes()[0], (0, 0)
        elif wanted:
            self.window.set_fullscreen(desktop=True)
        elif self._windowed is not None:
            (self.window.size, self.window.position), self._windowed = self._windowed, None
        else:
            self.window.set_windowed()

    def point_with(self, cursor: Cursor) -> None:
        """Give the pointer a shape that tells what a press would do."""
        if cursor != self._cursor:
            self._cursor = cursor
            with suppress(pygame.error):  # not every display has shapes to give
                pygame.mouse.set_cursor(CURSORS[cursor])

    def close(self) -> None:
        """Close the window."""
        self.window.destroy()


def _surface(pixels: Pixels) -> pygame.Surface:
    return pygame.image.frombuffer(pixels.data, (pixels.shape[1], pixels.shape[0]), "RGBX")
