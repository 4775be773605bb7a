"""What is done from one line of algebra to the next, in words, and what cancels on the way."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from simlab.film.cancelled import Cancelled, cancelled
from simlab.film.formulas import terms_of
from simlab.film.told import Spoken, ToldStep
from simlab.frame.model import Name
from simlab.notation.page import Formula
from simlab.notation.pieces import GREEK
from simlab.results.wording import capital
from simlab.results.working import Line, Working


@dataclass(frozen=True)
class Change:
    """How a line is got: as an `equation` (its number in the step) is first written, or from the last one.

    `gone`: what cancels in the line before; `words`: what is done; `finds`: whether a letter is found.
    """

    equation: int | None
    gone: Cancelled
    words: Spoken
    finds: bool = False


def changes(told: ToldStep, working: Working, known: Collection[Name]) -> Iterator[Change]:
    """Of each line of a step, how it is got; `known`: letters that were found before."""
    firsts = list(_firsts(told.formulas, len(told.step.equations)))
    found = set(known)
    for k, (line, formula) in enumerate(zip(told.step.lines, told.formulas, strict=True)):
        name = found_in(line)
        if k in firsts:
            yield Change(firsts.index(k), Cancelled(), Spoken("", ""), name is not None)
            continue
        before = told.step.lines[k - 1]
        follows = not formula.note
        gone = cancelled(told.formulas[k - 1], formula) if follows else Cancelled()
        put = sorted((_letters(before) - _letters(line)) & found) if follows else []
        yield Change(None, gone, _words(told, k, working, gone, put, name), name is not None)
        if name is not None:
            found.add(name)


def _firsts(formulas: Sequence[Formula], count: int) -> Iterator[int]:
    """The lines in which equations are first written: each after the number of the one before."""
    yield 0
    for k, formula in enumerate(formulas[:-1]):
        if formula.label and count > 1:
            count -= 1
            yield k + 1


def _words(
    told: ToldStep, k: int, working: Working, gone: Cancelled, put: Sequence[Name], name: Name | None
) -> Spoken:
    screen, plain = list[str](), list[str]()
    known = [working.letters[letter] for letter in put if letter in working.letters]
    if known:
        screen.append("put in " + _listed([f"${one.symbol.tex} = {one.value.tex}$" for one in known]))
        plain.append("put in " + _listed([f"{one.symbol.plain} = {one.value.plain}" for one in known]))
    if gone.factors:
        screen.append(f"divide by ${''.join(gone.factors)}$")
        plain.append(f"divide by {' '.join(_plain(one) for one in gone.factors)}")
    if gone.terms:
        screen.append("take what is the same from both sides")
        plain.append(screen[-1])
    if told.formulas[k].note:
        screen.append(told.formulas[k].note)
        plain.append(told.formulas[k].note)
    if not screen and name is not None and name in working.letters:
        one = working.letters[name]
        return Spoken(
            f"So ${one.symbol.tex} = {one.value.tex}$.", f"So {one.symbol.plain} = {one.value.plain}."
        )
    if not screen:
        fewer = _count(told.formulas[k]) < _count(told.formulas[k - 1])
        screen.append("collect the terms" if fewer else "simplify")
        plain.append(screen[-1])
    return Spoken(f"{capital(_and(screen))}.", f"{capital(_and(plain))}.")


def _plain(tex: str) -> str:
    """LaTeX of one factor as it stands in a line of text."""
    text = re.sub(r"\\sqrt\{(\w+)\}", r"√\1", tex.replace("\\left", "").replace("\\right", ""))
    text = re.sub(r"\\([A-Za-z]+)", lambda match: f" {GREEK.get(match[1], match[1])}", text)
    for power, sign in (("^{2}", "²"), ("^{3}", "³"), ("{", ""), ("}", "")):
        text = text.replace(power, sign)
    return text.replace("( ", "(").strip()


def _and(phrases: Sequence[str]) -> str:
    return phrases[0] if len(phrases) == 1 else f"{', '.join(phrases[:-1])}, and {phrases[-1]}"


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _letters(line: Line) -> set[Name]:
    return {
        name
        for side in (line.left, line.right)
        for p in side
        for factor in p.factors
        for name in factor.names
    }


def found_in(line: Line) -> Name | None:
    """The letter that a line finds: alone on the left, and in nothing on the right."""
    if len(line.left) != 1 or len(line.left[0].factors) != 1 or line.left[0].negative:
        return None
    letter = line.left[0].factors[0]
    name = str(letter)
    is_alone = set(letter.names) == {name} and name not in _letters(Line((), line.right))
    return name if is_alone else None


def _count(formula: Formula) -> int:
    return len(terms_of(formula.left)) + len(terms_of(formula.right))
