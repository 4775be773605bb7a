"""A question with letters to be found, for commands that show one shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simlab.errors import BadInput

if TYPE_CHECKING:
    from simlab.frame.model import Frame
    from simlab.results import Findings

NOWHERE = "Nothing limits the letter to be found within its range."


def in_shape(frame: Frame) -> Frame:
    """The frame in the first shape in which it can rest; as it is, where nothing is to be found.

    Raises BadInput where it can rest in none.
    """
    return first(frame).shapes[0].frame if frame.found else frame


def as_asked(frame: Frame) -> Frame:
    """The frame drawn in that shape, its letters to be found still letters: no answer is given away."""
    return drawn_as_asked(first(frame)) if frame.found else frame


def drawn_as_asked(findings: Findings) -> Frame:
    """The same, of what was found before."""
    if not findings.frame.found:
        return findings.frame
    from simlab.statics.roots import shown_at

    return shown_at(findings.frame, findings.shapes[0].found)


def first(frame: Frame) -> Findings:
    """What statics says of a question, with at least one shape. Raises BadInput where there is none."""
    from simlab.statics.shape import find

    findings = find(frame)
    if not findings.shapes:
        raise BadInput(f"{frame.name}: {findings.advice or NOWHERE} There is nothing to show.")
    return findings
