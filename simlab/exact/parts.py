"""An element as a sum of parts that are written one by one: W + P - l*(W + 2*P)/(2*d)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simlab.exact.element import Element
from simlab.exact.generators import Cosine
from simlab.exact.polynomial import Poly, degrees, terms

MOST_TERMS = 40  # a longer numerator is not taken apart


def by_powers(poly: Poly, generators: Sequence[int]) -> list[tuple[Poly, Poly]]:
    """[(product of powers of the generators, its coefficient)].

    >>> import flint
    >>> a, b = flint.fmpz_mpoly_ctx.get(("a", "b"), "lex").gens()
    >>> by_powers(a * b + 2 * a + b, [0])
    [(a, b + 2), (1, b)]
    """
    ctx, chosen = poly.context(), set(generators)
    groups: dict[tuple[int, ...], dict[tuple[int, ...], int]] = {}
    for powers, number in terms(poly):
        head = tuple(p if i in chosen else 0 for i, p in enumerate(powers))
        rest = tuple(0 if i in chosen else p for i, p in enumerate(powers))
        groups.setdefault(head, {})[rest] = number
    return [(ctx.from_dict({head: 1}), ctx.from_dict(rest)) for head, rest in groups.items()]


def separate(element: Element, letters: Sequence[int]) -> Iterator[list[Element]]:
    """The element as a sum: by letters in which it is linear, or by what a letter below the bar divides."""
    field, num, den = element.field, element.num, element.den
    cosine = [i for i, g in enumerate(field.generators) if isinstance(g, Cosine)]
    if len(num) == 1 or max(len(part) for _, part in by_powers(num, cosine)) > MOST_TERMS:
        return
    groups = by_powers(num, _linear_letters(num, den, letters))
    if len(groups) > 1:
        yield [field.fraction(part * letter, den) for letter, part in groups]
    for i in letters:
        k = min(powers[i] for powers, _ in terms(den))
        divided = {powers: number for powers, number in terms(num) if powers[i] >= k}
        if k and 0 < len(divided) < len(num):
            part = field.ctx.from_dict(divided)
            yield [field.fraction(part, den), field.fraction(num - part, den)]


def _linear_letters(num: Poly, den: Poly, letters: Sequence[int]) -> list[int]:
    """Letters of which every term above has one at most, and none is below: loads, as a rule."""
    above = [powers for powers, _ in terms(num)]
    below = degrees(den)
    found: list[int] = []
    for powers in above:
        if any(powers[i] for i in found):
            continue
        for i in letters:
            with_it = [p for p in above if p[i]]
            if (
                powers[i]
                and not below[i]
                and all(p[i] == 1 and not any(p[j] for j in found) for p in with_it)
            ):
                found.append(i)
                break
    return found
