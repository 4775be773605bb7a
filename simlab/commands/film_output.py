"""What simlab film writes: films, single pictures, stills, each with its record."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING

from simlab.commands.edge import AGREE, DISAGREE, code_of, console
from simlab.commands.film_record import differences, filming_of, keep, read, record_beside
from simlab.commands.filming import Filming
from simlab.errors import BadInput
from simlab.film.fingerprint import Fingerprint
from simlab.film.formats import FORMATS, format_of

if TYPE_CHECKING:
    from rich.progress import Progress

    from simlab.commands.filming import Told
    from simlab.film.storyboard import Storyboard
    from simlab.pictures.canvas import Pixels

RECORDINGS = Path("recordings")
STILLS_RECORD = "stills.json"


def record(filming: Filming, output: Path | None = None) -> int:
    """Record the film of a scene, and say what it is."""
    output = _place(output, f"{filming.frame.name}.mp4", tuple(FORMATS))
    told, board = recorded(filming, output)
    seconds, agreement = len(board) / board.rate, told.story.spoken(told.story.agreement)
    console().print(f"{output}: {len(board)} pictures, {seconds:.1f} s. {agreement}", soft_wrap=True)
    if told.comparison.agreement == "differ":
        return DISAGREE
    return code_of(told.story.verdict, filming.frame)


def recorded(filming: Filming, output: Path) -> tuple[Told, Storyboard]:
    """Tell a scene's story and record it; the film is there whole, or not at all.

    Raises BadInput also where the film is there and its record or its poster cannot be written.
    """
    from simlab.film.recorder import check_place, write_film
    from simlab.results.wording import CAUTION

    check_place(output)
    filming.form(output)
    pictures = Fingerprint()
    with _progress() as progress:
        told = filming.told(progress)
        board = told.storyboard(output)
        task = progress.add_task("drawing and recording", total=1.0)
        write_film(
            output,
            board.pictures(),
            size=board.size,
            rate=board.rate,
            chapters=board.chapters,
            captions=board.captions,
            metadata={"title": filming.frame.title, "comment": CAUTION},
            fingerprint=pictures,
            progress=lambda n: progress.update(task, completed=board.done(n)),
        )
    has_poster = format_of(output).told
    with _beside(
        f"The film {output} is there, but not its record{' and its poster' if has_poster else ''}"
    ):
        keep(record_beside(output), "film", told, board, (pictures.count, pictures.hex))
    if has_poster:
        with _beside(f"The film {output} and its record are there, but not its poster"):
            _write(poster_beside(output), board.poster())
    return told, board


def poster_beside(path: Path) -> Path:
    """Where the poster of a film is: under a name that no other picture is likely to have."""
    return path.with_name(f"{path.name}.png")


@contextmanager
def _beside(there: str) -> Iterator[None]:
    """Say what is there already where something beside a film cannot be written."""
    try:
        yield
    except BadInput as error:
        raise BadInput(f"{there}: {error}") from error


def one_picture(filming: Filming, output: Path | None, time: float) -> int:
    """Write one picture of a scene's film, as a .png file."""
    output = _place(output, f"{filming.frame.name}_{time:g}s.png", (".png",))
    if not isfinite(time):
        raise BadInput(f"--still {time}: give the time of the picture in seconds, for example --still 25.")
    pictures = Fingerprint()
    with _progress() as progress:
        told = filming.told(progress)
        board = told.storyboard()
        if not 0 <= time <= len(board) / board.rate:
            raise BadInput(f"--still {time:g}: the film lasts from 0 to {len(board) / board.rate:.1f} s.")
        pixels = board.still(time)
        pictures.add(pixels)
        _write(output, pixels)
    keep(record_beside(output), "still", told, board, (1, pictures.hex), at=time)
    console().print(f"{output}: the film at {time:g} s", soft_wrap=True)
    return AGREE


def stills(filming: Filming, folder: Path) -> int:
    """Write a picture of each chapter, at its most telling moment, as NUMBER_CHAPTER.png in a folder."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadInput(f"{folder} cannot be a folder: {error.strerror}. Choose another place.") from None
    pictures = Fingerprint()
    with _progress() as progress:
        told = filming.told(progress)
        board = told.storyboard()
        for number, one in enumerate(progress.track(board.played, description="drawing"), start=1):
            pixels = board.one(one.chapter, one.chapter.telling)
            pictures.add(pixels)
            _write(folder / f"{number:02}_{one.name}.png", pixels)
    keep(folder / STILLS_RECORD, "stills", told, board, (pictures.count, pictures.hex))
    console().print(f"{folder}: {pictures.count} pictures, one of each chapter", soft_wrap=True)
    return AGREE


def again(path: Path, output: Path | None) -> int:
    """Make what a record tells of once more, and say whether the pictures are the same."""
    old = read(path)
    made = path.with_suffix("") if old.what != "stills" else path.parent  # x.mp4.json tells of x.mp4
    output = output or made.with_name(f"{made.stem}_again{made.suffix}")
    with filming_of(old, path) as filming:
        if old.what == "film":
            record(filming, output)
        elif old.what == "still":
            one_picture(filming, output, old.at or 0.0)
        else:
            stills(filming, output)
    new = read(output / STILLS_RECORD if old.what == "stills" else record_beside(output))
    changed = _changed(Path(old.scene_file), old.scene_text)
    says = list(differences(old, new))
    same = (
        f"The pictures are the same, all {new.pictures}."
        if new.pictures > 1
        else "The picture is the same."
    )
    said = says or [same]
    console().print(" ".join([*said, *changed]), soft_wrap=True)
    return DISAGREE if says else AGREE


def _changed(scene: Path, text: str) -> Iterator[str]:
    try:
        now = scene.read_text(encoding="utf-8")
    except (OSError, ValueError):
        return
    if now != text:
        yield f"({scene} has changed since; this is the scene as it was.)"


def _place(output: Path | None, name: str, kinds: tuple[str, ...]) -> Path:
    """Where to write: as the user says, or in recordings/."""
    if output is None:
        try:
            RECORDINGS.mkdir(exist_ok=True)
        except OSError as error:
            raise BadInput(
                f"{RECORDINGS}/ cannot be made here: {error.strerror}. Choose a place with -o."
            ) from None
        return RECORDINGS / name
    if output.suffix.lower() not in kinds:
        raise BadInput(f'{output}: this is written as {" or ".join(kinds)}, not "{output.suffix}".')
    return output


def _write(path: Path, pixels: Pixels) -> None:
    """A picture of the film as a .png file."""
    from simlab.pictures.paper import png, write

    write(path, png(pixels))


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
