"""Other words on a page, its mathematics as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from simlab.notation.page import Maths

P = TypeVar("P")
Sentence = tuple[str | Maths, ...]

_MATHS = "\ue000"  # stands for an expression: a letter of no alphabet
_NO_WORDS = ("name", "relation", "number", "level", "share", "lines", "indent")
_SEPARATE = ("headings",)  # texts, each for itself


def worded(page: Iterable[P], change: Callable[[str], str]) -> list[P]:
    """A page with every text in it changed, headings, labels and captions too; mathematics stays.

    change : of a whole sentence, in which each expression stands as one strange letter; it must keep the
        number of words

    >>> import sympy as sp
    >>> from simlab.notation.page import line, said
    >>> page = worded([line("the rod ", Maths(sp.pi), " rods")], lambda text: text.replace("rod", "bar"))
    >>> [said(part, "text") for part in page[0].parts]
    ['the', 'bar', 'π', 'bars']
    """
    return [_part(part, change) for part in page]


def _part(part: P, change: Callable[[str], str]) -> P:
    """One part of a page, whatever it is."""
    if not is_dataclass(part) or isinstance(part, type):
        return part
    new = {
        field.name: _text(getattr(part, field.name), change)
        for field in fields(part)
        if field.name not in (*_NO_WORDS, *_SEPARATE)
    }
    apart = {name: tuple(map(change, getattr(part, name))) for name in _SEPARATE if hasattr(part, name)}
    return replace(part, **new, **apart)


def _text(value: Any, change: Callable[[str], str]) -> Any:
    """A text, a sentence, or any number of sentences."""
    if isinstance(value, str):
        return change(value)
    if not isinstance(value, tuple):
        return value
    if all(isinstance(one, str | Maths) for one in value):
        return _sentence(value, change)
    if all(isinstance(one, tuple) for one in value):
        return _sentences(value, change)
    return tuple(_text(one, change) for one in value)


def _sentences(parts: tuple[Any, ...], change: Callable[[str], str]) -> tuple[Any, ...]:
    """The words of one sentence, changed together: a name may be of several words."""
    if any(not isinstance(piece, str | Maths) for part in parts for piece in part):
        return tuple(_text(part, change) for part in parts)
    texts = [_joined(part) for part in parts]
    words = change(" ".join(texts)).split(" ")
    if any(" " in text for text in texts) or len(words) != len(parts):
        return tuple(_sentence(part, change) for part in parts)
    return tuple(_apart(word, part) for word, part in zip(words, parts, strict=True))


def _sentence(pieces: Sentence, change: Callable[[str], str]) -> Sentence:
    return _apart(change(_joined(pieces)), pieces)


def _joined(pieces: Sequence[str | Maths]) -> str:
    return "".join(piece if isinstance(piece, str) else _MATHS for piece in pieces)


def _apart(text: str, pieces: Sequence[str | Maths]) -> Sentence:
    """A text as pieces again, with the expressions where they stood."""
    if text == _joined(pieces):
        return tuple(pieces)
    maths = iter([piece for piece in pieces if isinstance(piece, Maths)])
    found: list[str | Maths] = []
    for k, words in enumerate(text.split(_MATHS)):
        if k:
            found.append(next(maths))
        if words:
            found.append(words)
    return tuple(found)
