"""simlab film: the whole chain on one frame, recorded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simlab.commands.edge import ClassFile, Set, class_at, guarded
from simlab.errors import BadInput
from simlab.frame.film_wishes import CHAPTER_NAMES, decimal

if TYPE_CHECKING:
    from simlab.results.conventions import Conventions

LIGHT = "light"  # the board of a film, if nothing is said
Scene = Annotated[Path | None, typer.Argument(help="A scene file (.toml).", show_default=False)]
Output = Annotated[
    Path | None,
    typer.Option(
        "-o",
        "--output",
        help="The film's file: .mp4, .webm, or .gif for a slide (640x360, 15 pictures a second, the brace "
        "taken away and no more, unless said otherwise). If it is not given: recordings/SCENE.mp4.",
        show_default=False,
    ),
]
Chapters = Annotated[
    str | None,
    typer.Option(
        "--chapters", metavar="NAMES", help=f"These chapters alone, of {', '.join(CHAPTER_NAMES)}."
    ),
]
Without = Annotated[
    str | None, typer.Option("--without", metavar="NAMES", help='All chapters but these: "working".')
]
Hold = Annotated[
    list[str] | None,
    typer.Option(
        "--hold",
        metavar="CHAPTER=TIME",
        help='The last picture of a chapter stands longer, to be talked over: "gravity=6 s, working=4 s"; '
        "a time alone: of every chapter that asks a question or shows an answer.",
    ),
]
Slow = Annotated[
    str | None,
    typer.Option(
        "--slow", metavar="SHARE", help="Speed at the break, of real speed: 1/8 if not said otherwise."
    ),
]
Pace = Annotated[
    str | None,
    typer.Option(
        "--pace",
        metavar="TIMES",
        help='How quickly all is told: "1.5", half as quick again as a class reads; falls keep their time.',
    ),
]
Answers = Annotated[
    bool | None,
    typer.Option(
        "--answers/--no-answers",
        help="Without answers: an edition for the start of the lesson that gives nothing away.",
        show_default=False,
    ),
]
WithWorking = Annotated[
    bool,
    typer.Option("--working/--no-working", help="With the worked solution of the first thing asked."),
]
Chain = Annotated[int, typer.Option("--working-chain", min=1, help="The second or third best way to it.")]
Size = Annotated[
    str | None,
    typer.Option(
        "--size",
        help="720p, 1080p, 1440p, 4k, tall (for a telephone), WIDTHxHEIGHT; 1080p if not said otherwise.",
    ),
]
Rate = Annotated[
    int | None, typer.Option("--rate", min=1, help="Pictures a second: 60 if not said otherwise.")
]
Board = Annotated[
    str | None,
    typer.Option("--board", help="light, dark, or stark (high contrast): light if not said otherwise."),
]
Still = Annotated[
    float | None,
    typer.Option("--still", metavar="SECONDS", help="Write only the picture at this time, as a .png file."),
]
Stills = Annotated[
    Path | None,
    typer.Option("--stills", metavar="FOLDER", help="Write only a picture of each chapter, as .png files."),
]
Again = Annotated[
    Path | None,
    typer.Option(
        "--again", metavar="RECORD", help="Make the same pictures again, from the record of a film."
    ),
]
Beside = Annotated[
    list[str] | None,
    typer.Option(
        "--beside",
        metavar="LETTER=VALUE",
        help='Another value, "theta=60 deg": both are shown without their brace, side by side.',
    ),
]


@guarded
def command(
    scene: Scene = None,
    output: Output = None,
    changes: Set = None,
    beside: Beside = None,
    chapters: Chapters = None,
    without: Without = None,
    hold: Hold = None,
    slow: Slow = None,
    pace: Pace = None,
    answers: Answers = None,
    working: WithWorking = True,
    chain: Chain = 1,
    size: Size = None,
    rate: Rate = None,
    board: Board = None,
    still: Still = None,
    stills: Stills = None,
    again: Again = None,
    class_file: ClassFile = None,
) -> int:
    """Record a film: question, gravity, forces, the working, the brace taken away, both answers.

    Its record and a poster are written beside it.
    """
    from simlab.commands import film_output
    from simlab.commands.filming import Filming, board_of, wished
    from simlab.film.sizes import size_of

    if again is not None:
        said = (scene, changes, beside, chapters, without, hold, slow, pace, answers)
        also = (size, rate, board, still, stills, class_file)
        if not working or chain > 1 or any(one is not None for one in (*said, *also)):
            raise BadInput("--again takes everything from the record; give it alone, or with -o.")
        return film_output.again(again, output)
    if scene is None:
        raise BadInput("give a scene file, or --again RECORD.")
    if not working and chain > 1:
        raise BadInput("--working-chain says which working is shown; leave it out with --no-working")
    omitted = ",".join([*([without] if without else []), *([] if working else ["working"])])
    filming = Filming(
        scene,
        tuple(changes or ()),
        class_at(class_file),
        wished(chapters, omitted or None, hold or (), slow, answers, pace),
        chain,
        None if size is None else size_of(size),
        rate,
        board_of(board or LIGHT),
        beside=tuple(beside or ()),
    )
    if stills is not None:
        if still is not None or output is not None:
            raise BadInput("--stills names the folder that pictures go to; leave out --still and -o.")
        return film_output.stills(filming, stills)
    if still is not None:
        return film_output.one_picture(filming, output, still)
    return film_output.record(filming, output)


def film(
    scene: str | Path,
    output: str | Path,
    values: Mapping[str, str] | None = None,
    conventions: Conventions | None = None,
    working: bool = True,
    *,
    chapters: Sequence[str] | None = None,
    without: Sequence[str] = (),
    hold: Mapping[str, float] | float | None = None,
    slow: float | None = None,
    pace: float | None = None,
    answers: bool | None = None,
    working_chain: int = 1,
    size: str | tuple[int, int] | None = None,
    rate: int | None = None,
    board: str = LIGHT,
    beside: Mapping[str, str] | None = None,
) -> Path:
    """Record the film of a scene file as `output` (.mp4, .webm, .gif), at other `values` if given.

    values : {"alpha": "50 deg"}; conventions : of the class that sees it; working : whether the worked
    solution is shown, and `working_chain` which; chapters, without : names, as of the command
    hold : how much longer the last pictures of chapters stand [s]; of all that ask or answer, if a number
    slow : speed at the break, of real speed; pace : of the telling, 1 where a class reads along
    answers : False for an edition without them
    size : a name or (width, height) [px]; rate : pictures a second; board : light, dark or stark
    beside : other values, at which the frame is shown beside itself
    Raises BadInput for a scene or a file that cannot be used. The film is there whole, or not at all.
    """
    from simlab.commands import film_output
    from simlab.commands.filming import Filming, board_of, wished
    from simlab.film.sizes import size_of

    if working_chain < 1:
        raise BadInput(f"working_chain: {working_chain} is none; ways are counted from 1")
    omitted = [*without, *([] if working else ["working"])]
    filming = Filming(
        Path(scene),
        tuple(f"{name}={value}" for name, value in (values or {}).items()),
        conventions,
        wished(chapters, omitted, _holds(hold), slow, answers, pace, lead=""),
        working_chain,
        None if size is None else size_of(size),
        rate,
        board_of(board),
        beside=tuple(f"{name}={value}" for name, value in (beside or {}).items()),
    )
    film_output.recorded(filming, Path(output))
    return Path(output)


def _holds(hold: Mapping[str, float] | float | None) -> list[str]:
    """Holds as they are written on the command line."""
    if hold is None:
        return []
    if isinstance(hold, Mapping):
        return [f"{name}={decimal(time)}" for name, time in hold.items()]
    return [decimal(hold)]
