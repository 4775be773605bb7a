r"""The sides of displayed equations in each medium: signs are mathematics, words are upright."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import escape
from typing import Literal

from simlab.notation.latex import latex
from simlab.notation.mathml import mathml
from simlab.notation.parts import Maths, Sentence
from simlab.notation.pieces import GREEK
from simlab.notation.typst import quoted, typst

FIXED_SPACE = "\u00a0"
_WORD = r"[^\W\d_α-ωΑ-Ω]+[\s,.;:]*"
_TOKEN = re.compile(rf"(?P<word>\s*(?:{_WORD})+)|(?P<number>\d+(?:\.\d+)?)|(?P<sign>\S)")
_NAMES = {letter: name for name, letter in GREEK.items()}
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
} | {sign: f"\\{sign} " for sign in "&%$#_{}"}
_AS_THEY_ARE = "+-=()[]/.,:;<>|'"
_AFTER_A_SPACE = "✓"


def in_tex(sentence: Sentence) -> str:
    r"""A side of an equation as LaTeX mathematics, without dollar signs.

    >>> import sympy as sp
    >>> print(in_tex((Maths(sp.Symbol("Q")), " × ", Maths(sp.Integer(3)), " N, upwards")))
    Q\times 3\text{ N, upwards}
    """
    return "".join(tex_signs(p) if isinstance(p, str) else _tex(p) for p in sentence).strip()


def in_mathml(sentence: Sentence) -> str:
    """A side of an equation as elements of MathML."""
    return "".join(mathml_signs(p) if isinstance(p, str) else _mathml(p) for p in sentence)


def in_typst(sentence: Sentence) -> str:
    """A side of an equation as typst mathematics, without dollar signs."""
    return " ".join(typst_signs(p) if isinstance(p, str) else _typst(p) for p in sentence).strip()


def tex_signs(text: str) -> str:
    """A text in an equation as LaTeX mathematics."""
    found = []
    for kind, token in _tokens(text):
        if kind == "word":
            found.append(rf"\text{{{token}}}")
        elif token in _NAMES:
            found.append(f"\\{_NAMES[token]} ")
        elif kind == "number" or token in _AS_THEY_ARE:
            found.append(token)
        else:
            found.append(_TEX.get(token) or rf"\text{{{token}}}")
    return "".join(found)


def mathml_signs(text: str) -> str:
    """A text in an equation as elements of MathML."""
    found = []
    for kind, token in _tokens(text):
        if kind == "word":
            found.append(f"<mtext>{_spaced(token)}</mtext>")
        elif kind == "number":
            found.append(f"<mn>{token}</mn>")
        elif token in _NAMES:
            found.append(f"<mi>{token}</mi>")
        elif token in _AFTER_A_SPACE:
            found.append(f'<mspace width="0.4em"/><mtext>{token}</mtext>')
        elif token in "()[]":
            found.append(f'<mo stretchy="false">{token}</mo>')
        else:
            found.append(f"<mo>{escape(token.replace('-', '−'))}</mo>")
    return "".join(found)


def typst_signs(text: str) -> str:
    """A text in an equation as typst mathematics."""
    found = []
    for kind, token in _tokens(text):
        if kind == "number":
            found.append(token)
        elif token in _NAMES:
            found.append(_NAMES[token])
        elif token in _AFTER_A_SPACE:
            found.append("space checkmark")
        elif kind == "sign" and (token in "+-=<>×−≤≥≈→·" or token in "()[]|"):
            found.append(f"\\{token}" if token in "()[]|" else token)
        else:
            found.append(quoted(token))
    return " ".join(found)


def _spaced(words: str) -> str:
    """Words whose spaces at the ends count: a browser leaves out ordinary ones."""
    inner = words.strip()
    start, end = words.partition(inner)[::2]
    return f"{FIXED_SPACE if start else ''}{escape(inner)}{FIXED_SPACE if end else ''}"


def _tokens(text: str) -> Iterator[tuple[Literal["word", "number", "sign"], str]]:
    """Words with the spaces round them, numbers, single signs."""
    for match in _TOKEN.finditer(text.replace(FIXED_SPACE, " ")):
        if match["word"] is not None:
            yield "word", match["word"]
        elif match["number"] is not None:
            yield "number", match["number"]
        else:
            yield "sign", match["sign"]


def _tex(piece: Maths) -> str:
    return latex(piece.expr, angle=piece.angle, factor=piece.factor)


def _mathml(piece: Maths) -> str:
    return mathml(piece.expr, angle=piece.angle, factor=piece.factor)


def _typst(piece: Maths) -> str:
    return typst(piece.expr, angle=piece.angle, factor=piece.factor)
