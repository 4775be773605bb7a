"""Pure edits of a question's words: other words for the same things, other letters, other numbers."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from fractions import Fraction

ARTICLES = ("a", "A", "I")  # letters that are words of a sentence, too
_NUMBER = r"\d+(?:\.\d+)?"
_ACCELERATION = r"(?: ?(?:m/s\^?2|m/s²|m s[⁻^]-?[²2]))?"
_G = re.compile(rf"\bg (=|as|is|to be) ({_NUMBER})(?![\w.]*\d)")
_TAKE_G = re.compile(rf"\s*\b(?:Take|Use|Let) g (?:=|as|to be) {_NUMBER}{_ACCELERATION}\.(?=\s|$)")


def reworded(text: str, words: Mapping[str, str], kept: Collection[str] = ()) -> str:
    """Whole words put for whole words, with their capitals; names that are `kept`, and $mathematics$, stay.

    >>> reworded("The weights hang, but a dead weight lies.", {"weight": "mass", "weights": "masses"})
    'The masses hang, but a dead mass lies.'
    >>> reworded("Weight of tie weight", {"weight": "mass"}, ("tie_weight",))
    'Mass of tie weight'
    """
    if not words:
        return text
    forms = sorted({form for name in kept for form in (name, name.replace("_", " ")) if name}, key=len)
    own = "|".join([r"\$[^$]*\$", *(rf"(?<!\w){re.escape(form)}(?!\w)" for form in reversed(forms))])
    new = rf"(?<![\w-])(?P<word>{'|'.join(map(re.escape, words))})(?![\w-])"

    def chosen(match: re.Match[str]) -> str:
        word = match["word"]
        return match[0] if word is None else _cased(words[word.lower()], word)

    return re.sub(rf"{own}|{new}", chosen, text, flags=re.IGNORECASE)


def _cased(word: str, like: str) -> str:
    """A word with capitals where another has them: rod, Rod, ROD."""
    if like.isupper():
        return word.upper()
    return word.capitalize() if like[:1].isupper() else word


def relettered(text: str, letter: str, other: str, nouns: tuple[str, str], times: str) -> str:
    """A letter of a question put for another: "of weight 2W, that weighs W" with m for W, "weight" for ...

    nouns : what the old and the new letter stand for; times : what the new one is multiplied by elsewhere

    >>> relettered("Rods of weight 2W; the first weighs W.", "W", "m", ("weight", "mass"), "g")
    'Rods of mass 2m; the first weighs mg.'
    """
    if letter in ARTICLES:
        return text
    old, new = nouns
    token = rf"(?<![\w.$'])(?<!\d )(\d*){re.escape(letter)}"
    end = r"(?![\w'])"
    text = re.sub(
        rf"\b((?:of|and|has)\s){old}(\s\d*){re.escape(letter)}{end}(?! acts?\b)", rf"\1{new}\2{other}", text
    )
    return re.sub(rf"{token}{end}", rf"\g<1>{other}{times}", text)


def remeasured(
    text: str, old: tuple[str, str], new: tuple[str, str], change: Callable[[Fraction], str | None]
) -> str:
    """Numbers with a noun put for others: "of mass 6 kg" -> "of weight 60 N".

    old, new : noun and unit. Also "masses 6 kg and 2 kg". What `change` gives no text for is left as it is.

    >>> remeasured("of mass 6 kg and length 2 m", ("mass", "kg"), ("weight", "N"), lambda kg: f"{kg * 10}")
    'of weight 60 N and length 2 m'
    """
    (noun, unit), (other, of) = old, new
    many, others = (f"{n}{'es' if n.endswith('s') else 's'}" for n in (noun, other))
    one = re.compile(rf"({_NUMBER}) {unit}(?!\w)")
    listed = rf"\b({noun}|{many})((?: of)? {one.pattern}(?:(?:, and|,| and) {_NUMBER} {unit}(?!\w))*)"

    def changed(match: re.Match[str]) -> str:
        numbers = [change(Fraction(found[1])) for found in one.finditer(match[2])]
        if None in numbers:
            return match[0]
        turn: Iterator[str | None] = iter(numbers)
        return (others if match[1] == many else other) + one.sub(lambda _: f"{next(turn)} {of}", match[2])

    return re.sub(listed, changed, text)


def with_gravity(text: str, g: str) -> str:
    """The question with another number for g, where it names one: "Take g = 9.8 m/s²"."""
    return _G.sub(lambda match: f"g {match[1]} {g}", text)


def without_gravity(text: str) -> str:
    """The question without the sentence that says what g is, if nothing else in it is in kilograms."""
    return text if re.search(r"\d ?kg\b|\bmass", text) else _TAKE_G.sub("", text)
