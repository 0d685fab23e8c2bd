"""The rank of a large equilibrium matrix, as surely as a dense singular value decomposition would tell it.

Strategy
--------
1. Certify. Factorize the matrix A if it is square, else A A' (wide) or A' A (tall), and find its
   smallest singular value by Lanczos iteration with the inverse B of A A' or A' A from a random vector
   v of P entries. After k steps it knows the most, g, that B lengthens any vector p(B) v, p a polynomial
   of degree k - 1. If B has an eigenvalue d**2 g beyond g, along which v has the part c, then p taken as
   Chebyshev's polynomial on 0 to g shows that ``c T(d) sqrt(d**4 - 1) <= 1``, T being of degree
   2 k - 2. c is normally distributed and above δ / sqrt(P) but for a probability of about δ: so the
   estimate 1 / sqrt(g) is at most d times too large. 4 steps and P = 200,000 leave d = 8 at δ = 1e-6.
   If the estimate, so reduced, is above the tolerance, rank is full and the counts follow.
2. Otherwise peel: a joint with at most two unknowns, not in one line, settles their rank exactly; two
   unknowns in one line settle one and join into one longer unknown. This is elimination without
   rounding to speak of, and clears chains, ladders and loose ends.
3. What is left (the core) is small enough for a dense decomposition, or its null spaces are found by
   block inverse iteration on ``[[0, A], [A', 0]]``, whose eigenvalues are plus and minus the singular
   values, not squared, and 0 for each mechanism and self-stress. The block grows until it holds vectors
   beyond the null spaces.

References
----------
J. Kuczyński and H. Woźniakowski, "Estimating the largest eigenvalue by the power and Lanczos algorithms with
a random start", SIAM J. Matrix Anal. Appl. 13 (1992), for step 1; G. H. Golub and C. F. Van Loan, Matrix
Computations, for 3.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import linalg, optimize, sparse
from scipy.sparse.linalg import splu

from solver.errors import TooManyMechanismsError
from solver.factors import Factors, factorize
from solver.peel import peel

__all__ = ["Certificate", "Nullity", "certify", "largest_singular_value", "null_spaces", "nullity"]

_SEED = 20_240_229
"""Random starts are the same in every run, so that answers repeat."""
_POWER_STEPS = 8
"""Enough for a few per cent, from below: the largest singular values of a truss lie close together."""
_CHANCE = 1e-6
"""Chance of missing a small singular value that is accepted, for a truss that is close to the tolerance."""
_SETTLED = 0.05
"""Relative change at which an estimate of the smallest singular value is good enough to be stated."""
_MOST_SOLVES = 60
"""By then the doubt of step 1 is below a factor of two."""
_SHIFT = 1e-11
"""Of the largest singular value: keeps the factors of step 3 regular, and tells zero from the smallest value
of a strip of 50,000 panels."""
_DENSE_CORE = 300
"""Rows of a core up to which it is decomposed densely."""
_BLOCK = 12
"""Vectors of the first block of step 3; patterns of so many mechanisms are given at least."""
_BLOCK_STEPS = 6
"""Each step shrinks what is not null by a hundred or more."""
_FAINT = 1e-6
"""Weight of a direction in the block below which it is only rounding."""
_MOST_NUMBERS = 60_000_000
"""Numbers in the largest block: half a gigabyte."""


@dataclass(frozen=True, eq=False)
class Certificate:
    """Proof of full rank."""

    largest: float
    """Largest singular value."""
    smallest: float
    """Smallest singular value."""
    factors: Factors | None
    """Factors of the matrix itself where it is square."""


@dataclass(frozen=True)
class Nullity:
    """Dimensions of the two null spaces."""

    mechanisms: int
    """Of A': movements that stretch nothing."""
    self_stress: int
    """Of A: forces that balance without load."""


def largest_singular_value(matrix: sparse.csc_array) -> float:
    """Find the largest singular value to within about five per cent by power iteration."""
    vector = np.random.default_rng(_SEED).standard_normal(matrix.shape[0])
    transposed = matrix.T
    size = 0.0
    for _ in range(_POWER_STEPS):
        vector = matrix @ (transposed @ (vector / np.linalg.norm(vector)))
        size = float(np.sqrt(np.linalg.norm(vector)))
    return size


def certify(matrix: sparse.csc_array, tolerance: float) -> Certificate | None:
    """Prove full rank: row rank of a wide matrix, column rank of a tall one.

    Parameters
    ----------
    tolerance : float
        Ratio to the largest singular value below which a singular value counts as zero.

    Returns
    -------
    Certificate or None
        None when full rank is not proven, which does not yet mean that it is not so.
    """
    largest = largest_singular_value(matrix)
    rows, columns = matrix.shape
    if rows == columns:
        factors = factorize(matrix)
        if factors is None:
            return None
        smallest = _smallest(rows, factors.solve, factors.solve_transposed, tolerance * largest)
        if smallest is None:
            return None
        return Certificate(largest, smallest, factors)
    gram = sparse.csc_array(matrix @ matrix.T if rows < columns else matrix.T @ matrix)
    # Squaring halves the digits: what lies below this cannot be told from rounding, and is not proven here.
    sure = math.sqrt(gram.shape[0]) * math.sqrt(np.finfo(float).eps) * largest
    try:
        lu = splu(gram)
    except RuntimeError:  # a zero pivot
        return None
    smallest = _smallest(gram.shape[0], lu.solve, None, max(sure, tolerance * largest))
    return None if smallest is None else Certificate(largest, smallest, None)


