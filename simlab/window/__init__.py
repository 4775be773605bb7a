"""Playing and handling a frame: the only place that knows pygame."""

import os

# pygame reads it when it is imported: a greeting on the terminal is not for the reader of a command.
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
