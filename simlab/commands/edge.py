"""The edge: the only place where simlab prints and exits.

Exit codes: 0 all roads agree; 1 they disagree, or nothing settled; 2 bad input; 3 no unique answer
and the scene does not `expect` that; 70 a fault of simlab's own; 130 interrupted.
"""

from __future__ import annotations

import functools
import json
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ParamSpec

import typer

from simlab.errors import BadInput, SimlabError

if TYPE_CHECKING:
    from rich.console import Console

    from simlab.frame.model import Frame

P = ParamSpec("P")
COLUMNS = 110  # of output that does not go to a terminal

AGREE, DISAGREE, BAD_INPUT, NO_UNIQUE_ANSWER, FAULT, INTERRUPTED = 0, 1, 2, 3, 70, 130
_GRAVITY = (FAULT, BAD_INPUT, DISAGREE, NO_UNIQUE_ANSWER, AGREE)  # gravest first

Scene = Annotated[Path, typer.Argument(help="A scene file (.toml).", show_default=False)]
Scenes = Annotated[list[Path], typer.Argument(help="Scene files (.toml).", show_default=False)]
Set = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="LETTER=VALUE", help='Another value to show: --set alpha="50 deg".'),
]
Json = Annotated[bool, typer.Option("--json", help="Print the data as JSON.")]


def gravest(codes: Iterable[int]) -> int:
    """The exit code that matters most of several."""
    return min(codes, key=_GRAVITY.index, default=AGREE)


def console(to_errors: bool = False) -> Console:
    """The terminal, or a plain 110 columns when the output goes elsewhere."""
    from rich.console import Console

    stream = sys.stderr if to_errors else sys.stdout
    return Console(file=stream, highlight=False, width=None if stream.isatty() else COLUMNS)


def say(message: str) -> None:
    """One message to the reader's error stream."""
    console(to_errors=True).print(f"[bold]simlab:[/bold] {_plain(message)}", soft_wrap=True)


def _plain(message: str) -> str:
    from rich.markup import escape

    return escape(message)


def put_json(data: Any) -> None:
    """Data for another program."""
    sys.stdout.write(json.dumps(data, indent=2, ensure_ascii=False) + "\n")


def guarded(command: Callable[P, int]) -> Callable[P, None]:
    """A command that answers every outcome with its exit code, and no outcome with a traceback."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> None:
        raise typer.Exit(outcome(lambda: command(*args, **kwargs)))

    return run


def outcome(action: Callable[[], int]) -> int:
    """Do something; turn whatever is raised into a message and its exit code."""
    try:
        return action()
    except SimlabError as error:
        say(str(error))
        return error.exit_code
    except KeyboardInterrupt:
        say("interrupted.")
        return INTERRUPTED
    except BrokenPipeError:
        sys.stdout = None  # whoever read our output has gone: nothing to flush
        return AGREE
    except Exception as error:  # the one place where an unforeseen error may be caught
        frame = error.__traceback__
        while frame is not None and frame.tb_next is not None:
            frame = frame.tb_next
        where = f"{Path(frame.tb_frame.f_code.co_filename).name}:{frame.tb_lineno}" if frame else "?"
        say(f"simlab fault: {type(error).__name__} at {where}: {error}. Please report it with the scene.")
        return FAULT


def scene_at(path: Path, changes: list[str] | None) -> Frame:
    """Read a scene and put other demonstration values, written LETTER=VALUE."""
    from simlab.frame.change import showing
    from simlab.frame.scene import read_scene

    frame = read_scene(path)
    values: Mapping[str, str] = dict(_pair(change) for change in changes or ())
    return showing(frame, values) if values else frame


def _pair(change: str) -> tuple[str, str]:
    name, equals, value = change.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise BadInput(f'--set "{change}": write LETTER=VALUE, for example --set alpha="50 deg".')
    return name.strip(), value.strip()
