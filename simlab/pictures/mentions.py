"""What lengths and angles a question mentions, and near which points: "1.6 m from P", "FU = GV = a".

A frame has only points; which distances are given data, and not results, only the words can tell.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from simlab.frame.model import Frame, Name
from simlab.frame.quantity import LENGTH, Quantity
from simlab.pictures.names import is_letter

Measured = Literal["", "level", "upright", "radius"]

UNITS: Mapping[str, Fraction] = {"m": Fraction(1), "cm": Fraction(1, 100), "mm": Fraction(1, 1000)}
ANOTHER_SENTENCE = 150  # characters that a full stop counts for
TOGETHER = 20  # characters between two lengths that are measured the same way: "4h from A and 4h from B"
AHEAD, BEHIND = 16, 26  # characters after and before a length in which its direction is said
_NUMBER = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s*(mm|cm|m|metres?)\b(?![/²^])")
_DEGREES = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s*(?:°|deg\b|degrees\b)")
_UPRIGHT = re.compile(r"\b(above|below|high|vertical|vertically|height|depth|up|down)\b")
_LEVEL = re.compile(r"\b(horizontal|horizontally|level)\b")


@dataclass(frozen=True)
class Mention:
    """A length in a question: `multiple` times a letter, or that many metres, as `text` on the page.

    `at` is its place in the question; `measured` is how it is measured and `of` a point or points that it
    is the distance of, where the words say it ("1.6 m from P", "GV = a").
    """

    multiple: Fraction
    letter: Name | None
    text: str
    at: int
    measured: Measured = ""
    of: tuple[Name, ...] = ()


def lengths_in(frame: Frame) -> list[Mention]:
    """The lengths that a question mentions, in its order."""
    words = frame.question.replace("\n", " ")
    found = []
    for match in _NUMBER.finditer(words):
        unit = UNITS.get(match[2], Fraction(1))
        text = f"{match[1]} {match[2] if match[2] in UNITS else 'm'}"
        found.append(Mention(Fraction(match[1]) * unit, None, text, match.start(), _measured(words, match)))
    for symbol in frame.symbols.values():
        if symbol.shown.dim == LENGTH:
            found += _letters(words, symbol.name)
    points = frozenset(frame.points)
    found = [replace(m, of=_points_of(words, m.at, points)) for m in found]
    found.sort(key=lambda mention: mention.at)
    for i, (before, mention) in enumerate(pairwise(found), start=1):
        between = words[before.at : mention.at]
        if not mention.measured and len(between) < TOGETHER and " and " in between:
            found[i] = replace(mention, measured=found[i - 1].measured)
    return found


def _letters(words: str, letter: Name) -> list[Mention]:
    pattern = re.compile(rf"(?<![\w.'/])(\d*){re.escape(letter)}(?:/(\d+))?(?![\w'])")
    found = []
    for match in pattern.finditer(words):
        before, after = words[: match.start()], words[match.end() :]
        is_word = letter == "a" and match[0] == letter and not before.rstrip().endswith("=")
        is_word = is_word and not re.match(r" (from|above|below|beyond) ", after)
        if is_word and not is_letter(letter, before, after):
            continue
        multiple = Fraction(int(match[1] or 1), int(match[2] or 1))
        if multiple:
            under = f"/{match[2]}" if match[2] else ""
            text = f"${match[1]}{Quantity.symbol(letter).tex}{under}$"
            found.append(Mention(multiple, letter, text, match.start(), _measured(words, match)))
    return found


def _measured(words: str, match: re.Match[str]) -> Measured:
    """How a length is measured, as the words around it say."""
    after = re.split(r"[,.;]| and ", words[match.end() : match.end() + AHEAD])[0]
    before = re.split(r"[,.;]| and ", words[max(0, match.start() - BEHIND) : match.start()])[-1]
    if re.search(r"\bradius\b", before) or after.lstrip().startswith("in radius"):
        return "radius"
    if _UPRIGHT.search(after) or re.search(r"\b(vertical|height)\b", before):
        return "upright"
    if _LEVEL.search(after) or re.search(r"\bhorizontal (distance)?", before):
        return "level"
    return ""


def _points_of(words: str, at: int, points: Collection[Name]) -> tuple[Name, ...]:
    """The points that a length is said to be the distance of: both in "GV = a", one in "a from G"."""
    equal = re.search(r"([A-Z]\d*'?)([A-Z]\d*'?)\s*=\s*$", words[:at])
    if equal is not None and {equal[1], equal[2]} <= set(points):
        return (equal[1], equal[2])
    other = re.match(r"\S+(?: \S+)?\s+(?:from|above|below|beyond|of)\s+(\w+'?)", words[at:])
    return (other[1],) if other is not None and other[1] in points else ()


def degrees_in(frame: Frame) -> list[tuple[Fraction, int]]:
    """The angles in degrees that a question mentions, and where."""
    words = frame.question.replace("\n", " ")
    return [(Fraction(match[1]), match.start()) for match in _DEGREES.finditer(words)]


def nearness(frame: Frame, at: int, points: Collection[Name]) -> float:
    """How far points are named from a place in a question, in characters, all together."""
    words = frame.question.replace("\n", " ")
    total = 0.0
    for point in points:
        name = re.escape(point)
        places = [m.start() for m in re.finditer(rf"(?<![a-z0-9_]){name}(?![a-z0-9_'])", words)]
        away = [abs(p - at) + ANOTHER_SENTENCE * words[min(p, at) : max(p, at)].count(". ") for p in places]
        total += min(away, default=len(words) + ANOTHER_SENTENCE)
    return total
