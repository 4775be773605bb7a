"""Files that appear whole or not at all, and the record beside a film."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

from simlab.errors import BadInput, SimlabFault


def temporary(path: Path) -> Path:
    """Where `path` is written until it is complete: beside it, so that it can be renamed.

    The process number keeps two runs apart that write the same file at the same time.
    """
    return path.with_name(f"{path.name}.{os.getpid()}.part")


def growing_place(path: Path) -> Path:
    """A new, empty file in which a film can grow: `path`, or a name beside it where that is taken."""
    for i in count():
        beside = f"{path.stem}.recording{'' if i == 1 else f'-{i}'}{path.suffix}"
        place = path.with_name(beside) if i else path
        with suppress(FileExistsError):
            place.open("xb").close()
            return place
    raise AssertionError("unreachable")


@contextmanager
def writing(path: Path) -> Iterator[None]:
    """Say in a sentence what the system answered (folder missing, disk full): BadInput for OSError."""
    try:
        yield
    except OSError as error:
        raise BadInput(
            f"{path} cannot be written: {error.strerror or error}. What was there before is unchanged. "
            "Make room, or choose another place with -o"
        ) from error


def put_in_place(*paths: Path) -> None:
    """Give complete temporary files their names, one after the other, replacing what was there."""
    for path in paths:
        with temporary(path).open("rb+") as file:
            os.fsync(file.fileno())  # a file system may find out only now that it is full
    for path in paths:
        os.replace(temporary(path), path)


def discard(*paths: Path) -> None:
    """Remove what is left of temporary files."""
    for path in paths:
        temporary(path).unlink(missing_ok=True)


def write_record(path: str | Path, record: Mapping[str, object]) -> None:
    """Write how a film was made (scene hash, versions, step, trace hash ...) as JSON, keys sorted.

    Raises BadInput where it cannot be written, SimlabFault where `record` holds what JSON cannot.

    >>> write_record("/tmp/ring.json", {"step": 0.001, "iterations": 30})  # doctest: +SKIP
    """
    path = Path(path)
    try:
        text = json.dumps(dict(record), sort_keys=True, indent=2, ensure_ascii=False, allow_nan=False)
    except (TypeError, ValueError) as error:
        raise SimlabFault(f"the record {path} cannot be written as JSON ({error})") from error
    with writing(path):
        try:
            temporary(path).write_text(text + "\n", encoding="utf-8")
            put_in_place(path)
        finally:
            discard(path)
