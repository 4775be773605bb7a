"""Loads split into monomials of the letters that occur in loads only (W, P, W*k ...)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from simlab.exact.content import coefficients
from simlab.exact.elimination import Vector, transposed
from simlab.exact.field import Element, Field, Letter, Root


@dataclass(frozen=True)
class Loads:
    """What is known in each equation: sum over k of monomials[k] * columns[k], a column by row.

    `letters` are the load letters; none of them enters the rows.
    """

    letters: frozenset[str]
    monomials: tuple[Element, ...]
    columns: tuple[Vector, ...]


def split(field: Field, known: Sequence[Element], shape: Iterable[Element]) -> Loads:
    """The known terms of the equations, by row, split by the letters on which `shape` does not depend."""
    letters = _load_letters(field, known, shape)
    by_row = [coefficients(term, letters) for term in known]
    found = sorted({powers for row in by_row for powers, e in row.items() if not e.is_zero}, reverse=True)
    number = {powers: k for k, powers in enumerate(found)}
    rows = [{number[p]: e for p, e in row.items() if not e.is_zero} for row in by_row]
    monomials = []
    for powers in found:
        product = field.one
        for i, power in zip(letters, powers, strict=True):
            product = product * field.generator(i) ** power
        monomials.append(product)
    names = frozenset(field.names[i] for i in letters)
    return Loads(names, tuple(monomials), tuple(transposed(rows, len(found))))


def _load_letters(field: Field, known: Iterable[Element], shape: Iterable[Element]) -> list[int]:
    """The generators that occur in loads only, and there polynomially and under no root."""
    polys = [p for e in shape for p in (e.num, e.den)] + [term.den for term in known]
    for generator in field.generators:
        if isinstance(generator, Root):
            polys.append(field.lift(generator.radicand).num)
    used = {i for poly in polys for i, degree in enumerate(poly.degrees()) if degree}
    return [i for i, g in enumerate(field.generators) if isinstance(g, Letter) and i not in used]