def _smallest(
    size: int,
    solve: Callable[[NDArray[np.float64]], NDArray[np.float64]],
    solve_transposed: Callable[[NDArray[np.float64]], NDArray[np.float64]] | None,
    limit: float,
) -> float | None:
    """Estimate the smallest singular value; none unless it is surely above the limit (step 1)."""
    vector = np.random.default_rng(_SEED + 1).standard_normal(size)
    vector /= np.linalg.norm(vector)
    before, back = np.zeros(size), 0.0
    diagonal: list[float] = []
    beside: list[float] = []
    previous, solves = math.inf, 0
    while solves < _MOST_SOLVES:
        grown = solve(vector) if solve_transposed is None else solve_transposed(solve(vector))
        diagonal.append(float(grown @ vector))
        grown -= diagonal[-1] * vector
        grown -= back * before
        back = float(np.linalg.norm(grown))
        if not math.isfinite(back + diagonal[-1]):
            return None
        beside.append(back)
        growth = _most_grown(diagonal, beside)
        if growth == 0.0:
            return None
        smallest = 1.0 / math.sqrt(growth)
        solves += 2
        doubt = _doubt(math.sqrt(size) / _CHANCE, len(diagonal))
        if smallest <= limit:
            return None
        if smallest > doubt * limit and abs(previous - smallest) <= _SETTLED * smallest:
            return smallest
        if back <= np.finfo(float).eps * growth:  # nothing else lies along the start
            return smallest if smallest > doubt * limit else None
        before, vector = vector, grown / back
        previous = smallest
    return None


def _most_grown(diagonal: list[float], beside: list[float]) -> float:
    """Give the most that the operator lengthens any vector of the space searched so far (Lanczos)."""
    steps = len(diagonal)
    table = np.zeros((steps + 1, steps))
    table[:steps] = np.diag(diagonal) + np.diag(beside[:-1], 1)
    table[1:] += np.diag(beside)
    return float(np.linalg.norm(table, 2))


def _doubt(unlikely: float, steps: int) -> float:
    """Find how many times too large the estimate of the smallest singular value can be (step 1)."""

    def excess(factor: float) -> float:
        chebyshev = math.cosh((2 * steps - 2) * math.acosh(factor))
        return chebyshev * math.sqrt(factor**4 - 1.0) - unlikely

    most = 2.0
    while excess(most) < 0.0:
        most *= 2.0
    return float(optimize.brentq(excess, 1.0, most, xtol=1e-3))


def nullity(matrix: sparse.csc_array, tolerance: float) -> Nullity:
    """Count mechanisms and self-stress states where full rank could not be proven (steps 2 and 3).

    Raises
    ------
    TooManyMechanismsError
        When the core has more of them than memory holds.
    """
    rows, columns = matrix.shape
    settled, core = peel(matrix)
    limit = tolerance * largest_singular_value(matrix)
    rank = settled
    if min(core.shape) == 0:
        pass
    elif max(core.shape) <= _DENSE_CORE:
        rank += int((linalg.svdvals(core.toarray()) > limit).sum())
    else:
        certificate = certify(core, tolerance)
        if certificate is not None:
            rank += min(core.shape)
        else:
            size = _BLOCK
            while True:
                if size * sum(core.shape) > _MOST_NUMBERS:
                    raise TooManyMechanismsError(rows // 2, size)
                moves, forces = null_spaces(core, limit, size)
                if len(moves) + len(forces) < size:
                    break
                size *= 4
            rank += core.shape[0] - len(moves)
    return Nullity(rows - rank, columns - rank)


def null_spaces(
    matrix: sparse.csc_array, limit: float, size: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Find vectors of both null spaces by block inverse iteration (step 3).

    Parameters
    ----------
    limit : float
        Singular values up to this are zero.
    size : int
        Vectors in the block. If fewer null vectors come back, they are all there are.

    Returns
    -------
    moves : (K, 2N) float
        Orthonormal movements that stretch nothing.
    forces : (S, M + R) float
        Orthonormal forces that balance.
    """
    rows, columns = matrix.shape
    shift = _SHIFT * largest_singular_value(matrix)
    both = sparse.block_array(
        [
            [-shift * sparse.eye_array(rows), matrix],
            [matrix.T, -shift * sparse.eye_array(columns)],
        ],
        format="csc",
    )
    lu = splu(both)
    block = np.random.default_rng(_SEED + 2).standard_normal((rows + columns, min(size, rows + columns)))
    for _ in range(_BLOCK_STEPS):
        block, _ = np.linalg.qr(lu.solve(block))
    return _below(sparse.csc_array(matrix.T), block[:rows], limit), _below(matrix, block[rows:], limit)


def _below(operator: sparse.csc_array, vectors: NDArray[np.float64], limit: float) -> NDArray[np.float64]:
    """Combine columns into orthonormal rows that the operator takes to nothing (Rayleigh and Ritz)."""
    basis, weights, _ = np.linalg.svd(vectors, full_matrices=False)
    basis = basis[:, weights > _FAINT]
    _, sizes, right = np.linalg.svd(operator @ basis, full_matrices=False)
    return np.asarray((basis @ right.T).T[sizes <= limit])
