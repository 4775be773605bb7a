"""A quick proof that an element is no square: a residue of it that is none.

Put numbers modulo a prime p for the generators, so that all relations hold there: s^2 = d with d no
zero, c = z + 1/z with z of order 2n (so p = 1 modulo 2n). Near such a point the field's ring is
regular, hence normal: a square root of what is finite there is finite there, and its residue is a
square root of the residue. So an element whose residue is no square is no square. The converse is
false: what passes is looked at properly in `simlab.exact.root`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from flint import fmpz

from simlab.exact.generators import Cosine, Root

if TYPE_CHECKING:
    from simlab.exact.element import Element
    from simlab.exact.field import Field

POINTS = 8  # a non-square passes one with probability 1/2
TRIES = 64  # candidates for each root adjoined: each is kept with probability 1/2
MULTIPLIER, STEP = 6364136223846793005, 1442695040888963407  # of Knuth's MMIX: a fixed, mixed-up sequence
LARGE = 1 << 30  # primes above it: residues hardly ever vanish by accident

Poly = Any  # flint.fmpz_mpoly
Point = tuple[int, tuple[int, ...]]  # prime, values of the generators


def may_be_square(element: Element) -> bool:
    """False if the element is proved to be no square."""
    for prime, values in points(element.field):
        product = _value(element.num, prime, values) * _value(element.den, prime, values) % prime
        if product and fmpz(product).jacobi(prime) < 0:
            return False
    return True


@lru_cache(maxsize=256)
def points(field: Field) -> tuple[Point, ...]:
    """Points of a field modulo primes; fewer than POINTS for a tower in which they are rare."""
    numbers = _numbers()
    found: list[Point] = []
    for _ in range(TRIES << min(field.depth, 4)):
        point = _point(field, numbers)
        if point is not None:
            found.append(point)
        if len(found) == POINTS:
            break
    return tuple(found)


def _point(field: Field, numbers: Iterator[int]) -> Point | None:
    """One point, if the next numbers happen to make every radicand a square."""
    order = 2 * next((g.n for g in field.generators if isinstance(g, Cosine)), 1)
    prime = _prime(order, numbers)
    values: list[int] = []
    for generator in reversed(field.generators):  # from the bottom of the tower
        if isinstance(generator, Root):
            square = _value(generator.radicand.num, prime, tuple(reversed(values)))
            if not square or fmpz(square).jacobi(prime) < 0:
                return None
            root = int(fmpz(square).sqrtmod(prime))
            values.append(root if next(numbers) % 2 else prime - root)
        elif isinstance(generator, Cosine):
            z = _of_order(order, prime, numbers)
            values.append((z + pow(z, -1, prime)) % prime)
        else:
            values.append(1 + next(numbers) % (prime - 1))
    return prime, tuple(reversed(values))


def _numbers() -> Iterator[int]:
    """Numbers of no special kind, the same in every run."""
    state = STEP
    while True:
        state = (state * MULTIPLIER + STEP) % (1 << 64)
        yield state >> 20  # the lowest bits repeat soon


def _prime(order: int, numbers: Iterator[int]) -> int:
    """A prime that is 1 modulo `order`."""
    candidate = ((LARGE + next(numbers) % LARGE) // order) * order + 1
    while not fmpz(candidate).is_prime():
        candidate += order
    return candidate


def _of_order(order: int, prime: int, numbers: Iterator[int]) -> int:
    """A number of this order modulo the prime."""
    factors = [int(f) for f, _ in fmpz(order).factor()]
    while True:
        z = pow(1 + next(numbers) % (prime - 1), (prime - 1) // order, prime)
        if all(pow(z, order // f, prime) != 1 for f in factors):
            return z


def _value(poly: Poly, prime: int, values: tuple[int, ...]) -> int:
    total = 0
    for powers, coefficient in poly.terms():
        term = int(coefficient) % prime
        for power, value in zip(powers, values, strict=True):
            if power:
                term = term * pow(value, power, prime) % prime
        total += term
    return total % prime
