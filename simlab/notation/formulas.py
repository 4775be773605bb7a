r"""Displayed equations: the lines they are set on, and their texts as mathematics (\times, \text{N})."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simlab.notation.latex import latex
from simlab.notation.parts import Formula, Maths, Sentence
from simlab.notation.pieces import GREEK
from simlab.notation.plain import plain

WIDE = 72  # [characters] of an equation as plain text, beyond which it goes on in a new line
SIGNS = "+−-=<>≤≥≈"  # an equation may go on in a new line before one of these
_TEX = {
    "×": r"\times ",
    "−": "-",
    "≤": r"\le ",
    "≥": r"\ge ",
    "≈": r"\approx ",
    "→": r"\to ",
    "✓": r"\;\checkmark ",
    "°": r"^{\circ}",
    "·": r"\cdot ",
    "²": "^{2}",
    "\u00a0": r"\ ",
} | {sign: sign for sign in "+-=()[]/.,:;<>|'"}
_TEX |= {sign: f"\\{sign} " for sign in "&%$#_{}"}
_TEX |= {letter: f"\\{name} " for name, letter in GREEK.items()}
_WORD = r"[^\W\d_α-ωΑ-Ω]+[\s,.;:]*"
_RUN = re.compile(rf"(?P<words>\s*(?:{_WORD})+)|(?P<sign>.)", re.S)


@dataclass(frozen=True)
class Row:
    """One line of displayed mathematics; `relation` is empty where a long equation goes on."""

    left: Sentence
    relation: str
    right: Sentence
    label: str = ""
    note: str = ""


def rows(formulas: Sequence[Formula], wide: int = WIDE) -> Iterator[Row]:
    """The lines of equations set together; what is too wide is broken before a sign."""
    for formula in formulas:
        lines = list(_folded(formula, wide))
        for k, (left, relation, right) in enumerate(lines):
            last = k == len(lines) - 1
            yield Row(left, relation, right, formula.label if last else "", formula.note if last else "")


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


def in_tex(sentence: Sentence) -> str:
    r"""A side of an equation as LaTeX mathematics, without dollar signs.

    >>> import sympy as sp
    >>> print(in_tex((Maths(sp.Symbol("Q")), " × ", Maths(sp.Integer(3)), " N, upwards")))
    Q\times 3\text{ N, upwards}
    """
    return "".join(
        signs(piece)
        if isinstance(piece, str)
        else latex(piece.expr, angle=piece.angle, factor=piece.factor)
        for piece in sentence
    ).strip()


def signs(text: str) -> str:
    """A text in an equation as LaTeX mathematics: signs are mathematics, words are upright."""
    found = []
    for match in _RUN.finditer(text):
        word, sign = match["words"], match["sign"]
        if word is not None:
            found.append(rf"\text{{{word}}}")
        elif sign.isdigit():
            found.append(sign)
        elif not sign.isspace():
            found.append(_TEX.get(sign) or rf"\text{{{sign}}}")
    return "".join(found)
