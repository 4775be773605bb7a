"""What the simulation does not know, in words: for a reading at rest, and for a showing in motion."""

from __future__ import annotations

from simlab.frame.model import Frame
from simlab.simulation.drawn import Drawn
from simlab.simulation.strings import doubled_back


def unread(drawn: Drawn) -> str:
    """What of a frame in its drawn shape no forces can be read of; nothing if all can be read."""
    return doubled_back(drawn)


def unshown(frame: Frame) -> str:
    """What of a frame cannot be set in motion; nothing if it all can."""
    return doubled_back(Drawn(frame, frame.shown))
