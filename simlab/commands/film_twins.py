"""The same frame at two values of a letter, both without their brace, as a film shows them side by side."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simlab.errors import BadInput
from simlab.film.told import on_screen
from simlab.film.twin import Twin
from simlab.lesson.amounts import amount, opposite
from simlab.results.wording import called, capital, member_force

if TYPE_CHECKING:
    from simlab.results import Statics, Trace
    from simlab.results.conventions import Conventions


def two_values(
    one: Statics, other: Statics, fall: Trace | None, conventions: Conventions
) -> tuple[Twin, Twin]:
    """The frame at its own values, whose `fall` is known, and at others: the brace's force, both falls.

    Raises BadInput where the frame has no single answer at one of the values.
    """
    from simlab.simulation.release import release

    frame = other.frame
    if fall is None:
        raise BadInput(f"--beside: {frame.name} has no single answer. {one.advice}")
    if other.verdict != "determined":
        raise BadInput(f"--beside: at these values there is no single answer. {other.advice}")
    return _twin(one, other, fall, conventions), _twin(other, one, release(frame), conventions)


def _different(one: Statics, other: Statics) -> list[str]:
    """The letters whose values differ."""
    return [name for name in one.frame.symbols if one.frame.shown[name] != other.frame.shown[name]]


def _twin(statics: Statics, other: Statics, fall: Trace, conventions: Conventions) -> Twin:
    frame, brace = statics.frame, statics.frame.brace or ""
    heading = ", ".join(frame.symbols[name].said(frame.shown[name]) for name in _different(statics, other))
    words = ""
    tension = statics.case.forces.tensions.get(brace)
    if tension is not None:
        value = tension.number(frame.shown)
        # alone: the formula is the same on both sides, and too small beside its value to be read
        alone = replace(conventions, exact="figures")
        size = amount(tension if value >= 0 else opposite(tension), frame.shown, alone)
        carried = member_force(frame, brace, value, abs(value)).partition(" in ")[0]
        said = "".join(on_screen(piece) for piece in size)
        words = conventions.spoken(f"{capital(carried)} in {called(brace)}: {said}")
    return Twin(frame, frame.shown, fall, heading, words)
