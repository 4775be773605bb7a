"""The record beside a film, a picture, a folder of stills: all that is needed to make the same again."""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, Literal, get_args

from simlab.commands.edge import class_at
from simlab.commands.filming import Filming, Told, board_of
from simlab.errors import BadInput
from simlab.film.files import write_record
from simlab.frame.film_wishes import FilmWishes

if TYPE_CHECKING:
    from simlab.film.storyboard import Storyboard

What = Literal["film", "still", "stills"]
KINDS: tuple[What, ...] = get_args(What)
SETTINGS = (  # that decide the pictures
    *("what", "scene", "scene_text", "set", "beside", "class", "wishes", "working_chain"),
    *("size", "rate", "board", "at"),
)
VERSIONS = ("simlab", "pymunk", "av", "matplotlib", "numpy", "sympy", "ziamath")


@dataclass(frozen=True)
class Record:
    """What of a record is needed to make the same pictures, and to know that they are."""

    what: What
    scene: str
    scene_text: str
    scene_file: str
    changes: tuple[str, ...]
    class_: Mapping[str, str | int]
    wishes: FilmWishes
    working_chain: int
    size: tuple[int, int]
    rate: int
    board: str
    pictures: int
    pictures_sha256: str
    versions: Mapping[str, str]
    hanging_sha256: str | None
    falling_sha256: str | None
    at: float  # [s] of a single picture
    beside: tuple[str, ...] = ()
    is_as_written: bool = True  # nobody has changed its settings
    reading: Mapping[str, float] = field(default_factory=dict)  # settings of the simulation

    @classmethod
    def of(cls, raw: Mapping[str, Any]) -> Record:
        """A record from plain data; raises KeyError, TypeError, ValueError or BadInput where it is none."""
        width, height = (_whole("size", side) for side in raw["size"])
        rate, chain, pictures = (_whole(key, raw[key]) for key in ("rate", "working_chain", "pictures"))
        return cls(
            _one_of(str(raw["what"])),
            str(raw["scene"]),
            str(raw["scene_text"]),
            str(raw["scene_file"]),
            _texts("set", raw["set"]),
            dict(raw["class"]),
            FilmWishes.of(raw["wishes"]),
            chain,
            (width, height),
            rate,
            board_of(str(raw["board"])),
            pictures,
            str(raw["pictures_sha256"]),
            dict(raw["versions"]),
            raw["hanging_sha256"],
            raw["falling_sha256"],
            float(raw.get("at", 0.0)),
            _texts("beside", raw.get("beside", [])),
            "settings_sha256" not in raw or raw["settings_sha256"] == _fingerprint(raw),
            dict(raw.get("reading", {})),
        )


def _one_of(what: str) -> What:
    for kind in KINDS:
        if kind == what:
            return kind
    raise ValueError(f'"{what}" is nothing that is recorded')


