"""Sentences with mathematics in them, in each medium."""

from __future__ import annotations

from html import escape
from string import digits, punctuation
from typing import Literal

from simlab.notation.latex import latex
from simlab.notation.mathml import element, mathml
from simlab.notation.parts import Maths, Sentence
from simlab.notation.pieces import GREEK
from simlab.notation.plain import LOWERED_DIGITS, RAISED_DIGITS, plain
from simlab.notation.typst import quoted, typst

Medium = Literal["text", "latex", "markdown", "mathml", "typst"]

FIXED_SPACE = "\u00a0"
_NAMES = {letter: name for name, letter in GREEK.items()}
_IN_TEXT = {
    FIXED_SPACE: "~",
    "−": "$-$",
    "×": r"$\times$",
    "°": r"$^{\circ}$",
    "²": r"\textsuperscript{2}",
    "→": r"$\to$",
    "√": r"$\surd$",
    "≤": r"$\le$",
    "≥": r"$\ge$",
    "≈": r"$\approx$",
    "≠": r"$\ne$",
    "±": r"$\pm$",
    "·": r"$\cdot$",
    "∞": r"$\infty$",
    "′": "$'$",
    "✓": r"\checkmark{}",
    "\\": r"\textbackslash{}",
    "~": r"\textasciitilde{}",
    "^": r"\textasciicircum{}",
} | {mark: f"\\{mark}" for mark in "&%$#_{}"}
_IN_TEXT = (
    {letter: rf"$^{{{digit}}}$" for digit, letter in zip(digits, RAISED_DIGITS, strict=True)}
    | {letter: rf"$_{{{digit}}}$" for digit, letter in zip(digits, LOWERED_DIGITS, strict=True)}
    | _IN_TEXT
)
_IN_MARKDOWN = {mark: f"\\{mark}" for mark in "\\`*_[]<>$|#"} | {"×": r"$\times$"}

_IN_TYPST = set(punctuation) - set(",!?'")


def said(sentence: Sentence, medium: Medium) -> str:
    """One sentence in one medium.

    >>> import sympy as sp
    >>> said(("T = ", Maths(2 * sp.tan(sp.Symbol("alpha"))), " N"), "latex")
    'T = $2\\\\tan\\\\alpha$ N'
    """
    return "".join(words(p, medium) if isinstance(p, str) else _maths(p, medium) for p in sentence)


def _maths(piece: Maths, medium: Medium) -> str:
    if medium == "text":
        return plain(piece.expr, angle=piece.angle, factor=piece.factor)
    if medium == "mathml":
        return element(mathml(piece.expr, angle=piece.angle, factor=piece.factor), display=True)
    if medium == "typst":
        told = quoted(plain(piece.expr, angle=piece.angle, factor=piece.factor))
        inside = typst(piece.expr, angle=piece.angle, factor=piece.factor)
        return f"#maths({told}, $display({inside})${', tall: true' if 'frac(' in inside else ''})"
    return f"${latex(piece.expr, angle=piece.angle, factor=piece.factor)}$"


def words(text: str, medium: Medium) -> str:
    """Text without mathematics in one medium: what has a meaning there stands for itself."""
    match medium:
        case "text":
            return text.replace(FIXED_SPACE, " ")
        case "mathml":
            return escape(text)
        case "markdown":
            return "".join(_IN_MARKDOWN.get(letter, letter) for letter in text)
        case "typst":
            return "".join(f"\\{letter}" if letter in _IN_TYPST else letter for letter in text)
    return "".join(
        rf"$\{_NAMES[letter]}$" if letter in _NAMES else _IN_TEXT.get(letter, letter) for letter in text
    )
