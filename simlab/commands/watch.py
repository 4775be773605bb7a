"""simlab watch: a frame to be played and handled in a window."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING

from simlab.commands.edge import ClassFile, Scene, Set, class_at, code_of, console, guarded, scene_at
from simlab.commands.shapes import in_shape

if TYPE_CHECKING:
    from simlab.results import Statics
    from simlab.results.conventions import Conventions
    from simlab.window.words import Texts


FIXED_SPACE = "\u00a0"  # no line is broken between a number and its unit


@guarded
def command(scene: Scene, changes: Set = None, class_file: ClassFile = None) -> int:
    """Play a frame in a window: gravity let on, the forces live, the brace released and restored.

    Every control is a button in the window and names its key. Closing the window ends the command.
    """
    from rich.status import Status

    conventions = class_at(class_file)
    frame = in_shape(scene_at(scene, changes, conventions))
    with Status(f"{frame.title}: solving ...", console=console(to_errors=True)):
        from simlab.statics.solution import solve
        from simlab.window.screen import watch

        statics = solve(frame)
        texts = texts_of(statics, conventions.of(frame))
    watch(frame, texts)
    return code_of(statics.verdict, frame)


def texts_of(statics: Statics, conventions: Conventions | None = None) -> Texts:
    """What exact statics has to say in the window."""
    from simlab.pictures.beside import exact_words
    from simlab.pictures.names import exact, prose
    from simlab.pictures.plan import Plan
    from simlab.results import in_numbers
    from simlab.results.wording import figures, scaled
    from simlab.window.words import Texts

    own = class_at(None) if conventions is None else conventions
    if statics.verdict != "determined":
        return Texts(advice=statics.advice, conventions=own)
    frame = statics.frame
    numbers = in_numbers(statics.case.forces, statics.values)
    beside = exact_words(Plan.of(frame, statics.values), statics.case.forces, numbers, own)
    asked = next(iter(statics.answers.items()), None)
    if asked is None:
        return Texts(beside=beside, conventions=own)
    words, quantity = asked
    number = quantity.number(statics.values)
    scale, unit = scaled(quantity, number)
    value = f"{figures(number / scale, own.figures_of(quantity.dim))}{unit}".replace(" ", FIXED_SPACE)
    if quantity.is_angle:
        value = f"{figures(degrees(number))}°"
    is_exact = quantity.names and own.exact == "surds"
    answer = f"{exact(quantity)} ={FIXED_SPACE}{value}" if is_exact else value
    said = prose(own.spoken(words), (), frame.points)
    return Texts(f"At rest: {said} = {answer}.", beside, conventions=own)
