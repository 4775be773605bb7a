"""Displayed equations: the lines that they are set on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simlab.notation.parts import Formula, Maths, Sentence
from simlab.notation.plain import plain

WIDE = 72  # [characters] of an equation as plain text, beyond which it goes on in a new line
SIGNS = "+−-=<>≤≥≈"  # an equation may go on in a new line before one of these


@dataclass(frozen=True)
class Row:
    """One line of displayed mathematics; `relation` is empty where a long equation goes on.

    A long left side has a line of its own, without relation and right side.
    """

    left: Sentence
    relation: str
    right: Sentence
    label: str = ""
    note: str = ""

    @property
    def is_left_alone(self) -> bool:
        """Whether the equals sign follows on the next line: this one begins where that sign stands."""
        return bool(self.left) and not self.relation


def rows(formulas: Sequence[Formula], wide: int = WIDE) -> Iterator[Row]:
    """The lines of equations set together; what is too wide is broken before a sign."""
    for formula in formulas:
        lines = list(_folded(formula, wide))
        for k, (left, relation, right) in enumerate(lines):
            last = k == len(lines) - 1
            yield Row(left, relation, right, formula.label if last else "", formula.note if last else "")


def tables(formulas: Sequence[Formula], wide: int = WIDE) -> Iterator[list[Row]]:
    """The lines that are aligned with one another; an equation too wide for that is by itself."""
    now: list[Row] = []
    for formula in formulas:
        own = list(rows([formula], wide))
        if own[0].is_left_alone:
            yield from [now] if now else []
            yield own
            now = []
        else:
            now += own
    if now:
        yield now


def _folded(formula: Formula, wide: int) -> Iterator[tuple[Sentence, str, Sentence]]:
    start = _width(formula.left)
    if start and start + _width(formula.right) > wide and start > wide // 2:
        yield formula.left, "", ()
        left: Sentence = ()
    else:
        left = formula.left
    room = wide - _width(left)
    relation, now = formula.relation, list[str | Maths]()
    for term in _terms(formula.right):
        if now and _width((*now, *term)) > room:
            yield left, relation, tuple(now)
            left, relation, now = (), "", []
            room = wide
        now += term
    yield left, relation, tuple(now)


def _terms(sentence: Sentence) -> Iterator[list[str | Maths]]:
    """The terms of a sum, each with the sign before it; brackets keep theirs together."""
    term: list[str | Maths] = []
    depth = 0
    for piece in sentence:
        is_sign = isinstance(piece, str) and piece.strip()[:1] in tuple(SIGNS)
        if is_sign and depth == 0 and term:
            yield term
            term = []
        if isinstance(piece, str):
            depth += piece.count("(") - piece.count(")")
        term.append(piece)
    yield term


def _width(sentence: Sentence) -> int:
    return sum(len(p if isinstance(p, str) else plain(p.expr, angle=p.angle)) for p in sentence)
