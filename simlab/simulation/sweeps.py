"""How fast the engine's solver converges: the slowest error of one sweep over the joints.

With K = J M^-1 J^T and L its lower triangle in blocks (the engine solves a joint's rows together), a sweep
takes an error e of the joint forces to

    e' = (1 - L^-1 K) e

so that the share of the slowest error taken away is the least eigenvalue of L^-1 K.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from simlab.results import Floats

MANY = 120  # rows from which on one eigenvalue is sought instead of all: before that, all take a few ms
CLOSE = 1e-5  # relative change from one iterate to the next at which that one is known well enough ...
IN_A_ROW = 3  # ... so many times
ITERATES = 400  # at most; the other eigenvalues are usually several times as large, and ten do


def slowest(
    stiff: Floats, sizes: list[int], self_stress: int, inverse: Callable[[Floats], Floats] | None
) -> float:
    """The share of the slowest error that a sweep takes away, at least.

    stiff : K, shape (rows, rows); sizes : the rows of each joint; self_stress : so many eigenvalues are 0
    and left out; inverse : K^-1 times a vector, where K has one
    """
    lower = np.tril(stiff)
    start = 0
    for size in sizes:
        end = start + size
        lower[start:end, start:end] = stiff[start:end, start:end]
        start = end
    if inverse is not None and len(stiff) > MANY:
        one = _of_the_slowest(lower, inverse)
        if one is not None:
            return one
    sweep = np.eye(len(stiff)) - np.linalg.solve(lower, stiff)
    kept = np.sort(np.abs(np.linalg.eigvals(sweep)))[: len(stiff) - self_stress]
    return 1.0 - float(kept[-1]) if len(kept) else 1.0


def _of_the_slowest(lower: Floats, inverse: Callable[[Floats], Floats]) -> float | None:
    """The least eigenvalue of L^-1 K, as the largest one of K^-1 L; None if it does not stand out.

    Vector iteration (von Mises; any textbook of numerical analysis).
    """
    vector = np.cos(np.arange(len(lower)))  # of no special direction
    vector /= np.linalg.norm(vector)
    before, alike = 0.0, 0
    for _ in range(ITERATES):
        vector = inverse(lower @ vector)
        size = float(np.linalg.norm(vector))
        vector /= size
        alike = alike + 1 if abs(size - before) < CLOSE * size else 0
        if alike == IN_A_ROW:
            return 1.0 / size
        before = size
    return None
