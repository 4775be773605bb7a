"""simlab film: the whole chain on one frame, recorded."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from simlab.commands.edge import (
    AGREE,
    DISAGREE,
    ClassFile,
    Scene,
    Set,
    class_at,
    code_of,
    console,
    guarded,
    scene_at,
)
from simlab.commands.shapes import first
from simlab.errors import BadInput

if TYPE_CHECKING:
    from rich.progress import Progress

    from simlab.film.story import Story
    from simlab.frame.model import Frame
    from simlab.results import Reading
    from simlab.results.conventions import Conventions

RECORDINGS = Path("recordings")
Output = Annotated[
    Path | None,
    typer.Option(
        "-o", "--output", help="The film's file (.mp4). [default: recordings/SCENE.mp4]", show_default=False
    ),
]


Still = Annotated[
    float | None,
    typer.Option("--still", metavar="SECONDS", help="Write only the picture at this time, as a .png file."),
]


WithWorking = Annotated[
    bool,
    typer.Option("--working/--no-working", help="With the worked solution of the first thing asked."),
]
Chain = Annotated[int, typer.Option("--working-chain", min=1, help="The second or third best way to it.")]


@guarded
def command(
    scene: Scene,
    output: Output = None,
    changes: Set = None,
    still: Still = None,
    class_file: ClassFile = None,
    working: WithWorking = True,
    chain: Chain = 1,
) -> int:
    """Record a film: question, gravity, forces, the working, the brace taken away, both answers."""
    conventions = class_at(class_file)
    if not working and chain > 1:
        raise BadInput("--working-chain says which working is shown; leave it out with --no-working")
    chosen = chain if working else None
    if still is None:
        return record(scene, output, changes, conventions, chosen)
    return one_picture(scene, output, changes, still, conventions, chosen)


def film(
    scene: str | Path,
    output: str | Path,
    values: Mapping[str, str] | None = None,
    conventions: Conventions | None = None,
    working: bool = True,
) -> Path:
    """Record the film of a scene file as `output` (.mp4), at other `values` if given ({"alpha": "50 deg"}).

    conventions : of the class that sees it; working : whether the worked solution is shown
    Raises BadInput for a scene or a file that cannot be used. The film is there whole, or not at all.
    """
    changes = [f"{name}={value}" for name, value in (values or {}).items()]
    record(Path(scene), Path(output), changes, conventions, 1 if working else None)
    return Path(output)


def record(
    scene: Path,
    output: Path | None,
    changes: list[str] | None = None,
    conventions: Conventions | None = None,
    chain: int | None = 1,
) -> int:
    """Tell a scene's story and record it; the film is there whole, or not at all.

    chain : which of its workings is shown, the best being the first; None for none
    """
    from simlab.commands.telling import tell
    from simlab.film.recorder import check_place, write_film
    from simlab.film.story import CAUTION
    from simlab.film.storyboard import Storyboard

    frame = scene_at(scene, changes, conventions)
    output = _place(output, frame, ".mp4")
    check_place(output)
    findings = first(frame)
    with _progress() as progress:
        story, comparison, reading = tell(findings, progress, conventions, chain)
        board = Storyboard(story)
        task = progress.add_task("drawing and recording", total=len(board))
        write_film(
            output,
            board.pictures(),
            chapters=board.chapters,
            captions=board.captions,
            metadata={"title": frame.title, "comment": CAUTION},
            progress=lambda n: progress.update(task, completed=n),
        )
    _write_record(output, scene, story, reading)
    seconds = len(board) / board.rate
    console().print(
        f"{output}: {len(board)} pictures, {seconds:.1f} s. {story.spoken(story.agreement)}", soft_wrap=True
    )
    if comparison.agreement == "differ":
        return DISAGREE
    return code_of(story.verdict, frame)


def one_picture(
    scene: Path,
    output: Path | None,
    changes: list[str] | None,
    time: float,
    conventions: Conventions | None = None,
    chain: int | None = 1,
) -> int:
    """Write one picture of a scene's film, as a .png file."""
    from simlab.commands.telling import tell
    from simlab.film.storyboard import Storyboard
    from simlab.pictures.paper import png, write

    frame = scene_at(scene, changes, conventions)
    output = _place(output or RECORDINGS / f"{frame.name}_{time:g}s.png", frame, ".png")
    if not isfinite(time):
        raise BadInput(f"--still {time}: give the time of the picture in seconds, for example --still 25.")
    with _progress() as progress:
        story, _, reading = tell(first(frame), progress, conventions, chain)
        board = Storyboard(story)
        if not 0 <= time <= len(board) / board.rate:
            raise BadInput(f"--still {time:g}: the film lasts from 0 to {len(board) / board.rate:.1f} s.")
        write(output, png(board.still(time)))
    _write_record(output, scene, story, reading)
    console().print(f"{output}: the film at {time:g} s", soft_wrap=True)
    return AGREE


def _place(output: Path | None, frame: Frame, kind: str) -> Path:
    """Where to write: as the user says, or recordings/SCENE."""
    if output is None:
        try:
            RECORDINGS.mkdir(exist_ok=True)
        except OSError as error:
            raise BadInput(
                f"{RECORDINGS}/ cannot be made here: {error.strerror}. Choose a place with -o."
            ) from None
        return RECORDINGS / f"{frame.name}{kind}"
    if output.suffix.lower() != kind:
        raise BadInput(f'{output}: this is written as {kind}, not "{output.suffix}".')
    return output


def _write_record(output: Path, scene: Path, story: Story, reading: Reading) -> None:
    """How the film was made, beside it: enough to make the same again."""
    import hashlib
    from importlib.metadata import version

    from simlab.film.files import write_record

    def short(trace: Any) -> str | None:
        return None if trace is None else trace.hash

    settings = reading.settings
    write_record(
        output.with_name(f"{output.name}.json"),
        {
            "scene": story.frame.name,
            "scene_sha256": hashlib.sha256(scene.read_bytes()).hexdigest(),
            "values": {
                name: symbol.written(story.values[name]) for name, symbol in story.frame.symbols.items()
            },
            **({"class": story.conventions.told} if story.conventions.told else {}),
            "hanging_sha256": short(story.hanging),
            "falling_sha256": short(story.falling),
            "reading": {"step_s": settings.step, "iterations": settings.iterations},
            "versions": {name: version(name) for name in ("simlab", "pymunk", "av", "matplotlib", "sympy")},
            "command": ["simlab", *sys.argv[1:]],
        },
    )


@contextmanager
def _progress() -> Iterator[Progress]:
    """A progress display on the error stream, gone when all is done."""
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (
        TextColumn("{task.description}", markup=False),
        BarColumn(),
        TextColumn("{task.percentage:>3.0f} %"),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=console(to_errors=True), transient=True) as progress:
        yield progress
