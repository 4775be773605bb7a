"""The edge: the only place where simlab prints and exits.

Exit codes: 0 all roads agree; 1 they disagree, or nothing settled; 2 bad input; 3 no unique answer
and the scene does not `expect` that; 70 a fault of simlab's own; 130 interrupted (143 and 129: by
SIGTERM and SIGHUP).
"""

from __future__ import annotations

import functools
import json
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn, ParamSpec, TextIO

import typer

from simlab.errors import BadInput, SimlabError, nearest

if TYPE_CHECKING:
    from rich.console import Console

    from simlab.frame.model import Frame
    from simlab.results import Verdict
    from simlab.results.conventions import Conventions

P = ParamSpec("P")
COLUMNS = 110  # of output that does not go to a terminal

AGREE, DISAGREE, BAD_INPUT, NO_UNIQUE_ANSWER, FAULT, INTERRUPTED = 0, 1, 2, 3, 70, 130
_GRAVITY = (FAULT, BAD_INPUT, DISAGREE, NO_UNIQUE_ANSWER, AGREE)  # gravest first; an interrupt ends all

Scene = Annotated[Path, typer.Argument(help="A scene file (.toml).", show_default=False)]
Scenes = Annotated[list[Path], typer.Argument(help="Scene files (.toml).", show_default=False)]
Set = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="LETTER=VALUE", help='Another value to show: --set alpha="50 deg".'),
]
ClassFile = Annotated[
    Path | None,
    typer.Option(
        "--class", metavar="FILE", help="The class's conventions (.toml): g, words, figures, angles."
    ),
]
Json = Annotated[bool, typer.Option("--json", help="Print the data as JSON.")]


def code_of(verdict: Verdict, frame: Frame) -> int:
    """The exit code of a verdict: whether it is the one that the scene's author announced."""
    return AGREE if verdict == frame.expect else NO_UNIQUE_ANSWER


def gravest(codes: Iterable[int]) -> int:
    """The exit code that matters most of several."""
    return min(codes, key=_GRAVITY.index, default=AGREE)


def console(to_errors: bool = False, spoken: Callable[[str], str] = str) -> Console:
    """The terminal, or a plain 110 columns when the output goes elsewhere.

    Nothing is read as markup: titles and names are the scene's own. `spoken` puts a class's words for ours
    in every line of text (tables bring their own).
    """
    from rich.console import Console

    class Quiet(Console):
        def print(self, *objects: Any, **kwargs: Any) -> None:
            """Print texts in the class's words."""
            super().print(*(spoken(one) if isinstance(one, str) else one for one in objects), **kwargs)

        def on_broken_pipe(self) -> None:
            """Whoever read our output has gone (`| head`): the work goes on, and so does the exit code."""
            _to_nowhere(sys.stdout)

    stream = sys.stderr if to_errors else sys.stdout
    width = None if stream.isatty() else COLUMNS
    return Quiet(file=stream, highlight=False, markup=False, emoji=False, width=width)


def say(message: str) -> None:
    """One message to the reader's error stream."""
    console(to_errors=True).print(f"simlab: {message}", soft_wrap=True)


def run(app: Callable[[], None]) -> int:
    """Run the command line with streams that can take any letter; give its exit code."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by whoever started us
            setattr(sys, name, open(os.devnull, "w"))  # noqa: SIM115 (open until the end)
        getattr(sys, name).reconfigure(errors="replace")
    code = AGREE
    try:
        app()
    except SystemExit as stop:
        code = stop.code if isinstance(stop.code, int) else AGREE
    except OSError as error:
        code = _unwritable(error)
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _to_nowhere(sys.stdout)
    except OSError as error:
        code = _unwritable(error)
    return code


def _unwritable(error: OSError) -> int:
    _to_nowhere(sys.stdout)
    say(f"the output cannot be written: {error.strerror}.")
    return BAD_INPUT


def _to_nowhere(stream: TextIO) -> None:
    """Point a stream at nothing, so that what is left in it fails no more."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


def put_json(data: Any) -> None:
    """Data for another program."""
    sys.stdout.write(json.dumps(data, indent=2, ensure_ascii=False) + "\n")


def guarded(command: Callable[P, int]) -> Callable[P, None]:
    """A command that answers every outcome with its exit code, and no outcome with a traceback."""

    @functools.wraps(command)
    def answer(*args: P.args, **kwargs: P.kwargs) -> None:
        try:
            with _stoppable():
                code = outcome(lambda: command(*args, **kwargs))
        except KeyboardInterrupt as stop:
            code = stop.args[0] if isinstance(stop, Stopped) else INTERRUPTED
            with suppress(OSError):  # the terminal may be gone
                say("interrupted.")
        raise typer.Exit(code)

    return answer


class Stopped(KeyboardInterrupt):
    """The system ends simlab, or its terminal was closed: as Ctrl-C, with its own exit code."""


@contextmanager
def _stoppable() -> Iterator[None]:
    """Let what ends a process (SIGTERM, SIGHUP) be cleaned up after, unless someone has seen to it."""

    def stop(number: int, _: object) -> NoReturn:
        raise Stopped(128 + number)

    found = {}
    if threading.current_thread() is threading.main_thread():
        signals = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
        found = {one: signal.getsignal(one) for one in signals if signal.getsignal(one) is signal.SIG_DFL}
    for one in found:
        signal.signal(one, stop)
    try:
        yield
    finally:
        for one, before in found.items():
            signal.signal(one, before)


def outcome(action: Callable[[], int]) -> int:
    """Do something; turn whatever is raised into a message and its exit code. An interrupt passes."""
    try:
        return action()
    except SimlabError as error:
        say(str(error))
        return error.exit_code
    except OSError as error:
        return _unwritable(error)
    except Exception as error:  # the one place where an unforeseen error may be caught
        frame = error.__traceback__
        while frame is not None and frame.tb_next is not None:
            frame = frame.tb_next
        where = f"{Path(frame.tb_frame.f_code.co_filename).name}:{frame.tb_lineno}" if frame else "?"
        say(f"simlab fault: {type(error).__name__} at {where}: {error}. Please report it with the scene.")
        return FAULT


def class_at(path: Path | None) -> Conventions:
    """The conventions of a class file; simlab's own where there is none."""
    from simlab.results.conventions import HOUSE, Conventions

    return HOUSE if path is None else Conventions.read(path)


def scene_at(path: Path, changes: list[str] | None, conventions: Conventions | None = None) -> Frame:
    """Read a scene as a class has it, and put other demonstration values, written LETTER=VALUE."""
    from simlab.frame.change import showing
    from simlab.results.conventions import HOUSE

    own = conventions or HOUSE
    frame = own.scene(path)
    values: Mapping[str, str] = dict(_pair(change) for change in changes or ())
    if own.keeps_scenes:
        return showing(frame, values) if values else frame
    if values.keys() & frame.gravity.names:
        raise BadInput("--set g: the class's g is in its file. Change it there, or leave it out there.")
    letters = [name for name in frame.symbols if name not in frame.gravity.names]
    for name in values:
        if name not in letters:
            has = own.loads or "its own g"
            raise BadInput(
                f'--set {name}: there is no letter "{name}" for this class, which has {has}. '
                f"Letters: {', '.join(letters) or 'none'}." + nearest(name, letters)
            )
    return showing(frame, values) if values else frame


def _pair(change: str) -> tuple[str, str]:
    name, equals, value = change.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise BadInput(f'--set "{change}": write LETTER=VALUE, for example --set alpha="50 deg".')
    return name.strip(), value.strip()
