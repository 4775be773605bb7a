"""A question with letters to be found, for commands that show one shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simlab.errors import BadInput

if TYPE_CHECKING:
    from simlab.frame.model import Frame


def in_shape(frame: Frame) -> Frame:
    """The frame in the first shape in which it can rest; as it is, where nothing is to be found.

    Raises BadInput where it can rest in none.
    """
    if not frame.found:
        return frame
    from simlab.statics.shape import find

    findings = find(frame)
    if not findings.shapes:
        advice = findings.advice or "It can rest in no shape with a value of its own"
        raise BadInput(f"{frame.name}: {advice} There is nothing to show.")
    return findings.shapes[0].frame
