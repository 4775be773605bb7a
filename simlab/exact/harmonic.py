"""Products of sines and cosines as sums of sines and cosines of multiples of their angles."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction as Ratio
from functools import lru_cache

Harmonic = tuple[tuple[int, ...], bool]  # multiples of the angles; whether of a sine


@lru_cache(maxsize=1 << 12)
def harmonics(powers: tuple[tuple[int, int], ...]) -> Mapping[Harmonic, Ratio]:
    """The product of sin(u_k)^a_k * cos(u_k)^b_k as sum of sines and cosines of multiples.

    >>> harmonics(((1, 1),))  # sin(u)*cos(u) = sin(2u)/2
    {((2,), True): Fraction(1, 2)}
    """
    total: dict[Harmonic, Ratio] = {((0,) * len(powers), False): Ratio(1)}
    for k, (sines, cosines) in enumerate(powers):
        for is_sine in [True] * sines + [False] * cosines:
            total = _times(total, k, is_sine)
    return total


def _times(total: Mapping[Harmonic, Ratio], k: int, is_sine: bool) -> dict[Harmonic, Ratio]:
    """Times sin(u_k) or cos(u_k): 2*sin(A)*sin(B) = cos(A - B) - cos(A + B) and so on."""
    result: dict[Harmonic, Ratio] = {}
    for (multiples, of_sine), number in total.items():
        for step in (1, -1):
            turned = list(multiples)
            turned[k] += step
            minus = is_sine and (step == 1) == of_sine
            key, sign = _normal(tuple(turned), of_sine ^ is_sine)
            result[key] = result.get(key, Ratio(0)) + number * (-sign if minus else sign) / 2
    return {key: number for key, number in result.items() if number and key != ((0,) * len(key[0]), True)}


def _normal(multiples: tuple[int, ...], of_sine: bool) -> tuple[Harmonic, int]:
    if next((m for m in multiples if m), 0) >= 0:
        return (multiples, of_sine), 1
    return (tuple(-m for m in multiples), of_sine), -1 if of_sine else 1
