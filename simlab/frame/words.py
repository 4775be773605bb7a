"""Words that several tables of a scene share, and their types."""

from __future__ import annotations

from typing import Literal

Exact = str | int  # an exact expression as text, or a whole number
Pair = tuple[str, str]
Heading = Literal["up", "down", "left", "right"]
Side = Literal["above", "below", "left", "right"]

SupportKind = Literal[
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
    "smooth wire",
    "rough wire",
]
WrittenSupport = SupportKind | Literal["smooth bowl", "rough bowl"]  # bowls are cylinders from within
AboutTo = Literal["slip", "lift"]
