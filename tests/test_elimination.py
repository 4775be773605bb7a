"""Sparse elimination and quadratic forms against scipy and sympy on seeded random matrices."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pytest
import scipy.linalg
import sympy as sp

from simlab.exact.elimination import eliminate, left_null_space, transposed
from simlab.exact.field import Element, Field
from simlab.exact.quadratic import inertia

QQ = Field.containing([], {})
a, theta = sp.symbols("a theta", positive=True)
ROUNDING = 1e-9  # scipy works in doubles, on matrices of small whole numbers


def random_matrix(chance: random.Random, m: int, n: int, rank: int) -> list[list[int]]:
    """A product of two sparse whole-number matrices: of rank at most `rank`."""

    def part(rows: int, columns: int) -> list[list[int]]:
        return [[chance.choice((0, 0, 0, 1, -1, 2, -3)) for _ in range(columns)] for _ in range(rows)]

    left, right = part(m, rank), part(rank, n)
    return [
        [sum(x * y for x, y in zip(row, col, strict=True)) for col in zip(*right, strict=True)]
        for row in left
    ]


def sparse(matrix: list[list[Any]], field: Field = QQ) -> list[dict[int, Element]]:
    return [{j: field.element(x) for j, x in enumerate(row) if x != 0} for row in matrix]


def dense(vector: Any, n: int) -> list[float]:
    return [float(vector[j].expr()) if j in vector else 0.0 for j in range(n)]


@pytest.mark.parametrize("seed", range(12))
def test_rank_and_null_spaces_are_scipys(seed: int) -> None:
    """Rank, null space and left null space of random rational matrices span what scipy.linalg finds."""
    chance = random.Random(seed)
    m, n, rank = chance.randint(2, 9), chance.randint(2, 9), chance.randint(1, 6)
    matrix = random_matrix(chance, m, n, rank)
    found = eliminate(QQ, sparse(matrix), n)
    array = np.array(matrix, dtype=float)

    assert found.rank == np.linalg.matrix_rank(array)
    for ours, other, size in (
        (found.null_space, scipy.linalg.null_space(array), n),
        (left_null_space(QQ, sparse(matrix), n), scipy.linalg.null_space(array.T), m),
    ):
        vectors = np.array([dense(v, size) for v in ours]).reshape(len(ours), size)
        assert len(ours) == other.shape[1]
        assert np.abs(vectors - vectors @ other @ other.T).max(initial=0) < ROUNDING


@pytest.mark.parametrize("seed", range(6))
def test_solutions_are_sympys_over_a_field_with_a_surd(seed: int) -> None:
    """A x = b over Q(sqrt 2) is solved as sympy's DomainMatrix solves it, for two columns at once."""
    chance = random.Random(seed)
    field = Field.containing([sp.sqrt(2)], {})
    n = 5
    matrix = sp.Matrix(
        n, n, lambda i, j: chance.choice((0, 1, -2, sp.sqrt(2), 1 + sp.sqrt(2))) + 7 * (i == j)
    )
    right = sp.Matrix(n, 2, lambda i, j: chance.randint(-5, 5))
    found = eliminate(
        field, sparse(matrix.tolist(), field), n, transposed(sparse(right.tolist(), field), 2)
    )
    exact = matrix.to_DM(extension=True)
    expected = exact.lu_solve(right.to_DM().convert_to(exact.domain)).to_Matrix()

    assert found.consistent
    for column, solution in enumerate(found.solutions):
        for j in range(n):
            assert solution.get(j, field.zero) == field.element(expected[j, column])


def test_a_hidden_zero_is_no_pivot() -> None:
    """sin^2 + cos^2 - 1 is zero: the matrix is singular, and the system with it is inconsistent."""
    s, c = sp.sin(theta), sp.cos(theta)
    field = Field.containing([s, a], {})
    rows = sparse([[s, 1 + c], [1 - c, s]], field)
    found = eliminate(field, rows, 2, [{0: field.one}])

    assert found.rank == 1
    assert not found.consistent
    assert not found.is_determined(0)


def test_an_unknown_outside_every_null_vector_is_determined() -> None:
    """x is fixed by x = 4 though y + z alone is known."""
    found = eliminate(
        QQ, sparse([[1, 0, 0], [0, 1, 1], [1, 1, 1]]), 3, [{0: QQ.element(4), 2: QQ.element(4)}]
    )

    assert found.consistent
    assert found.solutions[0][0] == 4
    assert [found.is_determined(j) for j in range(3)] == [True, False, False]


def test_a_pivot_that_vanishes_at_the_values_stops_it() -> None:
    """At theta = 45 deg the rows (1, tan) and (1, 1) are one: elimination says so."""
    matrix = [[1, sp.tan(theta)], [1, 1]]
    special = Field.containing([sp.tan(theta)], {"theta": sp.pi / 4})
    general = Field.containing([sp.tan(theta)], {"theta": sp.pi / 5})

    assert eliminate(special, sparse(matrix, special), 2).vanishing is not None
    assert eliminate(general, sparse(matrix, general), 2).rank == 2


@pytest.mark.parametrize("seed", range(12))
def test_inertia_is_that_of_the_eigenvalues(seed: int) -> None:
    """Numbers of positive and negative squares are those of numpy's eigenvalues; the kernel is one."""
    chance = random.Random(seed)
    n, rank = chance.randint(1, 5), chance.randint(1, 5)
    signs = [chance.choice((1, -1)) for _ in range(rank)]
    rows = [[chance.randint(-2, 2) for _ in range(n)] for _ in range(rank)]
    form = [
        [sum(s * row[i] * row[j] for s, row in zip(signs, rows, strict=True)) for j in range(n)]
        for i in range(n)
    ]
    found = inertia([[QQ.element(x) for x in row] for row in form])
    eigenvalues = np.linalg.eigvalsh(np.array(form, dtype=float))

    assert found is not None
    assert found.positive == np.sum(eigenvalues > ROUNDING)
    assert found.negative == np.sum(eigenvalues < -ROUNDING)
    assert found.positive + found.negative + len(found.kernel) == n
    for vector in found.kernel:
        for row in form:
            assert sum((x * y for x, y in zip(vector, row, strict=True)), QQ.zero) == 0
