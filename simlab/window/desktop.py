"""The desktop around a window: whether anything there makes windows full when it is asked to."""

from __future__ import annotations

from contextlib import suppress
from ctypes import CDLL, c_char_p, c_int, c_ulong, c_void_p

import pygame

MANAGED = b"WM_S0"  # what a window manager of the first screen owns. Source: ICCCM 2.0, section 4.3


def makes_full() -> bool:
    """Whether the desktop makes windows full: all do but an X server on which no window manager runs."""
    if pygame.display.get_driver() != "x11":
        return True
    with suppress(OSError):  # where the library is not called so, the desktop is taken to be able
        library = CDLL("libX11.so.6")
        library.XOpenDisplay.restype = c_void_p
        library.XCloseDisplay.argtypes = [c_void_p]
        library.XInternAtom.restype = library.XGetSelectionOwner.restype = c_ulong
        library.XInternAtom.argtypes = [c_void_p, c_char_p, c_int]
        library.XGetSelectionOwner.argtypes = [c_void_p, c_ulong]
        display = library.XOpenDisplay(None)
        if display:
            owner = library.XGetSelectionOwner(display, library.XInternAtom(display, MANAGED, 0))
            library.XCloseDisplay(display)
            return bool(owner)
    return True
