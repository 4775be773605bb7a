"""The words of a scene file: its tables and keys, and how a file is decoded into them.

TOML 1.0. Numbers are exact: a decimal is kept as the text that was written.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar, get_args, get_origin

import msgspec
from msgspec import Meta

from simlab.errors import SceneError, nearest

Exact = str | int  # an exact expression as text, or a whole number
T = TypeVar("T")

SupportKind = Literal["hook", "fixed hinge", "smooth floor", "smooth wall", "built-in"]
MemberKind = Literal["light rod", "strut", "string"]
Heading = Literal["up", "down", "left", "right"]
Pair = tuple[str, str]

MAX_BYTES = 200_000  # a scene is a page or two; anything larger is another kind of file


class SymbolEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A letter of the question."""

    meaning: Annotated[str, Meta(description="what the letter stands for")]
    shown: Annotated[Exact, Meta(description='value to demonstrate with: "4 N", "35 deg"')]
    low: Annotated[Exact | None, Meta(description="least value the question is meant for")] = None
    high: Annotated[Exact | None, Meta(description="greatest value the question is meant for")] = None


class PointEntry(msgspec.Struct, forbid_unknown_fields=True, rename={"from_": "from"}):
    """A point as the question states it; give one of the groups of keys listed in the README."""

    middle: Annotated[Pair | None, Meta(description="half-way between two points")] = None
    from_: Annotated[str | None, Meta(description="the point to start from")] = None
    towards: Annotated[str | None, Meta(description="the point to go towards")] = None
    fraction: Annotated[Exact | None, Meta(description="share of the way to `towards`")] = None
    length: Annotated[Exact | None, Meta(description="distance from the start")] = None
    angle: Annotated[Exact | None, Meta(description="anticlockwise from the level, to the right")] = None
    direction: Annotated[Heading | None, Meta(description="the way to go")] = None
    lean: Annotated[Exact | None, Meta(description="angle away from `direction`")] = None
    to: Annotated[Heading | None, Meta(description="the side to lean to")] = None
    square_to: Annotated[Pair | None, Meta(description="go at right angles to this line")] = None
    side: Annotated[Heading | None, Meta(description="on which side of the line")] = None
    lines: Annotated[tuple[Pair, Pair] | None, Meta(description="where two lines meet")] = None
    at_lengths: Annotated[
        tuple[tuple[str, Exact], tuple[str, Exact]] | None,
        Meta(description="at these distances from two points, on `side` of the line joining them"),
    ] = None
    line: Annotated[Pair | None, Meta(description="on this line ...")] = None
    at_length: Annotated[
        tuple[str, Exact] | None, Meta(description="... at a distance from a point, the end near `nearer`")
    ] = None
    nearer: Annotated[str | None, Meta(description="which of the two: nearer this end of `line`")] = None
    foot_from: Annotated[str | None, Meta(description="... at the foot of the perpendicular from here")] = (
        None
    )
    level_with: Annotated[str | None, Meta(description="at the height of this point")] = None
    plumb_with: Annotated[str | None, Meta(description="straight above or below this point")] = None
    mirror: Annotated[str | None, Meta(description="the mirror image of this point in `line`")] = None


class RodEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A rigid rod; give its weight or mass, or say that it is light."""

    ends: Annotated[Pair, Meta(description="its two ends")]
    weight: Annotated[Exact | None, Meta(description="its weight")] = None
    mass: Annotated[Exact | None, Meta(description="its mass; the weight is mass times gravity")] = None
    light: Annotated[bool, Meta(description="true: it has no weight")] = False
    through: Annotated[list[str], Meta(description="further named points on it")] = []
    centre: Annotated[str | None, Meta(description="its centre of mass, if not half-way")] = None
    gyration: Annotated[
        Exact | None, Meta(description="radius of gyration about the centre, if it is not uniform")
    ] = None


class MemberEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A light member: the force in it is along it."""

    kind: Annotated[MemberKind, Meta(description="strut: thrust only; string: tension only")]
    between: Annotated[Pair, Meta(description='its two ends; "P on AB" when two rods cross at P')]


class SupportEntry(msgspec.Struct, forbid_unknown_fields=True):
    """What holds the frame."""

    kind: Annotated[SupportKind, Meta(description="how it holds")]
    at: Annotated[str | list[str], Meta(description="the point, or points, it holds")]
    slope: Annotated[Exact | None, Meta(description="of a floor: its rise to the right, an angle")] = None
    faces: Annotated[
        Literal["left", "right"] | None,
        Meta(
            description="of a wall, or of the wall that a hook or hinge is fixed to: the side of the frame"
        ),
    ] = None


class LoadEntry(msgspec.Struct, forbid_unknown_fields=True):
    """A hung weight, or a force."""

    at: Annotated[str, Meta(description='where; "P on AB" when two rods cross at P')]
    weight: Annotated[Exact | None, Meta(description="a hung weight")] = None
    mass: Annotated[Exact | None, Meta(description="a hung mass")] = None
    force: Annotated[
        tuple[Exact, Exact] | Exact | None,
        Meta(description="a force: [to the right, upwards], or its size with `direction` or `angle`"),
    ] = None
    direction: Annotated[Heading | None, Meta(description="the way a force pulls")] = None
    angle: Annotated[Exact | None, Meta(description="of a force, anticlockwise from the right")] = None


