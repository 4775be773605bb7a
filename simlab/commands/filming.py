"""All that decides what a film shows: scene, values, class, chapters, times, size, rate, board."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from simlab.commands.edge import class_at, scene_at
from simlab.commands.shapes import first
from simlab.errors import BadInput, nearest
from simlab.film.formats import check_form, format_of
from simlab.film.sizes import Size
from simlab.frame.film_wishes import ALL, ChapterName, FilmWishes, chapter_names, pace, seconds, speed

if TYPE_CHECKING:
    from rich.progress import Progress

    from simlab.film.story import Story
    from simlab.film.storyboard import Storyboard
    from simlab.frame.model import Frame
    from simlab.results import Comparison, Reading
    from simlab.results.conventions import Conventions

Written = TypeVar("Written")
Read = TypeVar("Read")


@dataclass(frozen=True)
class Filming:
    """What is filmed, and how: the same gives the same pictures.

    wishes : of whoever films; the scene's own stand where these say nothing
    board : the name of its scheme
    beside : the values that differ in a second frame, shown beside the first
    size, rate : None for what the kind of file has; origin : where the scene was found, if it is a copy
    """

    scene: Path
    changes: tuple[str, ...] = ()
    conventions: Conventions | None = None
    wishes: FilmWishes = ALL
    chain: int = 1
    size: Size | None = None
    rate: int | None = None
    board: str = "light"
    origin: Path | None = None
    beside: tuple[str, ...] = ()

    @cached_property
    def frame(self) -> Frame:
        """The frame, at the values that are shown. Raises BadInput where the scene cannot be read."""
        return scene_at(self.scene, list(self.changes), self.conventions)

    @cached_property
    def other(self) -> Frame | None:
        """The frame at the values beside, if there are any. Raises BadInput where it cannot be shown."""
        if not self.beside:
            return None
        if self.frame.brace is None:
            raise BadInput(f"--beside: {self.frame.name} has no brace to be taken away. Leave it out.")
        try:
            other = scene_at(self.scene, [*self.changes, *self.beside], self.conventions)
        except BadInput as error:
            raise BadInput(str(error).replace("--set", "--beside")) from None
        if other.shown == self.frame.shown:
            raise BadInput("--beside: these are the values that the film has already. Give others.")
        return other

    @cached_property
    def class_(self) -> Conventions:
        """The class that sees it."""
        return class_at(None) if self.conventions is None else self.conventions

    @cached_property
    def whole(self) -> FilmWishes:
        """All wishes: one's own, then the scene's."""
        return self.wishes.over(self.frame.film)

    def form(self, path: Path = Path("film.mp4")) -> tuple[Size, int]:
        """Size [px] and rate [pictures/s] of a film in a file; raises BadInput if it cannot have them."""
        usual = format_of(path)
        size, rate = self.size or usual.size, self.rate or usual.rate
        check_form(usual, size, rate)
        return size, rate

    def told(self, progress: Progress) -> Told:
        """Its story, worked out."""
        from simlab.commands.telling import tell

        worked = self.whole.shows("working") and self.whole.answers is not False
        chain = self.chain if worked else None
        frame, text = self.frame, self.scene.read_text(encoding="utf-8")  # before anybody changes it
        other = None if self.other is None else first(self.other)
        return Told(self, *tell(first(frame), progress, self.conventions, chain, other), text)


@dataclass(frozen=True)
class Told:
    """A story worked out, to be shown."""

    filming: Filming
    story: Story
    comparison: Comparison
    reading: Reading
    text: str  # of the scene file

    def storyboard(self, path: Path = Path("film.mp4")) -> Storyboard:
        """The film of it, as it goes into a file."""
        from simlab.film.storyboard import Storyboard
        from simlab.pictures.schemes import SCHEMES

        filming, wishes, form = self.filming, self.filming.whole, format_of(path)
        if not (form.told or wishes.chapters or wishes.without):  # a slide is looked at for seconds
            one: ChapterName = "gravity" if self.story.falling is None else "release"
            wishes = replace(wishes, chapters=(one,))
        size, rate = filming.form(path)
        return Storyboard(self.story, size, rate, wishes, SCHEMES[filming.board])


def wished(
    chapters: str | Iterable[str] | None = None,
    without: str | Iterable[str] | None = None,
    hold: Iterable[str] = (),
    slow: str | float | None = None,
    answers: bool | None = None,
    quick: str | float | None = None,
    *,
    lead: str = "--",
) -> FilmWishes:
    """Wishes as they are written on the command line; raises BadInput naming the option.

    lead : what an option's name begins with
    """
    held, pause = _holds(f"{lead}hold", hold)
    return FilmWishes(
        _names(f"{lead}chapters", chapters),
        _names(f"{lead}without", without),
        held,
        pause,
        None if slow is None else _read(f"{lead}slow", slow, speed),
        answers,
        None if quick is None else _read(f"{lead}pace", quick, pace),
    )


def _names(option: str, written: str | Iterable[str] | None) -> tuple[ChapterName, ...]:
    if written is None:
        return ()
    return _read(option, written.split(",") if isinstance(written, str) else written, chapter_names)


def _holds(option: str, written: Iterable[str]) -> tuple[dict[ChapterName, float], float | None]:
    """How long each chapter is held, and all that ask or answer."""
    held, pause = dict[ChapterName, float](), None
    for one in (part.strip() for text in written for part in text.split(",")):
        said = f'{option} "{one}"'
        name, equals, time = one.rpartition("=")
        if equals:
            held[_read(said, [name], chapter_names)[0]] = _read(said, time, seconds)
        else:
            pause = _read(said, time, seconds)
    return held, pause


def _read(option: str, written: Written, reader: Callable[[Written], Read]) -> Read:
    try:
        return reader(written)
    except BadInput as error:
        raise BadInput(f"{option}: {error}") from None


def board_of(name: str) -> str:
    """The name of a board; raises BadInput where there is none of that name."""
    from simlab.pictures.schemes import SCHEMES

    if name not in SCHEMES:
        raise BadInput(f'"{name}" is no board. Boards: {", ".join(SCHEMES)}.{nearest(str(name), SCHEMES)}')
    return name
