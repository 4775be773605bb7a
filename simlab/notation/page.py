"""A page of sentences with mathematics in them, for a terminal, for LaTeX, for MathML."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any, Literal

from simlab.notation.latex import latex
from simlab.notation.pieces import GREEK
from simlab.notation.plain import plain

Medium = Literal["text", "latex", "mathml"]

WIDTH = 100  # [characters] of a line in a terminal: what a printed page or a projected window holds
WIDEST_LABEL = 30  # [characters]: longer ones have a line of their own
INDENT = "  "
NEW_LINE = "\n"  # a word of its own in a sentence that goes on in a new line of a terminal

_NAMES = {letter: name for name, letter in GREEK.items()}
_IN_TEXT = {
    "\u00a0": "~",
    "−": "$-$",
    "°": r"$^{\circ}$",
    "²": r"\textsuperscript{2}",
    "→": r"$\to$",
    "√": r"$\surd$",
    "\\": r"\textbackslash{}",
    "~": r"\textasciitilde{}",
    "^": r"\textasciicircum{}",
} | {mark: f"\\{mark}" for mark in "&%$#_{}"}


@dataclass(frozen=True)
class Maths:
    """An expression in a sentence; `angle`: multiples of pi are written in degrees."""

    expr: Any
    angle: bool = False


Sentence = tuple[str | Maths, ...]


@dataclass(frozen=True)
class Heading:
    """A title, or a heading over what follows."""

    words: str


@dataclass(frozen=True)
class Line:
    """A sentence of its own; `parts` are never broken, lines are only broken between them."""

    parts: tuple[Sentence, ...]
    label: str = ""  # what stands before it, in a column of labels
    indent: bool = False


Page = Sequence[Heading | Line]


def line(*pieces: str | Maths, label: str = "", indent: bool = False) -> Line:
    """One sentence as a line; words of text may be broken anywhere."""
    parts: list[Sentence] = []
    run: list[str | Maths] = []  # pieces that stand side by side without a space between them
    for piece in pieces:
        if isinstance(piece, Maths):
            run.append(piece)
            continue
        words = piece.split(" ")
        for k, word in enumerate(words):
            if k and run:
                parts.append(tuple(run))
                run = []
            if word:
                run.append(word)
    return Line((*parts, tuple(run)) if run else tuple(parts), label, indent)


def said(sentence: Sentence, medium: Medium) -> str:
    """One sentence in one medium.

    >>> import sympy as sp
    >>> said(("T = ", Maths(2 * sp.tan(sp.Symbol("alpha"))), " N"), "latex")
    'T = $2\\\\tan\\\\alpha$ N'
    """
    return "".join(_words(p, medium) if isinstance(p, str) else _maths(p, medium) for p in sentence)


def _maths(piece: Maths, medium: Medium) -> str:
    if medium == "text":
        return plain(piece.expr, angle=piece.angle)
    tex = latex(piece.expr, angle=piece.angle)
    if medium == "latex":
        return f"${tex}$"
    from latex2mathml.converter import convert

    return str(convert(tex))


def _words(text: str, medium: Medium) -> str:
    if medium == "text":
        return text.replace("\u00a0", " ")
    if medium == "mathml":
        return escape(text)
    return "".join(
        rf"$\{_NAMES[letter]}$" if letter in _NAMES else _IN_TEXT.get(letter, letter) for letter in text
    )


def written(page: Page, medium: Medium) -> Iterator[str]:
    """The lines of a page in one medium; MathML stands in a fragment of HTML that is well-formed XML."""
    match medium:
        case "text":
            yield from _in_text(page)
        case "latex":
            yield from _in_latex(page)
        case "mathml":
            yield "<article>"
            yield from _in_html(page)
            yield "</article>"


def _in_text(page: Page) -> Iterator[str]:
    widths = [len(part.label) for part in page if isinstance(part, Line)]
    column = min(max(widths, default=0), WIDEST_LABEL) + len(INDENT)
    for part in page:
        if isinstance(part, Heading):
            yield from ("", part.words) if part is not page[0] else (part.words,)
            continue
        texts = [said(sentence, "text") for sentence in part.parts]
        if not part.label:
            first = INDENT if part.indent else ""
            yield from _folded(texts, first, first + INDENT)
        elif len(part.label) > WIDEST_LABEL:
            yield part.label
            yield from _folded(texts, " " * column, " " * column)
        else:
            yield from _folded(texts, part.label.ljust(column), " " * column)


def _folded(texts: Iterable[str], first: str, others: str) -> Iterator[str]:
    """Texts side by side on lines of at most WIDTH characters, where each text alone fits."""
    now, bare = first, True
    for text in texts:
        if text == NEW_LINE:
            yield now
            now, bare = others, True
            continue
        if not bare and len(now) + 1 + len(text) > WIDTH:
            yield now
            now, bare = others, True
        now, bare = now + ("" if bare else " ") + text, False
    yield now.rstrip()


def _in_latex(page: Page) -> Iterator[str]:
    for part in page:
        if isinstance(part, Heading):
            yield rf"\paragraph{{{_words(part.words, 'latex')}}}"
            continue
        text = " ".join(said(sentence, "latex") for sentence in part.parts if sentence != (NEW_LINE,))
        label = rf"\textbf{{{_words(part.label, 'latex')}:}} " if part.label else ""
        yield f"{label}{text}\n"


def _in_html(page: Page) -> Iterator[str]:
    for part in page:
        if isinstance(part, Heading):
            yield f"<h2>{escape(part.words)}</h2>"
            continue
        text = " ".join(said(sentence, "mathml") for sentence in part.parts if sentence != (NEW_LINE,))
        label = f"<b>{escape(part.label)}:</b> " if part.label else ""
        yield f"<p>{label}{text}</p>"
