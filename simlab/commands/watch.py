"""simlab watch: a frame to be played and handled in a window."""

from __future__ import annotations

import gc
import sys
from functools import partial
from typing import TYPE_CHECKING, Annotated, Literal, NamedTuple, cast

import typer

from simlab.commands.edge import (
    AGREE,
    ClassFile,
    Scene,
    Set,
    class_at,
    code_of,
    console,
    guarded,
    scene_at,
)
from simlab.commands.shapes import in_shape

if TYPE_CHECKING:
    from simlab.frame.model import Frame, Values
    from simlab.results import Statics, Verdict
    from simlab.results.conventions import Conventions
    from simlab.window.asking import Asking
    from simlab.window.words import Texts

Board = Annotated[
    Literal["light", "dark", "stark"],
    typer.Option("--board", help="light, dark, or stark: high contrast."),
]
Large = Annotated[bool, typer.Option("--large", help="Type and tags larger, for a long room.")]
Calm = Annotated[bool, typer.Option("--calm", help="Nothing glides or fades.")]
Full = Annotated[bool, typer.Option("--full", help="On the whole screen.")]


@guarded
def command(
    scene: Scene,
    changes: Set = None,
    class_file: ClassFile = None,
    board: Board = "light",
    large: Large = False,
    calm: Calm = False,
    full: Full = False,
) -> int:
    """Play a frame in a window: gravity let on, forces live, pulled by hand, lanterns hung, the brace cut.

    Every control is a tag in the window and names its key; H shows all keys. Closing the window ends it.
    """
    gc.disable()  # until the window is open: a sixth of the time to it would go into finding no garbage
    try:
        conventions = class_at(class_file)
        frame = _in_shape(scene_at(scene, changes, conventions))
        return _watched(frame, conventions, Look(board, large, calm, full))
    finally:
        gc.enable()


def watch(
    frame: Frame,
    values: Values | None = None,
    conventions: Conventions | None = None,
    *,
    board: str = "light",
    large: bool = False,
    calm: bool = False,
    full: bool = False,
) -> None:
    """Open a window, play a frame in it, and return when the watcher has closed it.

    values : of its letters, if not those shown; conventions : of the class that sees it
    board : light, dark or stark; large : type for a long room; calm : nothing glides; full : whole screen
    Raises BadInput where no window can be opened, and for frames whose motion is unknown.
    """
    from simlab.commands.filming import board_of
    from simlab.window.asking import AtOnce, Beside

    look, frame = Look(board_of(board), large, calm, full), in_shape(frame)
    own = class_at(None) if conventions is None else conventions
    solve = partial(solved, conventions=own.of(frame))
    # A process beside the window would run a script that has called us once more from its beginning.
    asking = AtOnce(solve) if hasattr(sys.modules["__main__"], "__file__") else Beside(solve)
    try:
        _show(frame, look, asking, values)
    finally:
        asking.close()


class Look(NamedTuple):
    """How the window begins: the board, large type, nothing that glides, the whole screen."""

    board: str
    large: bool
    calm: bool
    full: bool


def _show(frame: Frame, look: Look, asking: Asking, values: Values | None = None) -> None:
    from simlab.commands.hand_film import takes_of
    from simlab.window.player import Player
    from simlab.window.screen import show
    from simlab.window.session import Display, Session

    show(Session(Player(frame, values), Display(*look), takes_of(frame)), asking=asking)


def _watched(frame: Frame, conventions: Conventions, look: Look) -> int:
    """Open the window, and give the exit code of statics once it is closed."""
    from simlab.window.asking import Beside

    asking = Beside(partial(solved, conventions=conventions.of(frame)))
    try:
        _show(frame, look, asking)
        verdict = asking.first()
    finally:
        asking.close()
    return code_of(cast("Verdict", verdict), frame) if verdict else AGREE


def _in_shape(frame: Frame) -> Frame:
    """The frame in a shape in which it can rest; where that has to be found, before the window opens."""
    if not frame.found:
        return frame
    from rich.status import Status

    with Status(f"{frame.title}: finding its shape ...", console=console(to_errors=True)):
        return in_shape(frame)


def solved(frame: Frame, conventions: Conventions) -> Texts:
    """What exact statics has to say of a frame in the window."""
    from simlab.statics.solution import solve

    return texts_of(solve(frame), conventions)


def texts_of(statics: Statics, conventions: Conventions | None = None) -> Texts:
    """What a solution has to say in the window."""
    from simlab.pictures.beside import exact_words
    from simlab.pictures.names import prose
    from simlab.pictures.plan import Plan
    from simlab.results import in_numbers
    from simlab.window.words import Texts

    own = class_at(None) if conventions is None else conventions
    verdict = statics.verdict
    if verdict != "determined":
        return Texts(advice=statics.advice, conventions=own, verdict=verdict)
    frame = statics.frame
    numbers = in_numbers(statics.case.forces, statics.values)
    beside = exact_words(Plan.of(frame, statics.values), statics.case.forces, numbers, own)
    asked = next(iter(statics.answers.items()), None)
    if asked is None:
        return Texts(beside=beside, conventions=own, verdict=verdict)
    words, answer = asked
    said = prose(own.spoken(words), (), frame.points)
    return Texts(said, answer, beside, conventions=own, verdict=verdict)
