"""Elements as polynomials in some of their generators: coefficients, and what these have in common."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simlab.exact.element import Element
    from simlab.exact.field import Field

Poly = Any  # flint.fmpz_mpoly


def coefficients(element: Element, variables: Sequence[int]) -> dict[tuple[int, ...], Element]:
    """The coefficients of an element that is a polynomial in these generators, by their powers.

    >>> import sympy as sp
    >>> from simlab.exact.field import Field
    >>> w, a = sp.symbols("w a")
    >>> field = Field.containing([a * w], {})
    >>> {powers: e.expr() for powers, e in coefficients(field.element(3 * w**2 / a + w), [1]).items()}
    {(1,): 1, (2,): 3/a}
    """
    parts: dict[tuple[int, ...], dict[tuple[int, ...], Any]] = {}
    for powers, coefficient in element.num.terms():
        chosen = tuple(powers[i] for i in variables)
        rest = tuple(0 if i in variables else power for i, power in enumerate(powers))
        parts.setdefault(chosen, {})[rest] = coefficient
    field = element.field
    return {p: field.fraction(field.ctx.from_dict(part), element.den) for p, part in parts.items()}


def content_of(field: Field, poly: Poly) -> Poly:
    """The greatest common divisor of the coefficients of a polynomial in the roots and the cosine."""
    algebraic = [i for i, _, _ in field.relations]
    parts: dict[tuple[int, ...], dict[tuple[int, ...], Any]] = {}
    for powers, coefficient in poly.terms():
        head = tuple(powers[i] for i in algebraic)
        rest = tuple(0 if i in algebraic else p for i, p in enumerate(powers))
        parts.setdefault(head, {})[rest] = coefficient
    content = field.ctx.constant(0)
    for part in parts.values():
        content = content.gcd(field.ctx.from_dict(part))
    return content
