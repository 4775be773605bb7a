"""Whether friction is enough where its coefficient is given: F <= mu N."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from simlab.notation.page import Line, Maths, line
from simlab.results.forces import Key, in_numbers
from simlab.results.statics import Statics
from simlab.results.wording import NOTHING, figures
from simlab.working.places import point_words


def grips(statics: Statics) -> Iterator[Line]:
    """A sentence for each contact of given friction that is not at its limit.

    >>> from simlab.frame.scene import read_scene
    >>> from simlab.statics.solution import solve
    >>> from simlab.notation.page import written
    >>> print(*written(list(grips(solve(read_scene("scenes/slip_cask.toml")))), "text"), sep="\\n")
    At C friction is 34.2 N, and it can be 1/2 × 188 N = 94.0 N: it does not slip.
    """
    frame, values = statics.frame, statics.values
    forces = in_numbers(statics.case.forces, values).reactions
    for contact in frame.contacts.values():
        key = Key.of(contact)
        if contact.friction is None or contact.about_to is not None or key not in forces:
            continue
        nx, ny = (part.number(values) for part in contact.normal)
        length = hypot(nx, ny)
        fx, fy = forces[key].force
        push, rub = (fx * nx + fy * ny) / length, abs(fx * ny - fy * nx) / length
        most = contact.friction.number(values) * push
        if NOTHING * push < rub < most:
            head = f"At {point_words(contact.on.point)} friction is {figures(rub)} N, and it can be "
            tail = f" × {figures(push)} N = {figures(most)} N: it does not slip."
            yield line(head, Maths(contact.friction.expr), tail)
