"""Playing and handling a frame: the only place that knows pygame."""

import os

# pygame reads them when it is imported: a greeting on the terminal is not for the reader of a command, and
# desktops list their windows by the name of a program.
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
os.environ.setdefault("SDL_VIDEO_X11_WMCLASS", "simlab")
os.environ.setdefault("SDL_VIDEO_WAYLAND_WMCLASS", "simlab")
