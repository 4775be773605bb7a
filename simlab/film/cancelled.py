"""What is struck through between one line of algebra and the next: only what really cancels.

A factor that stands in every term of a line and in none of the next was divided by. A term that stands on
both sides of a line and not in the next was taken from both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from simlab.film.formulas import Piece, terms_of, text_of
from simlab.notation.page import Formula, Maths
from simlab.notation.struck import factors


@dataclass(frozen=True)
class Cancelled:
    """What cancels in a line: factors of every term, as LaTeX; whole terms, by number over both sides."""

    factors: tuple[str, ...] = ()
    terms: tuple[int, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.factors or self.terms)


NOTHING = Cancelled()


def cancelled(before: Formula, after: Formula) -> Cancelled:
    r"""What cancels in one line, so that the next is got.

    >>> import sympy as sp
    >>> a, w, t = (Maths(sp.Symbol(name)) for name in "aWT")
    >>> cancelled(Formula((t, " × ", a), (w, " × ", a)), Formula((t,), (w,))).factors
    ('a',)
    """
    left, right = terms_of(before.left), terms_of(before.right)
    now = {one for side in (after.left, after.right) for term in terms_of(side) for one in _factors(term)}
    common = [one for one in _factors(left[0]) if all(one in _factors(t) for t in (*left, *right))]
    gone = tuple(one for one in dict.fromkeys(common) if one not in now)
    texts = [_text(term) for term in (*terms_of(after.left), *terms_of(after.right))]
    pairs: list[int] = []
    for i, term in enumerate(left):
        for j, other in enumerate(right, len(left)):
            same = _text(term) == _text(other) and _text(term) not in (*texts, "0")
            if same and i not in pairs and j not in pairs:
                pairs += [i, j]
    return Cancelled(gone, tuple(pairs))


def _factors(term: Sequence[Piece]) -> tuple[str, ...]:
    return tuple(one for piece in term if isinstance(piece, Maths) for one in factors(piece.expr))


def _text(term: Sequence[Piece]) -> str:
    return " ".join(
        text for k, piece in enumerate(term) if (text := text_of(piece)) and not (k == 0 and text == "+")
    )
