"""What is done from one line of algebra to the next, in words, and what cancels on the way."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from simlab.film.cancelled import Cancelled, cancelled
from simlab.film.formulas import Piece, terms_of
from simlab.film.told import Spoken, ToldStep, in_text, on_screen
from simlab.frame.model import Name
from simlab.notation.page import Formula
from simlab.notation.pieces import GREEK
from simlab.results.wording import capital, listed
from simlab.results.working import Line


@dataclass(frozen=True)
class Change:
    """How a line is got: as an `equation` (its number in the step) is first written, or from the last one.

    `gone`: what cancels in the line before; `words`: what is done; `finds`: whether a letter is found.
    """

    equation: int | None
    gone: Cancelled
    words: Spoken
    finds: bool = False


def changes(told: ToldStep, known: Mapping[Name, Spoken]) -> Iterator[Change]:
    """Of each line of a step, how it is got; `known`: letters found before, each with its line."""
    firsts = list(_firsts(told.formulas, len(told.step.equations)))
    found = dict(known)
    for k, (line, formula) in enumerate(zip(told.step.lines, told.formulas, strict=True)):
        name = found_in(line, told.step.finds)
        if k in firsts:
            yield Change(firsts.index(k), Cancelled(), Spoken("", ""), name is not None)
        else:
            lost = set() if formula.note else _letters(told.step.lines[k - 1]) - _letters(line)
            put = [found[letter] for letter in sorted(lost & set(found))]
            gone = Cancelled() if formula.note else cancelled(told.formulas[k - 1], formula)
            phrases = list(_phrases(formula.note, gone, put))
            yield Change(
                None,
                gone,
                _sentence(phrases, told.formulas[k - 1], formula, name is not None),
                name is not None,
            )
        if name is not None:
            found[name] = equation(formula)


def finds(told: ToldStep) -> Iterator[tuple[Name, Spoken]]:
    """The letters that a step finds, each with the line that finds it."""
    for line, formula in zip(told.step.lines, told.formulas, strict=True):
        name = found_in(line, told.step.finds)
        if name is not None:
            yield name, equation(formula)


def equation(formula: Formula) -> Spoken:
    """A line of algebra as part of a sentence."""

    def written(write: Callable[[Piece], str]) -> str:
        return " = ".join("".join(map(write, side)) for side in (formula.left, formula.right))

    return Spoken(written(on_screen), written(in_text))


def _firsts(formulas: Sequence[Formula], count: int) -> Iterator[int]:
    """The lines in which equations are first written: each after the number of the one before."""
    yield 0
    for k, formula in enumerate(formulas[:-1]):
        if formula.label and count > 1:
            count -= 1
            yield k + 1


def _phrases(note: str, gone: Cancelled, put: Sequence[Spoken]) -> Iterator[Spoken]:
    """What is done to get a line from the one before, as far as that can be told."""
    if put:
        yield Spoken(*(f"put in {listed(texts)}" for texts in zip(*map(_pair, put), strict=True)))
    if gone.factors:
        plain = " ".join(_plain(one) for one in gone.factors)
        yield Spoken(f"divide by ${''.join(gone.factors)}$", f"divide by {plain}")
    if gone.terms:
        yield _same("take what is the same from both sides")
    if note:
        yield _same(note)


def _sentence(phrases: Sequence[Spoken], before: Formula, formula: Formula, is_found: bool) -> Spoken:
    """What is done as a sentence; of a line that only says what a letter is, that."""
    if not phrases and is_found:
        return Spoken(*(f"So {text}." for text in _pair(equation(formula))))
    if not phrases and _count(formula) < _count(before):
        phrases = [_same("collect the terms")]
    if not phrases:
        return _same(f"This is ({formula.label})." if formula.label else "Simplify.")
    label = f"; this is ({formula.label})" if formula.label else ""
    texts = [_and(texts) for texts in zip(*map(_pair, phrases), strict=True)]
    return Spoken(*(f"{capital(text)}{label}." for text in texts))


def _pair(spoken: Spoken) -> tuple[str, str]:
    return spoken.screen, spoken.plain


def _same(text: str) -> Spoken:
    return Spoken(text, text)


def _plain(tex: str) -> str:
    """LaTeX of one factor as it stands in a line of text."""
    text = re.sub(r"\\sqrt\{(\w+)\}", r"√\1", tex.replace("\\left", "").replace("\\right", ""))
    text = re.sub(r"\\([A-Za-z]+)", lambda match: f" {GREEK.get(match[1], match[1])}", text)
    for power, sign in (("^{2}", "²"), ("^{3}", "³"), ("{", ""), ("}", "")):
        text = text.replace(power, sign)
    return text.replace("( ", "(").strip()


def _and(phrases: Sequence[str]) -> str:
    return phrases[0] if len(phrases) == 1 else f"{', '.join(phrases[:-1])}, and {phrases[-1]}"


def _letters(line: Line) -> set[Name]:
    return {
        name
        for side in (line.left, line.right)
        for p in side
        for factor in p.factors
        for name in factor.names
    }


def found_in(line: Line, sought: Collection[Name]) -> Name | None:
    """The letter sought that a line finds: alone on the left, and in nothing on the right."""
    if len(line.left) != 1 or len(line.left[0].factors) != 1 or line.left[0].negative:
        return None
    letter = line.left[0].factors[0]
    name = str(letter)
    is_alone = name in sought and set(letter.names) == {name} and name not in _letters(Line((), line.right))
    return name if is_alone else None


def _count(formula: Formula) -> int:
    return len(terms_of(formula.left)) + len(terms_of(formula.right))
