"""The [film] table of a scene: how its author wishes the film to be."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from simlab.errors import BadInput
from simlab.frame.film_wishes import FilmWishes, chapter_names, pace, seconds, speed
from simlab.frame.scene_entries import FilmEntry
from simlab.frame.scene_file import SceneText
from simlab.frame.words import Exact

T = TypeVar("T")


def film_wishes(text: SceneText, entry: FilmEntry) -> FilmWishes:
    """The table as wishes; raises SceneError where a time or a speed is none."""

    def read(key: str, written: Exact, reader: Callable[[Exact], T]) -> T:
        try:
            return reader(written)
        except BadInput as error:
            raise text.error(str(error), "film", key) from None

    held = entry.hold if isinstance(entry.hold, dict) else {}
    return FilmWishes(
        chapter_names(entry.chapters),
        chapter_names(entry.without),
        {name: read("hold", held[name], seconds) for name in chapter_names(held)},
        None if isinstance(entry.hold, dict) else read("hold", entry.hold, seconds),
        None if entry.slow is None else read("slow", entry.slow, speed),
        None if entry.answers else False,
        None if entry.pace is None else read("pace", entry.pace, pace),
    )
