"""The motion that a brace prevents, as a film tells it; nothing where there is no such motion."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from simlab.errors import BadInput
from simlab.film.prevented import Moved, Prevented
from simlab.frame.question import Asked
from simlab.lesson.amounts import amount, opposite
from simlab.notation.page import line
from simlab.results.wording import called

if TYPE_CHECKING:
    from simlab.notation.page import Line
    from simlab.results import Statics
    from simlab.results.conventions import Conventions
    from simlab.results.virtual_work import Term, VirtualWork


def prevented_motion(statics: Statics, conventions: Conventions) -> Prevented | None:
    """The motion that the brace prevents and its force by virtual work, told in a class's words.

    None for a frame without a brace, and where the brace alone prevents no motion or carries no force.
    """
    from simlab.commands.film_working import told
    from simlab.motion.displacement import displacement
    from simlab.statics.virtual_work import agrees
    from simlab.working.virtual import by_work

    frame, brace, values = statics.frame, statics.frame.brace, statics.values
    if brace is None or statics.verdict != "determined" or frame.links[brace].is_given:
        return None
    tension = statics.case.forces.tensions.get(brace)
    if tension is None or tension.number(values) == 0:
        return None
    pushes = tension.number(values) < 0
    force: Literal["thrust", "tension"] = "thrust" if pushes else "tension"
    working = by_work(statics, Asked(f"{force} in {brace}", force, brace))
    if working is None or working.virtual is None:
        return None
    try:
        shapes = displacement(frame, values, working.virtual)
    except BadInput:  # what has no weight and is free to move
        return None
    size = amount(opposite(tension) if pushes else tension, values, conventions)
    step = told(working, conventions).steps[0]
    return Prevented(
        shapes,
        pushes,
        step,
        tuple(_terms(working.virtual, statics, step.reasons[1:])),
        line(f"the {force} in {called(brace)} is ", *size, ".", lead="So"),
        agrees(frame, values, statics).get(brace, False),
    )


def _terms(work: VirtualWork, statics: Statics, told: Sequence[Line]) -> Iterator[Moved]:
    """The loads of each term of the equation as it is written: what moves backwards is on the left."""
    way = -1 if work.force is not None and work.force.number(statics.values) < 0 else 1
    groups: dict[object, list[Term]] = {}  # in the order in which they are told
    for term in work.terms:
        groups.setdefault((term.moves, term.size.expr, term.by.expr), []).append(term)
    found = [
        (
            way * terms[0].by.number(statics.values) > 0,
            Moved(tuple(t.load for t in terms), terms[0].moves, said),
        )
        for terms, said in zip(groups.values(), told, strict=False)
    ]
    yield from (moved for _, moved in sorted(found, key=lambda pair: pair[0]))
