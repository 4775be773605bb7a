"""Names and quantities as mathematics: what stands beside a point, a weight, an arrow."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from fractions import Fraction

from simlab.frame.model import Name
from simlab.frame.quantity import Quantity
from simlab.notation.pieces import GREEK
from simlab.results.wording import figures

HIGH = "\\frac"  # what is written at full size
NICE_MASS = 10  # weights whose mass has a denominator up to this are written as mass times g
_LETTER = re.compile(r"([A-Za-z])(\d*)('*)")


def point_name(name: Name) -> str:
    """A point's name as mathematics: K, A_1, A', or upright words.

    >>> point_name("A1"), point_name("foot")
    ('$A_{1}$', 'foot')
    """
    match = _LETTER.fullmatch(name)
    if match is None:
        return name.replace("_", " ")
    letter, digits, primes = match.groups()
    return f"${letter}{f'_{{{digits}}}' if digits else ''}{primes}$"


def prose(text: str, letters: Collection[Name], points: Collection[Name]) -> str:
    """A question with its letters, points and rods as mathematics: "weight 2W" -> "weight $2W$".

    The words "a", "A" and "I" stay words, unless what is around them says that they are letters.

    >>> prose("A rod AB of length 2a leans at alpha to a wall.", {"a", "alpha"}, {"A", "B"})
    'A rod $AB$ of length $2a$ leans at $\\\\alpha$ to a wall.'
    """
    return "".join(p if isinstance(p, str) else f"${_tex(p)}$" for p in pieces(text, letters, points))


def pieces(text: str, letters: Collection[Name], points: Collection[Name]) -> Iterator[str | Quantity]:
    """The same in pieces: words, and mathematics as quantities.

    >>> [str(piece) for piece in pieces("weight 2W at A.", {"W"}, {"A"})]
    ['weight ', '2*W', ' at ', 'A', '.']
    >>> [str(piece) for piece in pieces("weight 2mg", {"m", "g"}, {"A"})]
    ['weight ', '2*g*m']
    """
    end = 0
    for match in _TOKEN.finditer(text):
        found = _quantity(match, text, letters, points)
        if found is not None:
            if text[end : match.start()]:
                yield text[end : match.start()]
            yield found
            end = match.end()
    if text[end:]:
        yield text[end:]


def _quantity(
    match: re.Match[str], text: str, letters: Collection[Name], points: Collection[Name]
) -> str | Quantity | None:
    """What a word stands for: a multiple of a letter, a point or a rod; None for words that are words."""
    number, word = match[1], match[2]
    is_free = word not in _WORDS or is_letter(word, text[: match.start()], text[match.end() :])
    if (word in letters or word in GREEK) and (number or is_free):
        return Quantity.of(int(number or 1)) * Quantity.symbol(word)
    mass = word.removesuffix(G)
    if mass != word and mass in letters and G in letters:  # mg
        return Quantity.of(int(number or 1)) * Quantity.symbol(mass) * Quantity.symbol(G)
    if not number and word in points and is_free:
        return Quantity.symbol(word) if _LETTER.fullmatch(word) else point_name(word)
    is_rod = len(word) > 1 and word.isupper() and all(letter in points for letter in word)
    return Quantity.symbol(word) if is_rod and not number else None


def _tex(quantity: Quantity) -> str:
    """As mathematics; the letters of a rod stand side by side."""
    text = str(quantity)
    return text if text.isalpha() and text.isupper() else quantity.tex


G = "g"  # the letter that a mass is multiplied by
_WORDS = ("a", "A", "I")
_TOKEN = re.compile(r"(?<![A-Za-z0-9_.$])(\d*)([A-Za-z][A-Za-z0-9_]*)(?![A-Za-z0-9_'])")
_MEASURE = re.compile(r"\b(length|distance|height|depth|width|radius)\s+$")
_BEGINNING = re.compile(r"(^|[.?!)])\s*$")


def is_letter(word: str, before: str, after: str) -> bool:
    """Whether a word that could be an article is a letter: "length a and", "at A is", never "A rod"."""
    if re.match(r"[.,;:)]", after) or _MEASURE.search(before):
        return True
    return word.isupper() and not _BEGINNING.search(before)


def exact(quantity: Quantity, unit: str = "", display: bool = False) -> str:
    """An exact quantity as mathematics, between dollar signs; `display`: with fractions at full size."""
    sign = "$$" if display else "$"
    return f"{sign}{quantity.tex}{sign}" + (f" {unit}" if unit and not quantity.names else "")


def weight_name(weight: Quantity, gravity: Quantity, in_masses: bool = True) -> str:
    """A weight as one writes it beside its arrow: 2W, 30 N; and if it is `in_masses`, 6g N.

    >>> ten = Quantity.of(10)
    >>> weight_name(Quantity.of(60), ten), weight_name(Quantity.of(60), ten, in_masses=False)
    ('$6g$ N', '60 N')
    """
    if gravity.names and weight.names == gravity.names:
        return f"{exact(weight, display=HIGH in weight.tex)} N"
    if weight.names or gravity.is_zero:
        return exact(weight, "N", display=HIGH in weight.tex)
    if gravity.names or not in_masses:
        return f"{weight.decimal or figures(weight.number())} N"
    newtons, g = weight.number(), gravity.number()
    mass = Fraction(newtons / g).limit_denominator(NICE_MASS)
    if mass and abs(float(mass) * g - newtons) <= ROUNDING * newtons:
        number = (
            str(mass.numerator)
            if mass.denominator == 1
            else f"\\frac{{{mass.numerator}}}{{{mass.denominator}}}"
        )
        return f"${'' if mass == 1 else number}g$ N"
    return f"{weight.decimal or figures(newtons)} N"


ROUNDING = 1e-12  # doubles that differ by less, relatively, come from the same number
