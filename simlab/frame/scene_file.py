"""A scene file decoded into its entries (`scene_entries`), with messages for what cannot be.

TOML 1.0. Numbers are exact: a decimal is kept as the text that was written.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any, Literal, Self, TypeVar, get_args, get_origin

import msgspec

from simlab.errors import SceneError, nearest
from simlab.frame.scene_entries import TABLES, FilmEntry, SceneEntry
from simlab.frame.words import Exact

T = TypeVar("T")

MAX_BYTES = 200_000  # a scene is a page or two; anything larger is another kind of file


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a scene file, for editors."""
    body = msgspec.json.schema(SceneEntry)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "simlab scene", **body}


class SceneText:
    """A scene file's text: it decodes itself, and knows the line of a key for messages."""

    what = "scene"  # what kind of file it is, in messages

    def __init__(self, text: str, name: str) -> None:
        self.text = text
        self.name = name

    @classmethod
    def of_file(cls, path: Path) -> Self:
        """Read the file; raises SceneError when it is missing, a folder, too large or not text."""
        try:
            if path.is_dir():
                raise SceneError(f"{path} is a folder, not a {cls.what} file. Give a .toml file inside it.")
            data = path.read_bytes()
        except FileNotFoundError:
            raise SceneError(f"{path}: there is no such file.{_neighbour(path)}") from None
        except OSError as error:
            raise SceneError(f"{path} cannot be read: {error.strerror}.") from None
        if len(data) > MAX_BYTES:
            raise SceneError(f"{path} has {len(data)} bytes; a {cls.what} file has at most {MAX_BYTES}.")
        try:
            return cls(data.decode("utf-8"), str(path))
        except UnicodeDecodeError:
            raise SceneError(f"{path} is not a text file in UTF-8, so it is no {cls.what} file.") from None

    def error(self, message: str, table: str = "", key: str = "") -> SceneError:
        """A SceneError that names the file, the line where it can be had, table and key, each once."""
        message = message.removeprefix(f"{key}: ") if key else message
        line = self._line(table, key)
        where = self.name + (f", line {line}" if line else "")
        if table:
            where += f", [{table}]" + (f" {key}" if key else "")
        elif key:
            where += f", {key}"
        return SceneError(f"{where}: {message}" + ("" if message.endswith((".", "?")) else "."))

    def _line(self, table: str, key: str) -> int | None:
        lines = self.text.splitlines()
        inside = not table
        for number, line in enumerate(lines, start=1):
            header = re.match(r"\s*\[([^\]]+)\]", line)
            if header:
                name = header[1].strip()
                if table and name in (f"{table}.{key}", f'{table}."{key}"'):
                    return number
                inside = name == table
            elif inside and key and re.match(rf"\s*\"?{re.escape(key)}\"?\s*[.=]", line):
                return number
        return None

    def decode(self) -> SceneEntry:
        """Decode the text; raises SceneError at the first thing that is not as it should be."""
        raw = self.raw()
        for table, kind in TABLES.items():
            entries = raw.get(table, {})
            if not isinstance(entries, dict):
                raise self.error(f"expected a table of named entries, got {entries!r}.", table)
            for name, entry in entries.items():
                if table == "points" and isinstance(entry, list):
                    self.convert(entry, tuple[Exact, Exact], table, name)
                else:
                    self.convert(entry, kind, table, name)
        film = raw.get("film")
        for key, value in film.items() if isinstance(film, dict) else ():  # messages with their lines
            self.convert({key: value}, FilmEntry, "film", key)
        return self.convert(raw, SceneEntry, "", "")

    def raw(self) -> dict[str, Any]:
        """The text as TOML; raises SceneError where it is none."""
        try:
            return tomllib.loads(self.text, parse_float=str)
        except tomllib.TOMLDecodeError as error:
            twice = " (one name is declared twice in a table)" if "overwrite" in str(error) else ""
            raise SceneError(f"{self.name} is not a correct TOML file: {error}{twice}.") from None
        except RecursionError:
            raise SceneError(f"{self.name} is nested too deeply to be a {self.what} file.") from None
        except ValueError:  # Python refuses to read integers of thousands of digits
            raise SceneError(f"{self.name} has a number of too many digits.") from None

    def convert(self, raw: Any, kind: type[T], table: str = "", key: str = "") -> T:
        """Plain data as a type; raises SceneError at the first thing that is not as it should be."""
        try:
            return msgspec.convert(raw, kind)
        except msgspec.ValidationError as error:
            raise self.error(_in_words(str(error), kind), table, key) from None


def _neighbour(path: Path) -> str:
    try:
        return nearest(path.name, [p.name for p in path.parent.iterdir() if p.suffix == ".toml"])
    except OSError:
        return ""


def _in_words(message: str, kind: Any) -> str:
    """msgspec's message, as a scene author would put it."""
    what, _, path = message.partition(" - at `")
    place = path.rpartition("$")[2].rstrip("`").lstrip(".")
    key = place.partition("[")[0]  # of a list, whichever of its items it is
    fields = {f.encode_name: f.type for f in msgspec.structs.fields(kind)} if _is_struct(kind) else {}
    unknown = re.match(r"Object contains unknown field `(.*)`", what)
    if unknown:
        hint = nearest(unknown[1], fields)
        return f'"{unknown[1]}" is not a key here. Keys: {", ".join(fields)}.{hint}'
    missing = re.match(r"Object missing required field `(.*)`", what)
    if missing:
        return f'"{missing[1]}" is missing. Add it.'
    value = re.match(r"Invalid enum value '(.*)'", what)
    if value and key in fields:
        allowed = _literals(fields[key])
        return (
            f'{key} = "{value[1]}" is not known. Allowed: {", ".join(allowed)}.{nearest(value[1], allowed)}'
        )
    words = {
        "`int | str | null`": "an expression in quotes",
        "`int | str`": "an expression in quotes",
        "`str | null`": "text",
        "`array`": "a list",
        "`object`": "a table",
        "`str`": "text",
        "`int`": "a whole number",
        "`bool`": "true or false",
    }
    for term, word in words.items():
        what = what.replace(term, word)
    return f"{place + ': ' if place else ''}{what[0].lower() + what[1:]}."


def _is_struct(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, msgspec.Struct)


def _literals(annotation: Any) -> list[str]:
    """The texts that a type allows, however deep its Literal lies."""
    if get_origin(annotation) is Literal:
        return [str(value) for value in get_args(annotation)]
    return [text for part in get_args(annotation) for text in _literals(part)]