class SceneEntry(msgspec.Struct, forbid_unknown_fields=True):
    """One frame and the question about it."""

    title: Annotated[str, Meta(description="a few words")]
    question: Annotated[str, Meta(description="the question as a class would read it")]
    source: Annotated[str, Meta(description='where it comes from; "our own"')]
    points: Annotated[
        dict[str, tuple[Exact, Exact] | PointEntry], Meta(description="[x, y], or a construction")
    ]
    supports: dict[str, SupportEntry]
    rods: dict[str, RodEntry] = {}
    symbols: dict[str, SymbolEntry] = {}
    lets: Annotated[dict[str, Exact], Meta(description="abbreviations, in order")] = {}
    members: Annotated[dict[str, MemberEntry], Meta(description="light members")] = {}
    loads: dict[str, LoadEntry] = {}
    gravity: Annotated[Exact, Meta(description='the class\'s value of g, "9.8 m/s^2"')] = "9.8 m/s^2"
    asked: Annotated[
        list[str],
        Meta(description='"thrust in DE", "tension in UV", "force at B on BC", "reaction at A"'),
    ] = []
    brace: Annotated[str | None, Meta(description="the light member whose removal is shown")] = None
    unhinged: Annotated[list[str], Meta(description="points where rods cross without a hinge")] = []
    expect: Annotated[
        Literal["determined", "not determined", "cannot rest", "falls out"],
        Meta(description="the verdict the author announces"),
    ] = "determined"


_TABLES: dict[str, type[msgspec.Struct]] = {
    "points": PointEntry,
    "rods": RodEntry,
    "symbols": SymbolEntry,
    "members": MemberEntry,
    "supports": SupportEntry,
    "loads": LoadEntry,
}


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a scene file, for editors."""
    body = msgspec.json.schema(SceneEntry)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "simlab scene", **body}


class SceneText:
    """A scene file's text: it decodes itself, and knows the line of a key for messages."""

    def __init__(self, text: str, name: str) -> None:
        self.text = text
        self.name = name

    @classmethod
    def of_file(cls, path: Path) -> SceneText:
        """Read the file; raises SceneError when it is missing, a folder, too large or not text."""
        try:
            if path.is_dir():
                raise SceneError(f"{path} is a folder, not a scene file. Give a .toml file inside it.")
            data = path.read_bytes()
        except FileNotFoundError:
            raise SceneError(f"{path}: there is no such file.{_neighbour(path)}") from None
        except OSError as error:
            raise SceneError(f"{path} cannot be read: {error.strerror}.") from None
        if len(data) > MAX_BYTES:
            raise SceneError(f"{path} has {len(data)} bytes; a scene file has at most {MAX_BYTES}.")
        try:
            return cls(data.decode("utf-8"), str(path))
        except UnicodeDecodeError:
            raise SceneError(f"{path} is not a text file in UTF-8, so it is no scene file.") from None

    def error(self, message: str, table: str = "", key: str = "") -> SceneError:
        """A SceneError that names the file, the line where it can be had, table and key."""
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
        try:
            raw = tomllib.loads(self.text, parse_float=str)
        except tomllib.TOMLDecodeError as error:
            twice = " (one name is declared twice in a table)" if "overwrite" in str(error) else ""
            raise SceneError(f"{self.name} is not a correct TOML file: {error}{twice}.") from None
        except RecursionError:
            raise SceneError(f"{self.name} is nested too deeply to be a scene file.") from None
        except ValueError:  # Python refuses to read integers of thousands of digits
            raise SceneError(f"{self.name} has a number of too many digits.") from None
        for table, kind in _TABLES.items():
            entries = raw.get(table, {})
            if not isinstance(entries, dict):
                raise self.error(f"expected a table of named entries, got {entries!r}.", table)
            for name, entry in entries.items():
                if table == "points" and isinstance(entry, list):
                    self._convert(entry, tuple[Exact, Exact], table, name)
                else:
                    self._convert(entry, kind, table, name)
        return self._convert(raw, SceneEntry, "", "")

    def _convert(self, raw: Any, kind: type[T], table: str, key: str) -> T:
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
    what, _, path = message.partition(" - at `$")
    key = path.rstrip("`").lstrip(".")
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
        "`array`": "a list",
        "`object`": "a table",
        "`str`": "text",
        "`int`": "a whole number",
        "`bool`": "true or false",
    }
    for term, word in words.items():
        what = what.replace(term, word)
    return f"{key + ': ' if key else ''}{what[0].lower() + what[1:]}."


def _is_struct(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, msgspec.Struct)


def _literals(annotation: Any) -> list[str]:
    """The texts that a type allows, however deep its Literal lies."""
    if get_origin(annotation) is Literal:
        return [str(value) for value in get_args(annotation)]
    return [text for part in get_args(annotation) for text in _literals(part)]