def _whole(key: str, value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise BadInput(f'"{key}" has to be made of whole numbers from 1, not {json.dumps(value)}.')
    return value


def _texts(key: str, value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise BadInput(f'"{key}" has to be a list of texts, not {json.dumps(value)}.')
    return tuple(value)


def _fingerprint(record: Mapping[str, Any]) -> str:
    """SHA-256 of all that decides the pictures."""
    return hashlib.sha256(
        json.dumps([record.get(key) for key in SETTINGS], sort_keys=True).encode()
    ).hexdigest()


def record_beside(path: Path) -> Path:
    """Where the record of a film or a picture is."""
    return path.with_name(f"{path.name}.json")


def keep(
    path: Path, what: What, told: Told, board: Storyboard, pictures: tuple[int, str], **more: Any
) -> None:
    """Write the record of what was made: whole, or not at all.

    pictures : their number and their fingerprint; more : what else there is to say
    """
    filming, story = told.filming, told.story
    symbols = filming.frame.symbols.items()
    text = told.text
    record = {
        "what": what,
        "scene": filming.frame.name,
        "scene_file": str(filming.origin or filming.scene),
        "scene_text": text,
        "scene_sha256": hashlib.sha256(text.encode()).hexdigest(),
        "set": list(filming.changes),
        "beside": list(filming.beside),
        "values": {name: symbol.written(symbol.shown) for name, symbol in symbols if not symbol.found},
        "class": filming.class_.written,
        "wishes": board.wishes.told,
        "working_chain": filming.chain,
        "chapters": [one.name for one in board.played],
        "size": board.size,
        "rate": board.rate,
        "board": filming.board,
        "pictures": pictures[0],
        "pictures_sha256": pictures[1],
        "hanging_sha256": story.hanging.hash,
        "falling_sha256": None if story.falling is None else story.falling.hash,
        "reading": {
            "step_s": told.reading.settings.step,
            "iterations": told.reading.settings.iterations,
        },
        "versions": _versions(),
        "command": ["simlab", *sys.argv[1:]],
        **more,
    }
    write_record(path, {**record, "settings_sha256": _fingerprint(record)})


def _versions() -> dict[str, str]:
    from importlib.metadata import version

    return {"python": sys.version.split()[0], **{name: version(name) for name in VERSIONS}}


def read(path: Path) -> Record:
    """Read a record; raises BadInput where there is none, or it is none."""
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BadInput(
            f"{path} cannot be read: {error.strerror}. Give the record of a film: its name and .json."
        ) from None
    no_record = f"{path} is no record that a film can be made from"
    try:
        raw = json.loads(data)
        if "scene_sha256" in raw and "scene_text" not in raw:
            raise BadInput("an earlier simlab wrote it, without the scene. Film the scene anew.")
        return Record.of(raw)
    except KeyError as error:
        raise BadInput(f"{no_record}: it does not say {error}.") from None
    except BadInput as error:
        raise BadInput(f"{no_record}: {error}") from None
    except (ValueError, TypeError, AttributeError, RecursionError, OverflowError):
        raise BadInput(
            f"{no_record}: it is damaged. Give the .json file that was written beside it."
        ) from None


@contextmanager
def filming_of(record: Record, path: Path) -> Iterator[Filming]:
    """What a record says was filmed, from the scene as it was then; what is wrong, `path` is blamed for."""
    with TemporaryDirectory() as folder:
        scene, school = Path(folder, f"{Path(record.scene).name}.toml"), Path(folder, "class.toml")
        scene.write_text(record.scene_text, encoding="utf-8")
        school.write_text("".join(f"{key} = {json.dumps(v)}\n" for key, v in record.class_.items()))
        try:
            yield Filming(
                scene,
                record.changes,
                class_at(school),
                record.wishes,
                record.working_chain,
                record.size,
                record.rate,
                record.board,
                Path(record.scene_file),
                record.beside,
            )
        except BadInput as error:
            said = str(error).replace(str(scene), f"the scene in {path}")
            raise BadInput(said.replace(str(school), f"the class in {path}")) from None


def differences(old: Record, new: Record) -> Iterator[str]:
    """What is not as it was, in sentences; nothing where the pictures are the same."""
    if (old.pictures, old.pictures_sha256) == (new.pictures, new.pictures_sha256):
        return
    count = f", {new.pictures} instead of {old.pictures}" if new.pictures != old.pictures else ""
    yield f"The pictures are not the same{count}."
    if not old.is_as_written:
        yield "The record is not as it was written: its scene or its settings were changed since."
    if old.reading != new.reading:
        yield f"The simulation had the settings {old.reading}, and has {new.reading} now."
    for name, version in old.versions.items():
        if new.versions.get(name) != version:
            yield f"{name} was {version}, and is {new.versions.get(name, 'not there')} now."
    for motion in ("hanging", "falling"):
        if getattr(old, f"{motion}_sha256") != getattr(new, f"{motion}_sha256"):
            yield f"The simulated motion ({motion}) is not the same in its last figures."
    if old.is_as_written and (old.reading, old.versions) == (new.reading, new.versions):
        yield "Settings and versions are the same: another kind of processor rounds sines otherwise."
