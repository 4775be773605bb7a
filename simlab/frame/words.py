"""Words that several tables of a scene share, and their types."""

from __future__ import annotations

from typing import Literal

Exact = str | int  # an exact expression as text, or a whole number
Pair = tuple[str, str]
Heading = Literal["up", "down", "left", "right"]
Side = Literal["above", "below", "left", "right"]

WrittenSupport = Literal[
    "hook",
    "fixed hinge",
    "built-in",
    "smooth floor",
    "rough floor",
    "smooth wall",
    "rough wall",
    "smooth peg",
    "rough peg",
    "smooth cylinder",
    "rough cylinder",
    "smooth bowl",
    "rough bowl",
    "smooth wire",
    "rough wire",
]
AboutTo = Literal["slip", "lift"]
