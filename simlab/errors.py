"""Errors of simlab, and the exit code that each one means at the edge.

    SimlabError
    ├── BadInput            what the user gave cannot be used          exit 2
    │   └── SceneError      a scene file: says file, key, what came, what is allowed
    └── SimlabFault         a broken identity inside simlab itself     exit 70

Physical outcomes (a mechanism, a frame that falls, a reading that did not settle) are results,
never exceptions.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


class SimlabError(Exception):
    """Any error that simlab raises on purpose; its text is one message fit to be shown."""

    exit_code = 70


class BadInput(SimlabError):
    """What the user gave cannot be used; the message says what to do."""

    exit_code = 2


class SceneError(BadInput):
    """A scene file cannot be read; the message names file and key, what came, what is allowed."""


class SimlabFault(SimlabError):
    """An identity that must hold inside simlab does not; it asks for a report."""

    def __init__(self, what: str) -> None:
        super().__init__(f"simlab fault: {what}. This is a fault of simlab's own: please report it.")


def nearest(name: str, names: Iterable[str]) -> str:
    """Return a hint such as ' Did you mean "alpha"?', or an empty text when no name is near.

    >>> nearest("alhpa", ["alpha", "W"])
    ' Did you mean "alpha"?'
    """
    found = get_close_matches(name, list(names), n=1, cutoff=0.6)
    return f' Did you mean "{found[0]}"?' if found else ""
